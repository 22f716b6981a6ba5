"""Painting only what changed, and once: over a bad line every row counts."""

from collections.abc import Iterable, Sequence

from textual.containers import Horizontal, Vertical
from textual.geometry import Region, Size
from textual.reactive import Reactive
from textual.widget import Widget

from pourdeck.deck.spans import Spans


class Steady(Widget):
    """A widget that scrolls by itself or not at all.

    The toolkit lays a screen out and paints it twice where a widget gets another size, in case it has to
    scroll; this one is painted once.
    """

    virtual_size: Reactive[Size] = Reactive(Size(0, 0), layout=False, repaint=False)


class SteadyRow(Horizontal):
    """Widgets side by side, painted once; see `Steady`."""

    virtual_size: Reactive[Size] = Reactive(Size(0, 0), layout=False, repaint=False)


class SteadyColumn(Vertical):
    """Widgets one below the other, painted once; see `Steady`."""

    virtual_size: Reactive[Size] = Reactive(Size(0, 0), layout=False, repaint=False)


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
