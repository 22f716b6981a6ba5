"""The loads of a panel: what may be written down, what the log has of each, where each stands.

Times are those that were written, in the zone they were written in. A docket that names another mix than
the one ordered stops its load.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any, Literal

from attrs import evolve, field, frozen

from pourdeck.plan.records import Job, Mix, Units
from pourdeck.pour.fresh import Warmth, warmth
from pourdeck.sitelog.entries import Entry, moment_of
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.clock import Jump, Stamp, apart, clock_now, stamp
from pourdeck.walk.quantities import QUANTITIES, Quantity, Value
from pourdeck.walk.words import folded, number_of

# What may be written down of a load: which quantities, in which order, and how they are called.

LOAD_KEYS = (
    "docket", "mix", "volume", "batched", "arrived", "slump", "temperature", "water", "water_by", "begun",
    "ended", "let_in", "rejected",
)  # fmt: skip

FIELDS = {key: QUANTITIES[key] for key in LOAD_KEYS}
"""By key, in the order in which a load is written down."""

ASKED = (
    "docket", "mix", "batched", "arrived", "volume", "slump", "temperature", "begun", "ended",
)  # fmt: skip
"""List what is asked of every load, the next one first. Water only where some was added."""


def field_words(one: Quantity, value: Value, units: Units) -> str:
    """`slump 80 mm`, `turned away: too old`."""
    joint = ": " if one is FIELDS["rejected"] else " "
    return f"{one.name}{joint}{shown(one, value, units)}"


def shown(one: Quantity, value: Value, units: Units) -> str:
    """A value as people of the job read it, a time by the clock it was read from."""
    return one.in_job(units).shown(value)


# The loads of a panel as the log has them: each put together from what was written down as it happened.

TIMES = ("batched", "arrived", "begun", "ended")
NUMBERS = ("slump", "temperature", "water", "volume")
WORDS = ("docket", "mix", "water_by", "let_in", "rejected")
KEYS = (*WORDS, *TIMES, *NUMBERS)
"""List what may be written down of a load: times RFC 3339, slump mm, temperature °C, water L, volume m³.

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
        """Give what of it is in the form, m³: all of it once its discharge has begun."""
        taken = self.rejected is None and (self.begun is not None or self.ended is not None)
        return self.volume if taken and self.volume is not None else Decimal(0)

    def discharge_by(self, mix: Mix) -> datetime | None:
        """When it must be out of the truck by the job's limit."""
        if self.batched is None or mix.discharge_minutes is None:
            return None
        return self.batched + timedelta(minutes=float(mix.discharge_minutes))


def loads_of(record: PanelState) -> tuple[Load, ...]:
    """The loads in their order; a later entry of a load adds to it or puts right what it says.

    What stations said differently of a load is not known.
    """
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
    for kind, key in record.conflicts:
        if kind == "load":
            number, _, name = key.partition(" ")
            values[int(number)][name] = None
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
    """Give what an entry of a load says was not measured, and why, by key."""
    said, values = entry.data.get("not_measured"), entry.data["values"]
    if not isinstance(said, dict):
        return {}
    return {
        key: reason
        for key, reason in said.items()
        if key in (*NUMBERS, *TIMES) and isinstance(reason, str) and values.get(key) is None
    }


def _read(values: Mapping[str, Any]) -> dict[str, Any]:
    """Read what can be read of the keys that are known; None takes one back."""
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


# Each load of a pour with where it stands: its state, its minutes against the limits, what is off.

LoadState = Literal["coming", "waiting", "stopped", "placing", "placed", "turned away"]

STATES: dict[LoadState, str] = {
    "coming": "on the way",
    "waiting": "waiting",
    "stopped": "WRONG MIX",
    "placing": "placing",
    "placed": "placed",
    "turned away": "turned away",
}


@frozen(kw_only=True, eq=False, repr=False)
class LoadLine:
    """`age`: minutes since batching, to the end of the discharge where that is known, else to now; None
    where it cannot be told. `unended`: begun, and the pour ended without its end being written: its age is
    that at the end of the pour, the most it can be. `gap`: minutes from the end of the load before it to its
    begin. `over_age` and `over_gap`: past the job's limit. `slump_off`: `stiff` or `wet`. `wrong`: another
    mix than ordered. `unmeasured`: what was not measured though a limit of the job judges it, by key.
    `next`: what is to be written down of it next, by its key; `rejected` where all that is left is to
    turn it away.
    """

    load: Load
    state: LoadState
    age: timedelta | None = None
    unended: bool = False
    over_age: bool = False
    gap: timedelta | None = None
    over_gap: bool = False
    slump_off: Literal["stiff", "wet"] | None = None
    warmth: Warmth | None = None
    wrong: bool = False
    unmeasured: tuple[str, ...] = ()
    next: str | None = None

    @property
    def number(self) -> int:
        return self.load.number

    @property
    def off(self) -> bool:
        """Something of it is out of a limit of the job."""
        if self.state == "turned away":
            return False
        off = self.over_age or self.over_gap or self.slump_off is not None
        return off or self.wrong or bool(self.unmeasured) or self.warmth in ("cold", "hot")

    @property
    def taken(self) -> bool:
        """In the form, or being placed."""
        return self.state in ("placing", "placed")


def time_of(load: Load, key: str, jumps: Sequence[Jump]) -> Stamp | None:
    """A time of a load with the clock it is on."""
    at = getattr(load, key)
    if at is None:
        return None
    return stamp(at, gave(load, key), jumps)


