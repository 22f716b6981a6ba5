"""The body of a panel in plan: its frame on the canvas, outlines, openings, and marks on them."""

from collections.abc import Sequence
from decimal import Decimal

from attrs import define, field, frozen

from pourdeck.deck.drawing.canvas import Bounds, Canvas, Hits, Scale
from pourdeck.deck.paint import cells, say
from pourdeck.plan.records import CORNERS, SIDES, CastInKind, Corner, Side, Units
from pourdeck.setout.record import Bracket, PlacedCastIn, PlacedOpening, SetOut
from pourdeck.walk.records import Place

# What stands where in the drawing of a panel: its scale, and where its lines and those below it fall.


@frozen(kw_only=True)
class Cells:
    """A rectangle of cells, its last column and row included."""

    left: int
    top: int
    right: int
    bottom: int


@frozen(kw_only=True)
class Spot:
    """A sign of its own in the drawing, and what it means. x, y in the panel's own coordinates, mm."""

    x: Decimal
    y: Decimal
    sign: str
    words: str


@define(kw_only=True)
class Frame:
    """Hold what the parts of the drawing share. `used` are the signs that a legend explains."""

    setout: SetOut
    place: Place
    units: Units
    canvas: Canvas
    hits: Hits[Place]
    scale: Scale
    panel: Cells
    below: Cells | None
    used: dict[str, tuple[str, str]] = field(factory=dict)

    def explain(self, sign: str, words: str, ink: str) -> None:
        self.used.setdefault(sign, (words, ink))

    def column(self, x: Decimal) -> int:
        """The column of an x, kept on the panel."""
        return max(self.panel.left, min(self.panel.right, self.scale.column(x)))

    def row(self, y: Decimal) -> int:
        """The row of a y, kept on the panel."""
        return max(self.panel.top, min(self.panel.bottom, self.scale.row(y)))

    def on_side(self, side: Side, at: Decimal) -> tuple[int, int]:
        """The cell on the face line of a side, so far along it."""
        if side in ("base", "head"):
            return self.column(at), self.panel.bottom if side == "base" else self.panel.top
        return self.panel.left if side == "left" else self.panel.right, self.row(at)

    def corner(self, corner: Corner) -> tuple[int, int]:
        """The cell of a face corner."""
        x = self.panel.left if corner[1] == "l" else self.panel.right
        return x, self.panel.bottom if corner[0] == "b" else self.panel.top

    def outside(self, side: Side) -> int:
        """The first row or column outside both this panel and the one below, on that side."""
        panel, below = self.panel, self.below
        if side == "left":
            return min(panel.left, below.left if below else panel.left) - 1
        if side == "right":
            return max(panel.right, below.right if below else panel.right) + 1
        if side == "head":
            return min(panel.top, below.top if below else panel.top) - 1
        return max(panel.bottom, below.bottom if below else panel.bottom) + 1


def own_bounds(setout: SetOut) -> Bounds:
    zero = Decimal(0)
    return Bounds(left=zero, base=zero, right=setout.panel.width, head=setout.panel.height)


def bounds_below(setout: SetOut) -> Bounds | None:
    """The panel below in this panel's own coordinates."""
    if setout.below is None or setout.position_below is None:
        return None
    x = setout.position_below[0] - setout.position[0]
    y = setout.position_below[1] - setout.position[1]
    return Bounds(left=x, base=y, right=x + setout.below.width, head=y + setout.below.height)


def cells_of(scale: Scale, bounds: Bounds) -> Cells:
    return Cells(
        left=scale.column(bounds.left),
        top=scale.row(bounds.head),
        right=scale.column(bounds.right),
        bottom=scale.row(bounds.base),
    )


def step_seen(panel: Cells, below: Cells, setout: SetOut) -> Cells:
    """The panel below, each step at least one cell: what stands in by 20 mm must not look flush."""
    if setout.offsets is None:
        return below
    steps = setout.offsets

    def aside(mine: int, other: int, offset: Decimal, outward: int) -> int:
        if offset > 0 and (other - mine) * outward < 1:
            return mine + outward
        if offset < 0 and (other - mine) * outward > -1:
            return mine - outward
        return mine if offset == 0 else other

    return Cells(
        left=aside(panel.left, below.left, steps.left, -1),
        top=aside(panel.top, below.top, steps.head, -1),
        right=aside(panel.right, below.right, steps.right, 1),
        bottom=aside(panel.bottom, below.bottom, steps.base, 1),
    )


# What stands in and on the panel: cast-ins, anchors, brackets, and the mark on what is in hand.

CASTIN_SIGNS: dict[CastInKind, str] = {
    "lifter": "▲",
    "brace": "◊",
    "ferrule": "●",
    "plate": "■",
    "dowel": "○",
    "conduit": "≈",
    "other": "*",
}

