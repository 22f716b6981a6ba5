"""What stands in and on the panel: cast-ins, anchors, brackets, and the mark on what is in hand."""

from collections.abc import Sequence
from decimal import Decimal

from pourdeck.deck.drawing.plan_frame import Frame, Spot
from pourdeck.deck.spans import cells, say
from pourdeck.plan.records import SIDES, CastInKind, Side
from pourdeck.setout.record import Bracket, PlacedCastIn
from pourdeck.walk.records import Place

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
