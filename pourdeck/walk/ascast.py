"""Recording several as-cast measurements of a poured panel at once, as the tape and the level give them."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from pourdeck.plan.ascast import AS_CAST_KEYS, is_height, is_signed
from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units
from pourdeck.plan.refusal import Refusal, must, refusable
from pourdeck.walk.allowed import actor
from pourdeck.walk.records import Act, ItemView, Walk
from pourdeck.walk.words import logged_text


@refusable
def as_cast(walk: Walk, values: Mapping[str, Decimal], by: str, reason: str = "") -> Act | Refusal:
    """Record measurements by their as-cast keys: mm, heights m.

    One that replaces another that stands names it, and says why: `reason`.
    """
    name = must(actor(walk, by))
    mark = literal(walk.mark)
    if walk.record.pour_end is None:
        return Refusal(
            title=f"{mark} is not poured.",
            body="As-cast measurements are of a panel whose pour has ended.",
        )
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
    data: dict[str, Any] = {
        "panel": walk.mark,
        "values": {key: plain(value) for key, value in values.items()},
    }
    measured = walk.record.measured
    changed = [key for key, value in values.items() if measured.get(key, value) != value]
    if changed:
        if not reason.strip():
            was = ", ".join(
                f"{key} {_shown(key, measured[key], walk.job.units)}" for key in changed
            )
            return Refusal(
                title=f"{mark} has been measured there: {was}.",
                body="The old values stay in the record. Say why they change.",
            )
        data |= {"why": reason.strip(), **_replaced(walk, changed)}
    return Act(kind="as-cast", by=name, data=data, says=f"{mark}: {', '.join(values)} recorded")


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