ANCHOR = "┼"
EXTRA_ANCHOR = "╬"
TO_FIX = "×"
PROP = "≡"


def draw_marks(frame: Frame, *, labels: bool) -> None:
    """`labels`: brackets with their names, where there is room for them."""
    draw_props(frame)
    _anchors(frame)
    for castin in frame.setout.castins:
        draw_castin(frame, castin)
    _brackets(frame, labels=labels)
    draw_hand(frame)


def draw_spots(frame: Frame, spots: Sequence[Spot]) -> None:
    """Signs over all that is cast in; of two in one cell the first, which then stands for both."""
    cells_of: dict[tuple[int, int], list[Spot]] = {}
    for spot in spots:
        cells_of.setdefault((frame.column(spot.x), frame.row(spot.y)), []).append(spot)
    for (x, y), here in cells_of.items():
        frame.canvas.put(x, y, here[0].sign, "highlight")
        frame.explain(here[0].sign, " and ".join(spot.words for spot in here), "highlight")


def _same(place: Place, side: Side, at: Decimal) -> bool:
    return place.side == side and place.at == at and place.bracket is None and place.end is None


def _anchors(frame: Frame) -> None:
    rows = (
        (frame.setout.anchors, ANCHOR, "anchor for the panel above"),
        (frame.setout.extra_anchors, EXTRA_ANCHOR, "extra anchor"),
    )
    for every, sign, words in rows:
        for side, positions in every.items():
            for at in positions:
                ink = "highlight" if _same(frame.place, side, at) else "anchor"
                x, y = frame.on_side(side, at)
                frame.canvas.put(x, y, sign, ink)
                frame.explain(sign, words, "anchor")
                frame.hits.add(x, y, 1, 1, Place(side=side, at=at))


def draw_props(frame: Frame) -> None:
    """Stretches that no anchor can hold, beside the face line."""
    for prop in frame.setout.props:
        first, second = frame.on_side(prop.side, prop.start), frame.on_side(prop.side, prop.end)
        for x, y in _between(first, second):
            frame.canvas.put(*_aside(prop.side, x, y), PROP, "warning")
        frame.explain(PROP, "prop the form", "warning")


def _between(first: tuple[int, int], second: tuple[int, int]) -> list[tuple[int, int]]:
    left, right = sorted((first[0], second[0]))
    top, bottom = sorted((first[1], second[1]))
    return [(x, y) for x in range(left, right + 1) for y in range(top, bottom + 1)]


def _aside(side: Side, x: int, y: int, cells_out: int = 1) -> tuple[int, int]:
    """The cell so far outside a side."""
    across = {"left": -cells_out, "right": cells_out}.get(side, 0)
    down = {"head": -cells_out, "base": cells_out}.get(side, 0)
    return x + across, y + down


def draw_castin(frame: Frame, one: PlacedCastIn) -> None:
    """The sign of a cast-in, and its name where there is room."""
    sign = CASTIN_SIGNS[one.kind]
    ink = "highlight" if frame.place.name == one.name else "castin"
    if one.edge is not None and one.at is not None:
        x, y = frame.on_side(one.edge, one.at)
        place = Place(side=one.edge, at=one.at, name=one.name)
    elif one.x is not None and one.y is not None:
        x, y = frame.column(one.x), frame.row(one.y)
        place = Place(x=one.x, y=one.y, name=one.name)
    else:
        return
    frame.canvas.put(x, y, sign, ink)
    frame.explain(sign, one.kind, "castin")
    took = _label(frame, x + 1, y, one.name, ink)
    frame.hits.add(x, y, 1 + took, 1, place)


def _label(frame: Frame, x: int, y: int, name: str, ink: str) -> int:
    """A name on blank cells inside the panel; none where it would cover something."""
    words, _ = say(name)
    size = cells(((words, ""),))
    free = all(frame.canvas.char(at, y) == " " for at in range(x, x + size + 1))
    if not free or x + size > frame.panel.right or y in (frame.panel.top, frame.panel.bottom):
        return 0
    return frame.canvas.text(x, y, words, ink)


def _brackets(frame: Frame, *, labels: bool) -> None:
    """Arms from outside to the face line, the one in hand first, so that its name has the room."""
    for side in SIDES:
        mine = frame.setout.brackets[side]
        for bracket in sorted(mine, key=lambda one: not in_hand(frame, one)):
            _bracket(frame, bracket, labels=labels)
        below = frame.setout.position_below
        for at in frame.setout.missing[side] if below else ():
            along = 0 if side in ("base", "head") else 1
            own = at + below[along] - frame.setout.position[along]  # type: ignore[index]
            x, y = _aside(side, *frame.on_side(side, own))
            frame.canvas.put(x, y, TO_FIX, "error")
            frame.explain(TO_FIX, "anchor to fix afterwards", "error")


