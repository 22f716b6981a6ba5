"""Rule 8: where concrete of a new panel has nothing under it but an opening, and how deep it is."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from pourdeck.plan.records import Panel
from pourdeck.setout.mirror import openings_as_cast
from pourdeck.setout.place import Point, Rect, footprint
from pourdeck.setout.record import Fill


def overlap(a: Rect, b: Rect) -> Rect | None:
    """What two rectangles share; None where they only touch or lie apart."""
    shared = Rect(max(a.x0, b.x0), max(a.y0, b.y0), min(a.x1, b.x1), min(a.y1, b.y1))
    return shared if shared.x0 < shared.x1 and shared.y0 < shared.y1 else None


def subtract(rect: Rect, hole: Rect) -> list[Rect]:
    """Up to four rectangles that make up `rect` without `hole`, exactly and without overlap."""
    shared = overlap(rect, hole)
    if shared is None:
        return [rect]
    rest = [
        Rect(rect.x0, rect.y0, rect.x1, shared.y0),
        Rect(rect.x0, shared.y1, rect.x1, rect.y1),
        Rect(rect.x0, shared.y0, shared.x0, shared.y1),
        Rect(shared.x1, shared.y0, rect.x1, shared.y1),
    ]
    return [piece for piece in rest if piece.x0 < piece.x1 and piece.y0 < piece.y1]


def subtract_all(rects: Iterable[Rect], holes: Iterable[Rect]) -> list[Rect]:
    left = list(rects)
    for hole in holes:
        left = [piece for rect in left for piece in subtract(rect, hole)]
    return left


def opening_rects(panel: Panel, at: Point) -> list[tuple[str, Rect]]:
    """Name and place in stack coordinates of each opening, as cast."""
    return [
        (
            opening.name,
            Rect(
                at[0] + opening.x,
                at[1] + opening.y,
                at[0] + opening.x + opening.width,
                at[1] + opening.y + opening.height,
            ),
        )
        for opening in openings_as_cast(panel)
    ]


def _deepened(
    rect: Rect, depth: Decimal, panels: Sequence[Panel], at: Sequence[Point]
) -> list[tuple[Rect, Decimal]]:
    """Split a rectangle by how far down the openings of `panels` (lowest first) go on below it."""
    if not panels:
        return [(rect, depth)]
    below = panels[-1]
    found: list[tuple[Rect, Decimal]] = []
    solid = [rect]
    for _, hole in opening_rects(below, at[-1]):
        open_here = [shared for piece in solid if (shared := overlap(piece, hole))]
        for shared in open_here:
            found += _deepened(shared, depth + below.thickness, panels[:-1], at[:-1])
        solid = subtract_all(solid, [hole])
    return found + [(piece, depth) for piece in solid]


def fill(panels: Sequence[Panel], at: Sequence[Point]) -> tuple[Fill, ...]:
    """For the last of `panels`; the others lie under it, lowest first, `at` in stack coordinates.

    A rectangle's depth is the thickness of the panel right below plus that of each further panel
    whose opening goes straight on down.
    """
    if len(panels) < 2:
        return ()
    new, below = panels[-1], panels[-2]
    origin = at[-1]
    own = [rect for _, rect in opening_rects(new, origin)]
    outline = footprint(new, origin)
    found: list[Fill] = []
    taken: list[Rect] = []
    for name, hole in opening_rects(below, at[-2]):
        under = overlap(hole, outline)
        if under is None:
            continue
        for rect in subtract_all([under], own + taken):
            for piece, depth in _deepened(rect, below.thickness, panels[:-2], at[:-2]):
                found.append(_fill(piece, depth, origin, name, below.mark))
        taken.append(hole)
    return tuple(sorted(found, key=lambda item: (item.y, item.x)))


def _fill(piece: Rect, depth: Decimal, origin: Point, opening: str, mark: str) -> Fill:
    return Fill(
        x=piece.x0 - origin[0],
        y=piece.y0 - origin[1],
        width=piece.x1 - piece.x0,
        height=piece.y1 - piece.y0,
        depth=depth,
        x_stack=piece.x0,
        y_stack=piece.y0,
        opening=opening,
        mark=mark,
    )
