"""Places: where a panel sits, mirrored or not, how far in its faces are, bolts, and what to fill.

The origin is the bl face corner of panel 1; x runs right along the base, y from base to head.
"""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Literal

from attrs import frozen

from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import Finding, Spot, literal
from pourdeck.plan.records import Align, Job, Kit, Panel, Side, Sides, Stack, Units
from pourdeck.setout.record import Fill, PlacedCastIn, PlacedOpening

# Rule 1: where each panel sits, in stack coordinates.

Point = tuple[Decimal, Decimal]

ZERO = Decimal(0)
ORIGIN: Point = (ZERO, ZERO)
"""Where panel 1 is, whatever its own align and shift say."""

TWO = Decimal(2)


@frozen(eq=False, repr=False)
class Rect:
    """Left, bottom, right and top edge, mm."""

    x0: Decimal
    y0: Decimal
    x1: Decimal
    y1: Decimal

    @property
    def area(self) -> Decimal:
        return (self.x1 - self.x0) * (self.y1 - self.y0)


def footprint(panel: Panel, at: Point) -> Rect:
    """The panel's face lines in stack coordinates."""
    return Rect(at[0], at[1], at[0] + panel.width, at[1] + panel.height)


def faces(rect: Rect) -> Sides[Decimal]:
    """Where each face line is, across its side: y of base and head, x of right and left."""
    return Sides(base=rect.y0, right=rect.x1, head=rect.y1, left=rect.x0)


def split_align(align: Align) -> tuple[str, str]:
    """Along the height (base, centre, head) and along the width (left, centre, right)."""
    if align == "centre":
        return "centre", "centre"
    up, across = align.split("-")
    return up, across


def place(panel: Panel, below: Panel, below_at: Point) -> Point:
    """Position of a panel's bl corner on the panel below, from `align` and `shift`."""
    up, across = split_align(panel.align)
    spare_x = below.width - panel.width
    spare_y = below.height - panel.height
    x = below_at[0] + {"left": ZERO, "centre": spare_x / TWO, "right": spare_x}[across]
    y = below_at[1] + {"base": ZERO, "centre": spare_y / TWO, "head": spare_y}[up]
    return x + panel.shift[0], y + panel.shift[1]


def start_shift(side: Side, at: Point, below_at: Point) -> Decimal:
    """Give how far the start of a side lies beyond the start of the same side of the panel below, mm."""
    axis = 0 if side in ("base", "head") else 1
    return at[axis] - below_at[axis]


# Openings and cast-ins as cast: the drawing's own, or mirrored left to right.
#
# Where the drawing shows the face that lies down, x_cast = width − x − feature width; y never changes.


def cast_x(panel: Panel, x: Decimal, feature_width: Decimal) -> Decimal:
    """Where a feature drawn at x lies from the panel's own left as cast, mm."""
    return panel.width - x - feature_width if panel.mirrored else x


def openings_as_cast(panel: Panel) -> tuple[PlacedOpening, ...]:
    return tuple(
        PlacedOpening(
            name=opening.name,
            x=cast_x(panel, opening.x, opening.width),
            y=opening.y,
            width=opening.width,
            height=opening.height,
        )
        for opening in panel.openings
    )


def castins_as_cast(panel: Panel) -> tuple[PlacedCastIn, ...]:
    """A cast-in in the face is mirrored about its centre; one in an edge is given as cast already."""
    return tuple(
        PlacedCastIn(
            name=item.name,
            kind=item.kind,
            x=None if item.x is None else cast_x(panel, item.x, Decimal(0)),
            y=item.y,
            edge=item.edge,
            at=item.at,
        )
        for item in panel.castins
    )


# Rule 2: how far each face line stands in from the panel below, and the bolt that takes it.


def offsets(new: Rect, below: Rect) -> Sides[Decimal]:
    """Positive inwards, negative an overhang, mm."""
    return Sides(
        base=new.y0 - below.y0,
        right=below.x1 - new.x1,
        head=below.y1 - new.y1,
        left=new.x0 - below.x0,
    )


def bolt_for(offset: Decimal, kit: Kit, lap: Decimal) -> str | None:
    """The first bolt of the kit whose band holds the offset, ends included; None where none does.

    An offset between -lap and 0 counts as 0.
    """
    if offset < 0:
        if offset < -lap:
            return None
        offset = Decimal(0)
    for bolt in kit.bolts:
        low, high = bolt.reach
        if low <= offset <= high:
            return bolt.name
    return None