def in_hand(frame: Frame, bracket: Bracket) -> bool:
    """Whether this is the bracket that is marked."""
    return frame.place.bracket == bracket.label and frame.place.side in (None, bracket.side)


def _bracket(frame: Frame, bracket: Bracket, *, labels: bool) -> None:
    chosen = in_hand(frame, bracket)
    ink = "highlight" if chosen else "bracket"
    x, y = frame.on_side(bracket.side, bracket.at)
    end = frame.outside(bracket.side)
    flat = bracket.side in ("base", "head")
    arm = "║" if flat else "═"
    for cell in _between(_aside(bracket.side, x, y), (x, end) if flat else (end, y)):
        frame.canvas.put(*cell, arm, ink)
    frame.explain("═", "bracket", "bracket")
    place = Place(side=bracket.side, at=bracket.at, bracket=bracket.label)
    if not labels and not chosen:
        frame.hits.add(*((x, end, 1, 1) if flat else (end, y, 1, 1)), place)
        return
    name = bracket.label
    if chosen:
        name = {"left": f"{name}→", "right": f"←{name}", "base": f"↑{name}", "head": f"↓{name}"}[
            bracket.side
        ]
    at = _label_at(frame, bracket.side, x, y, len(name))
    if at is not None:
        frame.canvas.text(*at, name, ink)
        frame.hits.add(*at, len(name), 1, place)


def _label_at(frame: Frame, side: Side, x: int, y: int, size: int) -> tuple[int, int] | None:
    """Where the name of a bracket stands, None where another name is there already."""
    end = frame.outside(side)
    if side == "left":
        start, row = end - size, y
    elif side == "right":
        start, row = end + 1, y
    else:
        start, row = x, end + (1 if side == "base" else -1)
    cells_wanted = range(start - 1, start + size + 1)
    free = all(frame.canvas.char(at, row) == " " for at in cells_wanted if at != end)
    return (start, row) if free and frame.canvas.holds(start, row) else None


def draw_hand(frame: Frame) -> None:
    """The mark on a corner, a stretch or a spot that has no sign of its own."""
    place, canvas = frame.place, frame.canvas
    if place.corner is not None:
        x, y = frame.corner(place.corner)
        canvas.ink(x, y, "highlight")
        words = f"{place.corner}→" if place.corner[1] == "l" else f"←{place.corner}"
        start = frame.outside("left") - 2 if place.corner[1] == "l" else frame.outside("right")
        canvas.text(max(0, start), y, words, "highlight")
    elif place.side is not None and place.at is not None and place.bracket is None:
        end = place.at if place.end is None else place.end
        for cell in _between(frame.on_side(place.side, place.at), frame.on_side(place.side, end)):
            canvas.ink(*cell, "highlight")
        arrow = {"left": "→", "right": "←", "base": "↑", "head": "↓"}[place.side]
        middle = frame.on_side(place.side, (place.at + end) / 2)
        canvas.put(*_aside(place.side, *middle), arrow, "highlight")
    elif place.side is not None and place.at is None and place.bracket is None:
        _side_in_hand(frame, place.side)
    elif place.x is not None and place.y is not None:
        x, y = frame.column(place.x), frame.row(place.y)
        canvas.ink(x, y, "highlight")
        if canvas.char(x - 1, y) in (" ", "░", "╱"):
            canvas.put(x - 1, y, "→", "highlight")


def _side_in_hand(frame: Frame, side: Side) -> None:
    """Arrows against the ends and the middle of a side."""
    length = frame.setout.panel.side_length(side)
    arrow = {"left": "→", "right": "←", "base": "↑", "head": "↓"}[side]
    for share in (Decimal("0.25"), Decimal("0.5"), Decimal("0.75")):
        x, y = _aside(side, *frame.on_side(side, length * share))
        if frame.canvas.char(x, y) in (" ", "░"):
            frame.canvas.put(x, y, arrow, "highlight")


# The panel itself: what is below it, its outline with the openings in it, what is to be filled.


def draw_body(frame: Frame) -> None:
    """In this order: below, ground, its hidden edge, fill, outline, openings."""
    below, panel = frame.below, frame.panel
    if below is not None:
        _fill(frame, below, "░", "below")
    _fill(frame, panel, " ", "text")
    if below is not None and frame.setout.below is not None:
        frame.explain("░", f"{frame.setout.below.mark} below", "below")
        _hidden_edges(frame, panel, below)
    for part in frame.setout.fill:
        where = _rectangle(frame, part.x, part.y, part.width, part.height)
        _fill(frame, where, "╱", "fill")
        frame.explain("╱", "to fill", "fill")
        frame.hits.add(*_area(where), Place(x=part.x, y=part.y, name=part.opening))
    for side in SIDES:
        _side(frame, side)
    for opening in frame.setout.openings:
        _opening(frame, opening)
    for corner in CORNERS:
        x, y = frame.corner(corner)
        frame.hits.add(x - 1, y, 3, 1, Place(corner=corner))


