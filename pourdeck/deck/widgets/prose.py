"""Lines of words that break where they have to, and do nothing else."""

from collections.abc import Sequence

from textual.strip import Strip
from textual.widget import Widget

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.spans import Spans, wrap


class Prose(Widget):
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

    def show(self, paragraphs: Sequence[Spans]) -> None:
        """Show other words."""
        if tuple(paragraphs) != self.paragraphs:
            width = self.content_size.width
            before = len(self.lines(width))
            self.paragraphs = tuple(paragraphs)
            # Room is asked for only where it takes more or less of it.
            self.refresh(layout=len(self.lines(width)) != before)

    def lines(self, width: int) -> list[Spans]:
        return [row for words in self.paragraphs for row in wrap(words, max(1, width), self.indent)]

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        return len(self.lines(width))

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        rows = self.lines(width)
        spans = rows[y] if y < len(rows) else ()
        return strip(spans, look_of(self), width, base=self.base)
