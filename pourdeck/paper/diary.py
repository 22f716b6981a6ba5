"""One entry of the site log in a line of words, for diaries and lists."""

from collections.abc import Callable
from functools import cache

from pourdeck.paper.entry_words import EntryWords, word_words
from pourdeck.plan.records import Units
from pourdeck.pour.fresh import WEATHER
from pourdeck.setout.levels import KINDS as SIGHTS
from pourdeck.sitelog.entries import Entry, settled_by, station_words
from pourdeck.walk.levels import point_words
from pourdeck.walk.loads import not_measured_of
from pourdeck.walk.steps import template
from pourdeck.walk.words import due_words, logged_text, not_measured_in, unmeasured_text

KINDS = {
    "pass-unreleased": "passed without release", "defer": "put off",
    "close-nonconformance": "non-conformance closed", "complete": "section complete",
    "release": "released", "lift-release": "released to lift", "sight": "staff read",
    "test": "test result", "person": "person added", "pin": "PIN set", "clock": "time confirmed",
    "revise": "size change", "close": "closed", "undo": "undone",
}  # fmt: skip
"""Name a kind of entry in a diary, where its own name without hyphens would not do."""


def kind_words(kind: str) -> str:
    return KINDS.get(kind, kind.replace("-", " "))


def diary_line(entry: Entry, units: Units = "metric") -> str:
    """Say in one line what an entry records; of a kind that is not known, its data as it is."""
    line = LINES.get(entry.kind)
    if line is not None:
        said, word = line(entry, _words(units)), word_words(entry)
        those = [number_words(n, name, entry) for name, n in settled_by(entry)]
        verb = "settles" if len(those) == 1 else "decides between"
        settled = f"{verb} {' and '.join(those)}" if those else ""
        parts = (
            said,
            settled,
            f"word: {word}" if word else "",
        )
        return "; ".join(part for part in parts if part)
    return ", ".join(f"{key} {value}" for key, value in entry.data.items() if key != "panel")


@cache
def _words(units: Units) -> EntryWords:
    return EntryWords(template=template(), units=units)


def _joined(*parts: object) -> str:
    """Join those parts of a line that are not empty."""
    return ": ".join(str(part) for part in parts if part)


def _answer(entry: Entry, words: EntryWords) -> str:
    data = entry.data
    unmeasured = not_measured_in(entry)
    found = (
        unmeasured_text(unmeasured)
        if unmeasured
        else words.value(data.get("item"), data.get("value"), data.get("unit"), entry.at.date())
    )
    said = f"{words.item(data.get('item'))}: {found}".rstrip()
    if data.get("verdict") in ("pass", "fail"):
        said += f", {data['verdict']}"
    if data.get("early"):
        said += f" ({data['early']})"
    if data.get("why") and data.get("replaces"):
        before = number_words(data["replaces"], data.get("replaces_station"), entry)
        return f"{said} (in place of {before}: {data['why']})"
    return _with_why(said, entry)


def _defer(entry: Entry, words: EntryWords) -> str:
    data = entry.data
    owed = f"{data.get('owner', '')} owes it, before {due_words(str(data.get('before', '')))}"
    return _joined(words.item(data.get("item")), f"{data.get('reason', '')}; {owed}")


def _about_item(key: str) -> Callable[[Entry, EntryWords], str]:
    """An item and what was said of it."""
    return lambda entry, words: _joined(words.item(entry.data.get("item")), entry.data.get(key))


def _about_hold(*keys: str) -> Callable[[Entry, EntryWords], str]:
    """A hold and what was said of it."""
    return lambda entry, words: _joined(
        words.hold(entry.data.get("hold")), *(entry.data.get(key) for key in keys)
    )


def _release(entry: Entry, words: EntryWords) -> str:
    said = _about_hold("role", "seen")(entry, words)
    measures = entry.data.get("measures")
    return f"{said}; against drying: {measures}" if measures else said


def _pour_end(entry: Entry, words: EntryWords) -> str:
    ended = words.time(entry.data.get("time"), entry.at.date())
    volume = entry.data.get("volume")
    placed = "no volume given" if volume is None else f"{words.volume(volume)} placed"
    odd = entry.data.get("doubted")
    return _with_why(f"{ended}, {placed}", entry) if odd else f"{ended}, {placed}"


def _as_cast(entry: Entry, words: EntryWords) -> str:
    values = entry.data.get("values")
    if not isinstance(values, dict):
        return ""
    said = "; ".join(
        f"{words.measured(key, value)}{_twice(words.readings(entry.data, key))}"
        for key, value in values.items()
    )
    staff = entry.data.get("staff")
    if isinstance(staff, dict):
        said += f"; staff {', '.join(words.reading(one) for one in staff.values())}"
    return _with_why(said, entry)


def _sight(entry: Entry, words: EntryWords) -> str:
    """`set-up 2, foresight, peg 0.980 m`."""
    data = entry.data
    sight = str(data.get("sight"))
    kind = next((words for one, words in SIGHTS.items() if one == sight), sight)
    said = f"set-up {data.get('setup', '?')}, {kind}, {point_words(str(data.get('point', '')))}"
    return _with_why(f"{said} {words.reading(data.get('reading'))}", entry)


