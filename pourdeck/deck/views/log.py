"""The log in lines: entries by day, in words."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from pourdeck.deck.paint import Spans, line
from pourdeck.deck.views.values import age_text, day_text
from pourdeck.deck.widgets.row_list import Row
from pourdeck.paper.diary import diary_line, kind_words, number_words
from pourdeck.paper.entry_words import EntryWords
from pourdeck.paper.station_words import last_words, name_words, told_beside, told_of, wrong_words
from pourdeck.plan.messages import Finding
from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry, Key, moment_of, settled_by, station_words
from pourdeck.sitelog.stations import Stations
from pourdeck.walk.steps import template
from pourdeck.walk.words import count_of, due_words, logged_text, measured_name

# What an entry of the site log holds, name by name, in words: no keys, no brackets, no times of machines.

Find = Callable[[Key], Entry | None]
"""The entry of a station and a number, None where there is none."""

NAMES = {
    "replaces": "in place of", "replaces_station": "", "why": "why", "extra_anchors": "extra",
    "as_computed": "sealed", "exposed_by": "laid bare by", "align": "lies", "station": "", "n": "speaks of",
    "settles": "decides",
}  # fmt: skip
"""Name a key where its own name would not do; "" where another row says it."""


def undone_words(entry: Entry, find: Find, units: Units) -> str:
    """Say what an undo undoes: kind, panel and item of the act, or that an undo was taken back."""
    target = find(_named(entry))
    if target is None:
        return ""
    # It comes after what it names, but for one that no program of ours has written.
    if target.kind == "undo" and target.order < entry.order:
        inner = undone_words(target, find, units)
        return f"done again: {inner}" if inner else "done again"
    kind = "" if target.kind == "answer" else kind_words(target.kind)
    said = diary_line(target, units)
    return " ".join(word for word in (target.panel, kind, said) if word)


def _named(entry: Entry) -> Key:
    station, n = entry.data.get("station"), entry.data.get("n")
    return str(station or entry.station), n if isinstance(n, int) else -1


def entry_words(entry: Entry, find: Find, units: Units) -> list[tuple[str, str]]:
    """Name and words of all that an entry of a known kind holds, in its own order."""
    words = EntryWords(template=template(), units=units)
    rows: list[tuple[str, str]] = []
    for key, value in entry.data.items():
        if value is None or value == "" or value in ([], {}):
            continue
        name = NAMES.get(key, key.replace("_", " "))
        if not name:
            continue
        rows.append((name, _said(key, value, entry, words)))
        if key == "n" and (said := undone_words(entry, find, units)):
            rows.append(("that is", said))
    return rows


def _said(key: str, value: Any, entry: Entry, words: EntryWords) -> str:
    data, day = entry.data, entry.at.date()
    item, unit = data.get("item"), data.get("unit")
    match key:
        case "item":
            return words.item(value)
        case "disposition":
            return str(value).replace("-", " ")
        case "value" | "expected" | "found":
            return words.value(item, value, unit, day)
        case "tolerance" if isinstance(value, dict):
            low, high = (words.value(item, value.get(end), unit, day) for end in ("low", "high"))
            return " to ".join(end for end in (low, high) if end)
        case "hold":
            return words.hold(value)
        case "section":
            return words.section(value)
        case "before" | "after" if isinstance(value, dict):
            return words.size(value)
        case "before":
            return due_words(str(value))
        case "readings" if isinstance(value, list):
            return _warm(value, day, words)
        case "strength":
            return words.strength(value)
        case "values" if isinstance(value, dict) and entry.kind == "load":
            return "; ".join(words.of_load(str(name), one, day) for name, one in value.items())
        case "concrete" | "air" | "humidity" | "wind" if entry.kind == "weather":
            return words.of_weather(key, value).removeprefix(f"{key} ")
        case "values" if isinstance(value, dict):
            return "; ".join(words.measured(str(name), one) for name, one in value.items())
        case "readings" if isinstance(value, dict):
            read = ((measured_name(name), words.readings(data, name)) for name in value)
            return "; ".join(f"{name} {both}" for name, both in read)
        case "n" | "replaces":
            station = data.get("station" if key == "n" else "replaces_station")
            return number_words(value, station, entry)
        case "settles":
            return ", ".join(number_words(n, station, entry) for station, n in settled_by(entry))
        case "strength":
            return logged_text(value, "MPa", words.units)
        case "result" if isinstance(value, dict):
            shown = logged_text(value.get("strength"), "MPa", words.units)
            return f"{value.get('specimen', '?')} {shown}, no. {value.get('n', '?')}"
        case "release" if isinstance(value, dict):
            return f"no. {value.get('n', '?')} of {station_words(str(value.get('station', '?')))}"
        case "setout" | "as_cast" if entry.kind == "lift-release":
            return "as it was that day"
        case "width" | "height" | "thickness" | "volume":
            return logged_text(value, "m³" if key == "volume" else "mm", words.units)
        case "as_computed":
            return "the set-out and the limits as they were that day"
        case "anchors" | "extra_anchors" if isinstance(value, dict):
            return "; ".join(f"{side} {_along(at, words.units)}" for side, at in value.items())
        case _:
            return plainly(value, day, words)


MOST_READINGS = 12
"""So many temperatures are written out; of more the first and the last."""


def _warm(readings: list[Any], day: date, words: EntryWords) -> str:
    """`25 Nov 14:00 21.5 °C; …`, and how many there are where not all are written out."""
    said = [f"{words.time(at, day)} {words.celsius(value)}" for at, value in readings]
    if len(said) <= MOST_READINGS:
        return "; ".join(said)
    half = MOST_READINGS // 2
    return f"{len(said)}: {'; '.join(said[:half])}; … {'; '.join(said[-half:])}"


def _along(positions: Any, units: Units) -> str:
    """Positions along a side, or that there are none."""
    if not isinstance(positions, list) or not positions:
        return "none"
    return ", ".join(logged_text(str(at), "mm", units) for at in positions)


def plainly(value: Any, day: date, words: EntryWords) -> str:
    """Any value of a log without brackets and quotes."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        parts = (
            f"{str(key).replace('_', ' ')} {plainly(one, day, words)}" for key, one in value.items()
        )
        return "; ".join(parts)
    if isinstance(value, list):
        return ", ".join(plainly(one, day, words) for one in value) or "none"
    return words.time(value, day) if moment_of(value) else str(value)