def gave(load: Load, key: str) -> list[Entry]:
    """The entries that said this of a load, oldest first."""
    return [one for one in load.entries if key in one.data["values"]]


def load_lines(
    loads: Iterable[Load],
    job: Job,
    now: datetime | None,
    jumps: Sequence[Jump] = (),
    over: Stamp | None = None,
) -> tuple[LoadLine, ...]:
    """The loads in the order of their numbers. `now` None: only what is over is counted.

    `over`: the end of the pour; a load that was begun was out of its truck by then.
    """
    lines = {one.number: _line(one, job, now, jumps, over) for one in loads}
    placed = _in_turn([line for line in lines.values() if line.taken], jumps)
    last: Stamp | None = None
    for line in placed:
        begun = time_of(line.load, "begun", jumps)
        if last is not None and begun is not None:
            gap = apart(last, begun, jumps)
            late = _past(gap, job.limits.gap_minutes)
            lines[line.number] = evolve(line, gap=gap, over_gap=late)
        last = _later(last, time_of(line.load, "ended", jumps) or begun, jumps)
    return tuple(lines.values())


def _in_turn(lines: list[LoadLine], jumps: Sequence[Jump]) -> list[LoadLine]:
    """As they went into the form; by their numbers where a clock that jumped makes times no guide."""
    timed = all(line.load.begun is not None for line in lines)
    if not timed or jumps:
        return lines
    return sorted(lines, key=lambda line: (line.load.begun, line.number))


def _later(last: Stamp | None, other: Stamp | None, jumps: Sequence[Jump]) -> Stamp | None:
    if last is None or other is None:
        return other or last
    return other if apart(last, other, jumps) >= timedelta() else last


def since_last(lines: Iterable[LoadLine], jumps: Sequence[Jump]) -> Stamp | None:
    """The end of what went into the form last; None where nothing has, or a load is going in now."""
    taken = [line for line in lines if line.taken]
    if any(line.state == "placing" for line in taken):
        return None
    last: Stamp | None = None
    for line in taken:
        ended = time_of(line.load, "ended", jumps)
        last = _later(last, ended or time_of(line.load, "begun", jumps), jumps)
    return last


def _line(
    load: Load, job: Job, now: datetime | None, jumps: Sequence[Jump], over: Stamp | None
) -> LoadLine:
    state = state_of(load, job)
    unended = state == "placing" and over is not None
    age = None if state == "turned away" else _age(load, now, jumps, over if unended else None)
    return LoadLine(
        load=load,
        state=state,
        age=age,
        unended=unended,
        over_age=age is not None and _past(age, job.mix.discharge_minutes),
        slump_off=_slump(load, job),
        warmth=None
        if load.temperature is None
        else warmth(load.temperature, job.limits.concrete_temperature),
        wrong=load.wrong_mix(job.mix),
        unmeasured=tuple(key for key in judged(job) if key in load.not_measured),
        next=_next(load, state),
    )


def state_of(load: Load, job: Job) -> LoadState:
    """Tell how a load stands now. One with another mix is stopped unless it is in the form already."""
    if load.rejected is not None:
        return "turned away"
    if load.ended is not None:
        return "placed"
    if load.begun is not None:
        return "placing"
    if load.wrong_mix(job.mix):
        return "stopped"
    return "coming" if load.arrived is None else "waiting"


def _age(
    load: Load, now: datetime | None, jumps: Sequence[Jump], over: Stamp | None
) -> timedelta | None:
    batched = time_of(load, "batched", jumps)
    if batched is None:
        return None
    ended = time_of(load, "ended", jumps) or over
    if ended is None and now is not None:
        ended = clock_now(now, batched)
    until = ended or time_of(load, "begun", jumps)
    return None if until is None else apart(batched, until, jumps)


def _past(gone: timedelta, minutes: Decimal | None) -> bool:
    """A limit itself passes."""
    return minutes is not None and gone > timedelta(minutes=float(minutes))


def _slump(load: Load, job: Job) -> Literal["stiff", "wet"] | None:
    band = job.mix.slump
    if band is None or load.slump is None:
        return None
    if load.slump < band.target - band.minus:
        return "stiff"
    return "wet" if load.slump > band.target + band.plus else None


def judged(job: Job) -> Iterator[str]:
    """List what of a load a limit of the job judges, by key."""
    if job.mix.discharge_minutes is not None:
        yield "batched"
    if job.limits.concrete_temperature is not None:
        yield "temperature"
    if job.mix.slump is not None:
        yield "slump"


def _next(load: Load, state: LoadState) -> str | None:
    if state == "turned away":
        return None
    if state == "stopped":
        return "rejected"
    if load.water and load.water_by is None:
        return "water_by"
    return next(
        (key for key in ASKED if getattr(load, key) is None and key not in load.not_measured), None
    )


def asked_after(line: LoadLine, key: str) -> str | None:
    """Name what is asked of a load after `key`: what was skipped before it is not asked again."""
    if line.next is None or key not in ASKED or line.next not in ASKED:
        return line.next
    ahead = ASKED[ASKED.index(key) + 1 :]
    return next((one for one in ahead if getattr(line.load, one) is None), None)


def entry_of(load: Load, key: str) -> Entry | None:
    """The last entry that says this of a load, or takes it back."""
    return next(reversed(gave(load, key)), None)
