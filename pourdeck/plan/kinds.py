"""Values, lists and tables that job.toml may hold, each with its range.

A kind takes a value as TOML gave it and returns what the records hold, or raises `Wrong`.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any, Protocol

from attrs import field, frozen

# What a single value in job.toml may be: numbers and words, each with its range.

Path = tuple[str | int, ...]
"""Where a value stands: ("stack", 0, "panel", 2, "width"), lists counting from 0."""

DECIMALS = 6
_FINEST = Decimal(1).scaleb(-DECIMALS)
_WHOLE = Decimal(1)


class Wrong(Exception):  # noqa: N818
    """A value is not what it should be. `remedy` adds to what the kind says would be right."""

    def __init__(self, code: str, remedy: str = "") -> None:
        super().__init__(code)
        self.code = code
        self.remedy = remedy


@frozen(eq=False, repr=False)
class Fault:
    """A fault at a path. The words for people are made later, for faults that are shown."""

    path: Path
    code: str
    value: object = None
    right: str = ""
    remedy: str = ""
    known: tuple[str, ...] = ()


class TooWide:
    """A number so long that no decimal holds it; `text` as it was written."""

    __slots__ = ("text",)

    def __init__(self, text: str) -> None:
        self.text = text


class Kind(Protocol):
    @property
    def right(self) -> str:
        """Say what would be right, as the end of "it takes …"."""

    def take(self, value: Any, path: Path, faults: list[Fault]) -> Any:
        """The value for the record. Raises Wrong; faults of what lies inside go to `faults`."""


@frozen(kw_only=True, eq=False, repr=False)
class Number:
    """An exact decimal from `least` to `most`; `above`: `least` itself is not allowed."""

    what: str
    least: int
    most: int
    above: bool = False

    @property
    def right(self) -> str:
        low = f"above {self.least}" if self.above else f"from {self.least}"
        return f"{self.what}, {low} up to {self.most}"

    def take(self, value: Any, path: Path, faults: list[Fault]) -> Decimal:
        if type(value) is int:
            if self.least < value <= self.most or (value == self.least and not self.above):
                return Decimal(value)
            raise Wrong("out-of-range")
        if type(value) is not Decimal:
            raise _not_a_number(value)
        if not value.is_finite():
            raise Wrong("out-of-range", "It must be a number that can be measured.")
        if not (self.least < value <= self.most or (value == self.least and not self.above)):
            raise Wrong("out-of-range")
        places = value.as_tuple().exponent
        return value if -DECIMALS <= int(places) < 0 and value else _plain(value)


@frozen(kw_only=True, eq=False, repr=False)
class Whole:
    """A whole number from `least` to `most`."""

    what: str
    least: int
    most: int

    @property
    def right(self) -> str:
        return f"{self.what}, from {self.least} up to {self.most}"

    def take(self, value: Any, path: Path, faults: list[Fault]) -> int:
        if type(value) is not int:
            if type(value) is Decimal:
                raise Wrong("wrong-type", "Write it without a decimal point.")
            raise _not_a_number(value)
        if not self.least <= value <= self.most:
            raise Wrong("out-of-range")
        return value


@frozen(kw_only=True, eq=False, repr=False)
class Text:
    """Any text that is not blank, up to `most` characters. `may_be_empty`: "" says not given."""

    most: int = 80
    may_be_empty: bool = False

    @property
    def right(self) -> str:
        return f"text in quotes, at most {self.most} characters"

    def take(self, value: Any, path: Path, faults: list[Fault]) -> str | None:
        if type(value) is not str:
            bare = type(value) in (int, Decimal)
            raise Wrong("wrong-type", "Put it in quotes." if bare else "")
        if len(value) > self.most:
            raise Wrong("out-of-range", f"It has {len(value)} characters.")
        if not value.strip():
            if self.may_be_empty:
                return None
            raise Wrong("bad-value", "It must not be blank.")
        return value


@frozen(kw_only=True, eq=False, repr=False)
class OneOf:
    """One word of a list."""

    words: tuple[str, ...]

    @property
    def right(self) -> str:
        return "one of " + ", ".join(f'"{word}"' for word in self.words)

    def take(self, value: Any, path: Path, faults: list[Fault]) -> str:
        if type(value) is not str:
            raise Wrong("wrong-type")
        if value not in self.words:
            raise Wrong("bad-value")
        return value


@frozen(eq=False, repr=False)
class Flag:
    right: str = "true or false"

    def take(self, value: Any, path: Path, faults: list[Fault]) -> bool:
        if type(value) is not bool:
            raise Wrong("wrong-type", "Write true or false without quotes.")
        return value


@frozen(eq=False, repr=False)
class Format:
    """The format of the file."""

    right: str = "1, the format this deck reads"

    def take(self, value: Any, path: Path, faults: list[Fault]) -> int:
        if type(value) is not int:
            raise Wrong("wrong-type")
        if value != 1:
            raise Wrong("bad-value")
        return value


@frozen(kw_only=True, eq=False, repr=False)
class Either:
    """A number, or text."""

    number: Number
    text: Text

    @property
    def right(self) -> str:
        return f"{self.number.right}; or {self.text.right}"

    def take(self, value: Any, path: Path, faults: list[Fault]) -> Decimal | str | None:
        if type(value) is str:
            return self.text.take(value, path, faults)
        return self.number.take(value, path, faults)


def _plain(value: Decimal) -> Decimal:
    """Write a value without a power of ten. Raises Wrong where it has too many decimals."""
    short = value.quantize(_FINEST)
    if short != value:
        raise Wrong("out-of-range", f"At most {DECIMALS} decimals: write {short.normalize():f}.")
    if not short:
        return Decimal(0)
    tidy = short.normalize()
    exponent = tidy.as_tuple().exponent
    return tidy.quantize(_WHOLE) if int(exponent) > 0 else tidy


def _not_a_number(value: object) -> Wrong:
    if isinstance(value, TooWide):
        return Wrong("out-of-range")
    if isinstance(value, str):
        bare = value.strip()
        if bare.replace(".", "", 1).isdecimal() and bare.isascii() and len(bare) < 20:
            return Wrong("wrong-type", f"Write {bare} without quotes.")
        return Wrong("wrong-type", "Write the bare number: no quotes, no unit.")
    if isinstance(value, list):
        return Wrong("wrong-type", "Write one number without brackets.")
    return Wrong("wrong-type")


# What a list or a table in job.toml may be, and the one loop that reads a table by its rows.
#
# Faults inside are noted and reading goes on, so that one reading finds them all.

_LISTS_TABLES = "Write two brackets round its header, or a list of tables: [ { … } ]."


@frozen(kw_only=True, eq=False, repr=False)
class Pair:
    """Two numbers in brackets. `rising`: the first not above the second."""

    each: Number
    rising: bool = False

    @property
    def right(self) -> str:
        order = "the first not above the second, " if self.rising else ""
        return f"two numbers in brackets, {order}each {self.each.right}"

    def take(self, value: Any, path: Path, faults: list[Fault]) -> tuple[Decimal, Decimal] | None:
        if type(value) is not list:
            raise Wrong("wrong-type")
        if len(value) != 2:
            raise Wrong("wrong-type", f"It has {len(value)}.")
        first, second = take_each(self.each, value, path, faults)
        if first is None or second is None:
            return None
        if self.rising and first > second:
            raise Wrong("bad-value", "Turn the two round.")
        return first, second


@frozen(kw_only=True, eq=False, repr=False)
class Many:
    """A list of so many of one kind, at least `least`. What is faulty is None in the result."""

    each: Kind
    what: str
    least: int = 0
    most: int

    @property
    def right(self) -> str:
        few = f"at least {self.least}, " if self.least else ""
        return f"{self.what}, {few}at most {self.most}"

    def take(self, value: Any, path: Path, faults: list[Fault]) -> tuple[Any, ...]:
        if type(value) is not list:
            raise Wrong("wrong-type", _LISTS_TABLES if type(value) is dict else "")
        if len(value) < self.least:
            raise Wrong("bad-value", "It is empty.")
        if len(value) > self.most:
            raise Wrong("out-of-range", f"It has {len(value)}.")
        return tuple(take_each(self.each, value, path, faults))


@frozen(eq=False, repr=False)
class Row:
    """A key of a table. `to`: its name in the record where that differs."""

    key: str
    kind: Kind
    required: bool = False
    to: str = ""


Check = Callable[[Mapping[str, Any], Mapping[str, Any], Path], Iterable[Fault]]
"""From what was read of a table, by the names of its record, and what was given, by its keys."""


def _nothing_more(
    found: Mapping[str, Any], given: Mapping[str, Any], path: Path
) -> Iterable[Fault]:
    return ()


@frozen(eq=False, repr=False)
class Table:
    """A table: its rows, what record it makes, and what its keys must be to each other."""

    what: str
    make: Callable[..., Any]
    rows: tuple[Row, ...]
    check: Check = _nothing_more
    by_key: dict[str, tuple[Kind, str]] = field(init=False)
    required: tuple[Row, ...] = field(init=False)

    @by_key.default
    def _by_key(self) -> dict[str, tuple[Kind, str]]:
        return {row.key: (row.kind, row.to or row.key) for row in self.rows}

    @required.default
    def _required(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.required)

    @property
    def right(self) -> str:
        return self.what

    def take(self, value: Any, path: Path, faults: list[Fault]) -> Any:
        """The record, or None where a value of it is missing or faulty."""
        if type(value) is not dict:
            raise Wrong("wrong-type", _one_table_only(value))
        found: dict[str, Any] = {}
        sound = True
        by_key = self.by_key
        for key, given in value.items():
            row = by_key.get(key)
            if row is None:
                faults.append(Fault((*path, key), "unknown-key", given, known=tuple(by_key)))
                continue
            kind, to = row
            here = (*path, key)
            try:
                taken = kind.take(given, here, faults)
            except Wrong as wrong:
                faults.append(fault_of(wrong, kind, given, here))
                sound = False
            else:
                if taken is not None:
                    found[to] = taken
        faults.extend(
            Fault((*path, row.key), "missing-key", right=row.kind.right)
            for row in self.required
            if row.key not in value
        )
        faults.extend(self.check(found, value, path))
        if sound and all((row.to or row.key) in found for row in self.required):
            return self.make(**found)
        return None


def fault_of(wrong: Wrong, kind: Kind, value: object, path: Path) -> Fault:
    known = kind.words if isinstance(kind, OneOf) and wrong.code == "bad-value" else ()
    return Fault(path, wrong.code, value, kind.right, wrong.remedy, known)


def take_each(kind: Kind, values: Sequence[Any], path: Path, faults: list[Fault]) -> list[Any]:
    """Each value taken, None in place of a faulty one."""
    taken: list[Any] = []
    for index, value in enumerate(values):
        here = (*path, index)
        try:
            taken.append(kind.take(value, here, faults))
        except Wrong as wrong:
            faults.append(fault_of(wrong, kind, value, here))
            taken.append(None)
    return taken


def _one_table_only(value: object) -> str:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "It may stand once only: write it in single brackets."
    return ""
