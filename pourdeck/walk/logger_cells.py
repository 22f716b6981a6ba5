"""A logger's file as rows of cells, the dates in them, and what is asked of it."""

import csv
import re
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime, time
from decimal import Decimal
from functools import lru_cache
from typing import Literal

from attrs import frozen

from pourdeck.plan.messages import Refusal, literal

# What is asked of a logger's file: bad lines by their number, and questions that only people can answer.
#
# A file that does not say its unit, its column, its order of dates or its day is not guessed at:
# nothing of it is taken, and a `Question` says what to choose from. The answer comes back in `Given`.

Degrees = Literal["°C", "°F", "K"]
Order = Literal["ymd", "dmy", "mdy"]
About = Literal["unit", "column", "dates", "start"]

UNITS: tuple[Degrees, ...] = ("°C", "°F", "K")

ORDERS: tuple[Order, ...] = ("ymd", "dmy", "mdy")

NOTHING = "Nothing of the file was taken."


@frozen(kw_only=True)
class Question(Refusal):
    """Nothing is taken before somebody says `about` what: one of `choices` (key, words), or a time."""

    about: About
    choices: tuple[tuple[str, str], ...] = ()


@frozen(kw_only=True)
class Given:
    """Hold what somebody said of a file. `column`: its name or its number from 1. `start`: when it begins."""

    unit: Degrees | None = None
    column: str = ""
    dates: Order | None = None
    start: datetime | None = None


@frozen(kw_only=True)
class Pour:
    """Hold what is known of the concrete. `warm`: of each load as it came, °C."""

    began: datetime | None = None
    ended: datetime | None = None
    warm: tuple[Decimal, ...] = ()


def unit_named(typed: str) -> Degrees | None:
    """The unit that somebody means by `C`, `°F`, `k`."""
    letter = typed.strip().removeprefix("°").upper()
    return next((one for one in UNITS if one[-1] == letter), None)


def order_named(typed: str) -> Order | None:
    """The order that somebody means by `dmy`."""
    small = typed.strip().lower()
    return next((one for one in ORDERS if one == small), None)


def fault(number: int, why: str, remedy: str, text: str = "") -> Refusal:
    """Refuse a file: say what is wrong with a line of it, and the `text` that stands there."""
    reads = f"It reads {shown(text)}. " if text.strip() else ""
    return Refusal(title=f"Line {number}: {why}.", body=f"{reads}{remedy} {NOTHING}")


def shown(text: str, most: int = 60) -> str:
    """Show what stands in a file, harmless and in one line."""
    text = " ".join(text.split())
    return literal(text) if len(text) <= most else f"{literal(text[:most])}…"


def line_words(numbers: tuple[int, ...]) -> str:
    """`lines 1 to 3 and 504`."""
    spans: list[list[int]] = []
    for number in numbers:
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    parts = [f"{a}" if a == b else f"{a} to {b}" if b > a + 1 else f"{a}, {b}" for a, b in spans]
    if len(parts) > 6:
        parts = [*parts[:5], f"{len(numbers)} in all, the last one {numbers[-1]}"]
    words = ", ".join(parts[:-1]) + f" and {parts[-1]}" if len(parts) > 1 else "".join(parts)
    return f"{'line' if len(numbers) == 1 else 'lines'} {words}"


# The text in a logger's file as rows of cells: its encoding, the sign between its columns, its quotes.

MOST_LINES = 20_000
"""Two weeks, a reading a minute: longer than any panel is watched."""

MOST_CHARACTERS = 8_000_000
"""400 a line."""

MOST_BYTES = 2 * MOST_CHARACTERS
"""Bound a file in an encoding of two bytes for each character."""

MOST_IN_LINE = 10_000
"""Characters of one line, the empty columns at its end left out: 20 a column."""

MOST_COLUMNS = 500
"""Far more than the sensors of any logger; each column is tried as a time and as a temperature."""

FIRST_ROWS = 200
"""Among so many rows the sign between columns shows."""

SIGNS = ";\t|,"
ENCODINGS = ("utf-8-sig", "cp1252")

_LIKE = str.maketrans(
    {"\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2007": " ", "\u2212": "-", "\u00ba": "°", "\u02da": "°",
     "\u2103": "°C", "\u2109": "°F", "\ufeff": None, "\u200b": None, "\u200e": None, "\u200f": None}
)  # fmt: skip
"""Spaces, minuses and degree signs of other kinds, and signs that nobody sees."""

_LOST = re.compile(r"(?:[\ufffdø¡]|Â°)(?=\s?[CFK]\b)")
"""A degree sign that was read in another encoding than it was written in."""

_TOGETHER = re.compile(
    r"(?<=[0-9]) +(?=(?:(?:°|deg\.? ?)? ?[CFK]|[AaPp]\.?[Mm]\.?)(?: |$))|(?<=[0-9]) +(?=[0-9]{1,2}:[0-9]{2})"
    r"|(?<=date) +(?=time)|(?<=datum) +(?=zeit|uhrzeit)| +(?=[(\[]|°)",
    re.IGNORECASE,
)
"""Spaces within a cell: before a unit, between a date and its time."""


