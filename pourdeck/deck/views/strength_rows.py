"""The strength of a panel in rows: age and estimate, each limit and what is missing, what was tested."""

from datetime import tzinfo
from decimal import Decimal

from pourdeck.deck.paint import Spans, line
from pourdeck.deck.widgets.row_list import Row
from pourdeck.plan.messages import literal
from pourdeck.plan.records import Job
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.strength import Need, Result, Strength, specimens
from pourdeck.walk.strength_findings import gaps_of, missed, troubles, unmeasured_words
from pourdeck.walk.strength_import import Import
from pourdeck.walk.strength_words import (
    CURED,
    age_text,
    asks,
    assumed,
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
from pourdeck.walk.words import count_of

SPECIMEN = "specimen/"
"""Begin the key of a specimen's row."""

AGE = "age"
"""The key of the first row, where the mark stands at first."""

ADDING = {
    "add-temperature": "add a temperature",
    "read-logger": "read a logger's file, or paste it",
    "add-specimen": "add a specimen",
    "add-result": "add a result",
}
"""Rows that do something, by the id of their action."""

KEYS = {"add-temperature": "a", "read-logger": "f", "add-specimen": "s", "add-result": "n"}


def strength_rows(
    job: Job, record: PanelState, found: Strength, zone: tzinfo | None
) -> tuple[Row, ...]:
    """All that is known, the most important first; what can be added stands where it belongs."""
    return (
        *_age(job, found, zone),
        *(
            _limit(
                job,
                "Strip",
                found.strip,
                found.needed_strip,
                strip_missing(job, found, zone),
                found,
                zone,
            )
            if found.strip.met is not None
            else ()
        ),
        *_limit(
            job,
            "Climb",
            found.climb,
            found.needed_climb,
            climb_missing(job, found, zone),
            found,
            zone,
        ),
        *_limit(
            job, "Lift", found.lift, found.needed_lift, lift_missing(job, found, zone), found, zone
        ),
        *_specimens(job, record, found, zone),
        *_temperatures(job, found, zone),
    )


def read_all_rows(
    job: Job, record: PanelState, found: Strength, zone: tzinfo | None
) -> tuple[Spans, ...]:
    """Give the rows as lines of words, and say what the estimate is worked out by."""
    rows = strength_rows(job, record, found, zone)
    known = [(*row.left, ("  ", "text"), *row.right) for row in rows if row.key not in ADDING]
    if found.gain is None:
        return tuple(known)
    gain = found.gain
    by = (
        f"The estimate: class {gain.cement}, {mpa(job, job.mix.strength)} at 28 days; by the gain of "
        "EN 1992-1-1, 3.1.2, at the age adjusted to the temperatures by B.10. * is past, · expected; "
        "F marks a field-cured test, S a standard-cured one."
    )
    return (*known, line((by, "quiet")))


def _age(job: Job, found: Strength, zone: tzinfo | None) -> list[Row]:
    rows: list[Row] = []
    at = found.at.astimezone(zone).strftime("%H:%M")
    if found.hours is not None and found.days is not None:
        words = f"{age_text(found.hours)} old at {at}, adjusted {found.days:.2f} days"
        rows.append(Row(key=AGE, left=line(words), wrap=True, indent=2))
    if found.estimate is not None:
        estimate = (mpa(job, found.estimate), "value")
        measured = f", {mpa(job, found.measured)} of it measured"
        rows.append(Row(left=line(("Estimate ", "strong"), estimate, measured)))
    said = line((f"{estimate_words(job, found)}.", "quiet"))
    rows.append(Row(key=None if rows else AGE, left=said, wrap=True, indent=2))
    rows += [
        Row(left=line(("! ", one.severity), one.words), wrap=True, indent=2)
        for one in troubles(job, found, zone)
    ]
    unmeasured = unmeasured_words(gaps_of(found), found.hours)
    if unmeasured:
        rows.append(Row(left=line(("! ", "warning"), f"{unmeasured}."), wrap=True, indent=2))
    return rows


def _note(text: str) -> Row:
    return Row(left=line((text, "quiet")), wrap=True, indent=2)


def _limit(
    job: Job,
    name: str,
    need: Need,
    needed: Decimal | None,
    missing: tuple[str, ...],
    found: Strength,
    zone: tzinfo | None,
) -> list[Row]:
    """A limit with its verdict; then when it is expected, what is missing, and the document."""
    sign, ink = (
        ("·", "open") if need.met is None else ("✓", "done") if need.met else ("✗", "failed")
    )
    wanted = asks(job, need)
    heading = f"{name} {wanted}" if wanted else name
    rows = [
        Row(left=line((heading, "heading"))),
        Row(left=line((f"{sign} {met_words(need)}", ink)), wrap=True, indent=2),
    ]
    if need.met is not None and need.expected is not None and not missing:
        there = when(need, found.at.astimezone(zone).date(), zone)
        rows.append(_note(f"from {there}"))
    rows += [
        Row(left=line("  ", one), wrap=True, indent=2) for one in missing if need.met is not None
    ]
    if need.met is None:
        rows += [_note(one) for one in missing[:1] if one.rstrip(".") != met_words(need)]
    if need.source:
        rows.append(_note(f"by {literal(need.source)}"))
    return rows


def _specimens(job: Job, record: PanelState, found: Strength, zone: tzinfo | None) -> list[Row]:
    by_name = {one.name: one for one in found.results}
    rows = [Row(left=line(("Specimens", "heading")))]
    taken = specimens(record)
    for one in taken:
        result = by_name.get(one.name)
        load = f", load {one.load}" if one.load is not None else ""
        left = line((literal(one.name), "strong"), f" {CURED[one.cured]}{load}")
        right = (
            line((mpa(job, result.strength), "value")) if result else line(("no result", "quiet"))
        )
        rows.append(Row(key=SPECIMEN + one.name, left=left, right=right))
        if result is not None:
            rows.append(Row(left=_verdicts(found, result, zone), wrap=True, indent=2))
    orphans = [one for one in found.results if one.name not in {each.name for each in taken}]
    for result in orphans:
        left = line((literal(result.name), "strong"), f" {CURED[result.cured]}, not taken here")
        rows.append(Row(left=left, right=line((mpa(job, result.strength), "value"))))
        rows.append(Row(left=_verdicts(found, result, zone), wrap=True, indent=2))
    return [*rows, *_adding("add-specimen", "add-result")]


def _verdicts(found: Strength, one: Result, zone: tzinfo | None) -> Spans:
    """`27 Nov 07:00, 7 d 0 h: climb ✓, lift ✗ below`."""
    age = ""
    if found.poured is not None:
        age = f", {age_text((one.at - found.poured).total_seconds() / 3600)} old"
    pieces: list[tuple[str, str] | str] = [f"  {moment_text(one.at, zone)}{age}:"]
    for name, shown in result_verdicts(found, one):
        if shown is None:
            pieces.append((f" {name} no limit given", "quiet"))
        elif shown:
            pieces.append((f" {name} ✓", "done"))
        else:
            pieces.append((f" {name} ✗ {verdict_word(found, name, one, shown)}", "failed"))
    return line(*pieces, (f" {literal(one.by)}", "quiet"))


def _temperatures(job: Job, found: Strength, zone: tzinfo | None) -> list[Row]:
    rows = [Row(left=line(("Temperatures", "heading")))]
    if found.readings:
        warm = [one.temperature for one in found.readings]
        low, high = celsius(job, min(warm)), celsius(job, max(warm))
        first, last = found.readings[0], found.readings[-1]
        said = f"{len(warm)} from {moment_text(first.at, zone)} to {moment_text(last.at, zone)}"
        rows.append(Row(left=line(said), wrap=True, indent=2))
        rows.append(
            Row(left=line(f"{low} to {high}, last {celsius(job, last.temperature)}"), wrap=True)
        )
        rows += [
            Row(left=line(("! ", "warning"), one.words), wrap=True, indent=2)
            for one in missed(found, zone)
        ]
    else:
        rows.append(_note(f"none recorded: the estimate assumes {assumed(job)}"))
    return [*rows, *_adding("add-temperature", "read-logger")]


def _adding(*ids: str) -> list[Row]:
    return [Row(key=one, left=line((f"{KEYS[one]} ", "key"), ADDING[one])) for one in ids]


# What was understood of a logger's file.


def import_rows(job: Job, found: Import) -> tuple[Spans, ...]:
    """Give the figures first, then how the file was read, then what it leaves unmeasured."""
    first, last = found.readings[0][0], found.readings[-1][0]
    values = [value for _, value in found.readings]
    low, high = celsius(job, min(values)), celsius(job, max(values))
    return (
        line((count_of(len(found.readings), "reading"), "strong"), f", written in {found.unit}"),
        line(f"from {first:%a %d %b %Y %H:%M}"),
        line(f"to   {last:%a %d %b %Y %H:%M}"),
        line(f"lowest {low}, highest {high}"),
        *(line((said, "quiet")) for said in found.said),
        *(line(("! ", "warning"), said) for said in found.gaps),
    )
