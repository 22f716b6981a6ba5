"""What the stop in hand wants done, as boxes to click: each says its key and what it does."""

from collections.abc import Sequence

from attrs import frozen
from textual.strip import Strip

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.spans import cells, line
from pourdeck.deck.widgets.bar import Bar, Chip, Laid, lay

LEAST_WIDTH = 12
TALL = 3


@frozen
class Doing:
    """`action` is the id of the registry."""

    key: str
    words: str
    action: str


class Boxes(Bar):
    """Three rows where there is room for gloves, one where there is not; never has the focus."""

    DEFAULT_CSS = """
    Boxes { height: 1; }
    Boxes.-tall { height: 3; }
    """
    base = "text"

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.doings: tuple[Doing, ...] = ()

    def show(self, doings: Sequence[Doing], *, tall: bool) -> None:
        self.display = bool(doings)
        self.set_class(tall, "-tall")
        if tuple(doings) != self.doings:
            self.doings = tuple(doings)
            self.refresh()

    @property
    def tall(self) -> bool:
        return self.content_size.height >= TALL

    def laid(self, width: int) -> tuple[Laid, ...]:
        return lay([_chip(one, tall=self.tall) for one in self.doings], width, 2)

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        spans: list[tuple[str, str]] = []
        at = 0
        for one in self.laid(width):
            spans.append((" " * (one.start - at), "text"))
            size = one.end - one.start
            if not self.tall or y == 1:
                spans += one.chip.spans
            else:
                left, right = ("┌", "┐") if y == 0 else ("└", "┘")
                spans.append((f"{left}{'─' * (size - 2)}{right}", "rule"))
            at = one.end
        return strip(tuple(spans), look_of(self), width)


def _chip(doing: Doing, *, tall: bool) -> Chip:
    words = line((f" {doing.key} ", "key"), (f"{doing.words} ", "label"))
    missing = max(0, LEAST_WIDTH - 2 - cells(words))
    left, right = ("│", "│") if tall else ("[", "]")
    spans = ((left, "rule"), *words, (" " * missing, "label"), (right, "rule"))
    return Chip(spans, doing.action)
