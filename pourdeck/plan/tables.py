"""What a list or a table in job.toml may be, and the one loop that reads a table by its rows.

Faults inside are noted and reading goes on, so that one reading finds them all.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from attrs import field, frozen

from pourdeck.plan.kinds import Fault, Kind, Number, OneOf, Path, Wrong

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
