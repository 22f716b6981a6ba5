"""Dates and times as loggers write them: in one order through a whole file, or refused.

A date in figures is read day first or month first only where the file itself leaves no choice: some day above
12, or every day the same as its month. A year of two figures may be first or last, and is held to the same.
"""

import re
from collections.abc import Sequence
from datetime import date, datetime, time
from typing import Literal

from attrs import frozen

Order = Literal["ymd", "dmy", "mdy"]

ORDERS: tuple[Order, ...] = ("ymd", "dmy", "mdy")

WORDS: dict[Order, str] = {"ymd": "year first", "dmy": "day first", "mdy": "month first"}

_DATE = re.compile(r"([0-9]{1,4})([-/.])([0-9]{1,2})\2([0-9]{1,4})", re.ASCII)
_NAMED = re.compile(r"([0-9]{1,2})[- ]([A-Za-z]{3,9})[- ]([0-9]{4})", re.ASCII)
_TIME = re.compile(
    r"([0-9]{1,2}):([0-9]{2})(?::([0-9]{2})(?:[.,]([0-9]{1,6})[0-9]*)?)?(?: ?([AaPp])\.?[Mm]\.?)?",
    re.ASCII,
)
_OFFSET = re.compile(r"(.*[0-9]) ?(Z|[+-][0-9]{2}:?[0-9]{2})", re.ASCII)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@frozen(kw_only=True)
class Stamp:
    """A date in each order in which it is one, and a time of day. `offset`: as `+10:00`, "" where none."""

    dates: dict[Order, date]
    clock: time
    offset: str
    text: str

    def moment(self, order: Order) -> datetime:
        """The time by the clock on the wall, with its offset where one is written."""
        naive = datetime.combine(self.dates[order], self.clock)
        return datetime.fromisoformat(naive.isoformat() + self.offset) if self.offset else naive


def read_stamp(text: str) -> Stamp | None:
    """A date and a time in one text; None where it is none."""
    tidy = " ".join(text.split())
    found = _OFFSET.fullmatch(tidy)
    offset = ""
    # The hyphens of a date alone look like an offset too: only after a time of day it is one.
    if found and ":" in found[1]:
        tidy, offset = found[1], found[2].replace("Z", "+00:00")
    day, gap, clock = tidy.partition("T") if re.match(r"[0-9-]{8,10}T", tidy) else _parted(tidy)
    dates, at = read_date(day), read_clock(clock)
    if not gap or not dates or at is None:
        return None
    return Stamp(dates=dates, clock=at, offset=offset, text=text.strip())


def _parted(text: str) -> tuple[str, str, str]:
    """The date and the time of day of a text with a gap between: the time begins at its first colon."""
    colon = text.find(":")
    gap = text.rfind(" ", 0, colon) if colon > 0 else -1
    return (text[:gap].rstrip(","), " ", text[gap + 1 :]) if gap > 0 else (text, "", "")


def read_date(text: str) -> dict[Order, date]:
    """What a date can be, by the order of its figures; empty where it is none."""
    text = text.strip()
    named = _NAMED.fullmatch(text)
    if named:
        month = named[2][:3].lower()
        if month not in _MONTHS:
            return {}
        found = _date(int(named[3]), _MONTHS.index(month) + 1, int(named[1]))
        return dict.fromkeys(ORDERS, found) if found else {}
    match = _DATE.fullmatch(text)
    if not match:
        return {}
    first, middle, last = match[1], match[3], match[4]
    if len(first) == 4:
        found = _date(int(first), int(middle), int(last)) if len(last) <= 2 else None
        return dict.fromkeys(ORDERS, found) if found else {}
    if len(first) > 2 or len(last) == 3:
        return {}
    dates: dict[Order, date | None] = {
        "ymd": _date(2000 + int(first), int(middle), int(last)) if len(last) == 2 else None,
        "dmy": _date(_year(last), int(middle), int(first)) if len(last) != 1 else None,
        "mdy": _date(_year(last), int(first), int(middle)) if len(last) != 1 else None,
    }
    return {order: one for order, one in dates.items() if one is not None}


def _year(text: str) -> int:
    return int(text) + (2000 if len(text) == 2 else 0)


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def read_clock(text: str) -> time | None:
    """`07:40`, `07:40:30`, `7:40 AM`; None where it is none."""
    match = _TIME.fullmatch(text.strip())
    if not match:
        return None
    hour, minute, second = int(match[1]), int(match[2]), int(match[3] or 0)
    if match[5]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match[5] in "Pp" else 0)
    try:
        return time(hour, minute, second)
    except ValueError:
        return None


@frozen(kw_only=True)
class Unclear:
    """A date that can be read in two ways, and the place of its stamp."""

    index: int
    first: date
    second: date


def order_of(stamps: Sequence[Stamp]) -> Order | Unclear | int:
    """The one order in which all dates are dates; Unclear where there are two that differ.

    Where no order fits all, the place of the first stamp that cannot be read as those before it are.
    """
    left: tuple[Order, ...] = ORDERS
    for index, stamp in enumerate(stamps):
        still = tuple(order for order in left if order in stamp.dates)
        if not still:
            return index
        left = still
    best = left[0]
    for other in left[1:]:
        for index, stamp in enumerate(stamps):
            if stamp.dates[best] != stamp.dates[other]:
                return Unclear(index=index, first=stamp.dates[best], second=stamp.dates[other])
    return best
