"""The set-out of one panel as a page for people."""

from decimal import Decimal

from rich.console import Console

from pourdeck.paper.console import findings_page, table, words
from pourdeck.plan.lengths import format_bare, format_length, format_quantity, format_rl
from pourdeck.plan.records import Job
from pourdeck.plan.sides import SIDES
from pourdeck.setout.record import SetOut


def heading(setout: SetOut) -> str:
    """Mark, place in the stack, revision, and in words whether it is mirrored."""
    rev = f", rev {setout.panel.rev}" if setout.panel.rev else ""
    mirrored = ", MIRRORED from the drawing" if setout.mirrored else ""
    return (
        f"{setout.mark}: panel {setout.number} of {setout.of} of stack {setout.stack}"
        f"{rev}, {setout.panel.face_up} face up{mirrored}"
    )


def setout_page(console: Console, setout: SetOut, job: Job) -> None:
    """Sizes, sides, runs, brackets, anchors, fill, cast-ins, heights, quantities, findings."""
    units = job.units
    unit = "mm" if units == "metric" else "ft-in"
    console.print(words(heading(setout), "bold"))
    _sizes(console, setout, job)
    _sides(console, setout, job, unit)
    _brackets(console, setout, job, unit)
    if setout.fill:
        table(
            console,
            "To fill below",
            ("opening", f">x, {unit}", f">y, {unit}", f">width, {unit}", f">height, {unit}",
             f">depth, {unit}"),
            [
                (
                    f"{one.opening} of {one.mark}",
                    *(
                        format_bare(value, units)
                        for value in (one.x, one.y, one.width, one.height, one.depth)
                    ),
                )
                for one in setout.fill
            ],
        )  # fmt: skip
    _inside(console, setout, job, unit)
    if setout.findings:
        console.print(words("Findings", "bold"))
        findings_page(console, setout.findings)


def _sizes(console: Console, setout: SetOut, job: Job) -> None:
    units, panel, found = job.units, setout.panel, setout.quantities

    def length(value: Decimal, decimals: int | None = None) -> str:
        return format_length(value, units, decimals=decimals)

    rows = [
        (
            "Face",
            f"{length(panel.width)} × {length(panel.height)} × {length(panel.thickness)}",
            f"diagonal {length(setout.diagonal.face, decimals=1)}",
        ),
        (
            "Arris",
            f"{length(panel.width - 2 * setout.chamfer)} × "
            f"{length(panel.height - 2 * setout.chamfer)}",
            f"diagonal {length(setout.diagonal.arris, decimals=1)}",
        ),
        (
            "RL",
            f"{format_rl(setout.heights.below, units)} below",
            f"{format_rl(setout.heights.top, units)} top, planned",
        ),
    ]
    if setout.heights.expected_top is not None and setout.heights.measured_below is not None:
        rows.append(
            (
                "RL",
                f"{format_rl(setout.heights.measured_below, units)} below, measured",
                f"{format_rl(setout.heights.expected_top, units)} top, expected",
            )
        )
    mass = "no density given" if found.mass is None else format_quantity(found.mass, "kg", 0)
    rows.append(
        (
            "Concrete",
            f"{format_quantity(found.area, 'm²', 2)}, {format_quantity(found.volume, 'm³', 2)}",
            f"{mass}, for information",
        )
    )
    table(console, "", ("", "", ""), rows)


def _sides(console: Console, setout: SetOut, job: Job, unit: str) -> None:
    units = job.units
    rows = []
    for side in SIDES:
        offset = setout.offsets[side] if setout.offsets else None
        run = setout.runs[side]
        pieces = "cannot be made up"
        if run:
            pieces = " + ".join(format_bare(piece, units) for piece in run.pieces)
        rows.append(
            (
                side,
                format_bare(setout.panel.side_length(side), units),
                "" if offset is None else format_bare(offset, units),
                "" if offset is None else format_bare(offset - setout.chamfer, units),
                (setout.bolts[side] or "none") if setout.bolts else "",
                pieces,
                format_bare(run.overrun, units) if run else "",
            )
        )
    table(
        console,
        "Sides",
        ("side", f">length, {unit}", f">in from below, {unit}", f">from its arris, {unit}", "bolt",
         f"forms, {unit}", f">overrun, {unit}"),
        rows,
    )  # fmt: skip


def _brackets(console: Console, setout: SetOut, job: Job, unit: str) -> None:
    units = job.units
    if setout.all_brackets():
        table(
            console,
            f"Brackets, {len(setout.all_brackets())} in all",
            ("no.", f">at, {unit}", f">anchor below, {unit}", f">offset, {unit}", "bolt", "anchor"),
            [
                (
                    one.label,
                    format_bare(one.at, units),
                    format_bare(one.anchor, units),
                    format_bare(one.offset, units),
                    one.bolt or "none",
                    "extra" if one.extra else "hole",
                )
                for one in setout.all_brackets()
            ],
        )
    rows = [
        (side, kind, ", ".join(format_bare(at, units) for at in along[side]))
        for kind, along in (("holes", setout.anchors), ("extra", setout.extra_anchors))
        for side in SIDES
        if along[side]
    ]
    if rows:
        table(console, "Anchors to cast in", ("side", "", f"at, {unit}"), rows)


def _inside(console: Console, setout: SetOut, job: Job, unit: str) -> None:
    units = job.units
    rows = [
        (
            f"{one.name} opening",
            format_bare(one.x, units),
            format_bare(one.y, units),
            f"{format_length(one.width, units)} × {format_length(one.height, units)}",
        )
        for one in setout.openings
    ]
    for item in setout.castins:
        if item.x is not None and item.y is not None:
            rows.append(
                (
                    f"{item.name} {item.kind}",
                    format_bare(item.x, units),
                    format_bare(item.y, units),
                    f"from the arris {format_length(item.x - setout.chamfer, units)}, "
                    f"{format_length(item.y - setout.chamfer, units)}",
                )
            )
        elif item.at is not None:
            rows.append(
                (
                    f"{item.name} {item.kind}",
                    "",
                    "",
                    f"in the {item.edge} edge at {format_length(item.at, units)}",
                )
            )
    if rows:
        table(
            console,
            "Openings and cast-ins, from the face lines at bl, as cast",
            ("name", f">x, {unit}", f">y, {unit}", ""),
            rows,
        )
