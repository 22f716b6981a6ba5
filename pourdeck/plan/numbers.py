"""Numbers as they are typed: one small grammar, exact, refused aloud where it does not fit.

    number   = digits [ mark digits ]        digits are 0 to 9, the mark is . or ,

There are no thousands separators, powers of ten, underscores or digits of other scripts. Exactly
three figures after the mark can be read two ways (1.234 or 1234), and are refused unless the thing
that is measured is read to three decimals anyway. Feet and inches are, after a point: with a comma
they are still refused, because so thousands are written. At most fifteen significant figures.
"""

import re
from decimal import (
    Context,
    Decimal,
    DivisionByZero,
    Inexact,
    InvalidOperation,
    Overflow,
)

from pourdeck.plan.messages import literal

NUMBER = r"[0-9]+(?:[.,][0-9]+)?"

LENGTH_LETTERS = "mftin/'\" "
"""List the letters and marks that a length may have beside figures and signs."""

MOST_FIGURES = 15
MOST_CHARACTERS = 40

# A context of our own, so that nothing set elsewhere in the process can make a length inexact.
EXACT = Context(prec=80, traps=[Inexact, InvalidOperation, DivisionByZero, Overflow])

_WHOLE = re.compile(NUMBER)
_NO_FIGURE = re.compile(r"[^0-9]")
_POWER = re.compile(r"[0-9][eE]")
_RUN = re.compile(r"[0-9.,]+")
_MINUSES = "\u2212\u2010\u2011\u2012\u2013\u2014\ufe63\uff0d"
_QUOTES = "\u2018\u2019\u201c\u201d\u2032\u2033\u00b4`"


class NotALength(ValueError):  # noqa: N818 - it names the verdict, as the deck says it
    """Refuse typed text that is no length or number: `title` says what is wrong, `body` what to write."""

    def __init__(self, title: str, body: str) -> None:
        super().__init__(f"{title}{'' if title.endswith('?') else '.'} {body}")
        self.title = title
        self.body = body


def parse_number(text: str, *, decimals: int | None = None, signed: bool = False) -> Decimal:
    """Exact value of a bare number, at most `decimals` decimals (None: any). Raises NotALength."""
    typed = trimmed(text)
    sign, body = split_sign(typed, signed=signed)
    if not _WHOLE.fullmatch(body):
        raise refuse_characters(typed, letters="") or refuse_marks(body) or _no_number(typed)
    check_figures(body)
    value = read_number(body, thousandths=decimals is not None and decimals >= 3)
    places = -int(value.as_tuple().exponent)
    if decimals is not None and places > decimals:
        allowed = f"at most {decimals} decimal{'s' if decimals > 1 else ''}"
        raise NotALength(
            f"{shown(typed)}: more decimals than this is read to",
            f"Write a number with {allowed}." if decimals else "Write a whole number.",
        )
    return tidy(EXACT.multiply(sign, value))


def _no_number(typed: str) -> NotALength:
    return NotALength(
        f"{shown(typed)}: not a number", "Write the number alone, such as 12 or 12.5."
    )


def trimmed(text: str) -> str:
    """Without the plain spaces round it. Raises NotALength where nothing or too much is left."""
    typed = text.strip(" ")
    if not typed:
        raise NotALength("Nothing typed", "Type a number.")
    if len(typed) > MOST_CHARACTERS:
        raise NotALength(f"{shown(typed)}: too long for a number", "Type one number only.")
    return typed


def split_sign(typed: str, *, signed: bool) -> tuple[int, str]:
    """1 or -1, and what stands after the sign. Raises NotALength for a sign that is not allowed."""
    if typed[0] not in "+-":
        return 1, typed
    body = typed[1:]
    if not body:
        raise NotALength(f"{typed}: only a sign", "Type a number.")
    if body[0] in "+-":
        raise NotALength(f"{shown(typed)}: more than one sign", "Write one sign only.")
    if not signed:
        why = "this cannot be below zero" if typed[0] == "-" else "no sign is wanted here"
        raise NotALength(f"{shown(typed)}: {why}", "Write the number without a sign.")
    return (-1 if typed[0] == "-" else 1), body


def check_figures(body: str) -> None:
    """Raises NotALength for more significant figures than any tape has."""
    if len(_NO_FIGURE.sub("", body).lstrip("0")) > MOST_FIGURES:
        title = f"{shown(body)}: more than {MOST_FIGURES} figures"
        raise NotALength(title, "Write it as it was read.")


def read_number(digits: str, *, thousandths: bool, point: bool = False) -> Decimal:
    """Exact value of what matches NUMBER. `thousandths`: three decimals are its resolution.

    `point`: they are after a point, while three figures after a comma can be thousands.
    """
    number = digits.replace(",", ".")
    whole, _, decimals = number.partition(".")
    if len(decimals) == 3 and not thousandths and not (point and "." in digits):
        together = (whole + decimals).lstrip("0") or "0"
        parts = number if point else f"{number}0"
        raise NotALength(
            f"{digits}: is it {together} or {parts}?",
            f"Write {together} or {parts}: three figures after a mark can be read two ways.",
        )
    return Decimal(number)


