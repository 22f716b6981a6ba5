"""job.toml as a file: found, opened, decoded and parsed, or refused with what to do about it.

Nothing of a hostile file may hang or crash the deck, so what would take the TOML parser long, or
too deep, is looked for first.
"""

import os
import re
import stat
import tomllib
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from pourdeck.plan.fault import JobUnreadable
from pourdeck.plan.kinds import TooWide
from pourdeck.plan.literal import literal

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
