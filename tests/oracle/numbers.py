"""Numbers and documents held against each other: fractions here, what JSON holds there."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any


def differs(mine: Any, theirs: Any, place: str) -> Iterator[str]:
    """Hold the program to the same shape and, to a billionth, the same numbers; keys may be added."""
    if isinstance(mine, dict) and isinstance(theirs, dict):
        for key, value in mine.items():
            if key in theirs:
                yield from differs(value, theirs[key], f"{place}.{key}")
            else:
                yield f"{place}.{key}: not there"
        return
    if isinstance(mine, list) and isinstance(theirs, list):
        if len(mine) != len(theirs):
            yield f"{place}: {shown(mine)} but the program has {theirs}"
            return
        for number, (one, two) in enumerate(zip(mine, theirs, strict=True)):
            yield from differs(one, two, f"{place}[{number}]")
        return
    if not same(mine, theirs):
        yield f"{place}: {shown(mine)} but the program has {theirs}"


def same(mine: Any, theirs: Any) -> bool:
    numbers = (int, float, Fraction)
    if isinstance(mine, bool) or mine is None or not isinstance(mine, numbers):
        return bool(mine == theirs)
    if isinstance(theirs, bool) or not isinstance(theirs, numbers):
        return False
    return abs(float(mine) - float(theirs)) <= 1e-9 * max(1.0, abs(float(mine)))


def shown(mine: Any) -> Any:
    if isinstance(mine, Fraction):
        return float(mine)
    return [shown(one) for one in mine] if isinstance(mine, list) else mine


def exact(theirs: float) -> Fraction:
    """A position as it was before it was put in binary: every length here has few decimals."""
    return Fraction(repr(theirs))
