"""Every quantity that can be typed: its kind, unit, grammar, range, doubts, choices and place in time.

`QUANTITIES` is the one table. Walk, Pour, Strength, Levels, As-cast, Size change and the commands read what
was typed by a row of it, set for the units of the job (`in_job`) and for what is expected. Values are in the
units of the files: mm, m, °C, MPa, m³, L, %, km/h.
"""

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any, Literal

from attrs import evolve, field, frozen

from pourdeck.plan.amounts import (
    LETTERS,
    decimals_read,
    entry_text,
    format_amount,
    in_other_unit,
    parse_amount,
    unit_read,
    value_of,
)
from pourdeck.plan.amounts import number_read as in_unit_read
from pourdeck.plan.ascast import is_signed
from pourdeck.plan.lengths import (
    NotALength,
    format_exact,
    format_read,
    format_rl,
    implausible,
    parse_length,
    parse_rl,
    rounded,
    typed_in_other_unit,
)
from pourdeck.plan.messages import Refusal, literal
from pourdeck.plan.numbers import LENGTH_LETTERS, MOST_CHARACTERS, RANGES, plain
from pourdeck.plan.records import Units
from pourdeck.pour.fresh import WEATHER, is_fraction
from pourdeck.walk.clock import day_taken, read_time
from pourdeck.walk.levels import ITEMS
from pourdeck.walk.records import ItemView
from pourdeck.walk.words import folded

Kind = Literal["length", "number", "rl", "time", "text", "choice"]
Value = Decimal | str | datetime

TIME_WANTED = "Hours and minutes: 18:30, 18.30 or 1830"

_FOOT = Decimal("0.3048")
_STARTS_A_NUMBER = frozenset("0123456789.,+-")


@frozen(repr=False)
class Typed:
    """A text as it was typed, with the value that the field read in it."""

    text: str
    value: Value


def text_of(typed: str | Typed) -> str:
    return typed.text if isinstance(typed, Typed) else typed


