"""Painting only the rows that changed: over a bad line every row counts."""

from collections.abc import Iterable, Sequence

from textual.geometry import Region
from textual.widget import Widget

from pourdeck.deck.spans import Spans


def repaint_rows(widget: Widget, rows: Iterable[int]) -> None:
    """Paint these rows of a widget's content anew, and no others."""
    gutter = widget.gutter
    width, height = widget.content_size
    regions = [
        Region(gutter.left, gutter.top + row, width, 1)
        for row in sorted(set(rows))
        if 0 <= row < height
    ]
    if regions:
        widget.refresh(*regions)


def changed_rows(before: Sequence[Spans], after: Sequence[Spans]) -> list[int]:
    """The rows that differ between two pictures of the same height."""
    return [row for row, (old, new) in enumerate(zip(before, after, strict=True)) if old != new]
