"""Widgets that show lines made elsewhere: words that break, and drawings.

The drawing of a panel, a stack or a gain is imported when it is first drawn: most starts show none.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Protocol

from attrs import frozen
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.drawing.canvas import Canvas, Hits, What
from pourdeck.deck.paint import (
    Spans,
    Steady,
    changed_rows,
    cut,
    line,
    look_of,
    repaint_rows,
    strip,
    wrap,
)
from pourdeck.plan.records import Units
from pourdeck.setout.record import SetOut
from pourdeck.walk.records import Place

if TYPE_CHECKING:
    from pourdeck.deck.drawing.cast_plan import CastDrawing
    from pourdeck.deck.drawing.drift import DriftDrawing
    from pourdeck.deck.drawing.plan import PlanDrawing
    from pourdeck.deck.drawing.plan_body import Spot
    from pourdeck.plan.records import Job
    from pourdeck.setout.elevation import DriftPicture
    from pourdeck.walk.ascast import CastSheet
    from pourdeck.walk.strength import Strength

# Lines of words that break where they have to, and do nothing else; `…` where there is no room for more.


class Prose(Steady):
    """Paragraphs in their inks; as high as they need, unless the style sheet says otherwise."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "Prose { width: 1fr; height: auto; }"

    def __init__(
        self,
        *paragraphs: Spans,
        base: str = "text",
        indent: int = 0,
        id: str | None = None,
    ) -> None:
        super().__init__(id=id)
        self.paragraphs: tuple[Spans, ...] = paragraphs
        self.base = base
        self.indent = indent
        self._broken: tuple[int, list[Spans]] | None = None

    def show(self, paragraphs: Sequence[Spans]) -> None:
        """Show other words."""
        if tuple(paragraphs) == self.paragraphs:
            return
        width = self.content_size.width
        before = self.lines(width)
        self.paragraphs = tuple(paragraphs)
        self._broken = None
        after = self.lines(width)
        if len(after) == len(before):
            repaint_rows(self, changed_rows(before, after))
        else:
            # Room is asked for only where it takes more or less of it.
            self.refresh(layout=True)

    def lines(self, width: int) -> list[Spans]:
        if self._broken is None or self._broken[0] != width:
            room = max(1, width)
            rows = [row for words in self.paragraphs for row in wrap(words, room, self.indent)]
            self._broken = (width, rows)
        return self._broken[1]

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        return len(self.lines(width))

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        rows = self.lines(width)
        spans = rows[y] if y < len(rows) else ()
        if y == self.content_size.height - 1 and len(rows) > y + 1:
            spans = cut((*spans, *line((" " * width, self.base))), width)
        return strip(spans, look_of(self), width, base=self.base)


# What drawings on screen share: drawn once for what is shown and the room, painted where it changed.


class Drawing(Protocol):
    """Anything drawn on a canvas."""

    @property
    def canvas(self) -> Canvas: ...


