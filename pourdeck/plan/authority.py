"""Whose word is enough for each act that somebody answers for: the table, and what a job asks beyond it."""

import tomllib
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

from attrs import evolve, frozen

from pourdeck.plan.records import Job, Role, Way

TABLE = Path(__file__).with_name("authority.toml")


@frozen(kw_only=True)
class WordRule:
    """Who may say one act, and how; see authority.toml for each column.

    `reason` is what the text that must be given is called, "" where none is asked for.
    """

    act: str
    does: str
    roles: tuple[Role, ...]
    ways: tuple[Way, ...]
    doer: bool
    why: str
    reason: str = ""
    items: tuple[str, ...] = ()

    @property
    def needed(self) -> str:
        """The roles that are enough: `a foreman, supervisor or engineer`."""
        article = "an" if self.roles[0] == "engineer" else "a"
        return f"{article} {any_of(self.roles)}"


def any_of(words: Sequence[str]) -> str:
    """`foreman, supervisor or engineer`."""
    *most, last = words
    return f"{', '.join(most)} or {last}" if most else last


@cache
def built_in() -> dict[str, WordRule]:
    """Every row of the table, by its act."""
    rows: list[dict[str, Any]] = tomllib.loads(TABLE.read_text(encoding="utf-8"))["word"]
    made = (WordRule(**{key: _tuple(one) for key, one in row.items()}) for row in rows)
    return {rule.act: rule for rule in made}


def _tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def named(act: str) -> tuple[WordRule, ...]:
    """The rows an act names: its own, or those of its group; none where there is no such act."""
    return tuple(
        rule for rule in built_in().values() if act in (rule.act, rule.act.partition(".")[0])
    )


def acts() -> tuple[str, ...]:
    """Every act and group a job may name."""
    rows = built_in()
    groups = dict.fromkeys(act.partition(".")[0] for act in rows if "." in act)
    return (*groups, *rows)


def rule_of(job: Job, act: str) -> WordRule:
    """The row of an act with what the job asks beyond it. Raises KeyError."""
    rule = built_in()[act]
    for word in job.words:
        if word.act in (act, act.partition(".")[0]):
            rule = evolve(
                rule,
                roles=tuple(one for one in rule.roles if word.roles is None or one in word.roles),
                ways=tuple(one for one in rule.ways if word.ways is None or one in word.ways),
            )
    return rule