def _temperatures(entry: Entry, words: EntryWords) -> str:
    """`512 temperatures, 14.5 °C to 41 °C, from logger.csv`; one alone with its time."""
    found = entry.data.get("readings")
    pairs = found if isinstance(found, list) else []
    readings = [one for one in pairs if isinstance(one, list) and len(one) == 2]
    if not readings:
        return ""
    if len(readings) == 1:
        at, value = readings[0]
        return _with_why(f"{words.celsius(value)} at {words.time(at, entry.at.date())}", entry)
    low, high = words.celsius_between([value for _, value in readings])
    said = f"{len(readings)} temperatures, {low} to {high}, from {entry.data.get('from', '?')}"
    return _with_why(said, entry)


def _specimen(entry: Entry, words: EntryWords) -> str:
    data = entry.data
    load = f", load {data['load']}" if data.get("load") is not None else ""
    said = f"{data.get('specimen')}, {data.get('cured')}-cured{load}, taken "
    return _with_why(said + words.time(data.get("time"), entry.at.date()), entry)


def _test(entry: Entry, words: EntryWords) -> str:
    data = entry.data
    said = (
        f"{data.get('specimen')}, {data.get('cured')}-cured, {words.strength(data.get('strength'))}"
    )
    return _with_why(f"{said}, tested {words.time(data.get('time'), entry.at.date())}", entry)


def _with_why(said: str, entry: Entry) -> str:
    why = entry.data.get("why")
    return f"{said} ({why})" if why else said


def _twice(readings: str) -> str:
    return f" (twice: {readings})" if readings else ""


def _load(entry: Entry, words: EntryWords) -> str:
    """`load 2: docket D-1042, mix N40/20, batched 07:45`."""
    values = entry.data.get("values")
    if not isinstance(values, dict):
        return ""
    lacking = not_measured_of(entry)
    said = ", ".join(
        words.of_load(str(key), one, entry.at.date(), lacking.get(key))
        for key, one in values.items()
    )
    return _with_why(f"load {entry.data.get('load', '?')}: {said}", entry)


def _weather(entry: Entry, words: EntryWords) -> str:
    read = ", ".join(words.of_weather(key, entry.data.get(key)) for key in WEATHER)
    return _with_why(f"{words.time(entry.data.get('time'), entry.at.date())}, {read}", entry)


def _lift_release(entry: Entry, words: EntryWords) -> str:
    """`to lift, engineer: results and as-cast seen; 25 MPa needed, shown by F1 27.5 MPa`."""
    data = entry.data
    result = data.get("result")
    shown = ""
    if isinstance(result, dict):
        strength = logged_text(result.get("strength"), "MPa", words.units)
        shown = f", shown by {result.get('specimen', '?')} {strength}"
    needed = logged_text(data.get("strength"), "MPa", words.units)
    said = _joined(data.get("role"), data.get("seen"))
    return f"{said}; {needed} needed, {data.get('document', '')}{shown}"


def _revise(entry: Entry, words: EntryWords) -> str:
    before, after = words.size(entry.data.get("before")), words.size(entry.data.get("after"))
    return f"{before} → {after}: {entry.data.get('reason', '')}"


def _disposition(entry: Entry, words: EntryWords) -> str:
    data = entry.data
    found = words.value(
        data.get("item"), data.get("found"), data.get("unit", "mm"), entry.at.date()
    )
    said = str(data.get("disposition", "")).replace("-", " ")
    role = f" ({data['role']})" if data.get("role") else ""
    step = words.template.step(str(data.get("item", "")))
    found += " apart" if step and step.pair else ""
    what = f"{words.item(data.get('item'))} {found}".strip()
    return _joined(what, f"{said}{role}", data.get("reason"))


def number_words(n: object, station: object, entry: Entry) -> str:
    """`no. 12` of an entry's own station, `no. 12 of office` of another's."""
    other = isinstance(station, str) and station not in ("", entry.station)
    return f"no. {n}{f' of {station_words(str(station))}' if other else ''}"


def _number_of_entry(key: str) -> Callable[[Entry, EntryWords], str]:
    """The entry of the log that is spoken of, and what was said of it."""
    return lambda entry, words: _joined(
        number_words(entry.data.get("n", "?"), entry.data.get("station"), entry),
        entry.data.get(key),
    )


LINES: dict[str, Callable[[Entry, EntryWords], str]] = {
    "person": lambda entry, words: (
        f"{entry.data.get('name', '')} added as {entry.data.get('role', '')}"
    ),
    "pin": lambda entry, words: f"{entry.data.get('person', '')} set a PIN",
    "clock": lambda entry, words: f"it is {words.time(entry.data.get('time'), entry.at.date())}",
    "start": lambda entry, words: f"log of station {entry.data.get('station', '')} begun",
    "answer": _answer,
    "defer": _defer,
    "not-applicable": _about_item("reason"),
    "note": _about_item("text"),
    "follow-up": _about_item("action"),
    "disposition": _disposition,
    "complete": lambda entry, words: words.section(entry.data.get("section")),
    "release": _release,
    "pass-unreleased": _about_hold("reason"),
    "close-nonconformance": _number_of_entry("action"),
    "pour-start": lambda entry, words: words.time(entry.data.get("time"), entry.at.date()),
    "pour-end": _pour_end,
    "as-cast": _as_cast,
    "sight": _sight,
    "temperatures": _temperatures,
    "specimen": _specimen,
    "test": _test,
    "load": _load,
    "weather": _weather,
    "lift-release": _lift_release,
    "close": lambda entry, words: "panel closed",
    "lifted": lambda entry, words: "lifted off its stack",
    "revise": _revise,
    "undo": _number_of_entry("why"),
}
