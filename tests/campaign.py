"""Tell how long a search for faults goes on: a fifth of its cases by default, all of them in a full run.

A campaign is a test that tries cases made at random: fuzz, second readings of the rules, histories, paths,
state machines, properties. `-m campaign` runs all of them in full and nothing else; `FULL=1` in the
environment runs everything in full.
"""

import os
from collections.abc import Iterable, Sequence
from itertools import product
from typing import TypeVar

T = TypeVar("T")

SHARE = 5
"""One of so many cases is tried by default."""

_full = bool(os.environ.get("FULL"))


def go_in_full() -> None:
    """Every case from now on. Said before the tests are collected."""
    global _full
    _full = True


def in_full() -> bool:
    return _full


def share(count: int) -> int:
    """So many of `count` cases are tried in this run; at least one."""
    return count if _full else max(1, round(count / SHARE))


def some(cases: Sequence[T]) -> Sequence[T]:
    """The cases of a parametrized test that are tried in this run: spread evenly over all of them."""
    return cases if _full else cases[:: min(SHARE, len(cases))]


def each_once(first: Iterable[T], *others: Sequence[T]) -> list[tuple[T, ...]]:
    """Cases made of one of each: every combination in full; else each of `first` once, others by turns."""
    if _full:
        return list(product(first, *others))
    found: list[tuple[T, ...]] = []
    for number, one in enumerate(first):
        turn: list[T] = []
        for other in others:
            number, place = divmod(number, len(other))
            turn.append(other[place])
        found.append((one, *turn))
    return found


HOUSE = (80, 24)
"""The window in which every screen is tried in every run."""


def windows(sizes: Sequence[tuple[int, int]]) -> Sequence[tuple[int, int]]:
    """The sizes in which a whole screen is painted in this run: 80×24 alone where it is among them.

    What a view says in so many columns is asked of the view by itself, in every width in every run.
    """
    return [HOUSE] if HOUSE in sizes and not _full else sizes
