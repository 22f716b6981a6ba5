"""A number with the sum behind it, and what goes into many of them."""

from decimal import Decimal

from attrs import frozen

from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Panel, Stack
from pourdeck.plan.shown_lengths import rounded
from pourdeck.plan.sides import Side

Value = Decimal | str

PLAN = "plan in force"
"""The source of what the drawing gives, size changes of the log applied."""


@frozen(kw_only=True)
class Input:
    """One thing that went into a sum. `unit` mm, m, m², m³, kg, kg/m³ or "" where it is a word."""

    name: str
    value: Value
    unit: str
    source: str


@frozen(kw_only=True)
class Sum:
    """A result with the sum behind it. `rounding` says how it is shown, "" where it is exact.

    `worked` is the formula with its numbers in, "" where the formula says it all.
    """

    title: str
    formula: str
    inputs: tuple[Input, ...]
    result: Value
    unit: str
    rounding: str = ""
    worked: str = ""


def mm(name: str, value: Decimal, source: str) -> Input:
    return Input(name=name, value=value, unit="mm", source=source)


def size_input(panel: Panel, name: str) -> Input:
    value: Decimal = getattr(panel, name)
    return mm(f"{name} of {panel.mark}", value, PLAN)


def position_input(mark: str, axis: str, value: Decimal) -> Input:
    return mm(f"{axis} of {mark}", value, "position in the stack")


def chamfer_input(chamfer: Decimal) -> Input:
    return mm("chamfer c", chamfer, "the kit: chamfer")


def bed_input(stack: Stack) -> Input:
    source = f"stack {stack.id}: bed RL"
    return Input(name="bed RL", value=stack.bed_rl, unit="m", source=source)


def start_of(side: Side) -> str:
    """The end of a side its positions are measured from."""
    return "left" if side in ("base", "head") else "base"


def in_sum(value: Decimal) -> str:
    """A number inside a worked sum: no unit, no exponent, negatives in brackets."""
    exponent = value.as_tuple().exponent
    too_fine = isinstance(exponent, int) and exponent < -3
    text = plain(rounded(value, 1) if too_fine else value)
    return f"({text})" if value < 0 else text
