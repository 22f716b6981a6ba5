"""The order of the figures in the dates of a logger's file: the one that leaves no doubt, or a question.

An order is out where a date would be none, where the readings would be still to come, where all of them would
be from before the pour, and where they would neither rise nor fall. Only then is it asked for.
"""

from collections.abc import Sequence
from datetime import date, datetime, timedelta, tzinfo
from itertools import pairwise

from attrs import frozen

from pourdeck.plan.refusal import Refusal
from pourdeck.walk.logger_asked import NOTHING, ORDERS, Given, Order, Pour, Question, fault
from pourdeck.walk.logger_dates import WORDS, Stamp
from pourdeck.walk.logger_table import Line

DAY = timedelta(days=1)


@frozen(kw_only=True)
class Ordered:
    """The order, and how it is known where the dates themselves leave a choice."""

    order: Order
    said: str = ""


def order_of(
    lines: Sequence[Line], pour: Pour, zone: tzinfo, now: datetime, given: Given
) -> Ordered | Refusal:
    """The one order in which all dates are dates, of readings that can be of this pour."""
    stamps = [line.stamp for line in lines if line.stamp is not None]
    left: tuple[Order, ...] = ORDERS
    for line, stamp in zip(lines, stamps, strict=True):
        still = tuple(order for order in left if order in stamp.dates)
        if given.dates is not None and given.dates not in stamp.dates:
            return fault(
                line.number,
                f"{stamp.text} is no date {WORDS[given.dates]}",
                "Put it right.",
                line.text,
            )
        if not still:
            return fault(
                line.number,
                f"{stamp.text} is no date as those above it are written",
                "Put it right.",
                line.text,
            )
        left = still
    if given.dates is not None:
        return Ordered(order=given.dates, said=f"Dates are {WORDS[given.dates]}, as was said.")
    days = {order: tuple(stamp.dates[order] for stamp in stamps) for order in left}
    differ = [one for n, one in enumerate(left) if days[one] not in [days[two] for two in left[:n]]]
    if len(differ) == 1:
        plain = all(len(set(stamp.dates)) == 3 for stamp in stamps)
        return Ordered(order=left[0], said="" if plain else f"Dates are {WORDS[left[0]]}.")
    outs = {order: _out(stamps, days[order], pour, zone, now) for order in differ}
    can = [order for order in differ if not outs[order]]
    if len(can) == 1:
        why = "; ".join(f"{WORDS[one]} they would be {outs[one]}" for one in differ if outs[one])
        return Ordered(order=can[0], said=f"Dates are {WORDS[can[0]]}: {why}.")
    can = can or differ
    n = next(n for n in range(len(stamps)) if len({days[one][n] for one in can}) > 1)
    shown = " or ".join(dict.fromkeys(_day(days[one][n]) for one in can))
    return Question(
        title=f"Line {lines[n].number}: {stamps[n].text} is {shown}.",
        body=f"No line of the file shows which it is. {NOTHING}",
        about="dates",
        choices=tuple((one, f"{WORDS[one]}: {_day(days[one][n])}") for one in can),
    )


def _day(day: date) -> str:
    return f"{day:%d %B %Y}"


def _out(
    stamps: Sequence[Stamp], days: Sequence[date], pour: Pour, zone: tzinfo, now: datetime
) -> str:
    """Why dates cannot be read so; "" where they can."""
    walls = [datetime.combine(day, one.clock) for day, one in zip(days, stamps, strict=True)]
    # Offsets are not known yet: a day either way is left to them.
    if max(walls) > now.astimezone(zone).replace(tzinfo=None) + DAY:
        return "still to come"
    if pour.began is not None:
        began = pour.began.astimezone(zone).replace(tzinfo=None)
        if max(walls) < began - DAY:
            return "from before the pour"
    hour = timedelta(hours=1)
    rise = all(b >= a - hour for a, b in pairwise(walls))
    fall = all(b <= a + hour for a, b in pairwise(walls))
    return "" if rise or fall else "out of order"