@frozen(kw_only=True, eq=False, repr=False)
class Quantity:
    """A length in mm, a number in `unit`, a height on the site datum in m, a time, words or a choice.

    `name` stands before a refusal. Beyond `least` and `most` the key slipped, and `remedy` says what to look
    at. `decimals` are of a number in its own unit, None for any; it is shown with at least so many `places`.
    `longest`: characters of words. `moment`: its key in `times.NAMES`, which says what it comes before and
    after. `unmeasured`: a crew may honestly not have it.

    The rest is of one use: `expected`, `plus` and `minus` say what is doubtful. `step` None: the pad steps it
    by what it is read to; 0: not at all. `wanted` says what is to be typed where that is not plain, `without`
    how to go on where nobody has it. `offers`: what an empty field is opened with. `starters`: of words or a
    time, the characters that open it, where others are commands. `now` and `set_back`: the clock a time is
    read by.
    """

    kind: Kind
    name: str = ""
    unit: str = ""
    decimals: int | None = None
    least: Decimal | None = None
    most: Decimal | None = None
    remedy: str = "Look again."
    refuses: Callable[[Decimal, str], str | None] | None = None
    signed: bool = False
    longest: int = 200
    choices: tuple[str, ...] = ()
    moment: str = ""
    unmeasured: bool = False
    places: int = 0

    units: Units = "metric"
    expected: Decimal | None = None
    plus: Decimal | None = None
    minus: Decimal | None = None
    step: Decimal | None = None
    wanted: str = ""
    without: str = ""
    offers: Callable[[], str] | None = None
    starters: str = ""
    now: Callable[[], datetime] | None = None
    set_back: timedelta = field(factory=timedelta)

    def in_job(self, units: Units, **of_this_use: Any) -> "Quantity":
        """Put the quantity in the units of a job, for one use of it."""
        return evolve(self, units=units, **of_this_use)

    # What is typed.

    def read(self, typed: str | Typed, now: datetime | None = None) -> Value | Refusal:
        """The value of what was typed, or why it is none. A time is read by `now`."""
        if isinstance(typed, Typed):
            return typed.value
        found = self._read(typed, now)
        if isinstance(found, Refusal) and self.name:
            return Refusal(title=f"{self.name}: {found.title}", body=found.body)
        return found

    def _read(self, typed: str, now: datetime | None) -> Value | Refusal:
        if self.kind == "choice":
            return self._choice(typed)
        if self.kind == "text":
            return self._words(typed)
        if self.kind == "time":
            clock = now or (self.now() if self.now else None)
            assert clock is not None, "a time is read by a clock"
            return read_time(typed, clock, self.set_back)
        try:
            value = self._number(typed)
        except NotALength as fault:
            return Refusal(title=fault.title, body=fault.body)
        return self.out_of_range(value, typed) or value

    def _number(self, typed: str) -> Decimal:
        """Raises NotALength."""
        if self.kind == "length":
            return parse_length(typed, self.units, signed=self.signed)
        if self.kind == "rl":
            value = parse_rl(typed, self.units)
            if value < 0 and not self.signed:
                raise NotALength(
                    f"{literal(typed.strip())}: this cannot be below zero", "Read it again."
                )
            return value
        return parse_amount(
            typed, self.unit, self.units, decimals=self.decimals, signed=self.signed
        )

    def out_of_range(self, value: Decimal, typed: str = "") -> Refusal | None:
        """Why a number cannot be: it is beyond what there is."""
        beyond = None
        if self.least is not None and value < self.least:
            beyond = f"below {self.shown(self.least)}"
        elif self.most is not None and value > self.most:
            beyond = f"above {self.shown(self.most)}"
        if beyond is not None:
            return Refusal(title=f"{self.shown(value)} is {beyond}.", body=self.remedy)
        why = self.refuses(value, typed.strip()) if self.refuses else None
        return Refusal(title=f"{self.shown(value)} cannot be.", body=why) if why else None

    def _words(self, typed: str) -> str | Refusal:
        tidy = " ".join(typed.split())
        if not tidy:
            wanted = f"{self.wanted}." if self.wanted else "Write what you read, see or know."
            return Refusal(title="Nothing written.", body=wanted)
        if len(tidy) > self.longest:
            return Refusal(
                title=f"{len(tidy)} characters are too many.", body=f"Keep it to {self.longest}."
            )
        return tidy

    def _choice(self, typed: str) -> str | Refusal:
        wanted = folded(typed)
        found = next((one for one in self.choices if folded(one) == wanted), None)
        return found or Refusal(
            title=f"{literal(typed.strip()) or 'Nothing'} is none of the choices.",
            body=f"Choose one of: {', '.join(literal(choice) for choice in self.choices)}.",
        )

    # How it is shown.

    @property
    def is_number(self) -> bool:
        return self.kind in ("length", "number", "rl")

    @property
    def most_characters(self) -> int:
        return MOST_CHARACTERS if self.is_number else self.longest

    @property
    def label(self) -> str:
        """The unit beside the field."""
        if self.kind == "number":
            return literal(unit_read(self.unit, self.units))
        labels = {"length": ("mm", "' \""), "rl": ("m", "ft")}.get(self.kind, ("", ""))
        return labels[self.units == "imperial"]

    @property
    def takes(self) -> str:
        """Say what is to be typed, in a few words."""
        if self.wanted:
            return self.wanted
        kinds = {"length": "a length", "rl": "a height", "text": "a few words", "time": "a time"}
        what = kinds.get(self.kind, "a number")
        return f"Type {what} in {self.label}" if self.label else f"Type {what}"

    @property
    def letters(self) -> str:
        """List the letters that may be pasted into it beside figures, marks and signs."""
        return LETTERS if self.kind == "number" else LENGTH_LETTERS

    def shown(self, value: Value) -> str:
        """The value with its unit, for a sentence; a time by the clock it was read from."""
        if isinstance(value, datetime):
            return f"{value:%H:%M}"
        if isinstance(value, str):
            return literal(value)
        if self.kind == "length":
            return format_read(value, self.units)
        if self.kind == "rl":
            return format_rl(value, self.units)
        return literal(format_amount(value, self.unit, self.units, self.places))

    def entry(self, value: Value) -> str:
        """The value as the text of the field; a number read again is exactly the same number."""
        if isinstance(value, datetime):
            return f"{value:%H:%M}"
        if isinstance(value, str):
            return value
        if self.kind == "length":
            return format_exact(value, self.units)
        if self.kind == "rl":
            return _rl_entry(value, self.units)
        return entry_text(value, self.unit, self.units, self.decimals)

    def meaning(self, text: str) -> str:
        """Say how a time that is typed will be read where that is not plain, else ""."""
        if self.kind != "time" or self.now is None:
            return ""
        return day_taken(text, self.now(), self.set_back)

    def starts(self, character: str) -> bool:
        """Whether this may be meant as the first character of an entry, right or wrong."""
        if not self.is_number:
            return not self.starters or character in self.starters
        return character in _STARTS_A_NUMBER

    # What is doubtful.

    def question(self, text: str, value: Value, taker: str = "Enter") -> str:
        """Ask before a doubtful value is taken, "" for none. Another press of `taker` is the answer."""
        if not isinstance(value, Decimal):
            return ""
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
        return f"{text.strip()} = {self.shown(value)}: {taker} again to take it." if other else ""

    def doubts(self, value: Value) -> bool:
        """Whether a value is likely a slip; one in another unit is only asked about."""
        if not isinstance(value, Decimal):
            return False
        meant = implausible(value, self.expected, self.plus, self.minus)
        return meant is not None or self._far(value)

    def _far(self, value: Decimal) -> bool:
        """Whether a value is off what is expected by ten times what it may be, and by more than a half of it.

        Of a length a twentieth is enough, and 25 mm: no tape is that wrong.
        """
        if self.expected is None or not self.expected:
            return False
        allowed = 10 * max(self.plus or Decimal(0), self.minus or Decimal(0))
        part = max(self.expected / 20, Decimal(25)) if self.kind == "length" else self.expected / 2
        return abs(value - self.expected) > max(abs(part), allowed)

    def _in_other_unit(self, text: str) -> bool:
        if self.kind == "length":
            return typed_in_other_unit(text, self.units)
        if self.kind == "number":
            return in_other_unit(text, self.unit, self.units)
        unit = text.rstrip(" ")[-1:]
        return self.kind == "rl" and unit in (("t", "'") if self.units == "metric" else ("m",))

    # What the pad steps.

    @property
    def one_step(self) -> Decimal:
        """One step of the pad, in the unit of the value, of a number in the job's; 0: none."""
        if not self.is_number:
            return Decimal(0)
        if self.step is not None:
            return self.step
        if self.kind == "length":
            return Decimal(1) if self.units == "metric" else Decimal("1.5875")
        if self.kind == "rl":
            return Decimal("0.001") if self.units == "metric" else _FOOT / 1000
        return Decimal((0, (1,), -self._decimals))

    def stepped(self, text: str, steps: int) -> str | Refusal:
        """The text so many steps further, or why it cannot be stepped."""
        value = self.read(text)
        if not isinstance(value, Decimal):
            return value if isinstance(value, Refusal) else Refusal(title="No number", body="")
        further = self._further(value, steps)
        if further < 0 and not (self.signed or self.kind == "rl"):
            return Refusal(title="No step further down", body="This cannot be below zero.")
        found = self.read(self.entry(further))
        return found if isinstance(found, Refusal) else self.entry(further)

    def _further(self, value: Decimal, steps: int) -> Decimal:
        """A number steps by what it is read to in the unit of the job, from the nearest such."""
        if self.kind != "number":
            return value + steps * self.one_step
        number = in_unit_read(value, self.unit, self.units)
        if self.units == "imperial":
            number = rounded(number, self._decimals)
        return value_of(number + steps * self.one_step, self.unit, self.units)

    @property
    def _decimals(self) -> int:
        """Decimals that a number is read to in the unit of the job."""
        return decimals_read(self.unit, self.units, self.decimals or 0)