# The site log as rows: newest first, each entry in one line; all of one entry in many.

PAGE = 300
"""Entries shown before the row that asks for older ones."""

OLDER = "older"

NAME = 12
"""Cells of the column of names."""


def entry_key(entry: Entry) -> str:
    return f"{entry.station}:{entry.n}"


def find_entry(entries: Sequence[Entry], key: str) -> Entry | None:
    return next((entry for entry in reversed(entries) if entry_key(entry) == key), None)


def marks(entries: Iterable[Entry]) -> tuple[str, ...]:
    """The panels that have entries, in the order they came up."""
    return tuple(dict.fromkeys(entry.panel for entry in entries if entry.panel is not None))


def entry_rows(
    entries: Sequence[Entry],
    voided: Mapping[Key, Entry],
    *,
    panel: str | None = None,
    most: int = PAGE,
    units: Units = "metric",
    find: Find = lambda _: None,
    several: bool = False,
) -> tuple[Row, ...]:
    """Entries of one panel, or of all, newest first; a row that asks for older ones where there are more.

    `several`: each with the name of its station.
    """
    rows: list[Row] = []
    for entry in reversed(entries):
        if panel is not None and entry.panel != panel:
            continue
        if len(rows) == most:
            rows.append(Row(key=OLDER, left=line(("Show older entries", "key"))))
            break
        rows.append(_entry_row(entry, entry.key in voided, units, find, several=several))
    return tuple(rows)


def _entry_row(entry: Entry, undone: bool, units: Units, find: Find, *, several: bool) -> Row:
    ink = "quiet" if undone else "text"
    # What was found speaks for itself: the room is for it.
    kind = "" if entry.kind == "answer" else f"{kind_words(entry.kind)}  "
    if entry.kind == "answer" and not undone:
        ink = _ink(entry) if _ink(entry) == "failed" else ink
    lead = line(
        (f"{entry.n:>5} ", "quiet"),
        (f"{entry.at:%d %b %H:%M}  ", ink),
        (kind, ink if undone else _ink(entry)),
    )
    undo = ("! undone  ", "void") if undone else ("", ink)
    said = undone_words(entry, find, units) if entry.kind == "undo" else ""
    said = said or f"{entry.panel or ''} {diary_line(entry, units)}"
    body = line(undo, (said, ink))
    station = f", {station_words(entry.station)}" if several else ""
    return Row(
        key=entry_key(entry),
        left=(*lead, *body),
        right=line((f"{entry.by}{station}  ", ink), (entry.seal[:4], "quiet")),
    )


