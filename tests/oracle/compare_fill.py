"""Fills of the program against the regions and depths of the reading."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from typing import Any

from shapely.geometry import box
from shapely.ops import unary_union

from . import fills
from .numbers import same
from .reading import Reading

SLIVER = 0.01
"""mm²: areas of binary floats are no better."""


def fill(
    reading: Reading, number: int, mine: list[tuple[Any, Fraction]], theirs: list[Any], place: str
) -> Iterator[str]:
    """Compare the regions at the same depths, and the depth at a place inside every cell of the grid."""
    x, y = (float(one) for one in reading.at[number - 1])
    boxes = [
        (box(x + f["x"], y + f["y"], x + f["x"] + f["width"], y + f["y"] + f["height"]), f)
        for f in theirs
    ]
    for _, f in boxes:
        if f["width"] <= 0 or f["height"] <= 0:
            yield f"{place}: an empty rectangle {f}"
    whole = unary_union([one for one, _ in boxes])
    if abs(whole.area - sum(one.area for one, _ in boxes)) > SLIVER:
        yield f"{place}: rectangles overlap {theirs}"
    deep: dict[float, list[Any]] = {}
    for shape, depth in mine:
        deep.setdefault(float(depth), []).append(shape)
    wanted = {depth: unary_union(shapes) for depth, shapes in deep.items()}
    for depth in {*wanted, *(f["depth"] for _, f in boxes)}:
        got = unary_union([one for one, f in boxes if same(f["depth"], depth)])
        wrong = got.symmetric_difference(wanted.get(depth, box(0, 0, 0, 0))).area
        if wrong > SLIVER:
            want = wanted[depth].wkt if depth in wanted else "nothing"
            yield f"{place}: {wrong} mm² wrong at depth {depth}: want {want} got {theirs}"
    yield from sampled(reading, number, theirs, place)


def sampled(reading: Reading, number: int, theirs: list[Any], place: str) -> Iterator[str]:
    panel, (x, y) = reading.panel(number), reading.at[number - 1]
    lines = ({Fraction(0), panel.width}, {Fraction(0), panel.height})
    for one, (px, py) in zip(reading.stack.panels[:number], reading.at, strict=False):
        for o in one.openings:
            lines[0].update((o.x0 + px - x, o.x1 + px - x))
            lines[1].update((o.y0 + py - y, o.y1 + py - y))
    across = [at for at in sorted(lines[0]) if 0 <= at <= panel.width]
    along = [at for at in sorted(lines[1]) if 0 <= at <= panel.height]
    for a, b in pairwise(across):
        for c, d in pairwise(along):
            mid = (a + b) / 2, (c + d) / 2
            want = fills.depth_at(
                reading.stack.panels, reading.at, number - 1, mid[0] + x, mid[1] + y
            )
            got = [
                f["depth"]
                for f in theirs
                if f["x"] < mid[0] < f["x"] + f["width"] and f["y"] < mid[1] < f["y"] + f["height"]
            ]
            if len(got) > 1 or not same(want, got[0] if got else 0):
                spot = [float(one) for one in mid]
                yield f"{place}: at {spot} of the panel {float(want)} but the program has {got}"
