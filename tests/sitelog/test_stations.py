"""Who writes to a job, how far each has seen the others, and what their clocks prove."""

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from attrs import evolve

from pourdeck.paper.station_words import clock_words, span_words, told_of
from pourdeck.sitelog.clocks import Clock, Lead, clock_of, leads
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.known import Gone
from pourdeck.sitelog.logfile import LogFile
from pourdeck.sitelog.stations import Station, Stations, stations
from pourdeck.sitelog.union import read_union
from tests.sitelog.kit import MORNING, Site, act, make_log, put_log, small_log
from tests.sitelog.kit import Clock as Ticking

NOTE = act("note", panel="P1", item=None, text="seen")


def met(root: Path, ahead: timedelta, *, back: bool = True) -> Site:
    """A shed and an office whose clock is ahead: the shed sees what the office wrote, and it back."""
    site = Site(root)
    site.clocks["office"] = Ticking(MORNING + ahead)
    site.say("shed", NOTE)
    site.bring("shed", "office")
    site.say("office", NOTE, station="office")
    if back:
        site.bring("office", "shed")
        site.say("shed", NOTE)
    return site


def found_in(folder: Path, installation: str = "", gone: tuple[Gone, ...] = ()) -> Stations:
    return stations(read_union(folder), gone, installation)


def one_of(found: Stations, station: str) -> Station:
    return next(one for one in found.every if one.station == station)


def clock_in(folder: Path) -> Clock:
    """The office's clock against the shed's."""
    (clock,) = one_of(found_in(folder), "office").clocks
    return clock


@pytest.mark.parametrize(
    ("ahead", "told"),
    [
        (timedelta(days=3), "at least 2 days 23 h 5"),
        (timedelta(hours=5), "at least 4 h 5"),
        (timedelta(hours=-5), "at least 5 h behind"),
    ],
)
def test_a_clock_is_apart_by_what_was_seen_with_a_later_time(
    tmp_path: Path, ahead: timedelta, told: str
) -> None:
    site = met(tmp_path, ahead)
    clock = clock_in(site.folder("shed"))
    assert clock.apart
    assert clock.most_ahead is not None
    assert clock.ahead is not None
    assert clock.ahead.least <= ahead <= clock.most_ahead
    way = "ahead of" if ahead > timedelta() else "behind"
    assert clock_words(clock).startswith(told)
    assert f"{way} shed-" in clock_words(clock)
    assert "against no." in clock_words(clock)


def test_clocks_that_agree_are_said_to_as_far_as_can_be_told(tmp_path: Path) -> None:
    clock = clock_in(met(tmp_path, timedelta()).folder("shed"))
    assert not clock.apart
    assert clock_words(clock).startswith("agrees with shed-")


@pytest.mark.parametrize(("seconds", "apart"), [(-3600, False), (119, False), (120, True)])
def test_less_than_two_minutes_apart_is_not_said(seconds: int, apart: bool) -> None:
    (first, after), _ = make_log(NOTE)
    seen = evolve(first, at=after.at + timedelta(seconds=seconds))
    for clock in (
        Clock(other="shed", ahead=Lead(seen=seen, after=after), behind=None),
        Clock(other="shed", ahead=None, behind=Lead(seen=seen, after=after)),
    ):
        assert clock.apart == apart
        assert ("at least 2 min" in clock_words(clock)) == apart


@pytest.mark.parametrize("first", [timedelta(days=3), timedelta()], ids=["set back", "put ahead"])
def test_the_entries_that_prove_most_count_whichever_came_first(
    tmp_path: Path, first: timedelta
) -> None:
    """A clock that was three days ahead only before, or only after, what was seen last."""
    site = Site(tmp_path)
    site.say("shed", NOTE)
    for ahead in (first, timedelta(days=3) - first):
        site.bring("shed", "office")
        site.clocks["office"] = Ticking(site.clocks.get("shed", Ticking()).now + ahead)
        site.say("office", NOTE, station="office")
        site.bring("office", "shed")
        site.say("shed", NOTE)
    clock = clock_in(site.folder("shed"))
    assert clock.apart
    assert clock.ahead is not None
    assert clock.ahead.least > timedelta(days=2)
    assert (clock.ahead.seen.n <= 2) == bool(first)


def test_what_was_written_before_a_clock_was_set_back_counts_too(tmp_path: Path) -> None:
    """Seen only with what came after it, on the right time again."""
    site = Site(tmp_path)
    for now in (MORNING + timedelta(days=3), MORNING):
        site.clocks["office"] = Ticking(now)
        site.say("office", NOTE, station="office")
    site.bring("office", "shed")
    site.say("shed", NOTE)
    office = one_of(found_in(site.folder("shed")), "office")
    assert office.clocks[0].apart
    assert any("jumped before no. 3" in told.words for told in told_of(office))


def test_what_nobody_saw_back_bounds_the_clock_from_one_end_only(tmp_path: Path) -> None:
    site = met(tmp_path, timedelta(days=3), back=False)
    clock = clock_in(site.folder("office"))
    assert (clock.ahead, clock.most_behind, clock.apart) == (None, None, False)
    assert clock_words(clock).endswith("; how far behind, nothing shows")


def test_where_nobody_has_seen_anybody_there_is_nothing_to_compare(tmp_path: Path) -> None:
    site = Site(tmp_path)
    site.say("shed", NOTE)
    site.say("office", NOTE, station="office")
    site.bring("office", "shed")
    clock = clock_in(site.folder("shed"))
    assert clock_words(clock).startswith("nothing to compare: shed-")


