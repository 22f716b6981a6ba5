"""The set-out of a stack, all rules together: diagonals, form depth, heights and quantities too."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from pourdeck.plan.checks import panel_faults, stack_faults
from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import Finding, Spot, literal
from pourdeck.plan.records import Job, Kit, Panel, Poured, Stack, Units
from pourdeck.setout.drift import Rung, rungs
from pourdeck.setout.foretold import drift_findings
from pourdeck.setout.joints import (
    NOTHING,
    Seat,
    cast_reach_findings,
    holes_of,
    seats,
    slip_findings,
)
from pourdeck.setout.lifters import lifter_findings
from pourdeck.setout.place import castins_as_cast, fill, openings_as_cast, reach_findings
from pourdeck.setout.record import Diagonal, Heights, Quantities, SetOut
from pourdeck.setout.runs import (
    NO_RUNS,
    made_up,
    runs,
    short_of_forms_message,
    too_many_ways_message,
)

# Rule 4: the diagonals that show a panel square, √(w² + h²) by Pythagoras.


def hypotenuse(width: Decimal, height: Decimal) -> Decimal:
    """√(width² + height²) in the unit given, to 28 digits."""
    return (width * width + height * height).sqrt()


def diagonal(panel: Panel, chamfer: Decimal) -> Diagonal:
    """At the face line, and arris to arris: each side shorter by a chamfer at either end. mm."""
    trim = 2 * chamfer
    return Diagonal(
        face=hypotenuse(panel.width, panel.height),
        arris=hypotenuse(panel.width - trim, panel.height - trim),
    )


# Rule 3: the form depth is the thickness, or there is no form for the panel.


def form_depth(panel: Panel, kit: Kit) -> Decimal | None:
    """The depth of the forms for a panel, mm; None where the kit holds none so deep."""
    return panel.thickness if panel.thickness in kit.depths else None


def no_form_message(panel: Panel, kit: Kit, units: Units) -> str:
    held = ", ".join(format_length(depth, units) for depth in sorted(kit.depths))
    return (
        f"no form is {format_length(panel.thickness, units)} deep; the kit holds {held}. "
        "Change the thickness, or get forms of that depth and have the office put them in the kit."
    )


# Rule 10: heights on the site datum, planned from the bed and expected from what was measured.

MM_PER_M = Decimal(1000)


def heights(stack: Stack, number: int, surface_below: Decimal | None) -> Heights:
    """Of panel `number`, from 1. Planned top = bed_rl + Σ thickness / 1000, m.

    `surface_below`: the measured height of the finished surface it stands on, m, or None.
    """
    under = sum((panel.thickness for panel in stack.panels[: number - 1]), Decimal(0))
    thickness = stack.panels[number - 1].thickness
    below = stack.bed_rl + under / MM_PER_M
    return Heights(
        below=below,
        top=below + thickness / MM_PER_M,
        measured_below=surface_below,
        expected_top=None if surface_below is None else surface_below + thickness / MM_PER_M,
    )


def height_of_instrument(benchmark: Decimal, backsight: Decimal) -> Decimal:
    """HI = RL of the benchmark + backsight, m."""
    return benchmark + backsight


def staff_reading(instrument: Decimal, wanted: Decimal) -> Decimal:
    """Give what the staff must read for a surface at the wanted height: HI − RL, m."""
    return instrument - wanted


# Rule 11: area, volume, mass and centroid of a panel as cast.

MM2_PER_M2 = Decimal(10) ** 6
MM3_PER_M3 = Decimal(10) ** 9


def chamfer_volume(width: Decimal, height: Decimal, chamfer: Decimal) -> Decimal:
    """Give what 45° chamfers at both outer arrises take away: 2(w + h)c² − (8/3)c³, mm³."""
    return 2 * (width + height) * chamfer**2 - Decimal(8) / Decimal(3) * chamfer**3


def quantities(panel: Panel, chamfer: Decimal, density: Decimal | None) -> Quantities:
    """Volume less outer chamfers and less each opening at full thickness; area and centroid in plan.

    The centroid is from the panel's own bl corner as cast, mm. Mass = volume × density.
    """
    area = panel.width * panel.height
    moment_x = area * panel.width / 2
    moment_y = area * panel.height / 2
    for opening in openings_as_cast(panel):
        hole = opening.width * opening.height
        area -= hole
        moment_x -= hole * (opening.x + opening.width / 2)
        moment_y -= hole * (opening.y + opening.height / 2)
    body = area * panel.thickness - chamfer_volume(panel.width, panel.height, chamfer)
    volume = body / MM3_PER_M3
    return Quantities(
        area=area / MM2_PER_M2,
        volume=volume,
        mass=None if density is None else volume * density,
        centroid=(moment_x / area, moment_y / area) if area > 0 else None,
    )


# The set-out of the panels of a stack, all rules together.


def set_out_stack(job: Job, stack: Stack, poured: Mapping[str, Poured]) -> tuple[SetOut, ...]:
    """Every panel of a stack, from the bed up. `poured`: what the log says of poured panels, by mark."""
    return set_out_seated(job, stack, seats(job, stack, poured), poured)


def set_out_seated(
    job: Job, stack: Stack, seated: Sequence[Seat], poured: Mapping[str, Poured], first: int = 1
) -> tuple[SetOut, ...]:
    """The panels from number `first` up, from seats of the whole stack worked out already."""
    return tuple(
        _set_out(job, stack, number, seated, poured)
        for number in range(first, len(stack.panels) + 1)
    )


def _set_out(
    job: Job, stack: Stack, number: int, seated: Sequence[Seat], poured: Mapping[str, Poured]
) -> SetOut:
    index = number - 1
    panel = stack.panels[index]
    below = stack.panels[index - 1] if index else None
    top = number == len(stack.panels)
    cast = poured.get(panel.mark)
    here = seated[index]
    depth = form_depth(panel, job.kit)
    under = poured.get(below.mark) if below else None
    if cast is not None:
        extra = cast.extra_anchors
    else:
        extra = NOTHING if top else seated[number].wanted
    return SetOut(
        stack=stack.id,
        number=number,
        of=len(stack.panels),
        panel=panel,
        below=below,
        poured=cast is not None,
        chamfer=job.kit.chamfer,
        form_depth=depth,
        position=here.position,
        position_below=seated[index - 1].position if index else None,
        offsets=here.offsets,
        bolts=here.bolts,
        diagonal=diagonal(panel, job.kit.chamfer),
        heights=heights(stack, number, under.surface_rl if under else None),
        brackets=here.brackets,
        anchors=NOTHING if top else holes_of(panel, job, cast),
        extra_anchors=extra,
        missing=here.wanted if under else NOTHING,
        props=here.props,
        runs=runs(panel, job.kit) if depth is not None else NO_RUNS,
        fill=fill(stack.panels[:number], [one.position for one in seated[:number]]),
        openings=openings_as_cast(panel),
        castins=castins_as_cast(panel),
        quantities=quantities(panel, job.kit.chamfer, job.mix.density),
        cast=here.adjusted,
        cast_below=seated[index - 1].adjusted if index else None,
        findings=panel_findings(job, stack, number, seated, poured),
    )


def panel_findings(
    job: Job, stack: Stack, number: int, seated: Sequence[Seat], poured: Mapping[str, Poured]
) -> tuple[Finding, ...]:
    """Everything that is wrong with one panel, errors and warnings, in the order of the rules."""
    index = number - 1
    panel = stack.panels[index]
    spot = Spot(stack=stack.id, panel=number, mark=panel.mark)
    here = seated[index]
    found: list[Finding] = []
    if here.offsets is not None:
        found += reach_findings(here.offsets, job.kit, job.limits.lap, job.units, spot)
        if panel.mark not in poured:
            found += cast_reach_findings(job, panel, stack.panels[index - 1], here, spot)
    found += form_findings(job, panel, spot)
    if index:
        found += _anchor_findings(job, stack.panels[index - 1], here, poured, spot)
    if number < len(stack.panels) and panel.mark not in poured:
        found += _extra_anchor_findings(seated[number], stack.panels[number], job.units, spot)
    found += panel_faults(stack, number, job.units)
    if job.limits.lift.eccentricity is not None:
        amounts = quantities(panel, job.kit.chamfer, job.mix.density)
        found += lifter_findings(job, castins_as_cast(panel), amounts, spot)
    above = stack.panels[number] if number < len(stack.panels) else None
    built_on = above is not None and above.mark in poured
    found += slip_findings(here.cast, spot, job.units, built_on=built_on)
    return tuple(found)


def form_findings(job: Job, panel: Panel, spot: Spot) -> list[Finding]:
    """`no-form`, `short-of-forms` or `forms-not-found`: none depends on where the panel sits."""
    if form_depth(panel, job.kit) is None:
        return [spot.error("no-form", no_form_message(panel, job.kit, job.units))]
    made = made_up(panel, job.kit)
    if made is None:
        return [spot.warning("forms-not-found", too_many_ways_message(panel, job.units))]
    if made == NO_RUNS:
        return [spot.error("short-of-forms", short_of_forms_message(panel, job.kit, job.units))]
    return []


def _anchor_findings(
    job: Job, below: Panel, here: Seat, poured: Mapping[str, Poured], spot: Spot
) -> list[Finding]:
    """Find what a panel lacks on the one below it: anchors, something to hold a stretch, brackets."""
    found: list[Finding] = []
    under = literal(below.mark)
    if below.mark in poured:
        for side, wanted in here.wanted.items():
            if wanted:
                message = (
                    f"{side}: {under} is poured and lacks {_anchors(len(wanted))} for cover. "
                    f"Fix afterwards, to an engineer's detail, at {_listed(wanted, job.units)} "
                    f"along the {side} of {under}."
                )
                found.append(spot.error("short-of-anchors", message, side))
    for prop in here.props:
        message = (
            f"{prop.side}: no anchor may stand in {under} from "
            f"{format_length(prop.start, job.units)} to {format_length(prop.end, job.units)} along "
            "this side; hold the form there with a prop."
        )
        found.append(spot.warning("needs-prop", message, prop.side))
    hung = here.bracket_count()
    if job.kit.brackets is not None and hung > job.kit.brackets:
        message = (
            f"{hung} brackets are wanted and the kit holds {job.kit.brackets}. "
            f"Get {hung - job.kit.brackets} more before this panel is formed."
        )
        found.append(spot.warning("short-of-brackets", message))
    return found


def _extra_anchor_findings(
    above: Seat, panel_above: Panel, units: Units, spot: Spot
) -> list[Finding]:
    return [
        spot.warning(
            "extra-anchors",
            f"{side}: {_anchors(len(wanted))} beside the holes of the forms must be cast in for "
            f"{literal(panel_above.mark)}, at {_listed(wanted, units)} along the {side}.",
            side,
        )
        for side, wanted in above.wanted.items()
        if wanted
    ]


def _anchors(number: int) -> str:
    return "1 anchor" if number == 1 else f"{number} anchors"


def _listed(positions: Sequence[Decimal], units: Units) -> str:
    return ", ".join(format_length(at, units) for at in positions)


# Everything that is wrong with a stack and its panels.


def stack_findings(job: Job, stack: Stack, poured: Mapping[str, Poured]) -> tuple[Finding, ...]:
    """Find what is wrong with a stack and its panels, from the bed up."""
    seated = seats(job, stack, poured)
    found = list(stack_faults(stack, job.limits, job.units))
    for number in range(1, len(stack.panels) + 1):
        found += panel_findings(job, stack, number, seated, poured)
    stood = tuple(
        Rung(
            panel=panel,
            offsets=seat.offsets,
            cast=seat.adjusted,
            poured=panel.mark in poured,
        )
        for panel, seat in zip(stack.panels, seated, strict=True)
    )
    return (*found, *drift_findings(job, stack.id, stood))


def findings_of_set_outs(job: Job, stack: Stack, setouts: Sequence[SetOut]) -> tuple[Finding, ...]:
    """Read what is wrong with a stack off its set-outs, where those are worked out already."""
    found = list(stack_faults(stack, job.limits, job.units))
    for setout in setouts:
        found += setout.findings
    return (*found, *drift_findings(job, stack.id, rungs(setouts)))