def number_read(
    quantity: Quantity, typed: str | Typed, now: datetime | None = None
) -> Decimal | Refusal:
    """The number that was typed. Raises TypeError of a quantity that is no number."""
    found = quantity.read(typed, now)
    if not isinstance(found, Decimal | Refusal):
        raise TypeError(f"{quantity.name or quantity.kind} is no number")
    return found


def words_read(quantity: Quantity, typed: str) -> str | Refusal:
    """The words that were typed, tidied. Raises TypeError of a quantity that is no words."""
    found = quantity.read(typed)
    if not isinstance(found, str | Refusal):
        raise TypeError(f"{quantity.name or quantity.kind} is no text")
    return found


def _rl_entry(metres: Decimal, units: Units) -> str:
    if units == "metric":
        return plain(metres)
    top, bottom = metres.as_integer_ratio()
    millionths, rest = divmod(top * 1250 * 10**6, bottom * 381)
    return f"{plain(metres)} m" if rest else plain(Decimal(millionths).scaleb(-6))


def _percent(value: Decimal, typed: str) -> str | None:
    """Humidity is written as a share of one on some instruments."""
    if not is_fraction(value):
        return None
    return f"Humidity is in per cent: {value * 100:.0f} for {literal(typed)}."


def _length(of: str, **more: Any) -> Quantity:
    least, most = RANGES[of]
    return Quantity(kind="length", unit="mm", least=least, most=most, **more)


def _number(unit: str, of: str, **more: Any) -> Quantity:
    least, most = RANGES[of]
    return Quantity(kind="number", unit=unit, least=least, most=most, **more)


def _height(of: str, **more: Any) -> Quantity:
    least, most = RANGES[of]
    return Quantity(kind="rl", unit="m", least=least, most=most, **more)


def _time(moment: str, name: str = "", **more: Any) -> Quantity:
    return Quantity(
        kind="time", moment=moment, name=name, wanted=TIME_WANTED, starters="0123456789", **more
    )


COLDEST, HOTTEST = RANGES["reading"]

NAME_LONGEST, REASON_LONGEST, NOTE_LONGEST = 60, 300, 400

