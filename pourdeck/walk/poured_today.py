"""What was poured today, panel by panel, in the order in which they were begun."""

from datetime import datetime
from decimal import Decimal
from typing import Protocol

from attrs import frozen

from pourdeck.plan.records import Job
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.loads import Load, loads_of


@frozen(kw_only=True)
class PouredToday:
    """`placed`: m³ of the loads that were begun today."""

    stack: str
    number: int
    mark: str
    placed: Decimal
    begun: datetime


class Sources(Protocol):
    """What it is read from."""

    @property
    def job(self) -> Job: ...
    @property
    def state(self) -> SiteState: ...
    def now(self) -> datetime: ...


def poured_today(site: Sources) -> tuple[PouredToday, ...]:
    """By the day of the site; a load that went in before midnight is of the day before."""
    found = []
    for stack in site.job.stacks:
        for number, panel in enumerate(stack.panels, 1):
            record = site.state.panels.get(panel.mark)
            loads = loads_of(record) if record is not None and record.loads else ()
            today = [
                (at, load) for load in loads if load.placed and (at := _today(load, site.now()))
            ]
            if today:
                found.append(
                    PouredToday(
                        stack=stack.id,
                        number=number,
                        mark=panel.mark,
                        placed=sum((load.placed for _, load in today), Decimal(0)),
                        begun=min(at for at, _ in today),
                    )
                )
    return tuple(sorted(found, key=lambda one: (one.begun, one.stack, one.number)))


def _today(load: Load, now: datetime) -> datetime | None:
    """When it was begun, if that was today."""
    at = load.begun or load.ended
    if at is None or at.astimezone(now.tzinfo).date() != now.date():
        return None
    return at
