"""The strength of a panel as a page for people."""

from rich.console import Console

from pourdeck.paper.console import say, table, title
from pourdeck.plan.literal import literal
from pourdeck.walk.records import Walk
from pourdeck.walk.strength import Strength
from pourdeck.walk.strength_log import untested
from pourdeck.walk.strength_words import (
    CURED,
    age_text,
    asks,
    celsius,
    climb_missing,
    doubts,
    estimate_words,
    lift_missing,
    met_words,
    moment_text,
    mpa,
    result_verdicts,
    verdict_word,
    when,
)
from pourdeck.walk.temperature_gaps import gap_words, gaps_of


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
            say(console, f"Temperature-adjusted age {found.days:.2f} days, {found.basis}.")
    if found.estimate is not None:
        say(console, f"Estimate {mpa(job, found.estimate)}: {estimate_words(job, found)}.")
    else:
        say(console, f"{estimate_words(job, found).capitalize()}.")
    if found.readings:
        warm = [one.temperature for one in found.readings]
        low, high = celsius(job, min(warm)), celsius(job, max(warm))
        first, last = (moment_text(one.at, zone) for one in (found.readings[0], found.readings[-1]))
        say(console, f"{len(warm)} temperatures, {first} to {last}, {low} to {high}.")
    title(console, "Limits")
    rows = []
    for name, need, needed in (
        ("climb", found.climb, found.needed_climb),
        ("lift", found.lift, found.needed_lift),
    ):
        expected = when(need, found.at.date(), zone) if need.met is not None else ""
        rows.append(
            (
                name,
                asks(job, need, needed),
                met_words(job, need, found),
                expected,
                literal(need.source or ""),
            )
        )
    table(console, ("limit", "asks for", "", "expected", "source"), rows)
    for name, missing in (
        ("Climb", climb_missing(job, found, zone)),
        ("Lift", lift_missing(job, found, zone)),
    ):
        if missing:
            say(console, f"{name}, missing: {' '.join(missing)}")
    title(console, "Tests")
    _tests(console, walk, found)
    for said in (*doubts(job, found), *gap_words(gaps_of(found), zone)):
        say(console, f"WARNING: {said}")


def _tests(console: Console, walk: Walk, found: Strength) -> None:
    job, zone = walk.job, found.at.tzinfo
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
        (literal(spare.name), CURED[spare.cured], "no result", "", "", "", "", "")
        for spare in untested(walk.record)
    ]
    if rows:
        table(
            console, ("specimen", "cured", ">result", "tested", "age", "climb", "lift", "by"), rows
        )
    else:
        say(console, "No specimen of this panel.")
