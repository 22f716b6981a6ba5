"""Recording several as-cast measurements of a poured panel at once, as the tape and the level give them."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from pourdeck.plan.ascast import AS_CAST_KEYS, is_height, is_signed
from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units
from pourdeck.plan.refusal import Refusal, WhyNeeded, must, refusable, stop_if
from pourdeck.walk.allowed import actor
from pourdeck.walk.quantities import QUANTITIES
from pourdeck.walk.records import Act, ItemView, Walk
from pourdeck.walk.twice import asks_twice, once_only, together
from pourdeck.walk.words import logged_text


@refusable
def as_cast(
    walk: Walk,
    values: Mapping[str, Decimal],
    by: str,
    reason: str = "",
    twice: Mapping[str, tuple[Decimal, Decimal]] | None = None,
) -> Act | Refusal:
    """Record measurements by their as-cast keys: mm, heights m.

    One that replaces another that stands names it, and says why: `reason`. `twice`: both readings of
    what was measured twice; what is recorded is their mean, with both beside it.
    """
    name = must(actor(walk, by))
    mark = literal(walk.mark)
    stop_if(not_yet(walk))
    readings = twice or {}
    for key in values:
        if key not in readings and asks_twice(walk.job, key):
            return once_only(key)
    both_agree = {key: must(together(walk.job, key, *both)) for key, both in readings.items()}
    values = {**values, **both_agree}
    if not values:
        return Refusal(title="Nothing measured.", body="Give at least one measurement.")
    for key, value in values.items():
        if key not in AS_CAST_KEYS:
            return Refusal(
                title=f"{literal(key)} is no as-cast measurement.",
                body=f"They are {', '.join(AS_CAST_KEYS)}.",
            )
        if value <= 0 and not is_signed(key) and not is_height(key):
            shown = _shown(key, value, walk.job.units)
            return Refusal(title=f"{key} cannot be {shown}.", body="Measure it again.")
        face = QUANTITIES["face"].in_job(walk.job.units)
        if is_signed(key) and (out := face.out_of_range(value)):
            return Refusal(title=f"{key}: {out.title}", body=out.body)
    data: dict[str, Any] = {
        "panel": walk.mark,
        "values": {key: plain(value) for key, value in values.items()},
    }
    if readings:
        data["readings"] = {key: [plain(one) for one in both] for key, both in readings.items()}
    measured = walk.record.measured
    changed = [key for key, value in values.items() if measured.get(key, value) != value]
    if changed:
        if not reason.strip():
            was = ", ".join(
                f"{key} {_shown(key, measured[key], walk.job.units)}" for key in changed
            )
            return WhyNeeded(
                title=f"{mark} has been measured there: {was}.",
                body="The old values stay in the record. Say why they change.",
            )
        data |= {"why": reason.strip(), **_replaced(walk, changed)}
    return Act(kind="as-cast", by=name, data=data, says=f"{mark}: {', '.join(values)} recorded")


def not_yet(walk: Walk) -> Refusal | None:
    """Why nothing can be measured of a panel yet."""
    if walk.record.pour_end is not None:
        return None
    return Refusal(
        title=f"{literal(walk.mark)} is not poured.",
        body="As-cast measurements are of a panel whose pour has ended.",
    )


def _shown(key: str, value: Decimal, units: Units) -> str:
    return logged_text(plain(value), "m" if is_height(key) else "mm", units)


def _replaced(walk: Walk, keys: Sequence[str]) -> dict[str, Any]:
    """The last entry that measured one of these keys."""
    for entry in reversed(walk.record.as_cast):
        if any(key in entry.data["values"] for key in keys):
            return {"replaces": entry.n, "replaces_station": entry.station}
    return {}


def judged_as_cast(walk: Walk) -> tuple[ItemView, ...]:
    """The measured items of a walk that are as-cast values and have an answer."""
    return tuple(item for item in walk.items() if item.cast_key and item.found is not None)
