"""The numbers of a set-out as rows, in the order in which the crew sets them out."""

from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import partial
from itertools import pairwise

from attrs import field, frozen

from pourdeck.deck.paint import Spans, cells, fit, justify, line, wrap
from pourdeck.deck.views.values import length
from pourdeck.plan.amounts import format_computed
from pourdeck.plan.lengths import format_bare, format_rl, rounded
from pourdeck.plan.records import SIDES, Job, Side, Stack
from pourdeck.setout import sums
from pourdeck.setout.drift import ACROSS, LEANS, read
from pourdeck.setout.place_sums import drift_of_set_out
from pourdeck.setout.record import Bracket, SetOut, Sum
from pourdeck.walk.records import Place

# A row with a number, the sum behind it, and the place on the plan it speaks of.

Opens = Callable[[], Sum | None]

NOWHERE = Place()


@frozen(kw_only=True)
class NumberRow:
    """One row. `opens` gives its sum; None: a heading or words."""

    spans: Spans
    opens: Opens | None = field(default=None, eq=False, repr=False)
    place: Place = NOWHERE


Rows = Iterable[NumberRow]


@frozen(kw_only=True)
class Page:
    """Make rows, no wider than `width`, of a panel's set-out in the units of the job."""

    setout: SetOut
    job: Job
    stack: Stack
    width: int

    def length(self, mm: Decimal) -> str:
        return length(mm, self.job.units)

    def bare(self, mm: Decimal) -> str:
        return format_bare(mm, self.job.units)

    def amount(self, value: Decimal, unit: str, decimals: int) -> str:
        """A computed amount that is no length, rounded; `decimals` are of its unit in the files."""
        return format_computed(value, unit, self.job.units, decimals)

    def heading(self, text: str, right: str = "") -> NumberRow:
        return NumberRow(spans=justify(line((text, "heading")), line((right, "quiet")), self.width))

    def row(
        self, name: str, value: str, opens: Opens | None = None, place: Place = NOWHERE
    ) -> Rows:
        """Name and value in one line where both fit whole, else the value in lines under the name."""
        left, right = line(f" {name}"), line((value, "value"))
        if cells(left) + cells(right) < self.width:
            yield NumberRow(spans=justify(left, right, self.width), opens=opens, place=place)
            return
        yield NumberRow(spans=fit(left, self.width), opens=opens, place=place)
        for spans in wrap(line("    ", (value, "value")), self.width, 4):
            yield NumberRow(spans=spans, place=place)

    def words(self, spans: Spans, place: Place = NOWHERE) -> Rows:
        for row in wrap(spans, self.width, 3):
            yield NumberRow(spans=row, place=place)


# All that the crew sets out.


def setout_rows(setout: SetOut, job: Job, stack: Stack, width: int) -> tuple[NumberRow, ...]:
    """Everything the crew sets out: sizes, sides, brackets, anchors, fill, cast-ins, heights, findings."""
    page = Page(setout=setout, job=job, stack=stack, width=width)
    rows: list[NumberRow] = []
    if setout.mirrored:
        drawn = f"MIRRORED: drawn from {setout.panel.drawn_from}, {setout.panel.face_up} is up"
        rows += page.words(line((drawn, "warning")))
    rows += _findings(page)
    rows += _sizes(page)
    rows += _drift(page)
    for side in SIDES:
        rows += _side(page, side)
    rows += _anchors(page)
    rows += _fill(page)
    rows += _inside(page)
    rows += _heights(page)
    rows += _quantities(page)
    return tuple(rows)


def _findings(page: Page) -> Rows:
    if not page.setout.findings:
        return
    yield page.heading("Findings")
    for finding in page.setout.findings:
        sign = ("✗ ", "error") if finding.is_error else ("! ", "warning")
        yield from page.words(line(sign, finding.message), Place(side=finding.side))


