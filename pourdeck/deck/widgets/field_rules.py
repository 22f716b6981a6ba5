"""What a field takes: how its text is read, shown, stepped and doubted."""

from collections.abc import Callable
from decimal import Decimal
from typing import Literal

from attrs import field, frozen

from pourdeck.plan.amounts import decimals_read, format_amount, number_read, unit_read, value_of
from pourdeck.plan.lengths import (
    NotALength,
    format_exact,
    format_rl,
    implausible,
    parse_length,
    parse_rl,
    typed_in_other_unit,
)
from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import LENGTH_LETTERS, MOST_CHARACTERS, plain
from pourdeck.plan.records import Units
from pourdeck.plan.shown_lengths import format_read, rounded
from pourdeck.plan.typed_amounts import LETTERS, entry_text, in_other_unit, parse_amount

Kind = Literal["length", "number", "rl", "text"]

_FOOT = Decimal("0.3048")
_STARTS_A_NUMBER = frozenset("0123456789.,+-")


@frozen(kw_only=True)
class FieldRules:
    """A length in mm, a number in `unit_label`, a height on the site datum in m, or free text.

    Values are in these, the units of the files, and what is typed in those of the job; `decimals` are
    of a number in its own unit.

    `expected`, `plus` and `minus` serve to notice slips; `least` and `most` are refused beyond.
    `step` None: the resolution of the kind; 0: the pad does not step it.
    `wanted` says in a few words what is to be typed, where that is not plain, `without` how to go on where
    nobody has it. `offers`: what an empty field is opened with. `starters`: of a text, the characters that
    open it, where others are commands. `meaning`: how what is typed will be read, where that is not plain;
    "" where it is.
    """

    kind: Kind
    units: Units = "metric"
    unit_label: str | None = None
    expected: Decimal | None = None
    plus: Decimal | None = None
    minus: Decimal | None = None
    least: Decimal | None = None
    most: Decimal | None = None
    decimals: int | None = None
    signed: bool = False
    step: Decimal | None = None
    max_length: int = 200
    wanted: str = ""
    without: str = ""
    offers: Callable[[], str] | None = field(default=None, eq=False, repr=False)
    starters: str = ""
    meaning: Callable[[str], str] | None = field(default=None, eq=False, repr=False)

    @property
    def most_characters(self) -> int:
        return self.max_length if self.kind == "text" else MOST_CHARACTERS

    @property
    def label(self) -> str:
        """The unit beside the field."""
        if self.unit_label is not None:
            return literal(unit_read(self.unit_label, self.units))
        labels = {"length": ("mm", "' \""), "rl": ("m", "ft")}.get(self.kind, ("", ""))
        return labels[self.units == "imperial"]

    @property
    def one_step(self) -> Decimal:
        """One step of the pad, in the unit of the value, of a number in the job's; 0: none."""
        if self.kind == "text":
            return Decimal(0)
        if self.step is not None:
            return self.step
        if self.kind == "length":
            return Decimal(1) if self.units == "metric" else Decimal("1.5875")
        if self.kind == "rl":
            return Decimal("0.001") if self.units == "metric" else _FOOT / 1000
        return Decimal((0, (1,), -self._decimals))

    @property
    def _unit(self) -> str:
        """That of a number, in the files."""
        return self.unit_label or ""

    @property
    def _decimals(self) -> int:
        """That a number is read to in the unit of the job."""
        return decimals_read(self._unit, self.units, self.decimals or 0)

    @property
    def takes(self) -> str:
        """What is to be typed, in a few words."""
        if self.wanted:
            return self.wanted
        kinds = {"length": "a length", "rl": "a height", "text": "a few words"}
        what = kinds.get(self.kind, "a number")
        return f"Type {what} in {self.label}" if self.label else f"Type {what}"

    @property
    def letters(self) -> str:
        """What may be pasted into it beside figures, marks and signs."""
        return LETTERS if self.kind == "number" else LENGTH_LETTERS

    def parse(self, text: str) -> Decimal | None:
        """The value in mm, m or the field's unit; None for free text. Raises NotALength."""
        if self.kind == "text":
            if not text.strip():
                raise NotALength("Nothing typed", f"{self.wanted or 'Type a few words'}.")
            return None
        value = self._read(text)
        if self.least is not None and value < self.least:
            raise NotALength(f"{self.shown(value)}: below {self.shown(self.least)}", "Look again.")
        if self.most is not None and value > self.most:
            raise NotALength(f"{self.shown(value)}: above {self.shown(self.most)}", "Look again.")
        return value

    def _read(self, text: str) -> Decimal:
        if self.kind == "length":
            return parse_length(text, self.units, signed=self.signed)
        if self.kind == "rl":
            return parse_rl(text, self.units)
        return parse_amount(
            text, self._unit, self.units, decimals=self.decimals, signed=self.signed
        )

    def shown(self, value: Decimal) -> str:
        """The value with its unit, for a sentence."""
        if self.kind == "length":
            return format_read(value, self.units)
        if self.kind == "rl":
            return format_rl(value, self.units)
        return literal(format_amount(value, self._unit, self.units, self.decimals or 0))

    def entry(self, value: Decimal) -> str:
        """The value as the text of the field; read again it is exactly the same value."""
        if self.kind == "length":
            return format_exact(value, self.units)
        if self.kind == "rl":
            return _rl_entry(value, self.units)
        return entry_text(value, self._unit, self.units, self.decimals)

    def question(self, text: str, value: Decimal, taker: str = "Enter") -> str | None:
        """What to ask before this is taken, None: nothing. Another press of `taker` is the answer."""
        meant = implausible(value, self.expected, self.plus, self.minus)
        other = self._in_other_unit(text)
        if meant is not None:
            typed = f"{text.strip()} = {self.shown(value)}" if other else self.shown(value)
            return (
                f"Did you mean {self.shown(meant)}? You typed {typed}: "
                f"{taker} again to keep {self.entry(value)}."
            )
        if self._far(value) and self.expected is not None:
            return (
                f"{self.shown(value)} is far from {self.shown(self.expected)}: "
                f"{taker} again to keep {self.entry(value)}."
            )
        return f"{text.strip()} = {self.shown(value)}: {taker} again to take it." if other else None

    def doubts(self, value: Decimal) -> bool:
        """Whether a value is likely a slip; one in another unit is only asked about."""
        meant = implausible(value, self.expected, self.plus, self.minus)
        return meant is not None or self._far(value)

    def _far(self, value: Decimal) -> bool:
        """Whether a value is off what is expected by more than half of it and ten times what it may be."""
        if self.expected is None or not self.expected:
            return False
        allowed = max(self.plus or Decimal(0), self.minus or Decimal(0))
        return abs(value - self.expected) > max(abs(self.expected) / 2, 10 * allowed)

    def _in_other_unit(self, text: str) -> bool:
        if self.kind == "length":
            return typed_in_other_unit(text, self.units)
        if self.kind == "number":
            return in_other_unit(text, self._unit, self.units)
        unit = text.rstrip(" ")[-1:]
        return self.kind == "rl" and unit in (("t", "'") if self.units == "metric" else ("m",))

    def stepped(self, text: str, steps: int) -> str:
        """The text so many steps further.

        Raises NotALength where the text is no number or the step leads out of what is allowed.
        """
        further = self._further(self._read(text), steps)
        if further < 0 and not (self.signed or self.kind == "rl"):
            raise NotALength("No step further down", "This cannot be below zero.")
        stepped = self.entry(further)
        self.parse(stepped)
        return stepped

    def _further(self, value: Decimal, steps: int) -> Decimal:
        """A number steps by what it is read to in the unit of the job, from the nearest such."""
        if self.kind != "number":
            return value + steps * self.one_step
        number = number_read(value, self._unit, self.units)
        if self.units == "imperial":
            number = rounded(number, self._decimals)
        return value_of(number + steps * self.one_step, self._unit, self.units)

    def starts(self, character: str) -> bool:
        """Whether this may be meant as the first character of an entry, right or wrong."""
        if self.kind == "text":
            return not self.starters or character in self.starters
        return character in _STARTS_A_NUMBER


def _rl_entry(metres: Decimal, units: Units) -> str:
    if units == "metric":
        return plain(metres)
    top, bottom = metres.as_integer_ratio()
    millionths, rest = divmod(top * 1250 * 10**6, bottom * 381)
    return f"{plain(metres)} m" if rest else plain(Decimal(millionths).scaleb(-6))
