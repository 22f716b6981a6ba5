"""Print the set-out of one panel as a page for people."""

from collections.abc import Iterable
from decimal import Decimal
from itertools import groupby

from rich.console import Console

from pourdeck.paper.console import Lengths, findings_page, flow, say, table, title
from pourdeck.paper.drift import drift_table, drift_unit, out_words, size_words
from pourdeck.plan.amounts import format_computed
from pourdeck.plan.lengths import format_rl, rounded
from pourdeck.plan.records import SIDES, Corner, Job, Side
from pourdeck.setout.place_sums import drift_of_set_out
from pourdeck.setout.record import Bracket, PlacedCastIn, SetOut

STARTS: dict[Side, Corner] = {"base": "bl", "right": "br", "head": "hr", "left": "hl"}
"""The corner a run of forms starts at."""


def heading(setout: SetOut) -> str:
    """Mark, place in the stack, revision, and in words whether it is mirrored."""
    rev = f", rev {setout.panel.rev}" if setout.panel.rev else ""
    mirrored = ", MIRRORED from the drawing" if setout.mirrored else ""
    return (
        f"{setout.mark}: panel {setout.number} of {setout.of} of stack {setout.stack}"
        f"{rev}, {setout.panel.face_up} face up{mirrored}"
    )


def setout_page(console: Console, setout: SetOut, job: Job) -> None:
    """Sizes, sides, forms, brackets, anchors, fill, openings, cast-ins, findings."""
    lengths = Lengths(job.units)
    say(console, heading(setout), "bold")
    _sizes(console, setout, job, lengths)
    _sides(console, setout, lengths)
    _drift(console, setout, job)
    _forms(console, setout, lengths)
    _brackets(console, setout.all_brackets(), lengths)
    _anchors(console, setout, lengths)
    _fill(console, setout, lengths)
    _openings(console, setout, lengths)
    _castins(console, setout.castins, setout.chamfer, lengths)
    if setout.findings:
        title(console, "Findings")
        findings_page(console, setout.findings)


def _sizes(console: Console, setout: SetOut, job: Job, lengths: Lengths) -> None:
    panel, found, heights = setout.panel, setout.quantities, setout.heights
    chamfered = (panel.width - 2 * setout.chamfer, panel.height - 2 * setout.chamfer)
    diagonal = setout.diagonal
    rows = [
        (
            "face",
            _times(lengths, (panel.width, panel.height, panel.thickness)),
            f"diagonal {lengths.whole(diagonal.face, decimals=1)}",
        ),
        (
            "arris",
            _times(lengths, chamfered),
            f"diagonal {lengths.whole(diagonal.arris, decimals=1)}",
        ),
        (
            "RL, planned",
            f"below {format_rl(heights.below, job.units)}",
            f"top {format_rl(heights.top, job.units)}",
        ),
    ]
    if heights.expected_top is not None and heights.measured_below is not None:
        rows.append(
            (
                "RL, measured",
                f"below {format_rl(heights.measured_below, job.units)}",
                f"top to expect {format_rl(heights.expected_top, job.units)}",
            )
        )
    mass = "no density given"
    if found.mass is not None:
        mass = format_computed(found.mass, "kg", job.units, 0)
    volume = format_computed(found.volume, "m³", job.units, 2)
    area = format_computed(found.area, "m²", job.units, 2)
    rows.append(
        (
            "concrete",
            f"{volume}, plan {area}",
            f"mass {mass}, for information",
        )
    )
    console.print()
    table(console, ("", "", ""), rows)


def _times(lengths: Lengths, sizes: Iterable[Decimal]) -> str:
    return " × ".join(lengths.whole(size) for size in sizes)


def _sides(console: Console, setout: SetOut, lengths: Lengths) -> None:
    if setout.offsets is None or setout.bolts is None:
        title(console, "Sides: on the bed")
        table(
            console,
            ("side", f">length{lengths.mm}"),
            [(side, lengths.bare(setout.panel.side_length(side))) for side in SIDES],
        )
        return
    title(console, "Sides, in from the panel below")
    table(
        console,
        ("side", f">length{lengths.mm}", f">from its face line{lengths.mm}",
         f">from its arris{lengths.mm}", "bolt"),
        [
            (
                side,
                lengths.bare(setout.panel.side_length(side)),
                lengths.bare(setout.offsets[side]),
                lengths.bare(setout.offsets[side] - setout.chamfer),
                setout.bolts[side] or "none reaches",
            )
            for side in SIDES
        ],
    )  # fmt: skip


def _drift(console: Console, setout: SetOut, job: Job) -> None:
    """Where it was measured: how far each side came out."""
    drift = drift_of_set_out(setout, job)
    if drift is None:
        return
    title(console, f"Drift: out from the planned lines as cast{drift_unit(job.units)}")
    outs = out_words(drift, job.units, ends=True)
    drift_table(console, (), [(*outs, *size_words(drift, job.units))])


