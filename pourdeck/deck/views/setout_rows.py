"""The numbers of a set-out as rows, each with the sum behind it and the place on the plan it speaks of."""

from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import partial

from attrs import field, frozen

from pourdeck.deck.spans import Spans, cells, fit, justify, line, wrap
from pourdeck.deck.views.values import length
from pourdeck.plan.lengths import format_bare, format_quantity, format_rl
from pourdeck.plan.records import Job, Stack, Units
from pourdeck.plan.sides import SIDES, Side
from pourdeck.setout import sums
from pourdeck.setout.record import Bracket, SetOut
from pourdeck.setout.sums import Sum
from pourdeck.walk.records import Place

Opens = Callable[[], Sum | None]

NOWHERE = Place()


@frozen(kw_only=True)
class NumberRow:
    """One row. `opens` gives its sum; None: a heading or words."""

    spans: Spans
    opens: Opens | None = field(default=None, eq=False, repr=False)
    place: Place = NOWHERE


def setout_rows(setout: SetOut, job: Job, stack: Stack, width: int) -> tuple[NumberRow, ...]:
    """Everything the crew sets out: sizes, sides, brackets, anchors, fill, cast-ins, heights, findings."""
    rows: list[NumberRow] = []
    rows += _sizes(setout, job.units, width)
    for side in SIDES:
        rows += _side(setout, side, job, width)
    rows += _anchors(setout, job.units, width)
    rows += _fill(setout, job.units, width)
    rows += _inside(setout, job.units, width)
    rows += _heights(setout, stack, job.units, width)
    rows += _quantities(setout, job, width)
    rows += _findings(setout, width)
    return tuple(rows)


def _heading(text: str, width: int, right: str = "") -> NumberRow:
    return NumberRow(spans=justify(line((text, "heading")), line((right, "quiet")), width))


def _row(
    name: str,
    value: str,
    width: int,
    opens: Opens | None = None,
    place: Place = NOWHERE,
) -> NumberRow:
    return NumberRow(
        spans=justify(line(f" {name}"), line((value, "value")), width), opens=opens, place=place
    )


def _words(spans: Spans, width: int) -> list[NumberRow]:
    return [NumberRow(spans=fit(row, width)) for row in wrap(spans, width, 2)]


def _sizes(setout: SetOut, units: Units, width: int) -> Iterable[NumberRow]:
    panel, trim = setout.panel, 2 * setout.chamfer
    yield _heading("Size", width, "width × height")
    yield _row("face line", f"{length(panel.width, units)} × {length(panel.height, units)}", width)
    yield _row(
        "arris to arris",
        f"{length(panel.width - trim, units)} × {length(panel.height - trim, units)}",
        width,
    )
    yield _row("thickness", length(panel.thickness, units), width)
    yield _row(
        "form depth",
        "no form so deep" if setout.form_depth is None else length(setout.form_depth, units),
        width,
    )
    yield _row(
        "diagonal, face",
        length(setout.diagonal.face, units),
        width,
        partial(sums.diagonal_sum, setout),
    )
    yield _row(
        "diagonal, arris",
        length(setout.diagonal.arris, units),
        width,
        partial(sums.diagonal_sum, setout, arris=True),
    )
    for axis, name in ((0, "x of bl in the stack"), (1, "y of bl in the stack")):
        yield _row(
            name,
            length(setout.position[axis], units),
            width,
            partial(sums.position_sum, setout, axis),
            Place(corner="bl"),
        )


