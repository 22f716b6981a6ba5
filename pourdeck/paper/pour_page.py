"""The pour of a panel as a page for people."""

from collections.abc import Iterable

from rich.console import Console

from pourdeck.paper.console import findings_page, say, table, title
from pourdeck.plan.amounts import format_amount
from pourdeck.plan.messages import literal
from pourdeck.plan.records import Job
from pourdeck.walk.loads import FIELDS, LoadLine, shown
from pourdeck.walk.pour_findings import WeatherReading, minutes, rate_words
from pourdeck.walk.pour_page import (
    PourPage,
    beside_words,
    computed,
    counting_words,
    jump_words,
    left_words,
    note_words,
    offset_words,
    order_words,
    ordered,
    rest_words,
    state_words,
    volume_words,
)
from pourdeck.walk.records import Walk
from pourdeck.walk.words import unmeasured_text

DOCKET = ("docket", "mix", "volume", "batched", "arrived", "begun", "ended")
DOCKET_HEADS = (">load", "docket", "mix", ">volume", "batched", "arrived", "begun", "ended")
TESTS = ("slump", "temperature", "water")
TEST_HEADS = (">load", ">slump", ">concrete", ">water", ">from batching", ">from the last", "state")


def pour_page(console: Console, walk: Walk, page: PourPage) -> None:
    """Print what it takes, what to order, every load, the weather, the specimens, what is wrong."""
    job, units = walk.job, walk.job.units
    say(console, f"{literal(walk.mark)}: pour, panel {walk.number} of {walk.of}", "bold")
    going = f", {ordered(page.going, units)} of it going in now" if page.going else ""
    say(
        console,
        f"Placed {ordered(page.placed, units)} of {computed(page.volume, units)}, "
        f"{left_words(page, units)}{going}",
    )
    say(console, sentence(volume_words(page, units)))
    say(console, f"{order_words(page, units)}.")
    say(console, rest_words(page, job, poured=walk.record.pour_end is not None))
    for words in (counting_words(page, job), offset_words(page), *jump_words(page)):
        if words:
            say(console, sentence(words))
    if page.watcher:
        say(console, f"Watching the forms: {literal(page.watcher)}.")
    if beside := beside_words(page, units):
        say(console, sentence(beside))
    if page.lines:
        title(console, "Loads")
        table(console, DOCKET_HEADS, [_row(line, DOCKET, job) for line in page.lines])
        console.print()
        table(console, TEST_HEADS, [_test_row(line, job) for line in page.lines])
        for line in page.lines:
            for words in remarks(line):
                say(console, words)
    _weather(console, page.weather, job)
    if page.specimens:
        title(console, "Specimens")
        rows = [
            (
                one.name,
                f"{one.cured}-cured",
                one.load or "",
                f"{one.taken:%H:%M}" if one.taken else "",
                one.by,
            )
            for one in page.specimens
        ]
        table(console, ("specimen", "kept", ">load", "taken", "by"), rows)
    if page.notes:
        title(console, "Notes")
        for words in note_words(page):
            say(console, words)
    if page.findings:
        title(console, "Findings")
        findings_page(console, page.findings)


def sentence(words: str) -> str:
    """With a capital and a full stop."""
    return f"{words[:1].upper()}{words[1:]}."


def _row(line: LoadLine, keys: Iterable[str], job: Job) -> tuple[object, ...]:
    values = [(key, getattr(line.load, key)) for key in keys]
    texts = ("" if one is None else shown(FIELDS[key], one, job.units) for key, one in values)
    return (line.number, *texts)


def _test_row(line: LoadLine, job: Job) -> tuple[object, ...]:
    age = "" if line.age is None else f"{minutes(line.age)} min"
    gap = "" if line.gap is None else f"{minutes(line.gap)} min"
    return (*_row(line, TESTS, job), age, gap, state_words(line))


def remarks(line: LoadLine) -> Iterable[str]:
    """List what has no column about a load: who added water, who let it in, why it was turned away."""
    load = line.load
    for key, why in load.not_measured.items():
        yield f"load {load.number}: {FIELDS[key].name} {unmeasured_text(why)}"
    if load.water and load.water_by:
        yield f"load {load.number}: water added by {literal(load.water_by)}"
    if load.let_in:
        yield f"load {load.number}: let in by {literal(load.let_in)}"
    if load.rejected:
        yield f"load {load.number}: turned away: {literal(load.rejected)}"


def _weather(console: Console, readings: tuple[WeatherReading, ...], job: Job) -> None:
    if not readings:
        return
    title(console, "Weather at the slab (wind: mean, half a metre above it)")
    rows = [
        (
            f"{one.at:%H:%M}",
            *(
                format_amount(value, unit, job.units)
                for value, unit in (
                    (one.weather.concrete, "°C"),
                    (one.weather.air, "°C"),
                    (one.weather.humidity, "%"),
                    (one.weather.wind, "km/h"),
                )
            ),
            rate_words(one.rate, job),
            one.verdict or "no limit given",
        )
        for one in readings
    ]
    table(console, ("at", ">concrete", ">air", ">humidity", ">wind", ">dries at", ""), rows)
    for words in readings[-1].advice:
        say(console, f"- {words}")
