"""The words round a drawing of a panel: mirrored or not, offsets in the job's units, what signs mean."""

from decimal import Decimal

from pourdeck.deck.drawing.plan_frame import Frame
from pourdeck.deck.spans import Spans, cells, cut, line
from pourdeck.plan.lengths import format_length
from pourdeck.plan.records import Side, Units
from pourdeck.setout.record import SetOut
from pourdeck.walk.records import Place


def offset_text(offset: Decimal, units: Units) -> str:
    """`300 mm in`, `15 mm over`, `flush`."""
    if offset == 0:
        return "flush"
    return f"{format_length(abs(offset), units)} {'in' if offset > 0 else 'over'}"


def offset_words(setout: SetOut, side: Side, units: Units) -> Spans:
    """The name of a side and how far it stands in from the panel below."""
    if setout.offsets is None:
        return line((side, "quiet"))
    return line((f"{side} ", "quiet"), (offset_text(setout.offsets[side], units), "offset"))


def side_lines(setout: SetOut, side: Side, units: Units) -> tuple[str, ...]:
    """The same in lines that go beside an upright side."""
    if setout.offsets is None:
        return (side,)
    offset = setout.offsets[side]
    if offset == 0:
        return side, "flush"
    return side, format_length(abs(offset), units), "in" if offset > 0 else "over"


def short_offsets(setout: SetOut, units: Units, width: int) -> Spans:
    """Base, left and right in one line, for a drawing without room beside it."""
    if setout.offsets is None:
        return line(("base", "quiet"))
    full = _joined(setout, units, ("base", "left", "right"))
    if cells(full) <= width:
        return full
    return cut(_joined(setout, units, ("left", "right")), width)


def _joined(setout: SetOut, units: Units, sides: tuple[Side, ...]) -> Spans:
    pieces: list[tuple[str, str]] = []
    for side in sides:
        pieces += offset_words(setout, side, units)
        pieces.append(("  ", "quiet"))
    return line(*pieces[:-1])


def caption(
    setout: SetOut, place: Place, units: Units, width: int
) -> tuple[tuple[int, str, str], ...]:
    """The first row: mirrored or not, and the place in hand in words. Column, words and ink of each."""
    if setout.mirrored:
        panel = setout.panel
        full = f"MIRRORED: drawn from {panel.drawn_from}, {panel.face_up} is up"
        face = full if len(full) <= width else "MIRRORED"
        ink = "highlight"
    else:
        face, ink = f"{setout.panel.face_up} face up", "quiet"
    found = place_words(setout, place, units)
    if len(found) > width - len("MIRRORED") - 2:
        found = short_words(setout, place, units) or found
    room = width - len(face) - 2
    if found and room < len(found) and setout.mirrored and len("MIRRORED") + 2 < width:
        face, room = "MIRRORED", width - len("MIRRORED") - 2
    if found and not setout.mirrored and room < len(found):
        face, room = "", width
    words = cut(line((found, "strong")), max(0, room))
    pieces = [(0, face, ink)] if face else []
    at = max(0, width - cells(words))
    return (*pieces, *((at, text, piece_ink) for text, piece_ink in words if text))


def place_words(setout: SetOut, place: Place, units: Units) -> str:
    """The place in hand: `R4, 3500 mm up the right side: 300 mm in, bolt inner`."""
    if place.bracket is not None:
        for bracket in setout.all_brackets():
            if bracket.label == place.bracket:
                bolt = f"bolt {bracket.bolt}" if bracket.bolt else "no bolt reaches"
                where = f"{format_length(bracket.at, units)} {_along(bracket.side)}"
                return f"{bracket.label}, {where}: {offset_text(bracket.offset, units)}, {bolt}"
        return place.bracket
    if place.corner is not None:
        up = "base" if place.corner[0] == "b" else "head"
        return f"corner {place.corner}: {up} {'left' if place.corner[1] == 'l' else 'right'}"
    name = f"{place.name}, " if place.name is not None else ""
    if place.side is not None and place.at is not None:
        reach = "" if place.end is None else f" to {format_length(place.end, units)}"
        return f"{name}{format_length(place.at, units)}{reach} {_along(place.side)}"
    if place.x is not None and place.y is not None:
        x, y = format_length(place.x, units), format_length(place.y, units)
        return f"{name}{x} from the left, {y} up"
    if place.side is not None:
        return f"{name}{place.side} side"
    return place.name or ""


def short_words(setout: SetOut, place: Place, units: Units) -> str:
    """A bracket without its offset, which stands beside its side: `R4, 3500 mm up the right side`."""
    for bracket in setout.all_brackets():
        if place.bracket is not None and bracket.label == place.bracket:
            where = f"{format_length(bracket.at, units)} {_along(bracket.side)}"
            return f"{bracket.label}, {where}"
    return ""


def _along(side: Side) -> str:
    return f"up the {side} side" if side in ("left", "right") else f"along the {side}"


def legend_rows(setout: SetOut, width: int, most: int) -> int:
    """How many rows the legend may take, none where the drawing has no signs at all."""
    bare = setout.below is None and not setout.castins and not any(setout.anchors.values())
    if bare or width < 24:
        return 0
    return most if width < 100 else 1


def draw_legend(frame: Frame, top: int, most: int) -> None:
    """What the signs mean, as many as fit whole in the rows."""
    x, row = 0, top
    items = [line((f"{sign} ", ink), (words, "quiet")) for sign, (words, ink) in frame.used.items()]
    if not frame.scale.true:
        items.insert(0, line(("not to scale across", "warning")))
    for item in items:
        size = cells(item)
        if x and x + size > frame.canvas.width:
            x, row = 0, row + 1
        if row >= top + most:
            return
        item = cut(item, frame.canvas.width - x)
        for text, piece_ink in item:
            x += frame.canvas.text(x, row, text, piece_ink)
        x += 2
