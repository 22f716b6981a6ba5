"""One seed: a job and a day at its stacks through the program, then every command against the reading."""

import tomllib
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

from . import concrete_compare as compare
from . import concrete_weather as weather
from .concrete_asks import ask, spelt, times
from .concrete_days import Story, story
from .concrete_lifters import lifting
from .concrete_log import SIZES, Concrete, lines_of, panels_of
from .concrete_order import against_limits, mix_of, pour
from .concrete_play import play
from .concrete_pours import Step
from .concrete_strength import strength
from .plan import Job, Panel, read

COLDEST = Fraction(-20)
"""°C: colder concrete is not taken for any."""


def disagreements(seed: int) -> list[str]:
    """Tell what differs for one seed, each line with the seed in front."""
    return [f"seed {seed}: {one}" for one in told(story(seed))]


def told(one: Story, steps: tuple[Step, ...] | None = None) -> list[str]:
    """Tell what differs after a day, or after some steps of it."""
    with TemporaryDirectory() as folder:
        play(Path(folder), one, steps)
        return list(trial(one, Path(folder) / "job"))


def trial(one: Story, folder: Path) -> Iterator[str]:
    raw = tomllib.loads(one.text, parse_float=Fraction)
    limits, mix = raw.get("limits", {}), mix_of(raw.get("mix", {}))
    job = read(one.text)
    panels = {panel.mark: panel for stack in job.stacks for panel in stack.panels}
    if sum(len(stack.panels) for stack in job.stacks) != len(panels):
        return  # one mark twice: the log could not say which
    planned = {mark: {key: getattr(panel, key) for key in SIZES} for mark, panel in panels.items()}
    found = panels_of(lines_of(folder), planned)
    chance = Random(one.seed + 10**6)
    yield from _weather(folder, limits, raw["job"]["units"], chance)
    for stack in job.stacks:
        for number, panel in enumerate(stack.panels, 1):
            concrete = found[panel.mark]
            here = replace(panel, **concrete.size)
            words = (stack.id, str(number))
            yield from _pour(folder, words, job, mix, limits, here, concrete)
            yield from _lifting(folder, words, job, here)
            for at in times(chance, concrete, mix, limits, one.begin):
                typed = spelt(chance, at)
                place = f"strength {' '.join(words)} --at {typed}"
                answer = ask(folder, "strength", *words, "--at", typed, "--json")
                yield from compare.code(answer, place)
                if answer.code < 2:
                    mine = strength(mix, limits, concrete, at)
                    yield from compare.strength(mine, answer, place)
                    page = ask(folder, "strength", *words, "--at", typed)
                    yield from compare.rough(mine, page.out, place)


def _pour(
    folder: Path, words: tuple[str, str], job: Job, mix: Any, limits: dict[str, Any],
    panel: Panel, concrete: Concrete,
) -> Iterator[str]:  # fmt: skip
    place = f"pour {' '.join(words)}"
    answer = ask(folder, "pour", *words, "--json")
    yield from compare.code(answer, place)
    if answer.code < 2:
        against = against_limits(mix, limits, concrete, datetime.now(UTC))
        yield from compare.pour(pour(job, mix, panel, concrete), against, answer, place)


def _lifting(folder: Path, words: tuple[str, str], job: Job, panel: Panel) -> Iterator[str]:
    place = f"lifting {' '.join(words)}"
    answer = ask(folder, "lifting", *words, "--json")
    yield from compare.code(answer, place)
    if answer.code < 2:
        yield from compare.lifting(lifting(job, panel), answer, place)


def _weather(folder: Path, limits: dict[str, Any], units: str, chance: Random) -> Iterator[str]:
    band = limits.get("concrete_temperature", [5, 35])
    for _ in range(3):
        near = [
            Fraction(one) + off for one in band for off in (0, Fraction("0.1"), Fraction("-0.1"))
        ]
        warm = chance.choice([*near, Fraction(chance.randint(-40, 450), 10)])
        air = Fraction(chance.randint(-250, 450), 10)
        damp, wind = Fraction(chance.randint(0, 100)), Fraction(chance.randint(0, 600), 10)
        bare = chance.random() < 0.3
        scale, speed = chance.choice(["C", "F"]), chance.choice(["km/h", "mph"])
        if bare:
            scale, speed = ("C", "km/h") if units == "metric" else ("F", "mph")
        after = ("", "") if bare else (f" {scale}", f" {speed}")
        typed = [
            f"--concrete={float(warm):.12g}{after[0]}",
            f"--air={float(air):.12g}{after[0]}",
            f"--rh={float(damp):.12g}",
            f"--wind={float(wind):.12g}{after[1]}",
        ]
        celsius = [weather.celsius(one, scale) for one in (warm, air)]
        if celsius[0] < COLDEST:
            continue
        rate = weather.evaporation(
            float(celsius[0]), float(celsius[1]), float(damp), float(weather.kmh(wind, speed))
        )
        given = limits.get("evaporation", {})
        mine = {
            "evaporation": rate,
            "verdict": weather.verdict(rate, given),
            "limits": {key: given[key] for key in ("caution", "act") if key in given},
            "temperature": weather.temperature(celsius[0], limits.get("concrete_temperature")),
        }
        place = f"weather {' '.join(typed)}"
        answer = ask(folder, "weather", *typed, "--json")
        yield from compare.code(answer, place)
        if answer.code < 2:
            yield from compare.differs(mine, answer.document, place)
            wrong = mine["temperature"] in ("hot", "cold")
            if answer.code != int(wrong):
                yield f"{place}: exit {answer.code} but the concrete is {mine['temperature']}"