def _forms(console: Console, setout: SetOut, lengths: Lengths) -> None:
    depth = setout.form_depth
    deep = "no form of this depth" if depth is None else f"{lengths.whole(depth)} deep"
    title(console, f"Forms, {deep}, each side from the corner its run starts at")
    for side in SIDES:
        run = setout.runs[side]
        lead = f"{side:<6} {STARTS[side]}  "
        if run is None:
            flow(console, lead, ("cannot be made up",))
            continue
        pieces = [
            _count(len(list(same)), lengths.whole(piece)) for piece, same in groupby(run.pieces)
        ]
        past = f"{lengths.whole(run.overrun)} past the far corner"
        flow(console, lead, (*(f"{piece} +" for piece in pieces[:-1]), f"{pieces[-1]},", past))


def _count(number: int, length: str) -> str:
    return length if number == 1 else f"{number} of {length}"


def _brackets(console: Console, brackets: tuple[Bracket, ...], lengths: Lengths) -> None:
    if not brackets:
        return
    title(console, f"Brackets, {len(brackets)} in all")
    cast = any(one.offset != one.planned for one in brackets)

    def offsets(one: Bracket) -> tuple[str, ...]:
        if not cast:
            return (lengths.bare(one.offset),)
        return lengths.bare(rounded(one.offset, 1)), lengths.bare(one.planned)

    rows: list[tuple[str, ...] | None] = []
    for side, those in groupby(brackets, lambda one: one.side):
        if rows:
            rows.append(None)
        rows += [
            (
                one.label,
                side,
                lengths.bare(one.at),
                lengths.bare(one.anchor),
                *offsets(one),
                one.bolt or "none reaches",
                "extra" if one.extra else "hole",
            )
            for one in those
        ]
    columns = (
        (f">as cast{lengths.mm}", f">planned{lengths.mm}") if cast else (f">offset{lengths.mm}",)
    )
    table(
        console,
        (
            "no.",
            "side",
            f">at{lengths.mm}",
            f">anchor below{lengths.mm}",
            *columns,
            "bolt",
            "anchor",
        ),
        rows,
    )


def _anchors(console: Console, setout: SetOut, lengths: Lengths) -> None:
    _along(console, setout, lengths, "Anchors to cast in, at the holes", setout.anchors.items())
    extra = setout.extra_anchors.items()
    _along(console, setout, lengths, "Extra anchors to cast in", extra)
    missing = setout.missing.items()
    below = setout.below.mark if setout.below else ""
    _along(console, setout, lengths, f"Anchors that {below} lacks, to fix afterwards", missing)


def _along(
    console: Console,
    setout: SetOut,
    lengths: Lengths,
    name: str,
    sides: Iterable[tuple[Side, tuple[Decimal, ...]]],
) -> None:
    there = [(side, along) for side, along in sides if along]
    if there:
        unit = ", mm" if lengths.units == "metric" else ""
        title(console, f"{name}{unit}")
    for side, along in there:
        flow(console, f"{side:<6} ", [lengths.bare(at) for at in along], joint=", ")


def _fill(console: Console, setout: SetOut, lengths: Lengths) -> None:
    if not setout.fill:
        return
    title(console, "To fill below, from this panel's face lines at bl")
    table(
        console,
        ("opening below", f">x{lengths.mm}", f">y{lengths.mm}", f">width{lengths.mm}",
         f">height{lengths.mm}", f">depth{lengths.mm}"),
        [
            (
                f"{one.opening} of {one.mark}",
                *map(lengths.bare, (one.x, one.y, one.width, one.height, one.depth)),
            )
            for one in setout.fill
        ],
    )  # fmt: skip


def _openings(console: Console, setout: SetOut, lengths: Lengths) -> None:
    if not setout.openings:
        return
    title(console, "Openings as cast, from the face lines at bl")
    table(
        console,
        ("name", f">x{lengths.mm}", f">y{lengths.mm}", f">width{lengths.mm}",
         f">height{lengths.mm}"),
        [
            (one.name, *map(lengths.bare, (one.x, one.y, one.width, one.height)))
            for one in setout.openings
        ],
    )  # fmt: skip


def _castins(
    console: Console, placed: tuple[PlacedCastIn, ...], chamfer: Decimal, lengths: Lengths
) -> None:
    upper = [
        (one.name, one.kind, *map(lengths.bare, (one.x, one.y, one.x - chamfer, one.y - chamfer)))
        for one in placed
        if one.x is not None and one.y is not None
    ]
    if upper:
        title(console, "Cast-ins as cast, from the face lines and from the arrises at bl")
        table(
            console,
            ("name", "kind", f">x{lengths.mm}", f">y{lengths.mm}", f">x from arris{lengths.mm}",
             f">y from arris{lengths.mm}"),
            upper,
        )  # fmt: skip
    edges = [
        (one.name, one.kind, one.edge, lengths.bare(one.at), lengths.bare(one.at - chamfer))
        for one in placed
        if one.edge is not None and one.at is not None
    ]
    if edges:
        title(console, "Cast into the edges, along the side as cast")
        table(
            console,
            ("name", "kind", "edge", f">at{lengths.mm}", f">from arris{lengths.mm}"),
            edges,
        )
