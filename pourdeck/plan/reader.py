"""Reading job.toml: the file, then the job, or every fault of it in one go.

A fault of the file (a key, a type, a range) makes the job unreadable as a plan. A fault of the plan
(an opening outside its panel) does not: the job reads, and `checks` finds it. Where the file has
faults, those of the plan are reported with them, as far as its panels could be read.
"""

import os
import re
import stat
import tomllib
from collections.abc import Iterable, Iterator
from decimal import Decimal, InvalidOperation
from itertools import count, islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from attrs import evolve

from pourdeck.plan.checks import Named, feature_faults, lift_order, repeated
from pourdeck.plan.kinds import Fault, TooWide
from pourdeck.plan.kinds import Path as Place
from pourdeck.plan.messages import Finding, JobFaulty, JobUnreadable, literal
from pourdeck.plan.records import Job, Panel, Units
from pourdeck.plan.schema import FILE, PANEL

if TYPE_CHECKING:
    from pourdeck.plan.lines import Lines


# job.toml as a file: found, opened, decoded and parsed, or refused with what to do about it.
#
# Nothing of a hostile file may hang or crash the deck, so what would take the TOML parser long, or
# too deep, is looked for first.

FILE_NAME = "job.toml"
LARGEST = 1024 * 1024
"""Bytes. Three times the plan of a very large site (sixty stacks of eight panels, every opening and
cast-in given), and still refused or read in a second or two whatever is in it."""

LONGEST_KEY = 4
"""Parts of a dotted key, at most. No key of a plan has more than three, and the parser's time grows
with their square."""

_PART = r"""(?:[A-Za-z0-9_-]++|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+')"""
_TOKEN = (
    r'"""(?:[^\\]|\\.)*?(?:"""|\Z)'
    r"|'''.*?(?:'''|\Z)"
    rf"|(?P<key>{_PART}(?:[ \t]*+\.[ \t]*+{_PART}){{{LONGEST_KEY},}})"
    rf"|{_PART}"
    r'|"(?:[^"\\\n]|\\[^\n])*+'
    r"|\#[^\n]*+"
    r"|[^\"'#A-Za-z0-9_-]++"
    r"|."
)
_AT = r" \(at (?:line (\d+), column (\d+)|end of document)\)\Z"
_LONG_NUMBER = r"(?<![\d_])\d[\d_]{4000}"
_MEANINGS = {
    "Cannot overwrite a value": "This key stands twice in its table.",
    "Cannot declare": "This table stands twice.",
    "Invalid statement": "A line is a key = value, a [table], or a comment after #.",
    "Invalid value": "A value is a number, text in quotes, true, false, [ a list ] or { a table }.",
    "Expected '=' after a key": "A line is a key, then =, then its value.",
    "Expected newline": "Text goes in quotes, a number has no unit, each key has its own line.",
    "Illegal character": "Text goes on one line between two quotes.",
    "Unterminated string": "A closing quote is missing.",
    "Unescaped": "Write two backslashes for one, or put the text in single quotes.",
    "Found invalid character": "Take the control character out.",
    "Unclosed": "A closing bracket or a comma is missing.",
}


def job_path(folder: Path) -> Path:
    """The job.toml of a job's folder; `folder` may be the file itself. Raises JobUnreadable."""
    if folder.name == FILE_NAME and not _is(folder, stat.S_ISDIR):
        return folder
    mode = _mode(folder, "There is no such job folder", "Give the folder that holds job.toml.")
    if not stat.S_ISDIR(mode):
        raise JobUnreadable(
            "This is not a job folder",
            f"{literal(str(folder))} is a file. Give the folder that holds job.toml.",
        )
    path = folder / FILE_NAME
    _mode(path, "This folder has no job.toml", f"A job folder holds its plan in {FILE_NAME}.")
    return path


def read_text(path: Path) -> str:
    """The text of a job.toml, without a byte order mark. Raises JobUnreadable."""
    shown = literal(str(path))
    mode = _mode(path, "There is no such file", "Give the folder that holds job.toml.")
    if stat.S_ISDIR(mode):
        raise JobUnreadable(
            "job.toml is a folder", f"{shown} is a folder; it must be the plan itself."
        )
    if not stat.S_ISREG(mode):
        raise JobUnreadable(
            "job.toml is not a file", f"{shown} is a device or pipe, not a plain file."
        )
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST + 1)
    except OSError as error:
        raise _unreadable(path, error) from None
    if len(raw) > LARGEST:
        raise JobUnreadable(
            "job.toml is too large",
            f"{shown} is over {LARGEST // 1024 // 1024} MiB, the most a plan may have. "
            "Take out what is not part of the plan, or split the job.",
        )
    return decode(raw, shown)