class Drawn(Steady):
    """A view that never has the focus. One that is made from it gives `drawing`, and keeps it in `_made`."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "Drawn { width: 1fr; height: 1fr; }"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._made: Drawing | None = None

    @property
    def drawing(self) -> Drawing | None:
        """Give what is drawn now, None where nothing is."""
        return None

    def fits(self, made: Drawing | None) -> bool:
        """Whether a drawing was made for the room there is."""
        size: Size = self.content_size
        return made is not None and (made.canvas.width, made.canvas.height) == tuple(size)

    def redraw(self) -> None:
        """Draw anew, and paint what came out different."""
        before, self._made = self._made, None
        after = self.drawing
        if before is None or after is None or before.canvas.height != after.canvas.height:
            self.refresh()
            return
        repaint_rows(self, changed_rows(before.canvas.rows(), after.canvas.rows()))

    def hit(self, event: events.Click, hits: Hits[What]) -> What | None:
        """Find what a click was on, and take the click; None where nothing is."""
        offset = event.get_content_offset(self)
        if offset is None:
            return None
        event.stop()
        return hits.at(offset.x, offset.y)

    def render_line(self, y: int) -> Strip:
        drawing = self.drawing
        spans = drawing.canvas.spans(y) if drawing else ()
        return strip(spans, look_of(self), self.content_size.width)


# A panel in plan on screen, with the place in hand marked; a click says what it was on.


class PlanView(Drawn):
    """Never has the focus: it shows what the list beside it has in hand."""

    class Picked(Message):
        """A bracket, corner, side, opening or cast-in was clicked."""

        def __init__(self, view: "PlanView", place: Place) -> None:
            super().__init__()
            self.view = view
            self.place = place

    def __init__(self, *, legend: bool = True, id: str | None = None) -> None:
        super().__init__(id=id)
        self.legend = legend
        self.setout: SetOut | None = None
        self.place: Place | None = None
        self.spots: tuple[Spot, ...] = ()
        self._made: PlanDrawing | None = None

    def show(
        self, setout: SetOut | None, place: Place | None = None, spots: "tuple[Spot, ...]" = ()
    ) -> None:
        """Draw another panel, or mark another place on it."""
        if setout is not self.setout or (place, spots) != (self.place, self.spots):
            self.setout, self.place, self.spots = setout, place, spots
            self.redraw()

    @property
    def units(self) -> Units:
        desk: Any = getattr(self.app, "desk", None)
        return desk.job.units if desk is not None else "metric"

    @property
    def drawing(self) -> "PlanDrawing | None":
        if self.setout is None:
            return None
        from pourdeck.deck.drawing.plan import plan

        if self._made is None or not self.fits(self._made):
            self._made = plan(
                self.setout, *self.content_size, self.place,
                units=self.units, legend=self.legend, spots=self.spots,
            )  # fmt: skip
        return self._made

    def on_click(self, event: events.Click) -> None:
        drawing = self.drawing
        place = self.hit(event, drawing.hits) if drawing else None
        if place is not None:
            self.post_message(self.Picked(self, place))


# A cast panel with its tape lines on screen; a click says which measurement it was on.


class CastView(Drawn):
    """Never has the focus: it shows what the list and the field beside it have in hand."""

    class Picked(Message):
        """A tape line, a corner or an offset mark was clicked: the key of its measurement."""

        def __init__(self, view: "CastView", key: str) -> None:
            super().__init__()
            self.view = view
            self.key = key

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._shown: tuple[CastSheet, str | None, str] | None = None
        self._made: CastDrawing | None = None

    def show(self, sheet: "CastSheet", hand: str | None, typed: str = "") -> None:
        """Draw what stands, the measurement in hand with what is typed for it."""
        self._shown = (sheet, hand, typed)
        self.redraw()

    @property
    def drawing(self) -> "CastDrawing | None":
        if self._shown is None:
            return None
        if self._made is None or not self.fits(self._made):
            from pourdeck.deck.drawing.cast_plan import cast_plan

            sheet, hand, typed = self._shown
            self._made = cast_plan(sheet, *self.content_size, hand, typed)
        return self._made

    def on_click(self, event: events.Click) -> None:
        drawing = self.drawing
        key = self.hit(event, drawing.hits) if drawing else None
        if key is not None:
            self.post_message(self.Picked(self, key))


# The drift of a stack on screen, beside what has the panel in hand; a click says on which panel it was.


class DriftView(Drawn):
    """Never has the focus, and draws nothing while it is not displayed."""

    class Picked(Message):
        """A panel was clicked."""

        def __init__(self, view: "DriftView", number: int) -> None:
            super().__init__()
            self.view = view
            self.number = number

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.picture: DriftPicture | None = None
        self.number: int | None = None
        self.units: Units = "metric"
        self._made: DriftDrawing | None = None

    def show(self, picture: "DriftPicture | None", number: int | None, units: Units) -> None:
        """Draw another stack, or mark another panel of it."""
        if picture is not self.picture or number != self.number:
            self.picture, self.number, self.units = picture, number, units
            self.redraw()

    @property
    def drawing(self) -> "DriftDrawing | None":
        if self.picture is None:
            return None
        if self._made is None or not self.fits(self._made):
            from pourdeck.deck.drawing.drift import drift_drawing

            # It never has the focus: its mark is the quiet one.
            self._made = drift_drawing(
                self.picture, self.units, *self.content_size, self.number, focused=False
            )
        return self._made

    def on_click(self, event: events.Click) -> None:
        drawing = self.drawing
        number = self.hit(event, drawing.hits) if drawing else None
        if number is not None:
            self.post_message(self.Picked(self, number))


# The gain of a panel's strength on screen, beside what has the panel in hand.


@frozen(eq=False, repr=False)
class Chart:
    """Hold a drawing that takes no clicks."""

    canvas: Canvas


class GainView(Drawn):
    """Never has the focus."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._shown: tuple[Strength, Job] | None = None

    def show(self, found: "Strength | None", job: "Job") -> None:
        """Draw what stands; None: nothing."""
        self._shown = None if found is None else (found, job)
        self.redraw()

    @property
    def drawing(self) -> Drawing | None:
        if self._shown is None:
            return None
        if not self.fits(self._made):
            from pourdeck.deck.drawing.gain_chart import gain_chart

            self._made = Chart(gain_chart(*self._shown, *self.content_size))
        return self._made
