"""Dates and times as loggers write them, each in every order of figures in which it is one.

Names of months are read in English, German, French, Spanish and Italian as far as they differ in no month.
"""

import re
from datetime import date, datetime, time
from functools import lru_cache

from attrs import frozen

from pourdeck.walk.logger_asked import ORDERS, Order

WORDS: dict[Order, str] = {"ymd": "year first", "dmy": "day first", "mdy": "month first"}

_WEEKDAY = r"(?:[^\W\d]{2,10}[.,]{0,2} )?"
_DATE = re.compile(r"([0-9]{1,4})([-/.])([0-9]{1,2})\2([0-9]{1,4})\.?", re.ASCII)
_DAY_NAMED = re.compile(
    _WEEKDAY + r"([0-9]{1,2})\.?[-/ ]+([^\W\d]{3,10})\.?[-/ ,]+([0-9]{4}|[0-9]{2})"
)
_MONTH_NAMED = re.compile(_WEEKDAY + r"([^\W\d]{3,10})\.?[- ]+([0-9]{1,2}),?[- ]+([0-9]{4})")
_YEAR_NAMED = re.compile(r"([0-9]{4})[-/ ]([^\W\d]{3,10})\.?[-/ ]([0-9]{1,2})")
_PLAIN = re.compile(r"(20[0-9]{2})([01][0-9])([0-3][0-9])", re.ASCII)
_PLAIN_TIME = re.compile(r"([0-9]{8})[T ]?([0-2][0-9])([0-5][0-9])([0-5][0-9])?", re.ASCII)
_TIME = re.compile(
    r"([0-9]{1,2}):([0-9]{2})(?::([0-9]{2})(?:[.,:]([0-9]{1,9}))?)?(?: ?([AaPp])\.? ?[Mm]\.?)?",
    re.ASCII,
)
_OFFSET = re.compile(
    r"(.*[0-9Mm.]) ?(?:(?:UTC|GMT) ?)?([+-][0-9]{1,2}(?::?[0-9]{2})?)|(.*[0-9Mm.]) ?(?:Z|UTC|GMT)",
    re.ASCII,
)
_MONTHS = {
    word: month
    for month, words in enumerate(
        (
            "jan ene gen", "feb fév fev", "mar mär mrz", "apr avr abr", "may mai mag", "jun giu juin",
            "jul lug juil", "aug ago aoû aou", "sep set", "oct okt ott", "nov", "dec dez dic déc",
        ), 1,
    )
    for word in words.split()
}  # fmt: skip


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
    if not text or not any(char.isdigit() for char in text):
        return None
    tidy = " ".join(text.split())
    offset = ""
    # The hyphens of a date alone look like an offset too: only after a time of day it is one.
    found = _OFFSET.fullmatch(tidy)
    if found and (":" in tidy or "T" in tidy):
        left = found[1] or found[3]
        if ":" in left or "T" in left:
            tidy, offset = left, offset_text(found[2] or "+0")
            if not offset:
                return None
    plain = _PLAIN_TIME.fullmatch(tidy)
    if plain:
        day, gap, clock = plain[1], " ", f"{plain[2]}:{plain[3]}:{plain[4] or '00'}"
    elif re.match(r"[0-9-]{8,10}T", tidy):
        day, gap, clock = tidy.partition("T")
    else:
        day, gap, clock = _parted(tidy)
    if not gap:
        return None
    at = read_clock(clock)
    dates = read_date(day) if at is not None else {}
    if not dates or at is None:
        return None
    return Stamp(dates=dates, clock=at, offset=offset, text=text.strip())


def offset_text(written: str) -> str:
    """`+10:00` of `+10`, `+1000`, `+10:00`; "" where no place on earth has it."""
    figures = written[1:].replace(":", "")
    hours, rest = (figures[:-2], figures[-2:]) if len(figures) > 2 else (figures, "00")
    if int(hours) > 14 or int(rest) > 59:
        return ""
    return f"{written[0]}{int(hours):02}:{rest}"


def _parted(text: str) -> tuple[str, str, str]:
    """The date and the time of day of a text with a gap between: the time begins at its first colon."""
    colon = text.find(":")
    gap = text.rfind(" ", 0, colon) if colon > 0 else -1
    return (text[:gap].rstrip(", -"), " ", text[gap + 1 :]) if gap > 0 else (text, "", "")


@lru_cache(maxsize=512)
def _dates(text: str) -> tuple[tuple[Order, date], ...]:
    return tuple(_read_date(text).items())


def read_date(text: str) -> dict[Order, date]:
    """What a date can be, by the order of its figures; empty where it is none."""
    return dict(_dates(text.strip())) if len(text) < 40 else {}


def _read_date(text: str) -> dict[Order, date]:
    for pattern, (year, month, day) in (
        (_DAY_NAMED, (3, 2, 1)), (_MONTH_NAMED, (3, 1, 2)), (_YEAR_NAMED, (1, 2, 3)), (_PLAIN, (1, 2, 3)),
    ):  # fmt: skip
        named = pattern.fullmatch(text)
        if named:
            number = int(named[month]) if named[month].isdigit() else _month(named[month])
            found = _date(_year(named[year]), number, int(named[day]))
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


def _month(word: str) -> int:
    small = word.casefold()
    return _MONTHS.get(small[:4], _MONTHS.get(small[:3], 0))


def _year(text: str) -> int:
    return int(text) + (2000 if len(text) == 2 else 0)


def _date(year: int, month: int, day: int) -> date | None:
    if not 1990 <= year <= 2200:
        return None
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
