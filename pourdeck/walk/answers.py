"""Answering an item: from what was typed to an act that can be recorded, or why not.

Every function here is pure: it looks at the walk as it stands and changes nothing.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from math import sqrt
from typing import Any

from attrs import evolve, frozen

from pourdeck.plan.ascast import is_height, judged_as
from pourdeck.plan.lengths import format_length, format_read, format_rl, format_together
from pourdeck.plan.messages import Refusal, WhyNeeded, literal, must, refusable, stop_if
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.setout.adjust import SLIP
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import moment_of
from pourdeck.walk.authority import actor, answerable, find_item, second_person
from pourdeck.walk.clock import Jump
from pourdeck.walk.conflicts import settling
from pourdeck.walk.levels import CLOSING, FIRST, STAFF, instrument, setup_of, setup_of_forms
from pourdeck.walk.loads import load_lines, loads_of
from pourdeck.walk.pour_findings import READY
from pourdeck.walk.quantities import Typed, read_typed, text_of
from pourdeck.walk.records import Act, HoldView, ItemView, Verdict, Walk, within
from pourdeck.walk.strength_words import FORMS_OFF, OWN, STILL_ON, stripped_early
from pourdeck.walk.times import in_order, item_moment, moment
from pourdeck.walk.words import (
    canonical,
    clock_text,
    folded,
    item_name,
    number_of,
    unmeasured_text,
    value_text,
)

# Measuring twice, where the job asks for it: two readings that agree are one value, their mean.
#
# The second is taken without seeing the first. Two readings of one length with the standard deviation
# σ of a tape differ with σ√2, and are taken to agree up to three times that: the same 3 σ that tells
# of a slip (`setout/adjust.py`), of a difference of two.

MOST_SQUARED = Decimal(2) * Decimal(SLIP) ** 2
"""(3√2)²: squares are compared, which is exact."""


@frozen(kw_only=True)
class ReadingsApart(Refusal):
    """Two readings of the same length do not agree: both are taken again."""


def asks_twice(job: Job, key: str | None) -> bool:
    """Whether the job asks for a measurement to be taken twice."""
    return key is not None and judged_as(key) in job.tolerance.twice


def agree(first: Decimal, second: Decimal, tape: Decimal) -> bool:
    """Whether two readings are of the same length. mm; `tape`: standard deviation of one."""
    return (first - second) ** 2 <= MOST_SQUARED * tape**2


def mean(first: Decimal, second: Decimal) -> Decimal:
    return (first + second) / 2


def apart_words(job: Job) -> str:
    """Say how far apart two readings may be, and why so far."""
    tape, units = job.limits.tape, job.units
    most = Decimal(SLIP * sqrt(2)) * tape
    return (
        f"{format_length(most, units, decimals=1)}, "
        f"three times √2 times the {format_read(tape, units)} of a tape"
    )


def together(
    job: Job, key: str, first: Decimal, second: Decimal, name: str = ""
) -> Decimal | Refusal:
    """The value of two readings under an as-cast key, or both where they do not agree. mm, heights m.

    `name`: what people call what was measured.
    """
    scale = Decimal(1000) if is_height(key) else Decimal(1)
    if agree(scale * first, scale * second, job.limits.tape):
        return mean(first, second)
    apart = format_read(scale * abs(first - second), job.units)
    if is_height(key):
        one, other = format_rl(first, job.units), format_rl(second, job.units)
    else:
        one, other = format_together((first, second), job.units)
    return ReadingsApart(
        title=f"{name or key}: {one} and {other} do not agree.",
        body=f"They are {apart} apart; the most is {apart_words(job)}. Measure it twice again.",
    )


def readings_in(data: Mapping[str, Any], key: str) -> tuple[Decimal, ...]:
    """Both readings that an as-cast entry holds of a measurement; none where it was measured once."""
    listed = data.get("readings")
    texts = listed.get(key) if isinstance(listed, dict) else None
    if not isinstance(texts, list):
        return ()
    found = tuple(number_of(text) for text in texts)
    return tuple(one for one in found if one is not None) if None not in found else ()


def once_only(name: str) -> Refusal:
    """Refuse one reading where the job asks for two."""
    return Refusal(
        title=f"{name} is measured twice in this job.",
        body="tolerance.twice asks for it. Measure it again without looking at the first, and give both.",
    )


# Items of the walk that are staff readings: in which set-up one was read, and how it is asked now.


def setup_answered(item: ItemView) -> int | None:
    """The set-up that the answer of an item was read in; None where it has none."""
    return setup_of(item.entry) if item.entry and item.entry.kind == "answer" else None


def setup_asked(walk: Walk, item: ItemView) -> int | None:
    """The set-up that an answer now is read in; None where the item is no reading of the staff.

    What stands is put right in its own set-up. What is read again, is so from where the instrument is.
    """
    if item.key != CLOSING and not item.key.startswith(STAFF):
        return None
    stands = setup_answered(item) if item.own_state == "done" and item.key != CLOSING else None
    return stands or setup_of_forms(walk.record)


def as_read_now(walk: Walk, item: ItemView) -> ItemView:
    """An item with what it expects of a reading from the set-up that an answer now is read in."""
    asked, benchmark = setup_asked(walk, item), walk.job.site.benchmark
    if asked is None or benchmark is None or item.key == CLOSING:
        return item
    answered = setup_answered(item)
    if answered in (None, asked):
        return item
    before = instrument(walk.record, benchmark, answered or FIRST)
    after = instrument(walk.record, benchmark, asked)
    if before is None or after is None:
        return item
    up = after - before

    def moved(value: Decimal | str | None) -> Decimal | None:
        return value + up if isinstance(value, Decimal) else None

    return evolve(item, expected=moved(item.expected), low=moved(item.low), high=moved(item.high))


# Answering an item: from what was typed to an act that can be recorded, or why not.

FAST_ANSWERS = 5
FAST_SECONDS = 5
"""So many answers without measuring in less than so many seconds cannot all have been looked at."""


@refusable
def answer(
    walk: Walk,
    key: str,
    typed: str | Typed,
    by: str,
    now: datetime,
    why: str = "",
    first: str | Typed = "",
    *,
    jumps: Sequence[Jump] = (),
    doubted: bool = False,
) -> Act | Refusal:
    """Answer an item with what was typed.

    `why` is needed where it replaces an answer that stands, and for a time that is odd. `first`: what was
    typed the first time, where it was measured twice. `jumps`: where clocks were set back. `doubted`: the
    value was asked about as a likely slip, and kept.
    """
    item, name = must(find_item(walk, key)), must(actor(walk, by))
    stop_if(answerable(walk, item) or second_person(walk, item, name))
    kept: dict[str, Any] = {"doubted": True} if doubted else {}
    value = read_typed(item, typed, walk.job.units, now)
    if isinstance(value, Refusal):
        return Refusal(title=f"{item_name(item)}: {value.title}", body=value.body)
    if item.cast_key and isinstance(value, Decimal):
        readings = must(_readings(walk, item, first, value, now))
        if len(readings) == 2:
            value = must(together(walk.job, item.cast_key, *readings, item_name(item)))
        correction = must(_correction(walk, item, why)) | kept
        return _as_cast_act(walk, item, value, readings, name, correction)
    correction = must(_correction(walk, item, why)) | kept
    item = as_read_now(walk, item)
    if isinstance(value, datetime):
        if item.records == "pour-end":
            stop_if(_still_placing(walk))
        at = item_moment(item.key, value)
        correction |= must(in_order(walk, [at] if at else [], now, why, jumps))
        return _time_act(walk, item, value, text_of(typed), name, now, correction)
    if item.key == OWN and value != STILL_ON and not walk.job.limits.strip.given:
        correction |= must(in_order(walk, [moment("stripped", now)], now, why, jumps))
    return _answer_act(walk, item, value, text_of(typed), name, now, correction)


def _correction(walk: Walk, item: ItemView, why: str) -> dict[str, Any] | Refusal:
    """Give what an answer says of the one it replaces; empty where it replaces none."""
    entry = item.entry
    if item.conflict:
        return {"why": why.strip() or f"{item.lapse}", **settling(item.conflict)}
    if entry is None or entry.kind in ("defer", "not-applicable"):
        return {}
    reason = why.strip() or (item.lapse or "")
    if not reason:
        failed = item.own_state == "failed" or item.out is not None
        what = "what was done about it" if failed else "why it changes"
        found = value_text(item.found, item.unit, walk.job.units, item.decimals)
        if item.not_measured:
            found = unmeasured_text(item.not_measured)
        return WhyNeeded(
            put_right=failed,
            title=f"{item_name(item)} is answered: {found or 'recorded'}.",
            body=f"The old answer stays in the record. Say {what} to answer it again. "
            f"{taken_back_words(takes_back(walk, item))}".rstrip(),
        )
    return {"replaces": entry.n, "replaces_station": entry.station, "why": reason}


def takes_back(walk: Walk, item: ItemView) -> tuple[HoldView, ...]:
    """The releases that another answer to an item that stands would make void."""
    if walk.record.pour_start or item.own_state not in ("done", "failed", "n/a"):
        return ()
    return tuple(
        hold for hold in walk.holds if hold.state == "released" and item.key in hold.covers
    )


def taken_back_words(holds: Sequence[HoldView]) -> str:
    """A sentence that says so; "" where there are none."""
    named = " and ".join(f"“{hold.name}” by {literal(hold.by or '')}" for hold in holds)
    verb = "releases" if len(holds) > 1 else "release"
    return f"It takes back the {verb} of {named}: somebody must look again." if named else ""


def judge(item: ItemView, value: Decimal | str) -> Verdict:
    """Whether a value passes, by what the item expects."""
    if isinstance(value, Decimal):
        return within(value, item.low, item.high)
    if item.kind == "choice":
        if not item.good:
            return "recorded"
        return "pass" if value in item.good else "fail"
    if isinstance(item.expected, str):
        return "pass" if folded(value) == folded(item.expected) else "fail"
    return "recorded"


def _answer_act(
    walk: Walk,
    item: ItemView,
    value: Decimal | str,
    typed: str,
    by: str,
    now: datetime,
    correction: dict[str, Any],
) -> Act:
    early = stripped_early(walk, item.key, value, now) if item.key in FORMS_OFF else None
    verdict: Verdict = "fail" if early else judge(item, value)
    data = {
        **_answer_data(walk, item, canonical(value), typed, verdict),
        **correction,
    }
    if early:
        data["early"] = early
    if item.where is not None:
        data["where"] = item.where
    setup = setup_asked(walk, item)
    if setup is not None and setup != FIRST:
        data["setup"] = setup
    if item.second:
        data["second"] = True
    if item.bare and is_fast(walk, by, now):
        data["fast"] = True
    moment = moment_of(value) if item.kind == "time" else None
    shown = value_text(value, item.unit, walk.job.units, item.decimals)
    if moment is not None:
        shown = clock_text(moment, now.date())
    says = f"{_short(item)} {shown}: {_word(verdict)}{f'. {early}' if early else ''}"
    again = ", ".join(f"“{hold.name}”" for hold in takes_back(walk, item))
    if again:
        says += f"; {again} must be released again"
    return Act(kind="answer", by=by, data=data, says=says)


def _answer_data(
    walk: Walk, item: ItemView, value: str | None, typed: str, verdict: Verdict
) -> dict[str, Any]:
    return {
        "panel": walk.mark,
        "item": item.key,
        "value": value,
        "typed": typed,
        "unit": item.unit,
        "verdict": verdict,
        "expected": canonical(item.expected),
        "tolerance": _tolerance(item),
        "source": item.source,
    }


def unmeasured_act(walk: Walk, item: ItemView, reason: str, by: str) -> Act:
    """The answer that nobody measured an item: failed where a limit of the job judges it."""
    verdict: Verdict = "fail" if is_judged(walk, item) else "recorded"
    data = _answer_data(walk, item, None, "", verdict) | {"not_measured": reason}
    data |= settling(item.conflict)
    if item.where is not None:
        data["where"] = item.where
    if item.second:
        data["second"] = True
    says = f"{_short(item)} {unmeasured_text(reason)}: {_word(verdict)}"
    return Act(kind="answer", by=by, data=data, says=says)


def is_judged(walk: Walk, item: ItemView) -> bool:
    """Whether a limit judges a number, alone, against another one, or with the rest of the weather."""
    if item.key in READY and walk.job.limits.evaporation.given:
        return True
    return any(one is not None for one in (item.low, item.high, item.plus, item.minus))


def _tolerance(item: ItemView) -> dict[str, str | None] | None:
    """The limits judged by, as the log holds them."""
    if item.low is None and item.high is None:
        return None
    return {"low": canonical(item.low), "high": canonical(item.high)}


def _word(verdict: Verdict) -> str:
    return {"pass": "pass", "fail": "FAIL", "recorded": "recorded"}[verdict]


def _short(item: ItemView) -> str:
    return item.label or item.prompt


def is_fast(walk: Walk, by: str, now: datetime) -> bool:
    """True for the fifth bare answer, and each after it, that one person gives within five seconds."""
    bare = {item.key for item in walk.items() if item.bare}
    recent = 0
    moment = now.replace(microsecond=0)
    for entry in reversed(walk.record.entries):
        if (moment - entry.at).total_seconds() >= FAST_SECONDS:
            break
        if (
            entry.kind == "answer"
            and folded(entry.by) == folded(by)
            and entry.data.get("item") in bare
        ):
            recent += 1
    return recent >= FAST_ANSWERS - 1


def _readings(
    walk: Walk, item: ItemView, first: str | Typed, second: Decimal, now: datetime
) -> tuple[Decimal, Decimal] | tuple[()] | Refusal:
    """Both readings of what was measured twice; none where it was measured once and may be."""
    if not first:
        return once_only(item_name(item)) if asks_twice(walk.job, item.cast_key) else ()
    value = read_typed(item, first, walk.job.units, now)
    if isinstance(value, Decimal):
        return value, second
    body = value.body if isinstance(value, Refusal) else "Measure it twice again."
    return Refusal(title=f"{item_name(item)}: the first reading cannot be read.", body=body)


def _as_cast_act(
    walk: Walk,
    item: ItemView,
    value: Decimal,
    readings: Sequence[Decimal],
    by: str,
    correction: dict[str, Any],
) -> Act:
    shown = value_text(value, item.unit, walk.job.units, item.decimals)
    data: dict[str, Any] = {"panel": walk.mark, "values": {item.cast_key: plain(value)}}
    if readings:
        data["readings"] = {item.cast_key: [plain(one) for one in readings]}
    data |= correction
    verdict = judge(item, value)
    return Act(kind="as-cast", by=by, data=data, says=f"{_short(item)} {shown}: {_word(verdict)}")


def _time_act(
    walk: Walk,
    item: ItemView,
    moment: datetime,
    typed: str,
    by: str,
    now: datetime,
    correction: dict[str, Any],
) -> Act:
    written = moment.isoformat(timespec="seconds")
    if item.records is None:
        return _answer_act(walk, item, written, typed, by, now, correction)
    mark, at = literal(walk.mark), clock_text(moment, now.date())
    data = {"panel": walk.mark, "time": written, **correction}
    if item.records == "pour-start":
        data |= cast_of(walk.setout)
        return Act(kind="pour-start", by=by, data=data, says=f"{mark}: pour begun {at}")
    volume = walk.find("pour.volume")
    placed = volume.found if volume and volume.own_state == "done" else None
    data["volume"] = canonical(placed)
    return Act(kind="pour-end", by=by, data=data, says=f"{mark}: pour ended {at}")


def _still_placing(walk: Walk) -> Refusal | None:
    """A load of which only the begin is written down is going in yet, or its end was forgotten."""
    lines = load_lines(loads_of(walk.record), walk.job, None)
    placing = [one for one in lines if one.state == "placing"]
    if not placing:
        return None
    return Refusal(
        title=f"The pour cannot end: load {placing[0].number} is still being placed.",
        body="Write the end of its discharge first, on the Pour screen.",
    )


def cast_of(setout: SetOut) -> dict[str, Any]:
    """Give what is in the forms when the pour begins: sizes, mm, place, and anchors along each side."""
    panel = setout.panel
    return {
        "width": plain(panel.width),
        "height": plain(panel.height),
        "thickness": plain(panel.thickness),
        "align": panel.align,
        "anchors": {side: [plain(at) for at in on] for side, on in setout.anchors.items()},
        "extra_anchors": {
            side: [plain(at) for at in on] for side, on in setout.extra_anchors.items()
        },
    }