def refuse_characters(typed: str, *, letters: str) -> NotALength | None:
    """The first character that has no place in a number (or, with `letters`, a length), if any."""
    for character in typed:
        if character in "0123456789.,+-" or (letters and character in letters):
            continue
        if character in "eE" and _POWER.search(typed):
            return NotALength(
                f"{shown(typed)}: powers of ten are not read", "Write it out in full."
            )
        return NotALength(f"{shown(typed)}: {_fault_of(character)}", _remedy_for(character))
    return None


def _fault_of(character: str) -> str:
    if character == " ":
        return "a space inside a number"
    if character == "_":
        return "an underline inside a number"
    if character in _MINUSES:
        return "this is a dash, not the minus key"
    if character in _QUOTES:
        return "these are curly marks"
    if character.isspace():
        return "this is not a plain space"
    if character.isnumeric():
        return f"{shown(character)} is not one of the figures 0 to 9"
    return f"{shown(character)} has no place here"


def _remedy_for(character: str) -> str:
    if character in " _":
        return "Write the figures together, such as 1200."
    if character in _MINUSES:
        return "Type the minus of the keyboard, -."
    if character in _QUOTES:
        return "Type the straight ' for feet and \" for inches."
    if character.isspace():
        return "Type it again with the space bar, or without."
    if character.isnumeric():
        return "Type it with the figures 0 to 9."
    return "Take it out."


def refuse_marks(body: str) -> NotALength | None:
    """Tell what is wrong with the decimal marks; None if nothing is."""
    for run in _RUN.findall(body):
        marks = run.count(".") + run.count(",")
        if marks > 1:
            return NotALength(
                f"{shown(run)}: more than one decimal mark",
                "Write one mark at most, and none between thousands.",
            )
        if marks and run[0] in ".,":
            rest = f"0.{run[1:]}" if run[1:] else "0"
            return NotALength(f"{shown(run)}: no figure before the mark", f"Write {rest}.")
        if marks and run[-1] in ".,":
            return NotALength(f"{shown(run)}: no figure after the mark", f"Write {run[:-1]}.")
    return None


def shown(text: str, most: int = 24) -> str:
    """The text as one harmless line that is not long."""
    return literal(text) if len(text) <= most else f"{literal(text[:most])}…"


def tidy(value: Decimal) -> Decimal:
    """Write a value the one way: no exponent, no trailing zeros, no minus before zero."""
    return Decimal(plain(value))


def plain(value: Decimal) -> str:
    """All decimals the value has, no exponent, no trailing zeros, no minus before zero."""
    if not value:
        return "0"
    text = format(value, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


# Numbers as a log holds them: what each can be at the most.
#
# Beyond it a key slipped, or something else wrote the log: what is typed is refused there, and what a log
# holds counts for nothing. Units are those of the files.

_RANGES = {
    # No tape, staff or plan goes further.
    "mm": ("-100000", "100000"),
    "mm/form": ("-2000", "2000"),
    "size": ("0", "100000"),
    "m": ("-10000", "10000"),
    "%": ("-100", "100"),
    "°C": ("-100", "100"),
    "MPa": ("-250", "250"),
    "m³": ("-1000", "1000"),
    "km/h": ("-300", "300"),
    # Common practice, no source: staffs are three to five metres long.
    "staff": ("-10", "10"),
    # How far a face is out from its planned line: beyond this something else was typed.
    "face": ("-1000", "1000"),
    # Of a load. A slump cannot be more than the cone is high: 300 mm, or 12 in (common practice, no source).
    "volume": ("0.05", "20"),
    "slump": ("0", "304.8"),
    "temperature": ("-10", "70"),
    "water": ("0", "2000"),
    # The weather at the slab. Wind is the mean, not the gust, about 0.5 m over the slab.
    "concrete": ("-20", "80"),
    "air": ("-60", "60"),
    "humidity": ("0", "100"),
    "wind": ("0", "300"),
    # °C of concrete that sets and is not steamed: outside them the probe or the unit is wrong.
    "reading": ("-20", "95"),
    "strength": ("0.5", "150"),
}

RANGES = {name: (Decimal(least), Decimal(most)) for name, (least, most) in _RANGES.items()}
"""Least and most by the name of the quantity, both allowed."""

MOST = Decimal(10) ** 9
"""No number of a log is as large, whatever it is of."""

_FINEST = -40
"""Decimals, at most: of feet and inches exactly in mm there are nine."""


def number_in(value: object, name: str = "") -> Decimal | None:
    """An exact number of a log within its range, or within any; None where it is none."""
    if not isinstance(value, str) or len(value) > 80:
        return None
    try:
        number = Decimal(value)
    except InvalidOperation:
        return None
    if not number.is_finite() or abs(number) >= MOST or int(number.as_tuple().exponent) < _FINEST:
        return None
    least, most = RANGES.get(name, (-MOST, MOST))
    return number if least <= number <= most else None
