"""The site log as rows: newest first, each entry in one line; all of one entry in many."""

from collections.abc import Iterable, Mapping, Sequence

from pourdeck.deck.said import SHORT_SEAL
from pourdeck.deck.spans import Spans, line
from pourdeck.deck.views.log_words import Find, entry_words, undone_words
from pourdeck.deck.views.values import day_text
from pourdeck.deck.widgets.rows import Row
from pourdeck.paper.diary import diary_line, kind_words
from pourdeck.plan.messages import Finding
from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry, Key

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
) -> tuple[Row, ...]:
    """Entries of one panel, or of all, newest first; a row that asks for older ones where there are more."""
    rows: list[Row] = []
    for entry in reversed(entries):
        if panel is not None and entry.panel != panel:
            continue
        if len(rows) == most:
            rows.append(Row(key=OLDER, left=line(("Show older entries", "key"))))
            break
        rows.append(_entry_row(entry, entry.key in voided, units, find))
    return tuple(rows)


def _entry_row(entry: Entry, undone: bool, units: Units, find: Find) -> Row:
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
    return Row(
        key=entry_key(entry),
        left=(*lead, *body),
        right=line((f"{entry.by}  ", ink), (entry.seal[:SHORT_SEAL], "quiet")),
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
        _pair("entry", f"no. {entry.n} of {entry.station}"),
        _pair("at", f"{day_text(entry.at)}:{entry.at:%S}, {entry.at:%Y}"),
        _pair("by", entry.by),
        _pair("kind", kind_words(entry.kind)),
    ]
    if entry.clock:
        rows.append(_pair("clock", entry.clock, "warning"))
    if undone_by is not None:
        rows.append(_pair("undone", f"by no. {undone_by.n} of {undone_by.station}", "void"))
    rows += [_pair(name, said) for name, said in entry_words(entry, find, units)]
    rows += [_pair("prev", entry.prev or "none: the first"), _pair("seal", entry.seal)]
    return tuple(rows)


def _pair(name: str, value: str, ink: str = "text") -> Row:
    # Seals are one long word: in pieces of eight they break where a line ends.
    if len(value) == 64 and value.isalnum():
        value = " ".join(value[at : at + 8] for at in range(0, 64, 8))
    return Row(left=line((f"{name:<11} "[:NAME], "quiet"), (value, ink)), wrap=True, indent=NAME)


def fault_lines(findings: Sequence[Finding], files: Sequence[str]) -> tuple[Spans, ...]:
    """What is wrong with the files of the log, or that nothing is."""
    rows = [line((f"✗ {one.file or 'log'}: ", "error"), one.message) for one in findings]
    rows = rows or [line(("✓ ", "done"), "Every line of every file stands, and its seal fits.")]
    return (*rows, *(line((name, "quiet")) for name in files))
