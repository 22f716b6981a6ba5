"""Measuring twice, where the job asks for it: two readings that agree are one value, their mean.

The second is taken without seeing the first. Two readings of one length with the standard deviation σ
of a tape differ with σ√2, and are taken to agree up to three times that: the same 3 σ that tells of a slip
(`setout/adjust.py`), of a difference of two.
"""

from collections.abc import Mapping
from decimal import Decimal
from math import sqrt
from typing import Any

from attrs import frozen

from pourdeck.plan.ascast import is_height, judged_as
from pourdeck.plan.lengths import format_length, format_rl
from pourdeck.plan.records import Job
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.shown_lengths import format_read, format_together
from pourdeck.setout.adjust import SLIP
from pourdeck.walk.log_numbers import number_of

MOST_SQUARED = Decimal(2) * Decimal(SLIP) ** 2
"""(3√2)²: squares are compared, which is exact."""


@frozen(kw_only=True)
class ReadingsApart(Refusal):
    """Two readings of the same length do not agree: both are taken again."""


def asks_twice(job: Job, key: str | None) -> bool:
    """Whether the job asks for a measurement to be taken twice."""
    return key is not None and judged_as(key) in job.tolerance.twice


def agree(first: Decimal, second: Decimal, tape: Decimal) -> bool:
    """Whether two readings are of the same length. mm; `tape`: standard deviation of one."""
    return (first - second) ** 2 <= MOST_SQUARED * tape**2


def mean(first: Decimal, second: Decimal) -> Decimal:
    return (first + second) / 2


def apart_words(job: Job) -> str:
    """How far apart two readings may be, and why so far."""
    tape, units = job.limits.tape, job.units
    most = Decimal(SLIP * sqrt(2)) * tape
    return (
        f"{format_length(most, units, decimals=1)}, "
        f"three times √2 times the {format_read(tape, units)} of a tape"
    )


def together(
    job: Job, key: str, first: Decimal, second: Decimal, name: str = ""
) -> Decimal | Refusal:
    """The value of two readings under an as-cast key, or both where they do not agree. mm, heights m.

    `name`: what people call what was measured.
    """
    scale = Decimal(1000) if is_height(key) else Decimal(1)
    if agree(scale * first, scale * second, job.limits.tape):
        return mean(first, second)
    apart = format_read(scale * abs(first - second), job.units)
    if is_height(key):
        one, other = format_rl(first, job.units), format_rl(second, job.units)
    else:
        one, other = format_together((first, second), job.units)
    return ReadingsApart(
        title=f"{name or key}: {one} and {other} do not agree.",
        body=f"They are {apart} apart; the most is {apart_words(job)}. Measure it twice again.",
    )


def readings_in(data: Mapping[str, Any], key: str) -> tuple[Decimal, ...]:
    """Both readings that an as-cast entry holds of a measurement; none where it was measured once."""
    listed = data.get("readings")
    texts = listed.get(key) if isinstance(listed, dict) else None
    if not isinstance(texts, list):
        return ()
    found = tuple(number_of(text) for text in texts)
    return tuple(one for one in found if one is not None) if None not in found else ()


def once_only(name: str) -> Refusal:
    """What is said where one reading was given and the job asks for two."""
    return Refusal(
        title=f"{name} is measured twice in this job.",
        body="tolerance.twice asks for it. Measure it again without looking at the first, and give both.",
    )