def _sizes(page: Page) -> Rows:
    setout, job = page.setout, page.job
    panel, trim = setout.panel, 2 * setout.chamfer
    yield page.heading("Size", "to the face line")
    for name in ("width", "height", "thickness"):
        opens = partial(sums.size_sum, setout, name)
        yield from page.row(name, page.length(getattr(panel, name)), opens)
    for name, value in (("width", panel.width), ("height", panel.height)):
        opens = partial(sums.arris_size_sum, setout, name)
        yield from page.row(f"{name}, arris to arris", page.length(value - trim), opens)
    depth = setout.form_depth
    yield from page.row(
        "form depth",
        "no form so deep" if depth is None else page.length(depth),
        partial(sums.form_depth_sum, setout, job),
    )
    diagonal = partial(sums.diagonal_sum, setout)
    yield from page.row("diagonal", page.length(setout.diagonal.face), diagonal)
    across = partial(sums.diagonal_sum, setout, arris=True)
    yield from page.row("diagonal, arris to arris", page.length(setout.diagonal.arris), across)
    for axis, name in ((0, "x of bl in the stack"), (1, "y of bl in the stack")):
        opens = partial(sums.position_sum, setout, axis)
        yield from page.row(name, page.length(setout.position[axis]), opens, Place(corner="bl"))


def _drift(page: Page) -> Rows:
    """Say how far each side is out, then growth and lean; nothing of a panel that was not measured."""
    drift = drift_of_set_out(page.setout, page.job)
    if drift is None:
        return
    yield page.heading("Drift", "out from the planned lines")
    for side in SIDES:
        face, here = drift.faces[side], Place(side=side)
        if face is None:
            yield from page.row(f"{side}", "not taped", None, here)
            continue
        name = f"{side}, place not taped" if face.shared else side
        opens = partial(sums.out_sum, page.setout, side, page.job)
        yield from page.row(name, _signed(page, read(face.out.value)), opens, here)
        first, last = face.out.ends
        if face.out.uneven and first is not None and last is not None:
            ends = f"{_signed(page, read(first))} to {_signed(page, read(last))}"
            yield from page.row("   from end to end", ends, opens, here)
    for name in ACROSS:
        grown, lean = drift.growth[name], drift.lean(name)
        if grown is not None:
            opens = partial(sums.growth_sum, page.setout, name, page.job)
            yield from page.row(f"grown in {name}", _signed(page, read(grown.value)), opens)
        if lean is not None:
            opens = partial(sums.lean_sum, page.setout, name, page.job)
            way = LEANS[name][0 if lean >= 0 else 1]
            yield from page.row(f"leans {way}", page.length(abs(read(lean))), opens)


def _signed(page: Page, out: Decimal) -> str:
    sign = "+" if out > 0 else "−" if out < 0 else ""
    return f"{sign}{page.length(abs(out))}"


def start_of(side: Side) -> str:
    return "from the left" if side in ("base", "head") else "from the base"


def _side(page: Page, side: Side) -> Rows:
    setout, job, here = page.setout, page.job, Place(side=side)
    yield page.heading(f"{side.capitalize()} side", start_of(side))
    if setout.offsets is not None and setout.bolts is not None:
        offset = setout.offsets[side]
        way = "in from below" if offset >= 0 else "OVER the panel below"
        opens: Opens = partial(sums.offset_sum, setout, side)
        yield from page.row(way, page.length(abs(offset)), opens, here)
        arris = partial(sums.from_arris_sum, setout, side)
        yield from page.row("from its arris", page.length(offset - setout.chamfer), arris, here)
        bolt = partial(sums.bolt_sum, setout, side, job)
        yield from page.row("bolt", setout.bolts[side] or "none reaches", bolt, here)
    yield from _as_cast(page, side)
    run = setout.runs[side]
    if run is None:
        yield from page.row("forms", "cannot be made up", None, here)
    else:
        opens = partial(sums.run_sum, setout, side, job)
        pieces = " + ".join(page.bare(piece) for piece in run.pieces)
        yield from page.row("forms", pieces, opens, here)
        yield from page.row("past the far corner", page.length(run.overrun), opens, here)
    yield from _brackets(page, side)


