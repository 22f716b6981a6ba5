"""Seal with a close what a panel was built by: its set-out and the job as it judged that day.

A plan that is edited afterwards, or a surface that is measured again, changes nothing of a panel that
is closed. The converter is made when it is first asked for: a check of the plan needs none of it.
"""

from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from attrs import evolve, fields, frozen, has

from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job, Stack
from pourdeck.setout.record import PlacedCastIn, SetOut
from pourdeck.sitelog.state import PanelState
from pourdeck.walk.words import number_of

if TYPE_CHECKING:
    from cattrs.preconf.json import JsonConverter

KEY = "as_computed"
"""Where the data of a `close` holds it."""


@frozen(kw_only=True, eq=False, repr=False)
class AsComputed:
    """The set-out of a panel, and of its job all but the people, whose word is enough and the other
    stacks."""

    job: Job
    setout: SetOut

    @property
    def stack(self) -> Stack:
        return self.job.stacks[0]

    @property
    def place(self) -> tuple[str, int]:
        """The stack and the number in it, from 1, that the panel was cast at."""
        return self.setout.stack, self.setout.number


def sealed(job: Job, stack: Stack, setout: SetOut) -> dict[str, Any]:
    """Give what a `close` seals: text, whole numbers and lists of them; each length a string, exact."""
    alone = evolve(job, folder=Path(), people=(), words=(), stacks=(stack,))
    found = AsComputed(job=alone, setout=setout)
    data: dict[str, Any] = _converter().unstructure(found)
    return data


def as_computed(record: PanelState, job: Job) -> AsComputed | None:
    """Read what was sealed at the close of a panel; folder, people, words and people's units are `job`'s.

    None where it is not closed, or where nothing that can be read was sealed.
    """
    data = record.closed.data.get(KEY) if record.closed else None
    if data is None:
        return None
    try:
        found = _converter().structure(data, AsComputed)
    except MemoryError:
        raise
    except Exception:  # whatever the converter says of what it cannot read
        return None
    if not found.job.stacks or not all(map(_placed, found.setout.castins)):
        return None
    now = evolve(found.job, folder=job.folder, people=job.people, words=job.words, units=job.units)
    return evolve(found, job=now)


def _placed(one: PlacedCastIn) -> bool:
    """Whether a cast-in has the place that its sums need: in the face, or along an edge."""
    return one.at is not None if one.edge else one.x is not None and one.y is not None


def judged_alike(record: PanelState, job: Job, setout: SetOut) -> bool:
    """True where what a close sealed judges the panel as cast as `job` and `setout` do now.

    Compared as the log holds it: to make records of all that was sealed takes far longer. False where
    that cannot be told.
    """
    data = record.closed.data.get(KEY) if record.closed else None
    if data is None:
        return True
    try:
        sealed_job, sealed_out = data["job"], data["setout"]
        return all(
            _is(now, then)
            for then, now in (
                (sealed_job["tolerance"], job.tolerance),
                (sealed_job["steps"], job.steps),
                (sealed_out["panel"], setout.panel),
                (sealed_out["heights"], setout.heights),
                (sealed_out["diagonal"], setout.diagonal),
                (sealed_out["stack"], setout.stack),
                (sealed_out["number"], setout.number),
            )
        )
    except (KeyError, TypeError):
        return False


def _is(now: Any, then: Any) -> bool:
    """Whether a close sealed just this, told without a converter; what cannot be told is not."""
    if isinstance(now, Decimal):
        return bool(then == plain(now) or then == {"number": plain(now)})
    if isinstance(now, tuple):
        return (
            isinstance(then, list)
            and len(then) == len(now)
            and all(_is(one, other) for one, other in zip(now, then, strict=True))
        )
    if has(type(now)):
        return isinstance(then, dict) and all(
            one.name in then and _is(getattr(now, one.name), then[one.name])
            for one in fields(type(now))
        )
    return bool(then == now)


@cache
def _converter() -> "JsonConverter":
    from cattrs.preconf.json import make_converter

    converter = make_converter(detailed_validation=False)
    converter.register_unstructure_hook(Decimal, plain)
    converter.register_structure_hook(Decimal, lambda value, _: _decimal(value))
    # A word and a number that looks the same are told apart by what holds the number.
    converter.register_unstructure_hook_func(_either, _unstructured)
    converter.register_structure_hook_func(_either, lambda value, _: _structured(value))
    return converter


def _decimal(value: object) -> Decimal:
    number = number_of(value)
    if number is None:
        raise TypeError(value)
    return number


def _either(kind: object) -> bool:
    return kind == (Decimal | str | None)


def _unstructured(value: Decimal | str | None) -> dict[str, str] | str | None:
    return {"number": plain(value)} if isinstance(value, Decimal) else value


def _structured(value: object) -> Decimal | str | None:
    if isinstance(value, dict):
        return _decimal(value["number"])
    if value is not None and not isinstance(value, str):
        raise TypeError(value)
    return value
