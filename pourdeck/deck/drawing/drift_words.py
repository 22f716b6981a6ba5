"""Put the drift picture in words: what is passed and where, what is no trend, what the signs mean."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import groupby

from pourdeck.deck.paint import Spans, line
from pourdeck.plan.lengths import format_length, format_out, rounded
from pourdeck.plan.records import Side, Units
from pourdeck.setout.drift import ACROSS, LEANS, SIZE, Course, Name
from pourdeck.setout.elevation import DriftPicture, Elevation, FaceMark
from pourdeck.setout.foretold import Passes, goes_further

PLANNED, BAND = "│", ":"
CAST, PAST, FORETOLD = "█", "✗", "○"


def figure(face: FaceMark, units: Units, *, ends: bool = True) -> str:
    """`+3`, `+3/+7` where the two ends differ; `?` where its place was not taped, `!` past its band.

    The cell of those signs is always there, so that figures stand under each other.
    """
    outs = face.ends if ends and face.ends else (face.out,)
    shown = "/".join(format_out(one, units) for one in outs)
    return shown + ("?" if face.shared else "!" if face.beyond else " ")


def times_words(by: int, units: Units) -> str:
    unit = "mm" if units == "metric" else 'to 1/16"'
    return f"{unit}, drawn {by} times as wide as it is" if by > 1 else f"{unit}, drawn as it is"


def drift_words(picture: DriftPicture, units: Units, selected: int | None = None) -> list[Spans]:
    """Say what is passed, then how the panel is, then what is not foretold and why. Lines of any length."""
    if not picture.measured:
        return [
            line((f"Nothing of stack {picture.stack} was measured: no drift is known.", "quiet"))
        ]
    said = [_passed(list(these), units) for _, these in groupby(_sorted(picture.passes), _alike)]
    said += _panel(picture, units, selected)
    named: set[Side | Name] = {one.course.what for one in picture.passes}
    for elevation, size in zip(picture.elevations, picture.sizes, strict=True):
        if elevation.name not in named:
            said += _not_passed(elevation, size, named, units)
    if picture.source:
        said.append(line((f"bands: {picture.source}", "quiet")))
    return said


def _panel(picture: DriftPicture, units: Units, selected: int | None) -> Iterator[Spans]:
    """Say how much larger and how far over the selected panel came out, else the one measured last."""
    found = [
        [layer for layer in one.layers if layer.standing == "measured"]
        for one in picture.elevations
    ]
    numbers = sorted({layer.number for layers in found for layer in layers})
    number = selected if selected in numbers else numbers[-1]
    mark, words = "", list[str]()
    for elevation, layers in zip(picture.elevations, found, strict=True):
        for layer in layers:
            if layer.number == number:
                mark = layer.mark
                words += size_words(elevation.name, layer.growth, layer.lean, units)
    if words:
        yield line((mark, "mark"), f" as cast: {', '.join(words)}")


def size_words(
    name: Name, growth: Decimal | None, lean: Decimal | None, units: Units
) -> Iterator[str]:
    """`width +6 mm`, `leans 18 mm to the right`: of what is told."""
    unit = " mm" if units == "metric" else ""
    if growth is not None:
        yield f"{name} {format_out(growth, units)}{unit}"
    if lean is not None:
        way = LEANS[name][0 if lean > 0 else 1]
        shown = format_out(abs(lean), units).lstrip("+")
        nothing = shown == format_out(Decimal(0), units)
        yield (
            f"does not lean {' or '.join(LEANS[name])}" if nothing else f"leans {shown}{unit} {way}"
        )


def _alike(one: Passes) -> tuple[int, str, str, bool]:
    return one.number, _axis(one), one.limit, one.already


def _axis(one: Passes) -> str:
    return SIZE[one.side] if one.side else str(one.course.what)


def _sorted(every: Sequence[Passes]) -> list[Passes]:
    """Put what has passed already before what is foretold, the lowest panel first."""
    order = [side for pair in ACROSS.values() for side in pair]
    return sorted(
        every,
        key=lambda one: (not one.already, *_alike(one), order.index(one.side) if one.side else 0),
    )


def _passed(these: Sequence[Passes], units: Units) -> Spans:
    one = these[0]
    whats = " and ".join(dict.fromkeys(str(each.course.what) for each in these))
    allowed = format_length(one.allowed, units)
    limit = {
        "band": f"{one.whose.replace('its', 'the')}, {allowed},",
        "bolt": f"the longest bolt, {allowed},",
        "lap": f"the lap, {allowed},",
    }[one.limit]
    where = (one.mark, "mark")
    if one.already:
        goes = f"; {_each(one.course, units)}" if goes_further(one.course) else ""
        out = format_length(one.out, units, decimals=1)
        return line(("✗ ", "error"), f"{whats} past {limit} on ", where, f": {out}{goes}")
    left = f", {format_length(one.left, units, decimals=1)} left" if one.left > 0 else ""
    verb = "pass" if len(these) > 1 else "passes"
    return line(
        ("! ", "warning"), f"{whats} {verb} {limit} on ", where,
        f": {_each(one.course, units)}{left}",
    )  # fmt: skip


def _each(course: Course, units: Units) -> str:
    each = course.trend.each if course.trend else 0.0
    by = format_length(rounded(Decimal(abs(each)), 1), units, decimals=1)
    return f"{by} more each panel"


def _not_passed(
    elevation: Elevation, size: Course | None, named: set[Side | Name], units: Units
) -> Iterator[Spans]:
    """Of sides that pass nothing: where they go, or why nothing is foretold of them."""
    told = [one for one in elevation.courses if one is not None]
    sides = " and ".join(elevation.sides)
    if not told:
        yield line((f"{sides}: not measured", "quiet"))
        return
    if all(one.shared for one in told):
        yield line((f"{sides}: place not taped (?), taken as grown alike", "quiet"))
        told = [size] if size else told
    for words, these in groupby(
        [one for one in told if one.what not in named], lambda one: _going(one, units)
    ):
        what = " and ".join(str(one.what) for one in these)
        yield line((f"{what}: {words}", "quiet"))


def _going(course: Course, units: Units) -> str:
    line_ = course.trend
    if line_ is None:
        return "one panel measured, nothing foretold"
    if not line_.holds(line_.last + 1):
        return "no trend beyond what the tapes may be out"
    way = "wider" if course.what == "width" else "higher" if course.what in ACROSS else "out"
    back = {"wider": "narrower", "higher": "lower", "out": "in"}[way]
    each = format_length(rounded(Decimal(abs(line_.each)), 1), units, decimals=1)
    return (
        f"{each} more {way if line_.each > 0 else back} with each panel, passes nothing it may not"
    )


def legend(picture: DriftPicture) -> Spans:
    """Say what the signs mean, of those that are in the picture."""
    layers = [layer for one in picture.elevations for layer in one.layers]
    faces = [face for layer in layers for face in layer.faces if face]
    signs = [(PLANNED, "planned")]
    if any(not face.foretold for face in faces):
        signs.append((CAST, "cast"))
    if any(face.beyond and not face.foretold for face in faces):
        signs.append((PAST, "past band"))
    if any(face.foretold for face in faces):
        signs.append((FORETOLD, "foretold"))
    if any(any(layer.bands) for layer in layers):
        signs.append((BAND, "band"))
    signs += [("+", "out"), ("−", "in")]
    if any(
        layer.standing == "measured" and (face is None or face.shared)
        for layer in layers
        for face in layer.faces
    ):
        signs.append(("?", "not taped"))
    pieces = [
        piece for sign, what in signs for piece in ((f"{sign} ", "strong"), (f"{what}  ", "quiet"))
    ]
    return line(*pieces)
