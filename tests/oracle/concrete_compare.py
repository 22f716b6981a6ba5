"""Where the program's answers about concrete differ from the reading: lines of text, none where not."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from .concrete_asks import Answer
from .concrete_gain import estimate
from .concrete_log import moment
from .concrete_strength import CLOSE, Gate, Strength
from .numbers import differs, same

ERRORS = {"frost", "temperature-range", "test-below"}
CODES = ERRORS | {"cold"}

MINUTE = timedelta(seconds=75)
"""A minute or so."""


def code(answer: Answer, place: str) -> Iterator[str]:
    """0 done and nothing wrong, 1 where a finding is an error."""
    if answer.code not in (0, 1):
        yield f"{place}: exit {answer.code}: {answer.err.strip()[-400:]}"
        return
    if answer.err:
        yield f"{place}: says {answer.err.strip()}"
    wrong = any(one["severity"] == "error" for one in answer.document["findings"])
    if answer.code != int(wrong):
        yield f"{place}: exit {answer.code} with findings {answer.document['findings']}"


def pour(mine: dict[str, Any], against: set[str], answer: Answer, place: str) -> Iterator[str]:
    yield from differs(mine, answer.document, place)
    errors = [one for one in answer.document["findings"] if one["severity"] == "error"]
    if len(errors) != len(against):
        said = [one["message"] for one in errors]
        yield f"{place}: {sorted(against)} against the limits but the program says {said}"


def lifting(mine: dict[str, Any], answer: Answer, place: str) -> Iterator[str]:
    yield from differs(mine, answer.document, place)


def strength(mine: Strength, answer: Answer, place: str) -> Iterator[str]:
    found = answer.document
    yield from differs({"age_hours": mine.hours}, found, place)
    if mine.basis not in found["basis"]:
        yield f"{place} basis: {mine.basis} but the program has {found['basis']}"
    yield from _age(mine, found, place)
    yield from _measured(mine, found, place)
    tests = [
        (one.specimen.name, one.specimen.cured, float(one.strength), one.at) for one in mine.tests
    ]
    got = [(one["id"], one["cured"], one["strength"], moment(one["at"])) for one in found["tests"]]
    if sorted(tests, key=str) != sorted(got, key=str):
        yield f"{place} tests: {tests} but the program has {got}"
    for key, gate in (("strip", mine.strip), ("climb", mine.climb), ("lift", mine.lift)):
        yield from _gate(gate, found[key], f"{place} {key}")
    said = {one["code"] for one in found["findings"]} & CODES
    if said - mine.unsure != mine.codes - mine.unsure:
        yield f"{place} findings: {sorted(mine.codes)} but the program has {sorted(said)}"
    for one in found["findings"]:
        if one["code"] in ERRORS and one["severity"] != "error":
            yield f"{place} findings: {one['code']} is no error"


def _age(mine: Strength, found: dict[str, Any], place: str) -> Iterator[str]:
    days, here = found["equivalent_days"], found["estimate"]
    if mine.days is None or days is None:
        if mine.days is not days:
            yield f"{place} equivalent_days: {mine.days} but the program has {days}"
    elif abs(days - mine.days) > CLOSE * mine.days + 1e-9:
        yield f"{place} equivalent_days: {mine.days} but the program has {days}"
    if mine.estimate is None or here is None:
        if mine.estimate is not here:
            yield f"{place} estimate: {mine.estimate} but the program has {here}"
    elif mine.curve is not None and not same(estimate(*mine.curve, days), here):
        yield f"{place} estimate: {estimate(*mine.curve, days)} but the program has {here}"


def _measured(mine: Strength, found: dict[str, Any], place: str) -> Iterator[str]:
    """Within what the age may be out."""
    here = found["measured"]
    if mine.curve is None or mine.measured_days is None:
        if here is not None:
            yield f"{place} measured: None but the program has {here}"
        return
    low, high = (estimate(*mine.curve, mine.measured_days * (1 + one)) for one in (-CLOSE, CLOSE))
    if here is None or not low - 1e-9 <= here <= high + 1e-9:
        yield f"{place} measured: {low} to {high} but the program has {here}"


def _gate(mine: Gate | None, found: dict[str, Any] | None, place: str) -> Iterator[str]:
    if mine is None:
        if found is not None and (found["needs"] or found["met"]):
            yield f"{place}: no limit is given but the program has {found}"
        return
    if found is None:
        yield f"{place}: {mine} but the program has nothing"
        return
    if len(mine.needs) != len(found["needs"]):
        yield f"{place}: needs {mine.needs} but the program has {found['needs']}"
    yield from differs(mine.needs, found["needs"], f"{place} needs")
    if mine.met is not None and mine.met is not found["met"]:
        yield f"{place} met: {mine.met} but the program has {found}"
    elif found["by"] not in mine.by:
        yield f"{place} by: one of {mine.by} but the program has {found['by']}"
    yield from _expected(mine.expected, found["expected"], f"{place} expected")


def _expected(mine: datetime | None, got: str | None, place: str) -> Iterator[str]:
    when = None if got is None else moment(got)
    if mine is None or when is None:
        if mine is not when:
            yield f"{place}: {mine} but the program has {got}"
        return
    if abs(mine - when) > MINUTE:
        yield f"{place}: {mine} but the program has {got}"


def rough(mine: Strength, page: str, place: str) -> Iterator[str]:
    """Under 3 days the output says "rough"."""
    if mine.estimate is None or mine.days is None or mine.hours is None:
        return
    ages = (mine.days, float(mine.hours) / 24)
    says = "rough: under 3 days" in page
    if any(one < 2.99 for one in ages) and not says:
        yield f"{place}: does not say rough at {ages} days"
    if all(one > 3.01 for one in ages) and says:
        yield f"{place}: says rough at {ages} days"
