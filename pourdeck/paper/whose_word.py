"""Whose word an entry of the log holds, in a line of words: name, role, way, reference, who was signed in."""

from datetime import date
from typing import Any

from pourdeck.sitelog.entries import Entry, moment_of
from pourdeck.walk.authority import WAYS


def word_words(entry: Entry | None) -> str | None:
    """`A. Brook, engineer, by phone 14:05, taken down by M. Tallow`; None where an older entry has no word.

    A time on another day than the entry's is shown with its date, a document always.
    """
    word: Any = entry.data.get("word") if entry else None
    if entry is None or not isinstance(word, dict):
        return None
    way = str(word.get("way", ""))
    how = WAYS.get(way, way)
    when = _when(word.get("at"), None if way == "writing" else entry.at.date())
    parts = [word.get("of"), word.get("role"), f"{how} {when}".rstrip(), word.get("reference")]
    if word.get("taken_by"):
        parts.append(f"taken down by {word['taken_by']}")
    signed_in = entry.data.get("signed_in")
    if signed_in and signed_in not in (word.get("of"), word.get("taken_by")):
        parts.append(f"signed in: {signed_in}")
    return ", ".join(str(part) for part in parts if part)


def _when(value: object, day: date | None) -> str:
    moment = moment_of(value)
    if moment is None:
        return ""
    if day is None:
        return f"{moment:%Y-%m-%d}"
    return f"{moment:%H:%M}" if moment.date() == day else f"{moment:%Y-%m-%d %H:%M}"
