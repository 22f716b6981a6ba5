"""The pour of a panel: what its forms hold, what came, what is still to come, and that in words.

Volumes are m³, exact.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal

from attrs import evolve, frozen

from pourdeck.plan.amounts import format_amount, format_computed
from pourdeck.plan.lengths import format_read
from pourdeck.plan.messages import Finding, Spot, literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import CORNERS, Job, Mix, Units
from pourdeck.pour import fresh as ordering
from pourdeck.setout.panel import quantities
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.clock import Jump, apart, clock_now, pour_over
from pourdeck.walk.loads import (
    STATES,
    LoadLine,
    load_lines,
    loads_of,
    placed,
    since_last,
    turned_away,
)
from pourdeck.walk.pour_findings import (
    WeatherReading,
    drying,
    minutes,
    of_load,
    short_pour,
    weather_of,
)
from pourdeck.walk.records import Walk
from pourdeck.walk.strength import Specimen, specimens
from pourdeck.walk.words import count_of

# What a panel takes between its forms: rule 11 with the sizes that were measured between the form faces.
#
# Width and height are the mean of what was measured between the faces, thickness the mean of the form
# depths at the corners; what was not measured is taken as planned. Openings are as drawn.

BETWEEN = "forms.between/"
DEPTH = "height.depth/"

SIZES: dict[str, tuple[str, ...]] = {
    "width": (f"{BETWEEN}base", f"{BETWEEN}head"),
    "height": (f"{BETWEEN}left", f"{BETWEEN}right"),
    "thickness": tuple(f"{DEPTH}{corner}" for corner in CORNERS),
}
"""The items of the walk that measure each size."""


@frozen(kw_only=True, eq=False, repr=False)
class Formed:
    """m³. `measured` holds the sizes that were measured, mm; the others are those of the plan."""

    volume: Decimal
    planned: Decimal
    measured: dict[str, Decimal]


def formed(walk: Walk) -> Formed:
    """The volume between the forms of a panel."""
    found = {size: walk.mean_measured(keys) for size, keys in SIZES.items()}
    measured = {size: mean for size, mean in found.items() if mean is not None}
    planned = walk.setout.quantities.volume
    if not measured:
        return Formed(volume=planned, planned=planned, measured={})
    own = walk.setout.panel
    panel = evolve(
        own,
        width=measured.get("width", own.width),
        height=measured.get("height", own.height),
        thickness=measured.get("thickness", own.thickness),
    )
    volume = quantities(panel, walk.setout.chamfer, None).volume
    return Formed(volume=volume, planned=planned, measured=measured)


# The pour of a panel as the crew sees it: what it takes, what came, what is still to come and to
# write down.

WATCHER = "ready.watcher"
CURING = "finish.cure-start"
"""The item that says the face is covered: until then it dries, poured or not."""


EACH, SOONER = timedelta(hours=1), timedelta(minutes=30)
"""Say how often the weather is read: usual practice, see `pour_findings.WHAT_TO_DO`; no source."""


@frozen(kw_only=True, eq=False, repr=False)
class PourPage:
    """`order` and `planned` are worked out before anything came; `rest` are the loads still to order now.

    `left`: volume less what is placed, not below 0. `coming`: on the way, or waiting at the stack.
    `since_last`: how long nothing has gone into the form, None where that does not count now. `watcher`:
    who watches the forms. `jumped`: where a computer's clock was set back during the pour. `going`: what
    of `placed` is still going in. `off`: what is wrong with each load, by its number. `weather_age`: how
    old the last reading is while the face dries.
    """

    formed: Formed
    order: Decimal
    planned: tuple[Decimal, ...]
    lines: tuple[LoadLine, ...]
    placed: Decimal
    going: Decimal
    left: Decimal
    coming: Decimal
    rejected: Decimal
    rest: tuple[Decimal, ...]
    since_last: timedelta | None
    over_gap: bool
    weather: tuple[WeatherReading, ...]
    specimens: tuple[Specimen, ...]
    watcher: str | None
    findings: tuple[Finding, ...]
    off: Mapping[int, tuple[Finding, ...]]
    weather_age: timedelta | None
    notes: tuple[Entry, ...]
    jumped: tuple[Jump, ...] = ()

    @property
    def volume(self) -> Decimal:
        return self.formed.volume

    def line(self, number: int | None) -> LoadLine | None:
        return next((one for one in self.lines if one.number == number), None)

    @property
    def weather_due(self) -> bool:
        """It is to be read at the start and each hour, each half hour once it dries too fast."""
        if self.weather_age is None:
            return False
        fast = self.weather[-1].verdict in ("caution", "act")
        return self.weather_age > (SOONER if fast else EACH)

    @property
    def next_number(self) -> int:
        """Give the number of the load that comes next."""
        return max((one.number for one in self.lines), default=0) + 1

    @property
    def taken(self) -> int:
        """Count the loads that are in the form, or going in."""
        return sum(one.taken for one in self.lines)

    @property
    def before_last(self) -> int:
        """Count the loads that are placed when the last one is to be ordered; 0: now, or none is to be."""
        on_site = sum(one.state in ("coming", "waiting") for one in self.lines)
        return self.taken + on_site + len(self.rest) - 1 if self.rest else 0


def still_to_order(
    volume: Decimal, mix: Mix, here: Decimal, coming: Decimal
) -> tuple[Decimal, ...]:
    """List what is still to order, in loads: all that the panel takes with its waste, less what came of it.

    The waste of the whole panel is kept to the last load: an order cannot be made longer afterwards.
    """
    if here >= volume:
        return ()
    wanted = volume * (1 + (mix.waste or Decimal(0))) - here - coming
    if wanted <= 0:
        return ()
    rest = ordering.rounded_up(wanted, mix.order_step)
    return ordering.loads(rest, mix) or (rest,)


def pour_page(walk: Walk, now: datetime, jumps: Sequence[Jump] = ()) -> PourPage:
    """Work out how a pour stands at `now`, a time in the zone of the site."""
    job, record = walk.job, walk.record
    loads = loads_of(record)
    lines = load_lines(loads, job, now, jumps, pour_over(record, jumps))
    room = formed(walk)
    here = placed(loads)
    coming = sum(
        (
            one.load.volume
            for one in lines
            if one.state in ("coming", "waiting") and one.load.volume is not None
        ),
        Decimal(0),
    )
    order = ordering.to_order(room.volume, job.mix)
    over = record.pour_end is not None
    last = since_last(lines, jumps)
    gone = None if last is None or over else apart(last, clock_now(now, last), jumps)
    limit = job.limits.gap_minutes
    weather = weather_of(record, job.limits, jumps)
    spot = Spot(stack=walk.stack, panel=walk.number, mark=walk.mark)
    off = {one.number: tuple(of_load(spot, job, one)) for one in lines}
    watcher, curing = walk.find(WATCHER), walk.find(CURING)
    covered = record.closed is not None or (curing is not None and curing.found is not None)
    return PourPage(
        formed=room,
        order=order,
        planned=ordering.loads(order, job.mix),
        lines=lines,
        placed=here,
        going=sum((one.load.placed for one in lines if one.state == "placing"), Decimal(0)),
        left=max(room.volume - here, Decimal(0)),
        coming=coming,
        rejected=turned_away(loads),
        rest=() if over else still_to_order(room.volume, job.mix, here, coming),
        since_last=gone,
        over_gap=gone is not None and limit is not None and gone > timedelta(minutes=float(limit)),
        weather=weather,
        specimens=specimens(record),
        watcher=watcher.found if watcher and isinstance(watcher.found, str) else None,
        findings=(
            *(found for each in off.values() for found in each),
            *(short_pour(spot, job, here, room.volume) if over else ()),
            *(() if covered else drying(spot, job, weather[-1] if weather else None)),
        ),
        off=off,
        weather_age=None if covered or not weather else weather[-1].age(now, jumps),
        notes=_notes(record),
        jumped=_during(record, jumps),
    )


def _notes(record: PanelState) -> tuple[Entry, ...]:
    """List what was written to the panel, delays and all, from its first load or its start to its end."""
    begun = [*record.loads[:1], *([record.pour_start] if record.pour_start else ())]
    if not begun:
        return ()
    first = min(one.at for one in begun)
    last = record.pour_end.at if record.pour_end else None
    return tuple(
        one
        for one in record.notes
        if one.data.get("item") is None and one.at >= first and (last is None or one.at <= last)
    )


def _during(record: PanelState, jumps: Iterable[Jump]) -> tuple[Jump, ...]:
    """The jumps after the first thing that was written down of the pour, up to its end."""
    end = record.pour_end
    first: dict[str, int] = {}
    for entry in (
        *record.loads,
        *record.weather,
        *([record.pour_start] if record.pour_start else ()),
    ):
        first[entry.station] = min(entry.n, first.get(entry.station, entry.n))
    return tuple(
        jump
        for jump in jumps
        if jump.station in first
        and jump.n > first[jump.station]
        and (end is None or end.station != jump.station or jump.n <= end.n)
    )


# What is said of a pour in a sentence: what it takes, what is left, what to order and when, what counts.

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
    """Say what is still to order, and when the last load is: it is not to be known before."""
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
    """Say that a computer's clock was set back, in minutes; what is counted goes on as if it had not been."""
    for jump in page.jumped:
        gone = f"{max(1, round(jump.by.total_seconds() / 60))} min"
        yield (
            f"CLOCK SET BACK {gone} ({literal(jump.station)}, now {jump.at:%H:%M}): "
            "minutes run on as before"
        )


def offset_words(page: PourPage) -> str:
    """Say that the clocks were changed for summer or winter during the pour; "" where they were not."""
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