@frozen(eq=False, repr=False)
class Row:
    """A line that holds anything: its number from 1, its cells, and all of it."""

    number: int
    cells: tuple[str, ...]
    text: str


def decoded(raw: bytes) -> str | Refusal:
    """The text of a file, whichever of the usual encodings it has."""
    none = Refusal(title="This is no text file.", body="Export the readings as CSV and read that.")
    wide = _wide(raw)
    for encoding in (wide,) if wide else ENCODINGS:
        try:
            return raw.decode(encoding)
        except UnicodeDecodeError:
            continue
    return none


def _wide(raw: bytes) -> str:
    """UTF-16 by its mark, or by every other byte being nought."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    first = raw[:200]
    even, odd = first[0::2].count(0), first[1::2].count(0)
    if max(even, odd) * 3 < len(first):
        return ""
    return "utf-16-le" if odd > even else "utf-16-be"


def rows_of(text: str, holds: Callable[[Sequence[str]], bool]) -> tuple[list[Row], str] | Refusal:
    """The rows of a text and the sign between its cells: the first one by which a row `holds` a reading."""
    if len(text) > MOST_CHARACTERS or text.count("\n") > MOST_LINES:
        return Refusal(
            title="This file is too long for the readings of one panel.",
            body=f"At most {MOST_LINES} lines. Export fewer days, or a reading every few minutes.",
        )
    if "\x00" in text:
        return Refusal(
            title="This is no text file.", body="Export the readings as CSV and read that."
        )
    listed = re.split(r"\r\n|\r|\n", text)
    if (wide := _too_wide(listed)) is not None:
        return wide
    listed = _LOST.sub("°", "\n".join(listed).translate(_LIKE)).split("\n")
    sign = _sign(listed, holds)
    if sign == " ":
        return [
            Row(n, _apart(line), line) for n, line in enumerate(listed, 1) if line.strip()
        ], sign
    return _by_sign(listed, sign)


def _too_wide(lines: Sequence[str]) -> Refusal | None:
    """The first line that no logger writes, before anything else is made of it."""
    for number, line in enumerate(lines, 1):
        held = line.rstrip(f"{SIGNS} ")
        if len(held) > MOST_IN_LINE:
            why = f"{len(held)} characters long, more than {MOST_IN_LINE}"
        elif (cells := 1 + max(map(held.count, (*SIGNS, " ")))) > MOST_COLUMNS:
            why = f"{cells} columns wide, more than {MOST_COLUMNS}"
        else:
            continue
        return fault(number, why, "Export time and temperature alone.", held[:80])
    return None


def _sign(lines: Sequence[str], holds: Callable[[Sequence[str]], bool]) -> str:
    first = [line for line in lines[: 2 * FIRST_ROWS] if line.strip()][:FIRST_ROWS]
    for sign in SIGNS:
        if any(sign in line for line in first) and any(holds(row) for row in _tried(first, sign)):
            return sign
    if any(holds(_apart(line)) for line in first):
        return " "
    counts = {sign: sum(sign in line for line in first) for sign in SIGNS}
    best = next((one for one in SIGNS if counts[one] * 2 >= len(first)), "")
    return best or (" " if any("  " in line.strip() for line in first) else ",")


def _tried(lines: Iterable[str], sign: str) -> list[list[str]]:
    found = []
    try:
        for cells in csv.reader(lines, delimiter=sign, skipinitialspace=True):
            found.append([cell.strip() for cell in cells])  # noqa: PERF401 - what came before an error counts
    except csv.Error:
        pass
    return found


def _by_sign(lines: Sequence[str], sign: str) -> tuple[list[Row], str] | Refusal:
    # Thousands of signs at the end of a line are a table's empty columns.
    short = [line.rstrip(sign + " ") for line in lines]
    reader = csv.reader(
        (line + "\n" for line in short), delimiter=sign, strict=True, skipinitialspace=True
    )
    rows: list[Row] = []
    start = 1
    try:
        for cells in reader:
            tidy = tuple([cell.strip() for cell in cells])
            if any(tidy):
                rows.append(Row(start, tidy, "\n".join(lines[start - 1 : reader.line_num])))
            start = reader.line_num + 1
    except csv.Error as error:
        text = lines[start - 1] if start <= len(lines) else ""
        return fault(start, f"not to be read as CSV ({error})", "Look at its quotes.", text)
    if sign == "|" and all(not row.cells[0] for row in rows if row.cells):
        rows = [Row(row.number, row.cells[1:], row.text) for row in rows]
    return rows, sign


def _apart(line: str) -> tuple[str, ...]:
    """The cells of a line without a sign between them: two spaces part them, or else each one does."""
    joined = _TOGETHER.sub("\u00a0", line.strip())
    wide = re.split(r"\t| {2,}", joined)
    cells = wide if len(wide) > 1 else joined.split(" ")
    return tuple([cell.replace("\u00a0", " ") for cell in cells])


# Dates and times as loggers write them, each in every order of figures in which it is one.
#
# Names of months are read in English, German, French, Spanish and Italian as far as they differ in no
# month.

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
    """Give the dates that a text can be, by the order of its figures; empty where it is none."""
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
