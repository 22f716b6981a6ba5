"""Lines of words that break where they have to, and do nothing else; `…` where there is no room for more."""

from collections.abc import Sequence

from textual.strip import Strip

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady, changed_rows, repaint_rows
from pourdeck.deck.spans import Spans, cut, line, wrap


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
