"""Whether there is room for places to click that a gloved finger can hit."""

from textual.widget import Widget

GLOVE_COLUMNS = 12
"""Least width of such a place."""


def roomy(widget: Widget) -> bool:
    """True in a window that is tall and wide enough for them."""
    size = widget.app.size
    return size.height >= 36 and size.width >= 100