def _side(setout: SetOut, side: Side, job: Job, width: int) -> Iterable[NumberRow]:
    units, here = job.units, Place(side=side)
    start = "from the left" if side in ("base", "head") else "from the base"
    yield _heading(f"{side.capitalize()} side", width, start)
    if setout.offsets is not None and setout.bolts is not None:
        offset = setout.offsets[side]
        yield _row(
            "in from below",
            length(offset, units),
            width,
            partial(sums.offset_sum, setout, side),
            here,
        )
        yield _row(
            "from its arris",
            length(offset - setout.chamfer, units),
            width,
            partial(sums.from_arris_sum, setout, side),
            here,
        )
        yield _row(
            "bolt",
            setout.bolts[side] or "none reaches",
            width,
            partial(sums.bolt_sum, setout, side, job),
            here,
        )
    run = setout.runs[side]
    if run is None:
        yield _row("forms", "cannot be made up", width, None, here)
    else:
        opens = partial(sums.run_sum, setout, side, job)
        pieces = " + ".join(format_bare(piece, units) for piece in run.pieces)
        yield _row("forms", pieces, width, opens, here)
        yield _row("past the far corner", length(run.overrun, units), width, opens, here)
    brackets = setout.brackets[side]
    if brackets:
        yield NumberRow(spans=_columns(("no.", "at", "anchor", "offset", "bolt"), width, "quiet"))
    for bracket in brackets:
        yield _bracket(setout, bracket, units, width)
    for prop in setout.props:
        if prop.side == side:
            stretch = f"{length(prop.start, units)} to {length(prop.end, units)}"
            yield NumberRow(
                spans=justify(line((" prop the form", "warning")), line(stretch), width),
                place=Place(side=side, at=prop.start, end=prop.end),
            )
    for at in setout.missing[side]:
        yield NumberRow(
            spans=justify(
                line((" anchor to fix afterwards", "error")), line(length(at, units)), width
            ),
            place=here,
        )


