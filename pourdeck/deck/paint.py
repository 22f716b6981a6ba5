"""From lines of pieces to what the toolkit paints."""

from rich.segment import Segment
from textual.strip import Strip

from pourdeck.deck.spans import Spans, fit
from pourdeck.deck.theme import Look
from pourdeck.plan.messages import literal

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
        "●": "@", "○": "o", "◊": "v", "■": "#", "□": "n", "▪": "#", "≈": "~", "✓": "+", "✗": "x",
        "»": ">", "…": "~", "×": "x", "²": "2", "³": "3", "°": "o", "⌀": "d", "¦": "|", "µ": "u",
    }
)  # fmt: skip


def strip(
    spans: Spans, look: Look, width: int, *, base: str = "text", over: str | None = None
) -> Strip:
    """A line of exactly `width` cells. `over`: one ink for all of it, as for the row of the cursor."""
    pieces: list[tuple[str, str]] = []
    for text, ink in fit(spans, width, base):
        shown = over if over is not None else ink
        if pieces and pieces[-1][1] == shown:
            # Fewer changes of ink are fewer bytes over a bad line.
            pieces[-1] = (pieces[-1][0] + text, shown)
        elif text:
            pieces.append((text, shown))
    return Strip([Segment(_shown(text, look), look.style(ink)) for text, ink in pieces], width)


def _shown(text: str, look: Look) -> str:
    safe = literal(text)
    return safe.translate(_ASCII) if look.ascii_only else safe