def decode(raw: bytes, shown: str) -> str:
    """The text of UTF-8 bytes. `shown` names the file in messages. Raises JobUnreadable."""
    remedy = "Save the file as UTF-8 in the editor, then read it again."
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise JobUnreadable("job.toml is not UTF-8", f"{shown} is UTF-16. {remedy}")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        column = error.start - (raw.rfind(b"\n", 0, error.start) + 1) + 1
        raise JobUnreadable(
            "job.toml is not UTF-8",
            f"{shown}, line {line}, byte {column} of the line: 0x{raw[error.start]:02x} is not "
            f"UTF-8. {remedy}",
            line=line,
            column=column,
        ) from None
    return text


def parse(text: str, file: str = FILE_NAME) -> dict[str, Any]:
    """The tables of a job's text, numbers with a point as exact decimals. Raises JobUnreadable."""
    shown = literal(file)
    if "\0" in text:
        raise _at(text, text.index("\0"), shown, "job.toml holds a NUL character", "Take it out.")
    _refuse_long_keys(text, shown)
    try:
        return tomllib.loads(text, parse_float=exact)
    except tomllib.TOMLDecodeError as error:
        raise _broken(text, str(error), shown) from None
    except RecursionError:
        raise JobUnreadable(
            "job.toml is nested too deeply",
            f"{shown} has lists or tables inside each other to a depth no plan needs. "
            "Look for brackets that were never closed.",
        ) from None
    except ValueError:
        long = re.search(_LONG_NUMBER, text)
        start = long.start() if long else 0
        title = "job.toml holds a number that is far too long"
        raise _at(text, start, shown, title, "Write it as read off the drawing.") from None


def exact(number: str) -> Decimal | TooWide:
    """The number as typed; what no decimal can hold is left to be refused with its place."""
    try:
        return Decimal(number)
    except InvalidOperation:
        return TooWide(number)


def _refuse_long_keys(text: str, shown: str) -> None:
    # Hardly any line has so many points; the exact look is only for files that have one.
    if all(line.count(".") < LONGEST_KEY for line in text.split("\n")):
        return
    for token in re.finditer(_TOKEN, text, re.DOTALL):
        if token["key"]:
            raise _at(
                text, token.start(), shown, "job.toml is nested too deeply",
                f"A dotted key has more than {LONGEST_KEY} parts; no key of a plan has.",
            )  # fmt: skip


def _broken(text: str, said: str, shown: str) -> JobUnreadable:
    found = re.search(_AT, said)
    place = found if found and found[1] else None
    line = int(place[1]) if place else text.rstrip().count("\n") + 1
    lines = text.split("\n", line)
    source = lines[line - 1].rstrip("\r") if line <= len(lines) else ""
    column = int(place[2]) if place else len(source) + 1
    what = literal(said[: found.start()] if found else said)[:200]
    meaning = next((means for start, means in _MEANINGS.items() if what.startswith(start)), "")
    where = f"{shown}, line {line}, column {column}"
    body = f"{where}: {what}. {meaning}".rstrip() + f"\n\n{_excerpt(source, column)}"
    return JobUnreadable("job.toml is not valid TOML", body, line=line, column=column)


def _excerpt(source: str, column: int) -> str:
    """The line with a mark under the place, cut to what a small screen holds."""
    start = max(0, column - 40)
    before = literal(source[start : column - 1])
    return f"  {before}{literal(source[column - 1 : start + 70])}\n  {' ' * len(before)}^"


def _at(text: str, offset: int, shown: str, title: str, remedy: str) -> JobUnreadable:
    line = text.count("\n", 0, offset) + 1
    column = offset - (text.rfind("\n", 0, offset) + 1) + 1
    body = f"{shown}, line {line}, column {column}. {remedy}"
    return JobUnreadable(title, body, line=line, column=column)


def _is(path: Path, wanted: Any) -> bool:
    try:
        return bool(wanted(path.stat().st_mode))
    except (OSError, ValueError):
        return False


def _mode(path: Path, missing: str, remedy: str) -> int:
    try:
        return path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        raise JobUnreadable(missing, f"{literal(str(path))} does not exist. {remedy}") from None
    except (OSError, ValueError) as error:
        raise _unreadable(path, error) from None


def _unreadable(path: Path, error: OSError | ValueError) -> JobUnreadable:
    reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    if isinstance(error, PermissionError):
        remedy = "Ask whoever owns it for leave to read it."
    else:
        remedy = "Check the name, and that the disk it is on can be read."
    return JobUnreadable(
        "The job cannot be read", f"{literal(str(path))}: {os.fsdecode(reason)}. {remedy}"
    )


# Reading job.toml: the job, or every fault of it in one go.

MOST_FAULTS = 1000
"""So many are written out, the rest is counted: such a file is no plan with slips in it."""

_FEATURE = re.compile(r"(openings|castins) (\d+)\Z")

PANEL_DEEP = 4
"""Parts of a path to a key of a panel: stack, which, panel, which; its lists are deeper."""


