"""The pour of a panel as the crew sees it: what it takes, what came, what is still to come and to write down.

Volumes are m³, exact.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.findings import Finding, Spot
from pourdeck.plan.records import Mix
from pourdeck.pour import order as ordering
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.clock_jumps import Jump, apart, clock_now
from pourdeck.walk.formed_volume import Formed, formed
from pourdeck.walk.load_lines import LoadLine, load_lines, since_last
from pourdeck.walk.loads import loads_of, placed, turned_away
from pourdeck.walk.pour_findings import drying, of_load, short_pour
from pourdeck.walk.pour_times import pour_over
from pourdeck.walk.records import Walk
from pourdeck.walk.strength_log import Specimen, specimens
from pourdeck.walk.weather_log import WeatherReading, weather_of

WATCHER = "ready.watcher"
CURING = "finish.cure-start"
"""The item that says the face is covered: until then it dries, poured or not."""


EACH, SOONER = timedelta(hours=1), timedelta(minutes=30)
"""How often the weather is read: usual practice, see `weather_log.WHAT_TO_DO`; common practice, no source."""


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
        """That of the load that comes next."""
        return max((one.number for one in self.lines), default=0) + 1

    @property
    def taken(self) -> int:
        """How many loads are in the form, or going in."""
        return sum(one.taken for one in self.lines)

    @property
    def before_last(self) -> int:
        """How many loads are placed when the last one is to be ordered; 0: now, or none is to be."""
        on_site = sum(one.state in ("coming", "waiting") for one in self.lines)
        return self.taken + on_site + len(self.rest) - 1 if self.rest else 0


def still_to_order(
    volume: Decimal, mix: Mix, here: Decimal, coming: Decimal
) -> tuple[Decimal, ...]:
    """What is still to order, in loads: all that the panel takes with its waste, less what came of it.

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
    """What stands at `now`, a time in the zone of the site."""
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
    """What was written to the panel, delays and all, from its first load or its start to its end."""
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