def test_a_time_that_no_clock_shows_proves_nothing(tmp_path: Path) -> None:
    site = met(tmp_path, timedelta())
    union = read_union(site.folder("shed"))
    late = [one for one in union.entries if one.station.startswith("office") and one.kind == "note"]
    assert len(late) == 1
    lines = {
        name: [_odd(entry) if entry is late[0] else entry for entry in entries]
        for name, entries in union.lines.items()
    }
    (office, shed) = sorted(lines)
    assert not clock_of(office, shed, leads(lines)).apart


def _odd(entry: Entry) -> Entry:
    return evolve(entry, at=MORNING.replace(year=2200), odd="its time is none that can be")


@pytest.mark.parametrize(
    ("span", "down", "up"),
    [
        (timedelta(days=3), "3 days", "3 days"),
        (timedelta(days=1, hours=2, minutes=3, seconds=4), "1 day 2 h 3 min", "1 day 2 h 4 min"),
        (timedelta(seconds=30), "0 min", "1 min"),
    ],
)
def test_a_span_says_no_more_than_is_known(span: timedelta, down: str, up: str) -> None:
    assert (span_words(span), span_words(span, up=True)) == (down, up)


def test_each_is_told_with_how_far_the_others_had_seen_it(tmp_path: Path) -> None:
    site = met(tmp_path, timedelta())
    site.say("shed", NOTE, NOTE)
    with site.open("shed") as log:
        found = found_in(site.folder("shed"), log.installation)
        assert log.installation
    shed, office = one_of(found, "shed"), one_of(found, "office")
    assert (shed.here, office.here) == (True, False)
    assert shed.seen_by == {office.line: 2}
    assert office.seen_by == {shed.line: 2}
    told = "\n".join(f"{one.name}: {one.words}" for one in told_of(shed))
    assert f"seen: {office.line} has seen {shed.line} up to no. 2 of 5" in told
    assert f"no. 5, 03 Nov 2025 06:3{shed.last.at:%M}"[:-3] in told
    assert shed.last.seal[:12] in told
    assert shed.last.seal[:13] not in told
    assert not found.wrong


def test_an_older_file_is_no_computers(tmp_path: Path) -> None:
    put_log(tmp_path, small_log(3))
    (one,) = found_in(tmp_path).every
    assert (one.installation, one.here) == ("", False)
    assert any(told.words == "not known: an older file" for told in told_of(one))


def test_copies_forks_what_is_gone_and_what_is_still_arriving(tmp_path: Path) -> None:
    site = met(tmp_path, timedelta())
    folder = site.folder("shed")
    site.say("shed", NOTE, NOTE)
    path = next((folder / "log").glob("shed-*.jsonl"))
    lines = path.read_bytes().splitlines(keepends=True)
    path.with_name("shed (1).jsonl").write_bytes(b"".join(lines[:2]))
    found = found_in(folder)
    shed = one_of(found, "shed")
    assert shed.files == (f"log/{path.name}",)
    assert shed.copies == {"log/shed (1).jsonl": 2}
    assert not found.wrong

    office = next((folder / "log").glob("office-*.jsonl"))
    whole = office.read_bytes()
    office.write_bytes(whole[: len(whole) // 2])
    found = found_in(folder)
    half = one_of(found, "office")
    assert half.waiting
    assert half.awaited == 2
    assert half.seen_by == {shed.line: 2}
    assert any(told.words == "no. 2, which another station has seen" for told in told_of(half))
    assert not found.wrong, "a file that is still arriving is no damage"
    office.unlink()
    assert found_in(folder).not_here == {half.line: 2}

    with _reopened(site) as log:
        assert log.gone
        found = found_in(folder, log.installation, tuple(log.gone))
    assert found.gone
    assert found.wrong


def _reopened(site: Site) -> LogFile:
    return site.open("shed")


def test_both_branches_of_a_fork_are_told_and_neither_is_this_computer_alone(
    tmp_path: Path,
) -> None:
    same = [NOTE] * 2
    first = make_log(*same, act("note", panel="P1", item=None, text="a"))[1]
    second = make_log(*same, act("note", "lee", panel="P1", item=None, text="b"))[1]
    put_log(tmp_path, first)
    (tmp_path / "log/shed (conflicted copy).jsonl").write_bytes(second)
    found = found_in(tmp_path)
    trunk, branch = found.every
    assert (trunk.branch, branch.branch) == (False, True)
    assert all(one.shared and one.wrong and one.clocks == () for one in found.every)
    assert {len(one.files) for one in found.every} == {1}
    assert trunk.files != branch.files
    words = "\n".join(told.words for told in told_of(branch))
    assert "the second branch of a file that two programs wrote" in words
    assert "~" not in words


MAKERS: list[Callable[[Path], None]] = [
    lambda folder: (folder / "log/stray.jsonl").write_text("nothing of a log\n") and None,
    lambda folder: (folder / "log/Shed notes.jsonl").write_text("nothing\n") and None,
    lambda folder: put_log(folder, small_log(2).replace(b"item", b"itam"), "north") and None,
]


@pytest.mark.parametrize("damage", MAKERS)
def test_a_file_that_is_nobodys_makes_it_wrong(
    tmp_path: Path, damage: Callable[[Path], None]
) -> None:
    put_log(tmp_path, small_log(2))
    assert not found_in(tmp_path).wrong
    damage(tmp_path)
    assert found_in(tmp_path).wrong
