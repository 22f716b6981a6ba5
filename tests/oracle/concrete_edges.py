"""Jobs whose concrete comes exactly to a limit of its order: a step that it fills, the least load."""

import re
import tomllib
from fractions import Fraction
from random import Random
from typing import Any

from .concrete_order import up
from .features import quantities
from .plan import read

MILLIONTH = 10**6
"""A job file takes six decimals."""


def to_the_step(text: str, chance: Random) -> str:
    """An order step that the concrete of the first panel fills exactly, where the file can hold it.

    Without waste, and then without chamfers, where it cannot otherwise.
    """
    plain = with_mix(text, waste=Fraction(0))
    for one in (text, plain, re.sub(r"(?m)^chamfer = .*$", "chamfer = 0", plain)):
        full, mix = wanted(one)
        parts = [n for n in range(1, 60) if full > 0 and (full / n * MILLIONTH).denominator == 1]
        if mix and parts:
            count = chance.choice(parts)
            step = full / count
            return with_mix(one, order_step=step, truck=step * chance.randint(1, count + 1))
    return text


def to_the_least_load(text: str, chance: Random) -> str:
    """A least load that is just the remainder of the first panel's order, or a little beside it."""
    full, mix = wanted(text)
    if full <= 0 or not mix:
        return text
    step = Fraction(mix.get("order_step", Fraction("0.2")))
    order = up(full, step)
    trucks = [Fraction(mix.get("truck", 6)), up(order / 2 + step, step), up(order / 3, step)]
    truck = next((one for one in trucks if one < order and order % one), None)
    if truck is None:
        return text
    beside = chance.choice(
        [Fraction(0), Fraction(0), Fraction(1, MILLIONTH), -Fraction(1, MILLIONTH)]
    )
    return with_mix(text, truck=truck, least_load=max(order % truck + beside, Fraction(0)))


def wanted(text: str) -> tuple[Fraction, dict[str, Any]]:
    """Concrete of the first panel with its waste, m³, and the mix as the file has it."""
    job, mix = read(text), tomllib.loads(text, parse_float=Fraction).get("mix", {})
    volume = quantities(job, job.stacks[0].panels[0])["volume"]
    return volume * (1 + Fraction(mix.get("waste", 0))), mix


def with_mix(text: str, **news: Fraction) -> str:
    """Write these keys into the mix of the job."""
    kept = [one for one in text.splitlines() if one.split(" = ")[0] not in news]
    if "[mix]" not in kept:
        return text
    place = kept.index("[mix]") + 1
    added = [f"{key} = {float(value):.6f}" for key, value in news.items()]
    return "\n".join([*kept[:place], *added, *kept[place:]]) + "\n"
