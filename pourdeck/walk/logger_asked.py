"""What is asked of a logger's file: bad lines by their number, and questions that only people can answer.

A file that does not say its unit, its column, its order of dates or its day is not guessed at: nothing of it
is taken, and a `Question` says what to choose from. The answer comes back in `Given`.
"""

from datetime import datetime
from decimal import Decimal
from typing import Literal

from attrs import frozen

from pourdeck.plan.literal import literal
from pourdeck.plan.refusal import Refusal

Degrees = Literal["°C", "°F", "K"]
Order = Literal["ymd", "dmy", "mdy"]
About = Literal["unit", "column", "dates", "start"]

UNITS: tuple[Degrees, ...] = ("°C", "°F", "K")

ORDERS: tuple[Order, ...] = ("ymd", "dmy", "mdy")

NOTHING = "Nothing of the file was taken."


@frozen(kw_only=True)
class Question(Refusal):
    """Nothing is taken before somebody says `about` what: one of `choices` (key, words), or a time."""

    about: About
    choices: tuple[tuple[str, str], ...] = ()


@frozen(kw_only=True)
class Given:
    """What somebody said of a file. `column`: its name or its number from 1. `start`: when it begins."""

    unit: Degrees | None = None
    column: str = ""
    dates: Order | None = None
    start: datetime | None = None


@frozen(kw_only=True)
class Pour:
    """What is known of the concrete. `warm`: of each load as it came, °C."""

    began: datetime | None = None
    ended: datetime | None = None
    warm: tuple[Decimal, ...] = ()


def unit_named(typed: str) -> Degrees | None:
    """The unit that somebody means by `C`, `°F`, `k`."""
    letter = typed.strip().removeprefix("°").upper()
    return next((one for one in UNITS if one[-1] == letter), None)


def order_named(typed: str) -> Order | None:
    """The order that somebody means by `dmy`."""
    small = typed.strip().lower()
    return next((one for one in ORDERS if one == small), None)


def fault(number: int, why: str, remedy: str, text: str = "") -> Refusal:
    """What is wrong with a line of the file, and the `text` that stands there."""
    reads = f"It reads {shown(text)}. " if text.strip() else ""
    return Refusal(title=f"Line {number}: {why}.", body=f"{reads}{remedy} {NOTHING}")


def shown(text: str, most: int = 60) -> str:
    """What stands in a file, harmless and in one line."""
    text = " ".join(text.split())
    return literal(text) if len(text) <= most else f"{literal(text[:most])}…"


def line_words(numbers: tuple[int, ...]) -> str:
    """`lines 1 to 3 and 504`."""
    spans: list[list[int]] = []
    for number in numbers:
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    parts = [f"{a}" if a == b else f"{a} to {b}" if b > a + 1 else f"{a}, {b}" for a, b in spans]
    if len(parts) > 6:
        parts = [*parts[:5], f"{len(numbers)} in all, the last one {numbers[-1]}"]
    words = ", ".join(parts[:-1]) + f" and {parts[-1]}" if len(parts) > 1 else "".join(parts)
    return f"{'line' if len(numbers) == 1 else 'lines'} {words}"