def read_job(folder: Path) -> Job:
    """The job of a folder, or of the job.toml itself. Raises JobUnreadable, JobFaulty."""
    path = job_path(folder)
    return read_job_text(read_text(path), path.parent)


def read_job_text(text: str, folder: Path, file: str = FILE_NAME) -> Job:
    """The job that stands in `text`; `file` names it. Raises JobUnreadable, JobFaulty."""
    text = text.removeprefix("\ufeff")
    data = parse(text, file)
    faults: list[Fault] = []
    top = FILE.take(data, (), faults)
    if faults:
        raise JobFaulty(_findings(faults, data, text, file))
    top.pop("format")
    return Job(folder=folder, **top.pop("job"), **top)


def locate(findings: Iterable[Finding], text: str, file: str = FILE_NAME) -> tuple[Finding, ...]:
    """Add to findings that name a stack the file and the line they are about.

    `text` is that of the job.toml the findings were made from.
    """
    given = tuple(findings)
    if all(one.stack is None or one.line is not None for one in given):
        return given
    # Loaded here so that a job with nothing wrong never pays for it.
    from pourdeck.plan.lines import DEEPEST, Lines

    # What stands in the lists of a panel takes the most time, and is seldom asked for.
    inside = any(one.table and _FEATURE.match(one.table) for one in given)
    lines = Lines(text.removeprefix("\ufeff"), DEEPEST if inside else PANEL_DEEP)
    places: dict[str, int] = {}
    for index in count():
        if not lines.has(("stack", index)):
            break
        stack_id = lines.string_at(("stack", index, "id"))
        if stack_id is not None:
            places.setdefault(stack_id, index)
    return tuple(_located(one, places, lines, file) for one in given)


def _located(finding: Finding, places: dict[str, int], lines: "Lines", file: str) -> Finding:
    index = places.get(finding.stack) if finding.stack is not None else None
    if index is None or finding.line is not None:
        return finding
    path: Place = ("stack", index)
    table = f"[[stack]] {index + 1}"
    key = finding.key or "id"
    if finding.panel is not None:
        path = (*path, "panel", finding.panel - 1)
        table = f"[[stack.panel]] {finding.panel} of stack {literal(finding.stack or '')}"
        key = finding.key or "mark"
        feature = _FEATURE.match(finding.table or "")
        if feature:
            path = (*path, feature[1], int(feature[2]) - 1)
            table = f"{finding.table} of {table}"
            key = finding.key or "name"
    return evolve(finding, file=file, line=lines.line_of((*path, key)), table=table)


def _findings(
    faults: list[Fault], data: dict[str, Any], text: str, file: str
) -> tuple[Finding, ...]:
    from pourdeck.plan.lines import Lines
    from pourdeck.plan.wording import at_line, finding_of

    lines = Lines(text)
    found = [finding_of(fault, data, lines, file) for fault in faults[:MOST_FAULTS]]
    units: Units = "imperial" if _get(data, "job", "units") == "imperial" else "metric"
    for one in locate(islice(_plan_findings(data, units), MOST_FAULTS), text, file):
        where = at_line(file, one.line or 1, one.table or "", one.mark)
        found.append(evolve(one, message=f"{where}: {one.message}"))
    found.sort(key=lambda finding: finding.line or 0)
    if len(faults) > MOST_FAULTS:
        found.append(_more(len(faults) - MOST_FAULTS, file))
    return tuple(found)


def _more(left: int, file: str) -> Finding:
    message = f"{literal(file)}: {left} more faults. Correct these first, then read the file again."
    return Finding(code="more-faults", severity="error", message=message, file=file)


def _plan_findings(data: dict[str, Any], units: Units) -> Iterator[Finding]:
    """Yield what `checks` finds among the panels of a faulty file, as far as they can be read."""
    stacks = [(stack["id"], _list(stack, "panel")) for stack in _list(data, "stack") if _id(stack)]
    everyone = [list(_named(stack, panels)) for stack, panels in stacks]
    yield from repeated(one for panels in everyone for one in panels)
    for panels in everyone:
        yield from lift_order(panels)
    for stack, given in stacks:
        for number, one in enumerate(given, 1):
            faults: list[Fault] = []
            panel = PANEL.take(one, (), faults) if isinstance(one, dict) else None
            if panel is not None and not faults:
                yield from feature_faults(stack, number, Panel(**panel), units)


def _named(stack: str, panels: list[Any]) -> Iterator[Named]:
    for number, panel in enumerate(panels, 1):
        mark, lift = _get(panel, "mark"), _get(panel, "lift")
        if isinstance(mark, str):
            yield Named(stack, number, mark, lift if type(lift) is int else None)


def _id(stack: object) -> bool:
    return isinstance(_get(stack, "id"), str)


def _list(table: object, key: str) -> list[Any]:
    value = _get(table, key)
    return value if isinstance(value, list) else []


def _get(table: object, *keys: str) -> Any:
    for key in keys:
        table = table.get(key) if isinstance(table, dict) else None
    return table
