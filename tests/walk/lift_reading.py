"""A second, plain reading of the log: what a lift needs, off the raw entries and by nothing of the code.

Written from the rule alone: a lift needs a field-cured result of that very panel at the strength that is
asked for, the engineer's release after it, every panel above off first, and nothing wrong with the panel that
nobody has settled.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from attrs import frozen

from pourdeck.sitelog.entries import Entry, Key

WIDTH = "width_base"


@frozen
class Yard:
    """Hold what the plan says: marks from the bed up by stack, who the engineer is, MPa asked for."""

    stacks: dict[str, tuple[str, ...]]
    engineer: str
    asked: Decimal | None
    band: tuple[Decimal, Decimal] = (Decimal(2995), Decimal(3005))

    def pile(self, mark: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Marks below a panel and itself, and those above it from the nearest up."""
        for marks in self.stacks.values():
            if mark in marks:
                place = marks.index(mark) + 1
                return marks[:place], marks[place:]
        raise KeyError(mark)


def voided(entries: Sequence[Entry]) -> set[Key]:
    """Keys of what was undone, an undo that was itself undone undoing nothing."""
    gone: set[Any] = set()
    for one in sorted(entries, key=lambda one: one.order, reverse=True):
        if one.kind == "undo" and one.key not in gone:
            gone.add((one.data["station"], one.data["n"]))
    return gone


def standing(entries: Sequence[Entry], mark: str, *kinds: str) -> list[Entry]:
    gone = voided(entries)
    return [
        one for one in entries if one.kind in kinds and one.panel == mark and one.key not in gone
    ]


def last(entries: Iterable[Entry]) -> Entry | None:
    return max(entries, key=lambda one: one.order, default=None)


def named(data: object) -> Key | None:
    return (data["station"], data["n"]) if isinstance(data, dict) and "n" in data else None


def results(
    entries: Sequence[Entry], mark: str, at: datetime, *, later_words: bool = False
) -> list[Entry]:
    """Tests that show what the panel has: the last of each specimen of it that was cured beside it.

    `later_words`: also what was written of them after `at`.
    """
    ended = last(standing(entries, mark, "pour-end"))
    cured: dict[str, str] = {}
    tests: dict[str, Entry] = {}
    for one in standing(entries, mark, "specimen"):
        cured[one.data["specimen"].casefold()] = one.data["cured"]
    for one in standing(entries, mark, "test"):
        tests[one.data["specimen"].casefold()] = one
    return [
        one
        for name, one in tests.items()
        if cured.get(name) == "field"
        and ended is not None
        and datetime.fromisoformat(ended.data["time"])
        <= datetime.fromisoformat(one.data["time"])
        <= at
        and (later_words or one.at <= at)
    ]


def unbeaten(tests: Sequence[Entry], asked: Decimal) -> list[Entry]:
    """Tests that are strong enough, with none too weak that is as late or later."""
    weak = [
        datetime.fromisoformat(one.data["time"])
        for one in tests
        if Decimal(one.data["strength"]) < asked
    ]
    return [
        one
        for one in tests
        if Decimal(one.data["strength"]) >= asked
        and not any(at >= datetime.fromisoformat(one.data["time"]) for at in weak)
    ]


def widths(entries: Sequence[Entry], mark: str) -> list[Entry]:
    return [one for one in standing(entries, mark, "as-cast") if WIDTH in one.data["values"]]


def unsettled(entries: Sequence[Entry], mark: str, yard: Yard) -> bool:
    """A width out of its band that the engineer did not accept, or a panel that was rejected."""
    said = standing(entries, mark, "disposition")
    if any(one.data["disposition"] == "reject" for one in said):
        return True
    width = last(widths(entries, mark))
    assert width is not None
    low, high = yard.band
    if low <= Decimal(width.data["values"][WIDTH]) <= high:
        return False
    since = [one for one in said if one.order > width.order]
    return not any(one.data["role"] == "engineer" and one.by == yard.engineer for one in since)


