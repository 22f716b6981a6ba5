"""The panel itself: what is below it, its outline with the openings in it, what is to be filled."""

from decimal import Decimal

from pourdeck.deck.drawing.plan_frame import Cells, Frame
from pourdeck.deck.spans import cells, say
from pourdeck.plan.records import CORNERS, SIDES, Side
from pourdeck.setout.record import PlacedOpening
from pourdeck.walk.records import Place


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
