"""Writing down a pour: loads, weather and delays, from what was typed to an act, or why not."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from attrs import evolve

from pourdeck.plan.messages import Refusal, WhyNeeded, literal, must, refusable, stop_if
from pourdeck.plan.numbers import plain
from pourdeck.pour.fresh import WEATHER, Weather, evaporation, verdict
from pourdeck.walk.authority import JudgedWord, Word, actor, said, word_for
from pourdeck.walk.clock import Jump, read_time, set_back
from pourdeck.walk.conflicts import settling_of
from pourdeck.walk.loads import FIELDS, TIMES, Load, field_words, loads_of
from pourdeck.walk.pour_findings import rate_words
from pourdeck.walk.quantities import QUANTITIES, Typed, Value, number_read, text_of
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.times import in_order, moment
from pourdeck.walk.words import folded, unmeasured_text

# Writing down a load as it happens: from what was typed to an act, or why not and what would allow it.
#
# In any order in which it really happens. What is put right says why; both stay in the log. A load
# whose docket names another mix than the one ordered is never begun: it can only be turned away.

HOLD = "pour"
START = "pour.start"

SEPARATORS = " ,:;-"
"""List what may stand between the name of who lets a load in and the reason."""

INTO_THE_FORM = ("begun", "ended")
"""List what says that a load is in the form."""


@refusable
def write_load(
    walk: Walk,
    number: int,
    typed: Mapping[str, str | Typed],
    by: str,
    now: datetime,
    why: str = "",
    *,
    starting: bool = False,
    jumps: Sequence[Jump] = (),
    word: Word | None = None,
) -> Act | Refusal:
    """Write down one or more things of a load, by their keys; a number after the last begins a load.

    `why` is needed where one of them replaces what stands, and for a time that is odd. What is typed as it
    stands is passed over. `starting`: the start of the pour is recorded with it. `jumps`: where clocks were
    set back. `let_in` is why a load out of its limits goes in, on the `word` of somebody; None: of the person
    of the job that the text begins with, else of `by`.
    """
    stop_if(_closed(walk))
    name = must(actor(walk, by))
    loads = loads_of(walk.record)
    signed: dict[str, Any] = {}
    if word is not None or "let_in" in typed:
        load = must(_find(walk, loads, number))
        found = must(_let_in(walk, load, text_of(typed.get("let_in", "")), by, word))
        typed = {**typed, "let_in": f"{found.name}, {found.reason}"}
        signed = found.data
    load = must(_find(walk, loads, number))
    read = must(_read(walk, typed, now, jumps))
    new = {key: value for key, value in read.items() if not _same(getattr(load, key), value)}
    if not new:
        return _nothing_new(walk, load, read)
    put_right = [key for key in new if getattr(load, key) is not None]
    after = _with(load, new)
    if "rejected" in new:
        stop_if(_in_the_form(load))
    if any(key in new for key in INTO_THE_FORM):
        stop_if(_may_not_begin(walk, load, after, starting=starting))
    moments = [
        moment(key, at, load=str(number))
        for key in TIMES
        if isinstance(at := new.get(key), datetime)
    ]
    times = must(in_order(walk, moments, now, why, jumps))
    stop_if(_nobody(after, new))
    stop_if(None if why.strip() else _same_docket(loads, after, new))
    if put_right and not why.strip():
        return _says_why(walk, load, put_right)
    data: dict[str, Any] = {
        "panel": walk.mark,
        "load": number,
        "values": {key: written(value) for key, value in new.items()},
        **signed,
    }
    if put_right:
        data["why"] = why.strip()
    data |= times
    data |= settling_of(walk.record, *(("load", f"{number} {key}") for key in new))
    return Act(kind="load", by=name, data=data, says=_says(walk, after, new, now))


def _read(
    walk: Walk, typed: Mapping[str, str | Typed], now: datetime, jumps: Sequence[Jump]
) -> dict[str, Value] | Refusal:
    """Read what was typed of a load, by key; refused at the first that cannot be read."""
    read: dict[str, Value] = {}
    for key, text in typed.items():
        quantity = FIELDS[key].in_job(walk.job.units, set_back=set_back(jumps))
        value = quantity.read(text, now)
        if isinstance(value, Refusal):
            return evolve(value, about=key)
        read[key] = value
    return read


def _let_in(walk: Walk, load: Load, text: str, by: str, word: Word | None) -> JudgedWord | Refusal:
    """The word that lets a load in, from the text where nobody else is named."""
    if word is None:
        words = text.split()
        for person in walk.job.people:
            length = len(person.name.split())
            if folded(" ".join(words[:length]).rstrip(SEPARATORS)) == folded(person.name):
                reason = " ".join(words[length:]).strip(SEPARATORS)
                text, word = "", Word(of=person.name, reason=reason)
                break
    left = load.batched or load.arrived
    since = None if left is None else (f"load {load.number} was batched", left)
    return word_for("let-in", by, text, walk.job, word=word, since=since)


def turn_away(
    walk: Walk, number: int, reason: str, by: str, now: datetime, why: str = ""
) -> Act | Refusal:
    """Say that a load was not taken, and why."""
    return write_load(walk, number, {"rejected": reason}, by, now, why)


@refusable
def load_not_measured(walk: Walk, number: int, key: str, reason: str, by: str) -> Act | Refusal:
    """Say of a load that one of its values was not measured, and why: it is then no longer asked for."""
    stop_if(_closed(walk))
    name = must(actor(walk, by))
    load = next((one for one in loads_of(walk.record) if one.number == number), None)
    if load is None:
        return Refusal(
            title=f"{literal(walk.mark)} has no load {number}.", body="Read its docket first."
        )
    one = FIELDS.get(key)
    if one is None or not one.unmeasured:
        what = one.name if one else literal(key)
        return Refusal(
            title=f"Load {number}: {what} must be written down.",
            body="The state of the load hangs on it. Write it down, or turn the load away.",
        )
    if getattr(load, key) is not None:
        return Refusal(
            title=f"Load {number} has it: {_part(walk, key, getattr(load, key))}.",
            body="Put it right instead, and say why.",
        )
    why = must(said(reason, "reason"))
    data = {
        "panel": walk.mark,
        "load": number,
        "values": {key: None},
        "not_measured": {key: why},
    }
    says = f"load {number}: {one.name} {unmeasured_text(why)}"
    return Act(kind="load", by=name, data=data, says=says)


def written(value: Value) -> str:
    """A value as the log holds it."""
    if isinstance(value, Decimal):
        return plain(value)
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    return value


def _closed(walk: Walk) -> Refusal | None:
    mark = literal(walk.mark)
    if walk.record.closed:
        return Refusal(
            title=f"{mark} is closed.",
            body="Write a note to the panel, with what is to be put right.",
        )
    if walk.gate is not None and not walk.record.pour_start:
        return Refusal(
            title=f"No concrete for {mark} yet.", body=walk.gate.title + " " + walk.gate.body
        )
    return None


def _find(walk: Walk, loads: tuple[Load, ...], number: int) -> Load | Refusal:
    """The load of that number; an empty one for the next."""
    found = next((one for one in loads if one.number == number), None)
    next_number = max((one.number for one in loads), default=0) + 1
    if found is None and number != next_number:
        return Refusal(
            title=f"{literal(walk.mark)} has no load {number}.",
            body=f"The next one is load {next_number}.",
        )
    return found or Load(number=number)


def _with(load: Load, new: Mapping[str, Any]) -> Load:
    return evolve(load, **new)


def _same(stands: Any, value: Value) -> bool:
    """Times are the same to the minute: nobody types the seconds again."""
    if isinstance(stands, datetime) and isinstance(value, datetime):
        return stands.replace(second=0) == value.replace(second=0)
    same: bool = stands == value
    return same


def _nothing_new(walk: Walk, load: Load, read: Mapping[str, Value]) -> Refusal:
    said = ", ".join(_part(walk, key, value) for key, value in read.items())
    return Refusal(
        title=f"Load {load.number}: nothing changes.",
        body=f"Recorded already: {said}." if said else "Nothing was written.",
    )


def _says_why(walk: Walk, load: Load, keys: list[str]) -> Refusal:
    stands = ", ".join(_part(walk, key, getattr(load, key)) for key in keys)
    return WhyNeeded(
        title=f"Load {load.number} has it: {stands}.",
        body="What stands stays in the record. Say why it changes.",
    )


def _part(walk: Walk, key: str, value: Value) -> str:
    return field_words(FIELDS[key], value, walk.job.units)


def _in_the_form(load: Load) -> Refusal | None:
    if load.begun is None and load.ended is None:
        return None
    return Refusal(
        title=f"Load {load.number} is in the form: it cannot be turned away.",
        body="Where only a part of it was placed, put its volume right to that part, and write a note.",
    )


def _may_not_begin(walk: Walk, load: Load, after: Load, *, starting: bool) -> Refusal | None:
    """Why concrete of this load may not go into the form."""
    what = f"Load {load.number} may not be begun"
    if load.rejected is not None:
        return Refusal(
            title=f"Load {load.number} was turned away: {literal(load.rejected)}.",
            body="Nothing of it goes into the form. If that was a slip, undo it.",
        )
    if after.wrong_mix(walk.job.mix):
        said, ordered = literal(after.mix or ""), literal(walk.job.mix.name or "")
        return Refusal(
            title=f"{what}: its docket says {said}, ordered is {ordered}.",
            body="Turn it away, with the reason; or put the mix right if the docket was misread.",
        )
    if after.mix is None and walk.job.mix.name is not None:
        return Refusal(
            title=f"{what}: nobody has read the mix off its docket.",
            body=f"Read it first. Ordered is {literal(walk.job.mix.name)}.",
        )
    return not_released(walk, what) or (None if starting else _not_started(walk, what))


def not_released(walk: Walk, what: str) -> Refusal | None:
    """Why nothing may be poured yet."""
    hold = walk.hold(HOLD)
    if walk.record.pour_start is not None or hold is None or hold.lets_pass:
        return None
    missing = f" Still missing: {'; '.join(hold.needs[:3])}." if hold.needs else ""
    return Refusal(
        title=f"{what}: “{hold.name}” is not released.",
        body=f"It is released in the Walk, at the end of its section.{missing}",
    )


def _not_started(walk: Walk, what: str) -> Refusal | None:
    if walk.record.pour_start is not None:
        return None
    return Refusal(
        title=f"{what}: the pour has not begun.",
        body="First record the pour start in the Walk: the time the first concrete is in the form.",
    )


def _nobody(after: Load, new: Mapping[str, Value]) -> Refusal | None:
    if not new.get("water") or after.water_by is not None:
        return None
    return Refusal(
        title="Nobody named for the water.", body="Say who added it: driver, foreman or supplier."
    )


def _same_docket(loads: tuple[Load, ...], after: Load, new: Mapping[str, Value]) -> Refusal | None:
    """A docket is of one truck: the same number twice was read off the wrong paper, mostly."""
    if "docket" not in new or after.docket is None:
        return None
    other = next(
        (
            one
            for one in loads
            if one.number != after.number and folded(one.docket or "") == folded(after.docket)
        ),
        None,
    )
    if other is None:
        return None
    return WhyNeeded(
        title=f"Load {other.number} has docket {literal(after.docket)} too.",
        body="Read the number again. If both have it, say why.",
        about="docket",
    )


def _says(walk: Walk, after: Load, new: Mapping[str, Value], now: datetime) -> str:
    parts = ", ".join(_part(walk, key, value) for key, value in new.items())
    said = f"load {after.number}: {parts}"
    if "mix" in new and after.wrong_mix(walk.job.mix):
        said += f"; STOP: ordered is {literal(walk.job.mix.name or '')}"
    return said


# Weather and delays of a pour: from what was typed to an act, or why it cannot be.


@refusable
def read_weather(
    walk: Walk, typed: Mapping[str, str], time: str, by: str, now: datetime, why: str = ""
) -> Act | Refusal:
    """The weather at the slab at a time: all four readings, by their keys. `why`: of a time that is odd."""
    stop_if(_notes_closed(walk))
    name = must(actor(walk, by))
    values = {
        key: must(number_read(QUANTITIES[key].in_job(walk.job.units), typed.get(key, "")))
        for key in WEATHER
    }
    at = must(read_time(time or "now", now))
    rate = evaporation(Weather(**values))
    word = {"act": ": act now", "caution": ": take care", "ok": ": ok"}
    says = f"the face dries at {rate_words(rate, walk.job)}"
    says += word.get(verdict(rate, walk.job.limits.evaporation) or "", "")
    data: dict[str, Any] = {"panel": walk.mark, "time": at.isoformat(timespec="seconds")}
    data |= {key: plain(value) for key, value in values.items()}
    data |= must(in_order(walk, [moment("weather", at)], now, why))
    return Act(kind="weather", by=name, data=data, says=f"weather: {says}")


@refusable
def write_delay(
    walk: Walk,
    text: str,
    begun: str,
    over: str,
    by: str,
    now: datetime,
    why: str = "",
    *,
    jumps: Sequence[Jump] = (),
) -> Act | Refusal:
    """A note to the panel, with the times at which a delay began and was over; "" where there is none."""
    name, words = must(actor(walk, by)), must(said(text, "note"))
    back = set_back(jumps)
    typed = {"from": begun, "to": over}
    times = {key: must(read_time(one, now, back)) for key, one in typed.items() if one.strip()}
    moments = [moment(f"delay-{key}", at, delay="") for key, at in times.items()]
    kept = must(in_order(walk, moments, now, why, jumps))
    shown = " ".join(f"{key} {at:%H:%M}" for key, at in times.items())
    if len(times) == 2:
        shown = shown.removeprefix("from ")
    data: dict[str, Any] = {
        "panel": walk.mark,
        "item": None,
        "text": f"{words}, {shown}" if shown else words,
        **{key: at.isoformat(timespec="seconds") for key, at in times.items()},
        **kept,
    }
    return Act(kind="note", by=name, data=data, says=f"{literal(walk.mark)}: note written")


def _notes_closed(walk: Walk) -> Refusal | None:
    if walk.record.closed:
        return Refusal(
            title=f"{literal(walk.mark)} is closed.", body="Write a note to the panel instead."
        )
    return None