def _columns(texts: Iterable[str], width: int, ink: str = "text") -> Spans:
    """Five columns, the last from the left, the others to the right."""
    number, at, anchor, offset, bolt = texts
    room = max(7, min(12, (width - 6 - 8) // 3))
    text = f" {number:<5}{at:>{room}}{anchor:>{room}}{offset:>{room}}  {bolt}"
    return fit(line((text, ink)), width)


def _bracket(setout: SetOut, bracket: Bracket, units: Units, width: int) -> NumberRow:
    label = bracket.label + ("+" if bracket.extra else "")
    return NumberRow(
        spans=_columns(
            (
                label,
                format_bare(bracket.at, units),
                format_bare(bracket.anchor, units),
                format_bare(bracket.offset, units),
                bracket.bolt or "none",
            ),
            width,
        ),
        opens=partial(sums.bracket_sum, setout, bracket),
        place=Place(side=bracket.side, at=bracket.at, bracket=bracket.label),
    )


def _listed(along: Iterable[Decimal], units: Units) -> str:
    return "  ".join(format_bare(at, units) for at in along)


def _anchors(setout: SetOut, units: Units, width: int) -> Iterable[NumberRow]:
    if setout.number == setout.of:
        yield _heading("Anchors to cast in", width)
        yield from _words(line(" none: no panel comes after this one"), width)
        return
    yield _heading("Anchors to cast in", width, "for the panel above")
    for side in SIDES:
        for kind, along in (("", setout.anchors[side]), ("extra ", setout.extra_anchors[side])):
            if not along:
                continue
            spans = line(f" {kind}{side} {len(along)}: ", (_listed(along, units), "value"))
            yield from (
                NumberRow(spans=one.spans, place=Place(side=side)) for one in _words(spans, width)
            )


def _fill(setout: SetOut, units: Units, width: int) -> Iterable[NumberRow]:
    if not setout.fill:
        return
    yield _heading("To fill below", width, "x, y from this bl")
    for one in setout.fill:
        area = format_quantity(one.width * one.height / Decimal(10**6), "m²", 2)
        yield _row(
            f"{one.opening} of {one.mark}, {length(one.depth, units)} deep",
            area,
            width,
            None,
            Place(x=one.x, y=one.y),
        )
        text = (
            f"   at {format_bare(one.x, units)}, {format_bare(one.y, units)}: "
            f"{format_bare(one.width, units)} × {format_bare(one.height, units)}"
        )
        yield NumberRow(spans=fit(line(text), width), place=Place(x=one.x, y=one.y))


def _inside(setout: SetOut, units: Units, width: int) -> Iterable[NumberRow]:
    if not (setout.openings or setout.castins):
        return
    yield _heading("Openings, cast-ins", width, "face line (arris)")
    for hole in setout.openings:
        size = f"{format_bare(hole.width, units)} × {format_bare(hole.height, units)}"
        yield _row(
            f"{hole.name} {size}",
            f"{format_bare(hole.x, units)}, {format_bare(hole.y, units)}",
            width,
            None,
            Place(name=hole.name, x=hole.x, y=hole.y),
        )
    for item in setout.castins:
        if item.x is not None and item.y is not None:
            where = (
                f"{format_bare(item.x, units)}, {format_bare(item.y, units)} "
                f"({format_bare(item.x - setout.chamfer, units)}, "
                f"{format_bare(item.y - setout.chamfer, units)})"
            )
        elif item.at is not None:
            where = f"{item.edge} edge at {format_bare(item.at, units)}"
        else:
            continue
        yield _row(
            f"{item.name} {item.kind}",
            where,
            width,
            None,
            Place(name=item.name, x=item.x, y=item.y, side=item.edge, at=item.at),
        )


def _heights(setout: SetOut, stack: Stack, units: Units, width: int) -> Iterable[NumberRow]:
    heights = setout.heights
    yield _heading("Heights", width, "site datum")
    yield _row("RL below, planned", format_rl(heights.below, units), width)
    yield _row(
        "RL top, planned",
        format_rl(heights.top, units),
        width,
        partial(sums.height_sum, setout, stack),
    )
    if heights.measured_below is not None and heights.expected_top is not None:
        yield _row("RL below, measured", format_rl(heights.measured_below, units), width)
        yield _row(
            "RL top, expected",
            format_rl(heights.expected_top, units),
            width,
            partial(sums.expected_height_sum, setout),
        )


def _quantities(setout: SetOut, job: Job, width: int) -> Iterable[NumberRow]:
    found = setout.quantities
    yield _heading("Quantities", width)
    yield _row("area", format_quantity(found.area, "m²", 2), width, partial(sums.area_sum, setout))
    yield _row(
        "volume", format_quantity(found.volume, "m³", 2), width, partial(sums.volume_sum, setout)
    )
    if found.mass is None:
        yield _row("mass", "no density given", width)
    else:
        yield _row(
            "mass, for information",
            format_quantity(found.mass, "kg", 0),
            width,
            partial(sums.mass_sum, setout, job),
        )
    if found.centroid is not None:
        x, y = (length(value, job.units) for value in found.centroid)
        yield _row("centroid x, y", f"{x}, {y}", width)


def _findings(setout: SetOut, width: int) -> Iterable[NumberRow]:
    if not setout.findings:
        return
    yield _heading("Findings", width)
    for finding in setout.findings:
        sign = ("✗ ", "error") if finding.is_error else ("! ", "warning")
        text = line(sign, (f"{finding.code} ", "strong"), finding.message)
        place = Place(side=finding.side)
        yield from (NumberRow(spans=one.spans, place=place) for one in _words(text, width))


def title(setout: SetOut) -> Spans:
    """Which panel this is, and in words whether it is mirrored."""
    pieces: list[tuple[str, str] | str] = [
        (setout.mark, "strong"),
        f" · stack {setout.stack} · panel {setout.number} of {setout.of}",
    ]
    if setout.panel.rev:
        pieces.append(f" · rev {setout.panel.rev}")
    pieces.append(f" · {setout.panel.face_up} up")
    if setout.mirrored:
        pieces.append((" · MIRRORED", "warning"))
    return line(*pieces)


def sum_lines(opened: Sum, units: Units, width: int) -> list[Spans]:
    """A sum opened: formula, what went in and where it came from, and the result."""

    def value_text(value: Decimal | str, unit: str) -> str:
        if isinstance(value, str):
            return f"{value} {unit}".rstrip()
        if unit == "mm":
            return length(value, units)
        if unit == "m":
            return format_rl(value, units)
        return format_quantity(value, unit, 3)

    rows = wrap(line((opened.title, "heading")), width)
    rows += wrap(line((opened.formula, "strong")), width, 2)
    rows.append(())
    for one in opened.inputs:
        left = line(f" {one.name}")
        right = line((value_text(one.value, one.unit), "value"))
        if cells(left) + cells(right) < width:
            rows.append(justify(left, right, width))
        else:
            rows += [*wrap(left, width, 2), *wrap(right, width, 2)]
        rows.append(line((f"   {one.source}", "quiet")))
    rows.append(())
    rows.append(
        justify(
            line((" result", "strong")),
            line((value_text(opened.result, opened.unit), "value")),
            width,
        )
    )
    if opened.rounding:
        rows += wrap(line((f" {opened.rounding}", "quiet")), width, 1)
    return rows
