"""The sums behind anchors: at the holes, extra, to fix afterwards, and where none can stand."""

from collections.abc import Iterable
from decimal import Decimal

from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.plan.sides import Side
from pourdeck.setout.anchors import RUNS_FROM_ORIGIN
from pourdeck.setout.record import Prop, SetOut
from pourdeck.setout.sum_record import PLAN, Input, Sum, mm, start_of

RULES = "the kit: anchors"


def _listed(along: Iterable[Decimal]) -> str:
    return ", ".join(plain(at) for at in along)


def anchors_sum(setout: SetOut, side: Side, job: Job) -> Sum:
    """Where the anchors for the panel above stand along one side. mm."""
    kit, length = job.kit, setout.panel.side_length(side)
    rising = RUNS_FROM_ORIGIN[side]
    end = start_of(side) if rising else "the far end"
    return Sum(
        title=f"Anchors in the {side} edge of {setout.mark}",
        formula="first + n × pitch from where the run starts, off the corners and what is in the way",
        inputs=(
            mm(f"{side} side", length, PLAN),
            Input(name="the run starts at", value=end, unit="", source="forms go round pinwheel"),
            mm("first hole", kit.holes.first, "the kit: holes"),
            mm("pitch", kit.holes.pitch, "the kit: holes"),
            mm("least from a corner", kit.anchors.end_min, RULES),
            mm("least from openings, cast-ins", kit.anchors.clear, RULES),
        ),
        result=_listed(setout.anchors[side]) or "none",
        unit="mm" if setout.anchors[side] else "",
        rounding=f"along the {side}, from the {start_of(side)}; as recorded once it is poured",
    )


def extra_anchors_sum(setout: SetOut, side: Side, job: Job) -> Sum:
    """The fewest anchors beside the holes of the forms that hold the panel above. mm."""
    rules = job.kit.anchors
    return Sum(
        title=f"Extra anchors in the {side} edge of {setout.mark}",
        formula="the fewest that give the panel above cover",
        inputs=(
            mm("furthest from a corner", rules.end_max, RULES),
            mm("furthest apart", rules.gap_max, RULES),
            mm("least from both panels' corners", rules.end_min, RULES),
            Input(
                name="at the holes",
                value=_listed(setout.anchors[side]) or "none",
                unit="mm" if setout.anchors[side] else "",
                source="their own sum",
            ),
        ),
        result=_listed(setout.extra_anchors[side]) or "none",
        unit="mm" if setout.extra_anchors[side] else "",
        rounding=f"along the {side}, from the {start_of(side)}",
    )


def missing_sum(setout: SetOut, side: Side, job: Job) -> Sum | None:
    """Where the poured panel below lacks anchors along one side; None on the bed. mm."""
    if setout.below is None:
        return None
    rules = job.kit.anchors
    return Sum(
        title=f"Anchors to fix in the {side} edge of {setout.below.mark}",
        formula="the fewest that give cover; that panel is poured",
        inputs=(
            mm("furthest from a corner", rules.end_max, RULES),
            mm("furthest apart", rules.gap_max, RULES),
            Input(name="anchors it has", value="as its pour recorded", unit="", source="site log"),
        ),
        result=_listed(setout.missing[side]) or "none",
        unit="mm" if setout.missing[side] else "",
        rounding=f"along the {side} of {setout.below.mark}; to an engineer's detail",
    )


def prop_sum(setout: SetOut, prop: Prop, job: Job) -> Sum:
    """Why a stretch of form needs a prop. mm."""
    rules = job.kit.anchors
    corner = prop.start == 0 or prop.end == setout.panel.side_length(prop.side)
    most, name = (
        (rules.end_max, "furthest from a corner") if corner else (rules.gap_max, "furthest apart")
    )
    return Sum(
        title=f"Stretch to prop, {prop.side} side of {setout.mark}",
        formula="no anchor may stand there, and it is longer than brackets span",
        inputs=(
            mm("starts", prop.start, "openings, cast-ins and corners below"),
            mm("ends", prop.end, "openings, cast-ins and corners below"),
            mm(name, most, RULES),
        ),
        result=prop.end - prop.start,
        unit="mm",
        rounding=f"along the {prop.side}, from the {start_of(prop.side)}",
        worked=f"{plain(prop.end)} − {plain(prop.start)}",
    )
