"""What is said of a pour in a sentence: what it takes, what is left, what to order and when, what counts."""

from collections.abc import Iterator, Sequence
from datetime import timedelta
from decimal import Decimal

from pourdeck.plan.amounts import format_amount, format_computed
from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job, Units
from pourdeck.plan.shown_lengths import format_read
from pourdeck.walk.load_lines import STATES, LoadLine
from pourdeck.walk.pour_findings import minutes
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.words import count_of

M3 = "m³"


def computed(value: Decimal, units: Units) -> str:
    """A volume that was computed, to what is worth reading of it."""
    return format_computed(value, M3, units, 2)


def ordered(value: Decimal, units: Units) -> str:
    """A volume as it is ordered or written on a docket."""
    return format_amount(value, M3, units, 1)


def left_words(page: PourPage, units: Units) -> str:
    """`2.79 m³ left`; `0.31 m³ over` where more came than the forms hold."""
    over = page.placed - page.volume
    return f"{computed(over, units)} over" if over > 0 else f"{computed(page.left, units)} left"


def order_words(page: PourPage, units: Units) -> str:
    """`Order 9.6 m³: 6.0 + 3.6`."""
    said = f"Order {ordered(page.order, units)}"
    if len(page.planned) < 2:
        return said
    loads = parts_read(page.planned, page.order, units)
    several = len(loads) > 3 and len(set(loads[:-2])) == 1
    if several:
        loads = [f"{len(loads) - 2} × {loads[0]}", *loads[-2:]]
    return f"{said}: {' + '.join(loads)}"


def parts_read(parts: Sequence[Decimal], whole: Decimal, units: Units) -> list[str]:
    """The loads of an order as they are read, so that they add up to it: the last one takes the rounding."""
    total, *read = (ordered(one, units).rpartition(" ")[0] for one in (whole, *parts))
    others = sum(map(Decimal, read[:-1]), Decimal(0))
    return [*read[:-1], str(Decimal(total) - others)]


def _last_read(page: PourPage, units: Units) -> str:
    """The last load still to order, as it is read in the order where it is the one of the order."""
    last = ordered(page.rest[-1], units)
    if not page.planned or page.rest[-1] != page.planned[-1]:
        return last
    number, _, unit = last.rpartition(" ")
    return f"{parts_read(page.planned, page.order, units)[-1]} {unit}" if number else last


def rest_words(page: PourPage, job: Job, *, poured: bool) -> str:
    """What is still to order, and when the last load is: it is not to be known before."""
    units = job.units
    if poured:
        return "The pour is ended."
    if not page.rest:
        if page.left > 0:
            return "Nothing more to order: what is coming fills it."
        return "Nothing more to order: the panel is full."
    last = _last_read(page, units)
    if page.before_last == 0:
        return f"One load fills it: order {last}."
    settled = all(one.state in ("placed", "turned away", "stopped") for one in page.lines)
    if len(page.rest) == 1 and settled:
        return f"Measure what is left in the form, and order the last one now: {last}."
    verb = "are" if page.before_last > 1 else "is"
    return f"When {count_of(page.before_last, 'load')} {verb} placed, order the last one: {last}."


def age_words(line: LoadLine, job: Job) -> str:
    """`load 2: 47 of 90 min since batching`; "" where it does not count."""
    if line.age is None or line.state in ("placed", "turned away", "stopped"):
        return ""
    gone = max(0, minutes(line.age))
    limit = job.mix.discharge_minutes
    if limit is None:
        return f"load {line.number}: {gone} min since batching, no limit given"
    late = " TOO LATE" if line.over_age else ""
    return f"load {line.number}: {gone} of {plain(limit)} min since batching{late}"


def gap_words(page: PourPage, job: Job) -> str:
    """`12 of 45 min since the last load`; "" where it does not count."""
    if page.since_last is None or page.left <= 0:
        return ""
    limit = job.limits.gap_minutes
    if page.since_last < timedelta():
        return "the clock is behind the last load"
    gone = minutes(page.since_last)
    if limit is None:
        return f"{gone} min since the last load, no limit given"
    return f"{gone} of {plain(limit)} min since the last load{' TOO LONG' if page.over_gap else ''}"


def counting_words(page: PourPage, job: Job) -> str:
    """All that counts now, in one line."""
    said = [
        words for line in page.lines if line.age is not None and (words := age_words(line, job))
    ]
    gap = gap_words(page, job)
    return " · ".join((*said, gap) if gap else said)


def volume_words(page: PourPage, units: Units) -> str:
    """Where the volume is from."""
    measured = page.formed.measured
    if not measured:
        return "volume as planned: no form face is measured"
    said = ", ".join(f"{size} {format_read(_tenth(one), units)}" for size, one in measured.items())
    planned = [one for one in ("width", "height", "thickness") if one not in measured]
    rest = f"; {' and '.join(planned)} as planned" if planned else ""
    return f"volume between the forms as measured: {said}{rest}"


def _tenth(mm: Decimal) -> Decimal:
    return mm.quantize(Decimal("0.1"))


def beside_words(page: PourPage, units: Units) -> str:
    """Beside the loads that were placed: `1 load turned away, 6.0 m³ · 3 specimens · 1 note`."""
    said = []
    away = sum(one.state == "turned away" for one in page.lines)
    if away:
        volume = f", {ordered(page.rejected, units)}" if page.rejected else ""
        said.append(f"{count_of(away, 'load')} turned away{volume}")
    if page.specimens:
        said.append(count_of(len(page.specimens), "specimen"))
    if page.notes:
        said.append(count_of(len(page.notes), "note"))
    return " · ".join(said)


def note_words(page: PourPage) -> Iterator[str]:
    """Delays, and what else was written meanwhile: `09:12 pump blocked, 09:00 to 09:10 (Ada Reed)`."""
    for entry in page.notes:
        text = literal(str(entry.data.get("text", "")))
        yield f"{entry.at:%H:%M} {text} ({literal(entry.by)})"


def state_words(line: LoadLine) -> str:
    return STATES[line.state]


def jump_words(page: PourPage) -> Iterator[str]:
    """That a computer's clock was set back, in minutes; what is counted goes on as if it had not been."""
    for jump in page.jumped:
        gone = f"{max(1, round(jump.by.total_seconds() / 60))} min"
        yield (
            f"CLOCK SET BACK {gone} ({literal(jump.station)}, now {jump.at:%H:%M}): "
            "minutes run on as before"
        )


def offset_words(page: PourPage) -> str:
    """That the clocks were changed for summer or winter during the pour; "" where they were not."""
    offsets = [
        at.strftime("%z")
        for line in page.lines
        for at in (line.load.batched, line.load.arrived, line.load.begun, line.load.ended)
        if at is not None
    ]
    several = list(dict.fromkeys(offsets))
    if len(several) < 2:
        return ""
    named = " and ".join(f"UTC{one[:3]}:{one[3:]}" for one in several)
    return f"the clocks were changed during the pour, times are in {named}: minutes are true"
