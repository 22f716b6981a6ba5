"""The strength of a panel as a page for people."""

from rich.console import Console

from pourdeck.paper.console import say, table, title
from pourdeck.plan.messages import literal
from pourdeck.walk.records import Walk
from pourdeck.walk.strength import Strength, untested
from pourdeck.walk.strength_findings import missed, troubles
from pourdeck.walk.strength_words import (
    CURED,
    age_text,
    asks,
    basis_words,
    celsius,
    climb_missing,
    estimate_words,
    lift_missing,
    met_words,
    moment_text,
    mpa,
    result_verdicts,
    strip_missing,
    verdict_word,
    when,
)


def strength_page(console: Console, walk: Walk, found: Strength) -> None:
    """Age, estimate and what it is, results against each limit, what is missing for climb and for lift."""
    job, zone = walk.job, found.at.tzinfo
    say(
        console,
        f"{literal(walk.mark)}, panel {walk.number} of {walk.of} of stack {literal(walk.stack)}: strength",
        "bold",
    )
    if found.poured is not None:
        say(
            console,
            f"At {found.at:%a %d %b %Y %H:%M}: {age_text(found.hours)} after the pour ended.",
        )
        if found.days is not None:
            say(
                console,
                f"Temperature-adjusted age {found.days:.2f} days, {basis_words(job, found)}.",
            )
    if found.estimate is not None:
        say(console, f"Estimate {mpa(job, found.estimate)}: {estimate_words(job, found)}.")
        say(console, f"By what was measured alone: {mpa(job, found.measured)}.")
    else:
        say(console, f"{estimate_words(job, found).capitalize()}.")
    if found.readings:
        warm = [one.temperature for one in found.readings]
        low, high = celsius(job, min(warm)), celsius(job, max(warm))
        first, last = (moment_text(one.at, zone) for one in (found.readings[0], found.readings[-1]))
        say(console, f"{len(warm)} temperatures, {first} to {last}, {low} to {high}.")
    title(console, "Limits")
    rows = []
    for name, need in (("strip", found.strip), ("climb", found.climb), ("lift", found.lift)):
        expected = when(need, found.at.date(), zone) if need.met is not None else ""
        rows.append(
            (
                name,
                asks(job, need),
                met_words(need),
                expected,
                literal(need.source or ""),
            )
        )
    table(console, ("limit", "asks for", "", "expected", "source"), rows)
    for name, missing in (
        ("Strip", strip_missing(job, found, zone)),
        ("Climb", climb_missing(job, found, zone)),
        ("Lift", lift_missing(job, found, zone)),
    ):
        if missing:
            say(console, f"{name}, missing: {' '.join(missing)}")
    title(console, "Tests")
    _tests(console, walk, found)
    for one in (*troubles(job, found, zone), *missed(found, zone)):
        say(console, f"{one.severity.upper()}: {one.words}")


def _tests(console: Console, walk: Walk, found: Strength) -> None:
    job, zone = walk.job, found.at.tzinfo
    limits = ("climb", "lift") if found.needed_strip is None else ("strip", "climb", "lift")
    rows = []
    for one in found.results:
        age = (one.at - found.poured).total_seconds() / 3600 if found.poured else None
        verdicts = [
            verdict_word(found, limit, one, shown) for limit, shown in result_verdicts(found, one)
        ]
        strength, at = mpa(job, one.strength), moment_text(one.at, zone)
        rows.append(
            (
                literal(one.name),
                CURED[one.cured],
                strength,
                at,
                age_text(age),
                *verdicts,
                literal(one.by),
            )
        )
    rows += [
        (literal(spare.name), CURED[spare.cured], "no result", *([""] * (len(limits) + 3)))
        for spare in untested(walk.record)
    ]
    if rows:
        table(console, ("specimen", "cured", ">result", "tested", "age", *limits, "by"), rows)
    else:
        say(console, "No specimen of this panel.")
