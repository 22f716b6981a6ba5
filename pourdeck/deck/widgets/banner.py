"""The line that says what was saved, what was refused and why, and where the work was left."""

from typing import Literal

from attrs import frozen
from textual import events
from textual.strip import Strip

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady
from pourdeck.deck.spans import Spans, cells, cut, justify, line, wrap

MOST_LINES = 4

Kind = Literal["saved", "refused", "note"]


@frozen
class Said:
    """Something to say: `title` in one line, `body` for what it does not hold."""

    kind: Kind
    title: str
    body: str = ""


_SIGNS: dict[Kind, str] = {"saved": "✓", "refused": "✗", "note": "·"}


class Banner(Steady):
    """What was said last, above the bar. It stands over the work and moves nothing of it.

    It grows upwards to as many lines as a reason needs, four at most, and folds to one with the next key or
    click; a click on it unfolds it again.
    """

    ALLOW_SELECT = False
    # The class of the bar's height stands on the screen, outside of the widget itself.
    SCOPED_CSS = False
    DEFAULT_CSS = """
    Banner { width: 1fr; height: 1; layer: foot; dock: bottom; margin-bottom: 1; }
    .-large-bar Banner { margin-bottom: 3; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.said = Said("note", "")
        self.corner = ""
        self.folded = False

    def show(self, said: Said, corner: str = "") -> None:
        """Say something; `corner` stands at the right, as the head of the log does."""
        before = self.said, self.corner, self.folded
        # The same words said once more are to be read once more.
        self.folded = self.folded and said is self.said
        self.said, self.corner = said, corner
        if before != (said, corner, self.folded):
            self._grow()
            self.refresh()

    def lines(self, width: int) -> list[Spans]:
        """The lines of what is said, in `width` cells."""
        said = self.said
        ink = said.kind
        sign = f" {_SIGNS[said.kind]} " if said.title else " "
        body = f" {said.body}" if said.body else ""
        stop = "." if body and not said.title.endswith((".", ":", "?", "!")) else ""
        words = line((f"{sign}{said.title}{stop}{body}", ink))
        corner = line((f"{self.corner} ", ink)) if self.corner else ()
        room = max(10, width - cells(corner) - 1)
        rows = wrap(words, room, 3)
        if self.folded and len(rows) > 1:
            rows = [cut((*rows[0], (" …", ink)), room)]
        if len(rows) > MOST_LINES:
            rows = rows[:MOST_LINES]
            rows[-1] = (*rows[-1], ("…", ink))
        return [justify(rows[0], corner, width, ink), *rows[1:]]

    def on_resize(self) -> None:
        self._grow()

    def _grow(self) -> None:
        width = self.content_size.width
        if width > 0:
            self.styles.height = len(self.lines(width))

    def fold(self, *, folded: bool = True) -> None:
        """Take one line, or all that it needs."""
        if folded != self.folded:
            before = self.lines(self.content_size.width)
            self.folded = folded
            if before != self.lines(self.content_size.width):
                self._grow()
                self.refresh()

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.fold(folded=not self.folded)

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        rows = self.lines(width)
        ink = self.said.kind
        spans = tuple((text, ink) for text, _ in rows[y]) if y < len(rows) else ()
        return strip(spans, look_of(self), width, base=ink)
