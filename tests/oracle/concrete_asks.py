"""The commands run in this process, and what is asked of them after a day."""

import io
import json
import os
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any
from unittest.mock import patch

from pourdeck.cli import main

from .concrete_gain import Warmth, reached
from .concrete_log import Concrete
from .concrete_order import Mix


@dataclass(frozen=True)
class Answer:
    code: int
    out: str
    err: str

    @property
    def document(self) -> dict[str, Any]:
        found = json.loads(self.out)
        assert isinstance(found, dict)
        return found


def ask(job: Path, command: str, *words: str) -> Answer:
    """Give what the program prints. Where it keeps what is no part of the job is beside the job."""
    out, err = io.StringIO(), io.StringIO()
    beside = patch.dict(os.environ, POURDECK_STATE=str(job.parent / "state"))
    with beside, redirect_stdout(out), redirect_stderr(err):
        code = main([command, str(job), *words])
    return Answer(code, out.getvalue(), err.getvalue())


def times(
    chance: Random, concrete: Concrete, mix: Mix, limits: dict[str, Any], begin: datetime
) -> Iterator[datetime]:
    """Times to ask about, to the second: any, and exactly those at which something may change."""
    for one in _times(chance, concrete, mix, limits, begin):
        yield one.replace(microsecond=0)


def _times(
    chance: Random, concrete: Concrete, mix: Mix, limits: dict[str, Any], begin: datetime
) -> Iterator[datetime]:
    yield begin + timedelta(minutes=chance.randint(-600, 60 * 24 * 40))
    ended = concrete.ended
    if ended is None:
        return
    edges = [ended, *concrete.readings, *(one.at for one in concrete.results.values())]
    hours = limits.get("climb", {}).get("hours")
    if hours is not None:
        aged = ended + timedelta(hours=float(hours))
        yield aged
        yield aged - timedelta(seconds=chance.choice([1, 1, 600]))
    if mix.strength is not None and mix.cement is not None:
        warmth = Warmth(concrete.readings, ended)
        for key in ("strip", "climb", "lift"):
            limit = limits.get(key, {}).get("strength")
            when = limit and reached(warmth, float(mix.strength), mix.cement, float(limit))
            if when is not None and when.year < 2100:
                edges += [when - timedelta(minutes=30), when + timedelta(minutes=30)]
    for edge in chance.sample(edges, min(4, len(edges))):
        yield edge + timedelta(seconds=chance.choice([0, 0, 0, -1, 1]))
    yield ended + timedelta(minutes=chance.randint(0, 60 * 24 * 6))


def spelt(chance: Random, at: datetime) -> str:
    return f"{at:%Y-%m-%dT%H:%M:%SZ}" if chance.random() < 0.3 else at.isoformat()