def _as_cast(page: Page, side: Side) -> Rows:
    """Where the panel below was measured: from what to what the offset runs, and how far that is off."""
    brackets = page.setout.brackets[side]
    if page.setout.cast_below is None or not brackets:
        return
    furthest = max(brackets, key=lambda one: abs(one.offset - one.planned))
    opens = partial(sums.bracket_offset_sum, page.setout, furthest)
    place = Place(side=side, at=furthest.at, bracket=furthest.label)
    first, last = (page.length(rounded(one.offset, 1)) for one in (brackets[0], brackets[-1]))
    yield from page.row("as cast, first to last", f"{first} to {last}", opens, place)
    off = furthest.offset - furthest.planned
    sign = "+" if off > 0 else "−"
    most = f"{sign}{page.length(rounded(abs(off), 1))} at {furthest.label}"
    yield from page.row("furthest from planned", most, opens, place)
    changes = [after.label for before, after in pairwise(brackets) if before.bolt != after.bolt]
    if changes:
        yield from page.row("another bolt from", ", ".join(changes), opens, place)


def _brackets(page: Page, side: Side) -> Rows:
    setout = page.setout
    if setout.brackets[side]:
        heads = ("no.", "at", "anchor", "offset", "bolt")
        yield NumberRow(spans=_columns(heads, page.width, "quiet"))
    for bracket in setout.brackets[side]:
        yield _bracket(page, bracket)
    if any(bracket.extra for bracket in setout.brackets[side]):
        yield from page.words(line((" + hangs on an extra anchor", "quiet")))
    for prop in setout.props:
        if prop.side == side:
            stretch = f"{page.length(prop.start)} to {page.length(prop.end)}"
            opens = partial(sums.prop_sum, setout, prop, page.job)
            place = Place(side=side, at=prop.start, end=prop.end)
            yield from page.row("prop the form", stretch, opens, place)
    if setout.missing[side]:
        fixed = partial(sums.missing_sum, setout, side, page.job)
        listed = "  ".join(page.bare(at) for at in setout.missing[side])
        yield from page.row("anchors to fix afterwards", listed, fixed, Place(side=side))


