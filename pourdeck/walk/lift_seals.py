"""What the engineer's release to lift rests on, sealed part by part: a part that changes makes it lapse."""

from decimal import Decimal
from typing import Any

from pourdeck.plan.amounts import as_meant, format_amount
from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.log_numbers import number_of
from pourdeck.walk.out_of_tolerance import is_engineer
from pourdeck.walk.seals import digest_of
from pourdeck.walk.strength_log import Result

CHECK_AGAIN = "the lifting design must be checked again"


def needed_by_job(job: Job) -> Decimal | None:
    """The strength at lift that the job asks for, MPa, as the office meant it in the units of the job."""
    limit = job.limits.lift.strength
    return None if limit is None else as_meant(limit, "MPa", job.units)


def lifted_setout_digest(setout: SetOut) -> str:
    """SHA-256 over all of a set-out that the lifting design rests on: the panel by itself, not its stack."""
    panel, amounts = setout.panel, setout.quantities
    return digest_of([
        panel.mark,
        panel.rev,
        panel.face_up,
        panel.mirrored,
        *(plain(one) for one in (panel.width, panel.height, panel.thickness, setout.chamfer)),
        [
            [one.name, *(plain(size) for size in (one.x, one.y, one.width, one.height))]
            for one in setout.openings
        ],
        [
            [one.name, one.kind, one.edge]
            + [None if at is None else plain(at) for at in (one.x, one.y, one.at)]
            for one in setout.castins
        ],
        None if amounts.mass is None else plain(amounts.mass),
    ])  # fmt: skip


def as_cast_digest(record: PanelState) -> str:
    """SHA-256 over every size of the panel as it was measured last."""
    return digest_of([[key, plain(record.measured[key])] for key in sorted(record.measured)])


def result_data(result: Result) -> dict[str, Any]:
    """One test as a release names it."""
    return {
        "specimen": result.name,
        "strength": plain(result.strength),
        "time": result.at.isoformat(timespec="seconds"),
        "station": result.entry.station,
        "n": result.entry.n,
    }


def release_lapse(
    release: Entry,
    setout: SetOut,
    record: PanelState,
    state: SiteState,
    shown: tuple[Result, ...],
    job: Job,
) -> str | None:
    """Why a release to lift does not stand, or None. `shown`: what of the panel may show its strength."""
    data = release.data
    if not is_engineer(data.get("role")):
        return f"{literal(release.by)} did not give it as an engineer"
    for revision in state.revisions:
        if revision.panel == record.mark and revision.order > release.order:
            by = literal(revision.by)
            return f"its size was changed on {revision.at:%d %b} by {by}; {CHECK_AGAIN}"
    if data.get("setout") != lifted_setout_digest(setout):
        return (
            f"its drawing, size, openings, cast-ins or mass are not what they were; {CHECK_AGAIN}"
        )
    if data.get("as_cast") != as_cast_digest(record):
        return f"its as-cast record is not what it was; {CHECK_AGAIN}"
    needed = number_of(data.get("strength"))
    if needed is None:
        return f"it names no strength; {CHECK_AGAIN}"
    limit = needed_by_job(job)
    was = format_amount(needed, "MPa", job.units)
    if limit is not None and needed != limit:
        now = format_amount(limit, "MPa", job.units)
        return f"it was given for {was} and the limit is now {now}; {CHECK_AGAIN}"
    named = data.get("result")
    key = (named.get("station"), named.get("n")) if isinstance(named, dict) else None
    if not any(one.entry.key == key and one.strength >= needed for one in shown):
        return f"the result it rests on is not what it was; {CHECK_AGAIN}"
    low = [one for one in shown if one.entry.order > release.order and one.strength < needed]
    if low:
        return f"after it {literal(low[0].name)} came out below {was}; {CHECK_AGAIN}"
    return None
