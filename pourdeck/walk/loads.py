"""The loads of a panel as the log has them: each put together from what was written down as it happened.

Times are those that were written, in the zone they were written in. A docket that names another mix than
the one ordered stops its load.
"""

from collections.abc import Mapping
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from attrs import field, frozen

from pourdeck.plan.records import Mix
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.log_numbers import number_of
from pourdeck.walk.people import folded
from pourdeck.walk.words import moment_of

TIMES = ("batched", "arrived", "begun", "ended")
NUMBERS = ("slump", "temperature", "water", "volume")
WORDS = ("docket", "mix", "water_by", "let_in", "rejected")
KEYS = (*WORDS, *TIMES, *NUMBERS)
"""What may be written down of a load: times RFC 3339, slump mm, temperature °C, water L, volume m³.

`let_in`: who said that a load out of its limits goes in. `rejected`: why it was turned away.
"""


@frozen(kw_only=True, eq=False, repr=False)
class Load:
    """One truck. `number` counts from 1 as they were written down; what is not known is None.

    `not_measured`: why there is no value, by its key.
    """

    number: int
    docket: str | None = None
    mix: str | None = None
    batched: datetime | None = None
    arrived: datetime | None = None
    begun: datetime | None = None
    ended: datetime | None = None
    slump: Decimal | None = None
    temperature: Decimal | None = None
    water: Decimal | None = None
    water_by: str | None = None
    let_in: str | None = None
    volume: Decimal | None = None
    rejected: str | None = None
    not_measured: Mapping[str, str] = field(factory=dict)
    entries: tuple[Entry, ...] = field(default=(), repr=False)

    def wrong_mix(self, mix: Mix) -> bool:
        """The docket names another mix than the one ordered."""
        if self.mix is None or mix.name is None:
            return False
        return folded(self.mix) != folded(mix.name)

    @property
    def placed(self) -> Decimal:
        """What of it is in the form, m³: all of it once its discharge has begun."""
        taken = self.rejected is None and (self.begun is not None or self.ended is not None)
        return self.volume if taken and self.volume is not None else Decimal(0)

    def discharge_by(self, mix: Mix) -> datetime | None:
        """When it must be out of the truck by the job's limit."""
        if self.batched is None or mix.discharge_minutes is None:
            return None
        return self.batched + timedelta(minutes=float(mix.discharge_minutes))


def loads_of(record: PanelState) -> tuple[Load, ...]:
    """The loads in their order; a later entry of a load adds to it or puts right what it says."""
    values: dict[int, dict[str, Any]] = {}
    unmeasured: dict[int, dict[str, str]] = {}
    entries: dict[int, list[Entry]] = {}
    for entry in record.loads:
        number = entry.data["load"]
        values.setdefault(number, {}).update(_read(entry.data["values"]))
        lacking = unmeasured.setdefault(number, {})
        for key in entry.data["values"]:
            lacking.pop(key, None)
        lacking |= not_measured_of(entry)
        entries.setdefault(number, []).append(entry)
    return tuple(
        Load(
            number=number,
            entries=tuple(entries[number]),
            not_measured=unmeasured[number],
            **values[number],
        )
        for number in sorted(values)
    )


def not_measured_of(entry: Entry) -> dict[str, str]:
    """What an entry of a load says was not measured, and why, by key."""
    said, values = entry.data.get("not_measured"), entry.data["values"]
    if not isinstance(said, dict):
        return {}
    return {
        key: reason
        for key, reason in said.items()
        if key in (*NUMBERS, *TIMES) and isinstance(reason, str) and values.get(key) is None
    }


def _read(values: Mapping[str, Any]) -> dict[str, Any]:
    """What can be read of the keys that are known; None takes one back."""
    found: dict[str, Any] = {}
    for key, value in values.items():
        if key in WORDS:
            found[key] = value if isinstance(value, str) and value.strip() else None
        elif key in TIMES:
            found[key] = moment_of(value)
        elif key in NUMBERS:
            found[key] = number_of(value)
    return found


def placed(loads: tuple[Load, ...]) -> Decimal:
    """m³ in the form."""
    return sum((one.placed for one in loads), Decimal(0))


def turned_away(loads: tuple[Load, ...]) -> Decimal:
    """m³ that came and were not taken."""
    return sum((one.volume for one in loads if one.rejected and one.volume is not None), Decimal(0))