def _columns(texts: Iterable[str], width: int, ink: str = "text") -> Spans:
    """Five columns, the last from the left, the others to the right."""
    number, at, anchor, offset, bolt = texts
    room = max(7, min(12, (width - 6 - 8) // 3))
    text = f" {number:<5}{at:>{room}}{anchor:>{room}}{offset:>{room}}  {bolt}"
    return fit(line((text, ink)), width)


def _bracket_sum(page: Page, bracket: Bracket) -> Opens:
    """Give the sum that a bracket's row opens to: where it stands; on a line as cast, how far in."""
    if page.setout.cast_below is None:
        return partial(sums.bracket_sum, page.setout, bracket)
    return partial(sums.bracket_offset_sum, page.setout, bracket)


def _read(bracket: Bracket) -> Decimal:
    """As planned it is what it is; from the line as cast it is read to a tenth of a millimetre."""
    planned = bracket.offset == bracket.planned
    return bracket.offset if planned else rounded(bracket.offset, 1)


def _bracket(page: Page, bracket: Bracket) -> NumberRow:
    label = bracket.label + ("+" if bracket.extra else "")
    texts = (label, page.bare(bracket.at), page.bare(bracket.anchor))
    offset = page.bare(_read(bracket))
    return NumberRow(
        spans=_columns((*texts, offset, bracket.bolt or "none"), page.width),
        opens=_bracket_sum(page, bracket),
        place=Place(side=bracket.side, at=bracket.at, bracket=bracket.label),
    )


def _anchors(page: Page) -> Rows:
    setout, job = page.setout, page.job
    if setout.number == setout.of:
        yield page.heading("Anchors to cast in")
        yield from page.words(line(" none: no panel comes after this one"))
        return
    yield page.heading("Anchors to cast in", "for the panel above")
    for side in SIDES:
        along, extra = setout.anchors[side], setout.extra_anchors[side]
        if along:
            opens = partial(sums.anchors_sum, setout, side, job)
            listed = "  ".join(page.bare(at) for at in along)
            yield from page.row(f"{side} {len(along)}", listed, opens, Place(side=side))
        if extra:
            opens = partial(sums.extra_anchors_sum, setout, side, job)
            listed = "  ".join(page.bare(at) for at in extra)
            yield from page.row(f"{side} extra {len(extra)}", listed, opens, Place(side=side))


def _fill(page: Page) -> Rows:
    setout = page.setout
    if not setout.fill:
        return
    yield page.heading("To fill below", "x, y from this bl")
    for one in setout.fill:
        opens = partial(sums.fill_sum, setout, one)
        place = Place(x=one.x, y=one.y)
        area = page.amount(one.width * one.height / Decimal(10**6), "m²", 2)
        name = f"{one.opening} of {one.mark}, {page.length(one.depth)} deep"
        yield from page.row(name, area, opens, place)
        size = f"{page.bare(one.width)} × {page.bare(one.height)}"
        yield from page.words(line(f"    at {page.bare(one.x)}, {page.bare(one.y)}: {size}"), place)


def _inside(page: Page) -> Rows:
    setout = page.setout
    if not (setout.openings or setout.castins):
        return
    yield page.heading("Openings, cast-ins", "x right, y up, face line")
    for hole in setout.openings:
        place = Place(name=hole.name, x=hole.x, y=hole.y)
        size = f"{page.bare(hole.width)} × {page.bare(hole.height)}"
        for axis, at in ((0, hole.x), (1, hole.y)):
            opens = partial(sums.opening_sum, setout, hole, axis)
            name = f"{hole.name}, y" if axis else f"{hole.name}, {size}, x"
            yield from page.row(name, _with_arris(page, at), opens, place)
    for item in setout.castins:
        place = Place(name=item.name, x=item.x, y=item.y, side=item.edge, at=item.at)
        if item.edge is not None and item.at is not None:
            in_edge = partial(sums.castin_sum, setout, item)
            name = f"{item.name} {item.kind}, {item.edge} edge"
            yield from page.row(name, _with_arris(page, item.at), in_edge, place)
            continue
        for axis, along in ((0, item.x), (1, item.y)):
            if along is not None:
                centre = partial(sums.castin_sum, setout, item, axis)
                name = f"{item.name}, y" if axis else f"{item.name} {item.kind}, x"
                yield from page.row(name, _with_arris(page, along), centre, place)


def _with_arris(page: Page, at: Decimal) -> str:
    """A position from the face line and, in brackets, as a tape on the surface reads it."""
    return f"{page.bare(at)} (arris {page.bare(at - page.setout.chamfer)})"


def _heights(page: Page) -> Rows:
    setout, units = page.setout, page.job.units
    heights = setout.heights
    yield page.heading("Heights", "site datum")
    below = partial(sums.height_below_sum, setout, page.stack)
    yield from page.row("RL below, planned", format_rl(heights.below, units), below)
    top = partial(sums.height_sum, setout, page.stack)
    yield from page.row("RL top, planned", format_rl(heights.top, units), top)
    if heights.measured_below is not None and heights.expected_top is not None:
        measured = partial(sums.measured_below_sum, setout)
        yield from page.row(
            "RL below, measured", format_rl(heights.measured_below, units), measured
        )
        expected = partial(sums.expected_height_sum, setout)
        yield from page.row("RL top, expected", format_rl(heights.expected_top, units), expected)


def _quantities(page: Page) -> Rows:
    setout, found = page.setout, page.setout.quantities
    yield page.heading("Quantities")
    area = partial(sums.area_sum, setout)
    yield from page.row("area", page.amount(found.area, "m²", 2), area)
    volume = partial(sums.volume_sum, setout)
    yield from page.row("volume", page.amount(found.volume, "m³", 2), volume)
    if found.mass is None:
        yield from page.row("mass", "no density given")
    else:
        mass = partial(sums.mass_sum, setout, page.job)
        yield from page.row("mass, for information", page.amount(found.mass, "kg", 0), mass)
    if found.centroid is not None:
        for axis, word in ((0, "x"), (1, "y")):
            opens = partial(sums.centroid_sum, setout, axis)
            yield from page.row(f"centroid {word}", page.length(found.centroid[axis]), opens)