QUANTITIES = {
    # Of the items of a walk, by their unit: what no reading exceeds.
    "mm": _length("mm"),
    "mm/form": _length("mm/form"),
    "m": _height("m"),
    "count": Quantity(kind="number", decimals=0),
    "%": _number("%", "%"),
    "°C": _number("°C", "°C"),
    "MPa": _number("MPa", "MPa"),
    "m³": _number("m³", "m³"),
    "km/h": _number("km/h", "km/h"),
    "words": Quantity(kind="text"),
    "time": _time(""),
    "staff": _height("staff", signed=True,
                     remedy="Longer than any staff. Type what the staff reads, not the height."),
    "height": _height("m", signed=True),
    "face": _length("face", signed=True,
                    remedy="It is how far the face is out from its planned line, not a length along it."),
    "size": Quantity(kind="length", unit="mm", most=RANGES["size"][1]),
    # Of a load.
    "docket": Quantity(kind="text", name="docket", longest=NAME_LONGEST),
    "mix": Quantity(kind="text", name="mix on the docket", longest=NAME_LONGEST),
    "batched": _time("batched", "batched", unmeasured=True),
    "arrived": _time("arrived", "arrived", unmeasured=True),
    "begun": _time("begun", "discharge begun"),
    "ended": _time("ended", "discharge ended"),
    "volume": _number("m³", "volume", name="volume", decimals=2, places=1,
                      unmeasured=True),
    "slump": _length("slump", name="slump", unmeasured=True),
    "temperature": _number("°C", "temperature", name="temperature of the concrete", decimals=1, signed=True,
                           unmeasured=True),
    "water": _number("L", "water", name="water added", decimals=1),
    "water_by": Quantity(kind="text", name="who added water", longest=NAME_LONGEST),
    "let_in": Quantity(kind="text", name="let in by", longest=REASON_LONGEST),
    "rejected": Quantity(kind="text", name="turned away", longest=REASON_LONGEST),
    # The weather at the slab.
    "concrete": _number("°C", "concrete", name="Concrete", signed=True, remedy="Read it again."),
    "air": _number("°C", "air", name="Air in the shade", signed=True, remedy="Read it again."),
    "humidity": _number("%", "humidity", name="Humidity", remedy="Read it again.", refuses=_percent),
    # Half a metre over the slab: Uno 1998, as quoted in the evaporation Q&A.
    "wind": _number("km/h", "wind", name="Mean wind, half a metre up", remedy="Read it again."),
    # Of the hardened concrete.
    "reading": _number("°C", "reading", name="Temperature", signed=True,
                       remedy="That is no temperature of concrete in a form. Read the probe again."),
    "strength": _number("MPa", "strength", name="Strength",
                        remedy="That is no strength of this concrete. Look at its unit."),
    "specimen": Quantity(kind="text", name="name of the specimen", longest=40),
    # Words of people.
    "name": Quantity(kind="text", name="Name", longest=NAME_LONGEST),
    "point": Quantity(kind="text", name="name of the point", longest=40),
    "reason": Quantity(kind="text", name="reason", longest=NOTE_LONGEST),
    "note": Quantity(kind="text", longest=NOTE_LONGEST),
}  # fmt: skip
"""By name. A load's and the weather's have the keys of their values in the log."""

_OF_KEY = {**{f"ready.{name}": name for name in WEATHER}, **dict.fromkeys(ITEMS, "staff")}
_OF_UNIT = {"text": "words", "time": "time", "count": "count"}


def of_item(item: ItemView, units: Units) -> Quantity:
    """Give the quantity that answers an item of the walk: by its key, else by its kind or unit."""
    if item.kind == "choice":
        return Quantity(kind="choice", choices=item.choices, units=units)
    name = _OF_KEY.get(item.key) or _OF_UNIT.get(item.kind) or item.unit
    if item.cast_key and is_signed(item.cast_key):
        name = "face"
    found = QUANTITIES.get(name) or Quantity(kind="number", unit=item.unit)
    if item.kind not in ("measure", "count"):
        return evolve(found, units=units)
    own = item.key.partition(".")[2].startswith("own-")
    decimals = None if own or found.kind != "number" or item.kind == "count" else item.decimals
    least = found.least if item.signed or found.least is None else max(found.least, Decimal(0))
    return evolve(
        found, units=units, name="", unit=item.unit, least=least, signed=item.signed or found.signed,
        decimals=0 if item.kind == "count" else decimals,
        places=item.decimals, unmeasured=not (item.measured or item.kept),
    )  # fmt: skip


def read_typed(item: ItemView, typed: str | Typed, units: Units, now: datetime) -> Value | Refusal:
    """The value of what was typed for an item, in the item's unit, that of the files, or why it is none."""
    return of_item(item, units).read(typed, now)
