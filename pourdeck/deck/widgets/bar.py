"""A line of things to click: what the bars of tabs and of actions have in common."""

from collections.abc import Sequence

from attrs import frozen
from textual import events
from textual.message import Message
from textual.strip import Strip

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady
from pourdeck.deck.spans import Spans, cells, fit, justify


@frozen(eq=False, repr=False)
class Chip:
    """A piece of a bar. `action` None: words that are not for clicking."""

    spans: Spans
    action: str | None = None


@frozen(eq=False, repr=False)
class Laid:
    """A chip at its place in the line."""

    chip: Chip
    start: int
    end: int


def lay(chips: Sequence[Chip], width: int, gap: int = 0) -> tuple[Laid, ...]:
    """As many chips from the first on as fit whole in `width` cells."""
    laid: list[Laid] = []
    at = 0
    for chip in chips:
        size = cells(chip.spans)
        if at + size > width:
            break
        laid.append(Laid(chip, at, at + size))
        at += size + gap
    return tuple(laid)


class Bar(Steady):
    """A line of chips at the left, and words at the right."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "Bar { width: 1fr; height: 1; }"
    base = "bar"

    class Clicked(Message):
        """A chip was clicked: the id of its action."""

        def __init__(self, bar: "Bar", action: str) -> None:
            super().__init__()
            self.bar = bar
            self.action = action

    def laid(self, width: int) -> tuple[Laid, ...]:
        """The chips that fit, at their places."""
        return ()

    def right(self, width: int) -> Spans:
        """The words at the right; they give way where the chips need the room."""
        return ()

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        laid = self.laid(width)
        spans: list[tuple[str, str]] = []
        at = 0
        for one in laid:
            spans.append((" " * (one.start - at), self.base))
            spans.extend(one.chip.spans)
            at = one.end
        right = self.right(width)
        room = width - at - 1
        whole = (
            justify(tuple(spans), right, width, self.base) if cells(right) <= room else tuple(spans)
        )
        return strip(fit(whole, width, self.base), look_of(self), width, base=self.base)

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        event.stop()
        for one in self.laid(self.content_size.width):
            if one.start <= offset.x < one.end and one.chip.action is not None:
                self.post_message(self.Clicked(self, one.chip.action))
                return