def loose(entries: Sequence[Entry], mark: str) -> bool:
    """A hold that was passed and not closed, or an answer that failed and was not followed up."""
    closed = {
        (one.data["station"], one.data["n"])
        for one in standing(entries, mark, "close-nonconformance")
    }
    if any(one.key not in closed for one in standing(entries, mark, "pass-unreleased")):
        return True
    answers = {one.data["item"]: one for one in standing(entries, mark, "answer")}
    done = standing(entries, mark, "follow-up")
    return any(
        one.data["verdict"] == "fail"
        and not any(two.data["item"] == item and two.order > one.order for two in done)
        for item, one in answers.items()
    )


def good_release(entries: Sequence[Entry], mark: str, at: datetime, yard: Yard) -> Entry | None:
    """The last release, where it is the engineer's and everything it rests on is as it was."""
    release = last(standing(entries, mark, "lift-release"))
    if release is None or release.by != yard.engineer or release.data["role"] != "engineer":
        return None
    asked = Decimal(release.data["strength"])
    if yard.asked is not None and asked != yard.asked:
        return None
    under, _ = yard.pile(mark)
    if any(one.order > release.order for low in under for one in standing(entries, low, "revise")):
        return None
    before = [one for one in entries if one.order < release.order]
    was, now = last(widths(before, mark)), last(widths(entries, mark))
    assert was is not None
    assert now is not None
    if was.data["values"][WIDTH] != now.data["values"][WIDTH]:
        return None
    tests = results(entries, mark, at)
    rests_on = [one for one in tests if one.key == named(release.data["result"])]
    if not rests_on or rests_on[0] not in unbeaten(tests, asked):
        return None
    if rests_on[0].order > release.order:
        return None
    low = [one for one in tests if Decimal(one.data["strength"]) < asked]
    return None if any(one.order > release.order for one in low) else release


def looks(entries: Sequence[Entry], mark: str, yard: Yard) -> list[Entry] | None:
    """List what was seen of a panel since the one above went off; None where one above is not off."""
    _, above = yard.pile(mark)
    off = [last(standing(entries, each, "lifted")) for each in above]
    if not all(off):
        return None
    assert off[0] is not None
    since = off[0].order
    notes = standing(entries, mark, "note")
    return [one for one in notes if one.data.get("exposed_by") == above[0] and one.order > since]


def fit(entries: Sequence[Entry], mark: str, at: datetime, yard: Yard) -> bool:
    """Whether a panel may be lifted, by these entries of the log."""
    if (
        not standing(entries, mark, "close")
        or unsettled(entries, mark, yard)
        or loose(entries, mark)
    ):
        return False
    release = good_release(entries, mark, at, yard)
    if release is None:
        return False
    if not yard.pile(mark)[1]:
        return True
    seen = looks(entries, mark, yard)
    if not seen or seen[-1].data["seen"]["recesses"] == "not clean":
        return False
    return not any(
        "damaged" in one.data["seen"].values() and one.order > release.order for one in seen
    )


def fit_then(entries: Sequence[Entry], lifted: Entry, yard: Yard) -> bool:
    """Whether a lift was of a panel that was fit, and names what it rests on."""
    mark = lifted.data["panel"]
    before = [one for one in entries if one.order < lifted.order]
    if not fit(before, mark, lifted.at, yard):
        return False
    releases = standing(before, mark, "lift-release")
    release = releases[-1]
    asked = Decimal(release.data["strength"])
    enough = unbeaten(results(before, mark, lifted.at), asked)
    return named(lifted.data.get("release")) in {one.key for one in releases} and named(
        lifted.data.get("result")
    ) in {one.key for one in enough}


def ground(entries: Sequence[Entry], lifted: Entry, yard: Yard) -> bool:
    """Whether what a lift rests on stands still: the lifts above, its release, its result."""
    mark, by_key = lifted.data["panel"], {one.key: one for one in entries}
    _, above = yard.pile(mark)
    if not all(standing(entries, each, "lifted") for each in above):
        return False
    release = by_key.get(named(lifted.data.get("release")))  # type: ignore[arg-type]
    test = by_key.get(named(lifted.data.get("result")))  # type: ignore[arg-type]
    if release is None or test is None:
        return True
    if {release.key, test.key} & voided(entries):
        return False
    asked, name = Decimal(release.data["strength"]), test.data["specimen"].casefold()
    known = results(entries, mark, lifted.at, later_words=True)
    return any(one.data["specimen"].casefold() == name for one in unbeaten(known, asked))
