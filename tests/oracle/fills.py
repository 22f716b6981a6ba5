"""Rule 8 by shapely: for each depth the region of the new panel that stands over it."""

from fractions import Fraction

from shapely.geometry import MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from .plan import Pair, Panel


def solid(shape: BaseGeometry) -> BaseGeometry:
    """Keep what of a shape has an area: where rectangles only touch, lines and points are left over."""
    parts = getattr(shape, "geoms", [shape])
    return unary_union([one for one in parts if isinstance(one, Polygon | MultiPolygon)])


def footprint(panel: Panel, at: Pair) -> BaseGeometry:
    x, y = at
    return box(float(x), float(y), float(x + panel.width), float(y + panel.height))


def openings(panel: Panel, at: Pair) -> BaseGeometry:
    x, y = at
    return unary_union(
        [
            box(float(x + o.x0), float(y + o.y0), float(x + o.x1), float(y + o.y1))
            for o in panel.openings
        ]
    )


def fills(
    panels: tuple[Panel, ...], at: list[Pair], number: int
) -> list[tuple[BaseGeometry, Fraction]]:
    """Regions to fill under panel `number` (from 0) with their depths, in the stack's coordinates."""
    new, place = panels[number], at[number]
    left = solid(footprint(new, place).difference(openings(new, place)))
    found, depth = [], Fraction(0)
    for under in range(number - 1, -1, -1):
        through = solid(left.intersection(openings(panels[under], at[under])))
        if depth:
            found.append((solid(left.difference(through)), depth))
        left = through
        depth += panels[under].thickness
    if number:
        found.append((left, depth))
    return [(shape, deep) for shape, deep in found if shape.area > 0]


def depth_at(
    panels: tuple[Panel, ...], at: list[Pair], number: int, x: Fraction, y: Fraction
) -> Fraction:
    """Give how deep to fill at one place inside panel `number` (from 0), 0 where there is nothing to."""

    def open_at(index: int) -> bool:
        px, py = at[index]
        return any(
            px + o.x0 < x < px + o.x1 and py + o.y0 < y < py + o.y1 for o in panels[index].openings
        )

    if open_at(number):
        return Fraction(0)
    depth = Fraction(0)
    for under in range(number - 1, -1, -1):
        if not open_at(under):
            break
        depth += panels[under].thickness
    return depth
