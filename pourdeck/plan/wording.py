"""The words for a fault in job.toml: where it stands, what was found, what would be right."""

from collections.abc import Iterable, Sequence
from datetime import date, time
from decimal import Decimal
from difflib import get_close_matches
from typing import Any

from pourdeck.plan.kinds import Fault, Path, TooWide
from pourdeck.plan.lines import Lines
from pourdeck.plan.messages import Finding, literal

_LONGEST_VALUE = 60
_LONGEST_NAME = 100
_DOUBLE = ("person", "stack", "step", "word")


def finding_of(fault: Fault, data: dict[str, Any], lines: Lines, file: str) -> Finding:
    """The finding for a fault in the parsed `data` of a file."""
    table, key, item = split_path(fault.path, data)
    stack, number, mark = place_of(fault.path, data)
    name = table_name(table, data)
    line = lines.line_of(fault.path)
    return Finding(
        code=fault.code,
        severity="error",
        message=f"{at_line(file, line, name, mark)}: {_said(fault, key, item)}",
        stack=stack,
        panel=number,
        mark=mark,
        file=file,
        line=line,
        table=name,
        key=key,
    )


def at_line(file: str, line: int, table: str, mark: str | None) -> str:
    """Where a fault stands, as its message begins."""
    marked = f", panel {literal(mark)}" if mark and mark.strip() else ""
    return f"{literal(file)} line {line}, {table}{marked}"


def split_path(path: Path, data: dict[str, Any]) -> tuple[Path, str | None, int | None]:
    """The table a path lies in, the key in it, and which value of that key's list, from 1."""
    if isinstance(_at(path, data), dict) and path and isinstance(path[-1], int):
        return path, None, None
    item = None
    last = path[-1] if path else None
    if isinstance(last, int):
        path, item = path[:-1], last + 1
    return (path[:-1], _whole(str(path[-1])), item) if path else ((), None, item)


def table_name(path: Path, data: dict[str, Any]) -> str:
    """A table as the office knows it: `openings 2 of [[stack.panel]] 3 of stack A`."""
    if not path:
        return "top of the file"
    if path[0] == "stack" and len(path) >= 2:
        if len(path) >= 4 and path[2] == "panel":
            return _within(
                path[4:], f"[[stack.panel]] {_number(path[3])} of {_stack_name(path, data)}"
            )
        return _within(path[2:], f"[[stack]] {_number(path[1])}")
    first = literal(str(path[0]))
    if len(path) >= 2 and isinstance(path[1], int):
        header = f"[[{first}]]" if first in _DOUBLE else first
        return _within(path[2:], f"{header} {_number(path[1])}")
    return _within(path[1:], f"[{first}]")


def place_of(path: Path, data: dict[str, Any]) -> tuple[str | None, int | None, str | None]:
    """Stack, panel number and mark of a path, as far as the file gives them."""
    if len(path) < 2 or path[0] != "stack":
        return None, None, None
    stack = _string(_at((*path[:2], "id"), data))
    if len(path) < 4 or path[2] != "panel":
        return stack, None, None
    number = path[3] + 1 if isinstance(path[3], int) else None
    return stack, number, _string(_at((*path[:4], "mark"), data))


def found_text(value: object) -> str:
    """A value as it was found, short and harmless."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{_cut(value)}"'
    if isinstance(value, int):
        # Beyond what anyone typed by hand; and Python refuses to write such a number out.
        return str(value) if value.bit_length() < 200 else "a number of over sixty figures"
    if isinstance(value, Decimal):
        return _cut(str(value).lower() if value.is_finite() else _not_finite(value))
    if isinstance(value, TooWide):
        return _cut(value.text)
    if isinstance(value, (date, time)):
        return f"the date or time {value.isoformat()}"
    if isinstance(value, list):
        return f"a list of {len(value)}" if value else "an empty list"
    return "a table"


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like this one, None where none is like it."""
    # Matching takes time that grows with the square of the length.
    near = get_close_matches(word[:60].casefold().strip(), known, n=1, cutoff=0.5)
    return near[0] if near else None


def _said(fault: Fault, key: str | None, item: int | None) -> str:
    name = literal(_short(key)) if key is not None else "this table"
    if item is not None:
        name = f"value {item} of {name}"
    if fault.code == "unknown-key":
        return f"unknown key {name} = {found_text(fault.value)}. {_known(key or '', fault.known)}"
    if fault.code == "missing-key":
        what = f"{name} is missing" if key is not None else "keys are missing"
        return f"{what}; it takes {fault.right}."
    near = ""
    if isinstance(fault.value, str) and fault.known and (like := nearest(fault.value, fault.known)):
        near = f'The nearest is "{like}".'
    said = f"{name} is {found_text(fault.value)}; it takes {fault.right}."
    return " ".join(part for part in (said, fault.remedy, near) if part)


def _known(key: str, known: Sequence[str]) -> str:
    near = nearest(key, known)
    if near is not None:
        return f"The nearest known key is {near}."
    return f"Known here: {', '.join(known)}."


def _within(rest: Path, whole: str) -> str:
    """Name what lies deeper, from the inside out."""
    named: list[str] = []
    for part in rest:
        if isinstance(part, int):
            named[-1:] = [f"{named[-1] if named else 'value'} {part + 1}"]
        else:
            named.append(literal(_short(part)))
    return " of ".join([*reversed(named), whole])


def _stack_name(path: Path, data: dict[str, Any]) -> str:
    stack = _string(_at((*path[:2], "id"), data))
    return f"stack {literal(_short(stack))}" if stack else f"[[stack]] {_number(path[1])}"


def _at(path: Path, data: object) -> object:
    for part in path:
        if isinstance(data, dict) and isinstance(part, str):
            data = data.get(part)
        elif isinstance(data, list) and isinstance(part, int) and part < len(data):
            data = data[part]
        else:
            return None
    return data


def _number(index: str | int) -> int | str:
    return index + 1 if isinstance(index, int) else index


def _string(value: object) -> str | None:
    return _whole(value) if isinstance(value, str) else None


def _whole(text: str) -> str:
    """A name as it stands, unless it is far too long for one."""
    return text if len(text) <= _LONGEST_NAME else f"{text[:_LONGEST_NAME]}…"


def _not_finite(value: Decimal) -> str:
    if value.is_nan():
        return "nan"
    return "-inf" if value < 0 else "inf"


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST_VALUE else f"{text[:_LONGEST_VALUE]}…"


def _cut(text: str) -> str:
    return literal(_short(text))