def _ink(entry: Entry) -> str:
    if entry.data.get("verdict") == "fail" or entry.kind == "pass-unreleased":
        return "failed"
    return {"defer": "deferred", "release": "done", "undo": "void"}.get(entry.kind, "strong")


def entry_lines(
    entry: Entry,
    undone_by: Entry | None,
    *,
    units: Units = "metric",
    find: Find = lambda _: None,
) -> tuple[Row, ...]:
    """All of one entry in words, seals whole."""
    rows = [
        _pair("entry", f"no. {entry.n} of {station_words(entry.station)}"),
        _pair("at", f"{day_text(entry.at)}:{entry.at:%S}, {entry.at:%Y}"),
        _pair("by", entry.by),
        _pair("kind", kind_words(entry.kind)),
    ]
    if entry.clock:
        rows.append(_pair("clock", entry.clock, "warning"))
    if undone_by is not None:
        who = station_words(undone_by.station)
        rows.append(_pair("undone", f"by no. {undone_by.n} of {who}", "void"))
    rows += [_pair(name, said) for name, said in entry_words(entry, find, units)]
    if entry.seen:
        rows.append(_pair("had seen", _heads(entry)))
    rows += [_pair("prev", entry.prev or "none: the first"), _pair("seal", entry.seal)]
    return tuple(rows)


def _heads(entry: Entry) -> str:
    return "; ".join(f"{station_words(one.station)} up to no. {one.n}" for one in entry.seen)


def _pair(name: str, value: str, ink: str = "text") -> Row:
    # Seals are one long word: in pieces of eight they break where a line ends.
    if len(value) == 64 and value.isalnum():
        value = " ".join(value[at : at + 8] for at in range(0, 64, 8))
    return Row(left=line((f"{name:<11} "[:NAME], "quiet"), (value, ink)), wrap=True, indent=NAME)


def backup_words(at: datetime | None, since: int, now: datetime) -> str:
    """When the last backup was, and how many entries came since."""
    if at is None:
        return "Never backed up"
    came = count_of(since, "entry", "entries") if since else "nothing"
    return f"Backed up {age_text(at, now)}, {came} since"


# Who writes to the job: a row each, all of the marked one beside it.

BESIDE = "beside"
"""The row of what lies in the log folder and is no station's."""


def station_rows(found: Stations) -> tuple[Row, ...]:
    """A station in a line each: its last entry, and what is wrong with it."""
    rows = [
        Row(
            key=one.line,
            left=line((f"{name_words(one)}  ", "strong"), last_words(one)),
            right=line((f"✗ {wrong}", "error")) if (wrong := wrong_words(one)) else (),
        )
        for one in found.every
    ]
    beside = tuple(told_beside(found))
    if beside:
        bad = any(told.wrong for told in beside)
        count = line((f"{'✗ ' if bad else ''}{len(beside)}", "error" if bad else "text"))
        rows.append(Row(key=BESIDE, left=line("In the log folder beside these"), right=count))
    return tuple(rows)


def station_lines(found: Stations, key: str | None) -> tuple[Row, ...]:
    """All there is of the station in hand."""
    one = next((one for one in found.every if one.line == key), None)
    told = told_of(one) if one else told_beside(found) if key == BESIDE else ()
    return tuple(
        _pair(
            each.name,
            f"✗ {each.words}" if each.wrong else each.words,
            "error" if each.wrong else "text",
        )
        for each in told
    )


def fault_lines(findings: Sequence[Finding], files: Sequence[str]) -> tuple[Spans, ...]:
    """Say what is wrong with the files of the log, or that nothing is."""
    rows = [line((f"✗ {one.file or 'log'}: ", "error"), one.message) for one in findings]
    rows = rows or [line(("✓ ", "done"), "Every line of every file stands, and its seal fits.")]
    return (*rows, *(line((name, "quiet")) for name in files))
