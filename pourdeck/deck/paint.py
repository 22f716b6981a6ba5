"""From lines of pieces to what the toolkit paints."""

from rich.segment import Segment
from textual.strip import Strip

from pourdeck.deck.spans import Spans, fit
from pourdeck.deck.theme import Look
from pourdeck.plan.literal import literal

_ASCII = str.maketrans(
    {
        **dict.fromkeys("─═╌━┄", "-"),
        **dict.fromkeys("│║┊┃╎", "|"),
        **dict.fromkeys("┌┐└┘├┤┬┴┼╪╫╬┏┓┗┛", "+"),
        **dict.fromkeys("▒▓", "%"),
        **dict.fromkeys("▔▁", "="),
        **dict.fromkeys("▸►→›", ">"),
        **dict.fromkeys("◂◄←‹", "<"),
        **dict.fromkeys("·•", "."),
        **dict.fromkeys("–−", "-"),
        "█": "#", "░": ":", "╱": "/", "▲": "^", "△": "^", "↑": "^", "▼": "v", "↓": "v",
        "●": "o", "○": "o", "◊": "v", "■": "#", "□": "o", "≈": "~", "✓": "+", "✗": "x",
        "»": ">", "…": "~", "×": "x", "°": "o", "⌀": "d", "┬": "+", "¦": "|",
    }
)  # fmt: skip


def strip(
    spans: Spans, look: Look, width: int, *, base: str = "text", over: str | None = None
) -> Strip:
    """A line of exactly `width` cells. `over`: one ink for all of it, as for the row of the cursor."""
    pieces = fit(spans, width, base)
    return Strip(
        [
            Segment(_shown(text, look), look.style(over if over is not None else ink))
            for text, ink in pieces
            if text
        ],
        width,
    )


def _shown(text: str, look: Look) -> str:
    safe = literal(text)
    return safe.translate(_ASCII) if look.ascii_only else safe