def _area(where: Cells) -> tuple[int, int, int, int]:
    return where.left, where.top, where.right - where.left + 1, where.bottom - where.top + 1


def _fill(frame: Frame, where: Cells, char: str, ink: str) -> None:
    frame.canvas.fill(*_area(where), char, ink)


def _rectangle(frame: Frame, x: Decimal, y: Decimal, width: Decimal, height: Decimal) -> Cells:
    return Cells(
        left=frame.column(x),
        top=frame.row(y + height),
        right=frame.column(x + width),
        bottom=frame.row(y),
    )


def _hidden_edges(frame: Frame, panel: Cells, below: Cells) -> None:
    """Where this panel overhangs, the face line below is under it."""
    top, bottom = max(panel.top, below.top), min(panel.bottom, below.bottom)
    left, right = max(panel.left, below.left), min(panel.right, below.right)
    for x in (below.left, below.right):
        if panel.left < x < panel.right:
            frame.canvas.fill(x, top, 1, bottom - top + 1, "┊", "below")
    for y in (below.top, below.bottom):
        if panel.top < y < panel.bottom:
            frame.canvas.fill(left, y, right - left + 1, 1, "┄", "below")


def broken(frame: Frame, side: Side) -> list[tuple[int, int]]:
    """The stretches of a side that an opening takes away, in cells along it, rising."""
    width, height = frame.setout.panel.width, frame.setout.panel.height
    found: list[tuple[int, int]] = []
    for one in frame.setout.openings:
        touches = {
            "base": one.y <= 0,
            "head": one.y + one.height >= height,
            "left": one.x <= 0,
            "right": one.x + one.width >= width,
        }
        if touches[side]:
            where = _rectangle(frame, one.x, one.y, one.width, one.height)
            flat = side in ("base", "head")
            found.append((where.left, where.right) if flat else (where.top, where.bottom))
    return sorted(found)


def _side(frame: Frame, side: Side) -> None:
    """The face line of a side, left out where an opening breaks it."""
    panel, canvas = frame.panel, frame.canvas
    place = frame.place
    ink = "highlight" if _whole_side(place) and place.side == side else "edge"
    flat = side in ("base", "head")
    start, end = (panel.left, panel.right) if flat else (panel.top, panel.bottom)
    x, y = frame.on_side(side, Decimal(0))
    at = start
    for gap, after in [*broken(frame, side), (end, end)]:
        stop = max(at, min(gap, end))
        if stop > at and flat:
            canvas.across(at, stop, y, ink)
        elif stop > at:
            canvas.down(x, at, stop, ink)
        at = max(at, after)
    strip = (panel.left, y, panel.right - panel.left + 1, 1)
    upright = (x, panel.top, 1, panel.bottom - panel.top + 1)
    frame.hits.add(*(strip if flat else upright), Place(side=side))


def _whole_side(place: Place) -> bool:
    return place.at is None and place.name is None and place.bracket is None


def _opening(frame: Frame, one: PlacedOpening) -> None:
    canvas = frame.canvas
    where = _rectangle(frame, one.x, one.y, one.width, one.height)
    chosen = frame.place.name == one.name and frame.place.side is None
    ink = "highlight" if chosen else "opening"
    inside = Cells(
        left=where.left + 1, top=where.top + 1, right=where.right - 1, bottom=where.bottom - 1
    )
    panel = frame.setout.panel
    if inside.left <= inside.right and inside.top <= inside.bottom:
        _fill(frame, inside, " ", "opening")
    for x, open_side in ((where.left, one.x <= 0), (where.right, one.x + one.width >= panel.width)):
        if not open_side:
            canvas.down(x, where.top, where.bottom, ink)
    for y, open_side in (
        (where.top, one.y + one.height >= panel.height),
        (where.bottom, one.y <= 0),
    ):
        if open_side:
            canvas.fill(where.left + 1, y, max(0, where.right - where.left - 1), 1, " ", "opening")
        else:
            canvas.across(where.left, where.right, y, ink)
    _named(frame, where, one.name, ink)
    frame.hits.add(*_area(where), Place(x=one.x, y=one.y, name=one.name))


def _named(frame: Frame, where: Cells, name: str, ink: str) -> None:
    """The name in the middle, as much of it as there is room for."""
    room = where.right - where.left - 1
    if room < 1:
        return
    words, _ = say(name)
    while cells(((words, ""),)) > room:
        words = words[:-1]
    size = cells(((words, ""),))
    at = where.left + 1 + (room - size) // 2
    frame.canvas.text(at, (where.top + where.bottom) // 2, words, ink, room)
