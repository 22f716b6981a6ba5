"""What a single value in job.toml may be: numbers and words, each with its range.

A kind takes a value as TOML gave it and returns what the records hold, or raises `Wrong`.
"""

from decimal import Decimal
from typing import Any, Protocol

from attrs import frozen

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
        """What would be right, as the end of "it takes …"."""

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
    """The same value without a power of ten. Raises Wrong where it has too many decimals."""
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
