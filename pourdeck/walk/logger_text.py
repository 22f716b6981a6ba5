"""The text in a logger's file as rows of cells: its encoding, the sign between its columns, its quotes."""

import csv
import re
from collections.abc import Callable, Iterable, Sequence

from attrs import frozen

from pourdeck.plan.refusal import Refusal
from pourdeck.walk.logger_asked import fault

MOST_BYTES = 16_000_000
MOST_LINES = 20_000
MOST_CHARACTERS = 8_000_000
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
    lines = _LOST.sub("°", text.translate(_LIKE)).replace("\r\n", "\n").replace("\r", "\n")
    listed = lines.split("\n")
    sign = _sign(listed, holds)
    if sign == " ":
        return [
            Row(n, _apart(line), line) for n, line in enumerate(listed, 1) if line.strip()
        ], sign
    return _by_sign(listed, sign)


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
