"""What may be written down of a load: what it is called, and how what was typed of it is read."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal

from attrs import frozen

from pourdeck.plan.amounts import format_amount
from pourdeck.plan.lengths import NotALength, parse_length
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Units
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.shown_lengths import format_read
from pourdeck.plan.typed_amounts import parse_amount
from pourdeck.walk.typed import read_time

Kind = Literal["words", "time", "number", "length"]
Value = Decimal | str | datetime

LONGEST = 60
"""Characters of a docket, a mix or a name; a reason may be longer."""

LONGEST_REASON = 300


@frozen(kw_only=True, eq=False, repr=False)
class LoadField:
    """`unit` and the limits are those of the files. Beyond `least` and `most` the key slipped.

    `optional`: a crew may honestly not have it, and says why instead.
    """

    key: str
    name: str
    kind: Kind
    unit: str = ""
    decimals: int = 0
    least: Decimal | None = None
    most: Decimal | None = None
    signed: bool = False
    optional: bool = False


FIELDS = {one.key: one for one in (
    LoadField(key="docket", name="docket", kind="words"),
    LoadField(key="mix", name="mix on the docket", kind="words"),
    LoadField(key="volume", name="volume", kind="number", unit="m³", decimals=2,
              least=Decimal("0.05"), most=Decimal(20), optional=True),
    LoadField(key="batched", name="batched", kind="time", optional=True),
    LoadField(key="arrived", name="arrived", kind="time", optional=True),
    # A slump cannot be more than the cone is high: 300 mm, or 12 in (common practice, no source).
    LoadField(key="slump", name="slump", kind="length", unit="mm",
              least=Decimal(0), most=Decimal("304.8"), optional=True),
    LoadField(key="temperature", name="temperature of the concrete", kind="number", unit="°C", decimals=1,
              least=Decimal(-10), most=Decimal(70), signed=True, optional=True),
    LoadField(key="water", name="water added", kind="number", unit="L", decimals=1,
              least=Decimal(0), most=Decimal(2000)),
    LoadField(key="water_by", name="who added water", kind="words"),
    LoadField(key="begun", name="discharge begun", kind="time"),
    LoadField(key="ended", name="discharge ended", kind="time"),
    LoadField(key="let_in", name="let in by", kind="words"),
    LoadField(key="rejected", name="turned away", kind="words"),
)}  # fmt: skip
"""By key, in the order in which a load is written down."""

ASKED = (
    "docket", "mix", "batched", "arrived", "volume", "slump", "temperature", "begun", "ended",
)  # fmt: skip
"""What is asked of every load, the next one first. Water only where some was added."""


def read_field(
    one: LoadField, typed: str, units: Units, now: datetime, set_back: timedelta = timedelta()
) -> Value | Refusal:
    """The value of what was typed, in the unit of the files, or why it is none.

    `set_back`: how far the computer's clock went back during the pour.
    """
    if one.kind == "time":
        found = read_time(typed, now, set_back)
        return _named(one, found.title, found.body) if isinstance(found, Refusal) else found
    if one.kind == "words":
        return _words(one, typed)
    try:
        value = _number(one, typed, units)
    except NotALength as fault:
        return _named(one, fault.title, fault.body)
    for limit, beyond in ((one.least, "below"), (one.most, "above")):
        over = limit is not None and (value < limit if beyond == "below" else value > limit)
        if over and limit is not None:
            title = f"{shown(one, value, units)} is {beyond} {shown(one, limit, units)}."
            return _named(one, title, "Look again.")
    return value


def _number(one: LoadField, typed: str, units: Units) -> Decimal:
    """Raises NotALength."""
    if one.kind == "length":
        return parse_length(typed, units, signed=one.signed)
    return parse_amount(typed, one.unit, units, decimals=one.decimals, signed=one.signed)


def _words(one: LoadField, typed: str) -> str | Refusal:
    tidy = " ".join(typed.split())
    most = LONGEST_REASON if one.key in ("rejected", "let_in") else LONGEST
    if not tidy:
        return _named(one, "Nothing written.", "Write what you read or know.")
    if len(tidy) > most:
        return _named(one, f"{len(tidy)} characters are too many.", f"Keep it to {most}.")
    return tidy


def _named(one: LoadField, title: str, body: str) -> Refusal:
    return Refusal(title=f"{one.name}: {title}", body=body)


def field_words(one: LoadField, value: Value, units: Units) -> str:
    """`slump 80 mm`, `turned away: too old`."""
    joint = ": " if one.key == "rejected" else " "
    return f"{one.name}{joint}{shown(one, value, units)}"


def shown(one: LoadField, value: Value, units: Units) -> str:
    """A value as people of the job read it, a time by the clock it was read from."""
    if isinstance(value, datetime):
        return f"{value:%H:%M}"
    if isinstance(value, str):
        return literal(value)
    if one.kind == "length":
        return format_read(value, units)
    return literal(format_amount(value, one.unit, units, 1 if one.unit == "m³" else 0))
