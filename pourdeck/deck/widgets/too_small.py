"""What is said while the window is too small to work in."""

from textual.strip import Strip
from textual.widget import Widget

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.spans import line, wrap

LEAST_WIDTH = 60
LEAST_HEIGHT = 20


def too_small(width: int, height: int) -> bool:
    return width < LEAST_WIDTH or height < LEAST_HEIGHT


class TooSmall(Widget):
    """Covers the screen below the least size; what is under it keeps its focus and its half-typed text."""

    ALLOW_SELECT = False
    # The classes of its size stand on the screen, outside of the widget itself.
    SCOPED_CSS = False
    DEFAULT_CSS = """
    TooSmall { layer: cover; display: none; width: 100%; height: 100%; background: $deck-ground; }
    .-slim TooSmall { display: block; }
    .-flat TooSmall { display: block; }
    """

    def render_line(self, y: int) -> Strip:
        size = self.app.size
        words = (
            f"Window too small: now {size.width}x{size.height}, "
            f"needs {LEAST_WIDTH}x{LEAST_HEIGHT}. Nothing is lost: make it larger to go on."
        )
        width = self.content_size.width
        rows = wrap(line((words, "strong")), max(1, width - 1))
        spans = rows[y] if y < len(rows) else ()
        return strip(spans, look_of(self), width)