def reach_fault(
    side: Side, offset: Decimal, kit: Kit, lap: Decimal, units: Units
) -> tuple[str, str] | None:
    """Code and message where the brackets cannot hold a form at this offset, else None."""
    shown = format_length(abs(offset), units)
    if offset < -lap:
        return "overhang", (
            f"{side}: overhangs the panel below by {shown}; at most {format_length(lap, units)} may "
            "lap. Move or shrink this panel, or put it lower in a stack."
        )
    longest = kit.longest_bolt
    if offset > longest.reach[1]:
        return "out-of-reach", (
            f"{side}: {shown} in from the panel below is past the longest reach, "
            f"{format_length(longest.reach[1], units)} (bolt {literal(longest.name)}). "
            "Choose another alignment or another place in a stack."
        )
    if bolt_for(offset, kit, lap) is None:
        bands = ", ".join(
            f"{literal(bolt.name)} {format_length(bolt.reach[0], units)} to "
            f"{format_length(bolt.reach[1], units)}"
            for bolt in kit.bolts
        )
        return "out-of-reach", (
            f"{side}: no bolt takes {shown} in from the panel below ({bands}). "
            "Choose another alignment or shift the panel."
        )
    return None


def reach_findings(
    found: Sides[Decimal], kit: Kit, lap: Decimal, units: Units, spot: Spot
) -> list[Finding]:
    """`overhang` and `out-of-reach`, one a side."""
    faults = []
    for side, offset in found.items():
        fault = reach_fault(side, offset, kit, lap, units)
        if fault:
            faults.append(spot.error(*fault, side))
    return faults


# Rule 8: where concrete of a new panel has nothing under it but an opening, and how deep it is.


def overlap(a: Rect, b: Rect) -> Rect | None:
    """Give what two rectangles share; None where they only touch or lie apart."""
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


# How wide and how high a panel may be between its neighbours, as far as laps and brackets reach.
#
# A hint where no alignment works: it looks at laps and the longest reach only, not at gaps between bolts.

Size = Literal["width", "height"]
SIZES: tuple[Size, ...] = ("width", "height")
_NEAR, _FAR, _BOTH = ("left", "base"), ("right", "head"), ("centre",)


@frozen(kw_only=True, repr=False)
class Leeway:
    """`least` to `most` of a size, mm, that the neighbour `mark` allows. `above`: it stands on the panel."""

    size: Size
    mark: str
    above: bool
    least: Decimal
    most: Decimal


def leeways(job: Job, stack: Stack, number: int) -> tuple[Leeway, ...]:
    """Give what the panel below allows with any alignment, and the one above with its own."""
    return tuple(_leeways(job, stack, number))


def _leeways(job: Job, stack: Stack, number: int) -> Iterator[Leeway]:
    panel = stack.panels[number - 1]
    for axis, size in enumerate(SIZES):
        if number > 1:
            below = stack.panels[number - 2]
            spans = [_span(job, panel, axis, word) for word in (_NEAR[axis], *_BOTH, _FAR[axis])]
            found = [span for span in spans if span is not None]
            if found:
                whole: Decimal = getattr(below, size)
                yield Leeway(
                    size=size,
                    mark=below.mark,
                    above=False,
                    least=whole - max(high for _, high in found),
                    most=whole - min(low for low, _ in found),
                )
        if number < len(stack.panels):
            above = stack.panels[number]
            span = _span(job, above, axis, split_align(above.align)[1 - axis])
            if span is not None:
                whole = getattr(above, size)
                yield Leeway(
                    size=size,
                    mark=above.mark,
                    above=True,
                    least=whole + span[0],
                    most=whole + span[1],
                )


def _span(job: Job, panel: Panel, axis: int, word: str) -> tuple[Decimal, Decimal] | None:
    """Give how much smaller than the one below a panel may be; None where its shift rules it out."""
    lap, reach = job.limits.lap, job.kit.longest_bolt.reach[1]
    shift = panel.shift[axis]
    if word in _BOTH:
        low, high = 2 * (abs(shift) - lap), 2 * (reach - abs(shift))
        return (low, high) if low <= high else None
    near = shift if word in _NEAR else -shift
    return (near - lap, near + reach) if -lap <= near <= reach else None
