"""What was there yesterday and is not today is told, and nothing is written until somebody decides."""

import errno
from collections.abc import Callable
from pathlib import Path

import pytest

from pourdeck.sitelog.entries import Head
from pourdeck.sitelog.known import Known
from pourdeck.sitelog.logfile import NotSaved
from pourdeck.sitelog.verify import verify
from tests.sitelog.kit import FakeDisk, Site, act, fail

NOTE = act("note", panel="W07", text="x")


def begun(root: Path, count: int = 4) -> tuple[Site, Path]:
    """A site with one computer, and its log of a start and so many notes."""
    site = Site(root)
    site.say("one", *[NOTE] * count)
    return site, next((root / "one/log").iterdir())


def lines(path: Path) -> list[bytes]:
    return path.read_bytes().splitlines(keepends=True)


def yesterdays(path: Path) -> None:
    path.write_bytes(b"".join(lines(path)[:2]))


def emptied(path: Path) -> None:
    path.write_bytes(b"")


def taken_away(path: Path) -> None:
    path.unlink()


def of_zeros(path: Path) -> None:
    path.write_bytes(bytes(path.stat().st_size))


def zeros_at_its_end(path: Path) -> None:
    data = path.read_bytes()
    path.write_bytes(data[:-700] + bytes(700))


def another(path: Path) -> None:
    site = Site(path.parent.parent.parent / "elsewhere")
    site.root.mkdir()
    site.say("one", *[act("note", panel="W07", text="y")] * 5)
    path.write_bytes(next((site.root / "one/log").iterdir()).read_bytes())


LOSSES = {
    yesterdays: "ends at entry 2, and had 5",
    emptied: "is gone: it had 5 entries",
    taken_away: "is gone: it had 5 entries",
    of_zeros: "of them zero",
    zeros_at_its_end: "of them zero",
    another: "was replaced: its entry 5",
}


@pytest.mark.parametrize("loss", LOSSES, ids=lambda one: one.__name__)
def test_what_is_gone_is_told_and_nothing_is_written(
    tmp_path: Path, loss: Callable[[Path], None]
) -> None:
    site, path = begun(tmp_path)
    loss(path)
    before = path.read_bytes() if path.exists() else None
    for _ in range(3):
        with site.open("one") as log:
            assert any(LOSSES[loss] in message for message in log.messages), log.messages
            assert log.read_only
            assert "until somebody decides" in (log.refusal or "")
            with pytest.raises(NotSaved):
                log.append("note", "kim", {})
            if path.exists():
                assert not verify(site.folder("one"), known=log.known_ends).whole
        assert (path.read_bytes() if path.exists() else None) == before


@pytest.mark.parametrize("loss", LOSSES, ids=lambda one: one.__name__)
def test_the_copy_that_is_put_back_makes_it_whole(
    tmp_path: Path, loss: Callable[[Path], None]
) -> None:
    site, path = begun(tmp_path)
    whole = path.read_bytes()
    loss(path)
    path.write_bytes(whole)
    site.say("one", NOTE)
    assert len(lines(path)) == 6


@pytest.mark.parametrize("loss", LOSSES, ids=lambda one: one.__name__)
def test_somebody_decides_to_do_without(tmp_path: Path, loss: Callable[[Path], None]) -> None:
    site, path = begun(tmp_path)
    loss(path)
    before = path.read_bytes() if path.exists() else None
    with site.open("one") as log:
        decision = log.go_on("kim", "the stick broke")
        continued = decision.data["continues"]
        assert (decision.kind, decision.by, continued["why"]) == ("start", "kim", "the stick broke")
        if loss is not zeros_at_its_end:
            lost = [(one["file"], one["n"]) for one in continued.get("lost", ())]
            assert lost == [(path.stem, 5)] or continued["damage"]
        log.append("note", "kim", {})
    assert (path.read_bytes() if path.exists() and before is not None else None) == before
    with site.open("one") as log:
        assert not log.read_only
        assert log.gone == []
        log.append("note", "kim", {})


def test_a_file_of_another_that_is_taken_away_is_told(tmp_path: Path) -> None:
    site, _ = begun(tmp_path)
    site.bring("one", "two")
    site.say("two", NOTE)
    for path in (tmp_path / "two/log").iterdir():
        if path.name in {each.name for each in (tmp_path / "one/log").iterdir()}:
            path.unlink()
    with site.open("two") as log:
        assert [one.head.n for one in log.gone] == [5]
        assert log.read_only


def test_a_file_of_another_that_lags_behind_what_a_third_saw_is_not_here_yet(
    tmp_path: Path,
) -> None:
    """Two read one; three has two's file and not yet all of one's."""
    site, path = begun(tmp_path)
    site.bring("one", "two")
    site.say("two", NOTE)
    site.bring("two", "three")
    there = tmp_path / "three/log" / path.name
    there.write_bytes(b"".join(lines(path)[:2]))
    with site.open("three") as log:
        assert log.gone == []
        assert not log.read_only


def test_our_own_end_that_only_others_know_is_missed_too(tmp_path: Path) -> None:
    """The state folder is new; the office had seen five entries of ours, and two are there."""
    site, path = begun(tmp_path)
    site.bring("one", "two")
    site.say("two", NOTE, station="office")
    site.bring("two", "one")
    yesterdays(path)
    for note in (tmp_path / "state of one/ends").iterdir():
        note.unlink()
    with site.open("one") as log:
        assert [one.head.n for one in log.gone] == [5]


def test_two_stations_of_one_computer_know_each_others_ends(tmp_path: Path) -> None:
    site, path = begun(tmp_path)
    site.say("one", NOTE, station="office")
    path.unlink()
    with site.open("one", "office") as log:
        assert [one.head.station for one in log.gone] == [path.stem]


def test_a_read_only_program_compares_and_notes_nothing(tmp_path: Path) -> None:
    site, path = begun(tmp_path)
    note = next((tmp_path / "state of one/ends").iterdir())
    before = note.read_bytes()
    yesterdays(path)
    with site.open("one", read_only=True) as log:
        assert len(log.gone) == 1
    assert note.read_bytes() == before


def test_an_end_that_cannot_be_noted_is_told_and_the_entry_is_saved(tmp_path: Path) -> None:
    site, path = begun(tmp_path)
    disk = FakeDisk()
    with site.open("one", disk=disk) as log:
        at = disk.calls.count("replace") + 1
        disk.before["replace"] = fail(OSError(errno.ENOSPC, "No space left on device"), at=at)
        log.append("note", "kim", {})
        assert log.messages == [
            "the end of the log is not noted outside the job: no space left on device."
        ]
        log.append("note", "kim", {})
        assert len(log.messages) == 1
    assert len(lines(path)) == 7
    with site.open("one") as log:
        assert not log.read_only


@pytest.mark.parametrize("rest", [b'{"file": "shed', b"\0\0\0\n", b"7\n", b'{"n": 3}\n', b"\xff\n"])
def test_a_note_that_cannot_be_read_is_passed_over(tmp_path: Path, rest: bytes) -> None:
    site, path = begun(tmp_path)
    note = next((tmp_path / "state of one/ends").iterdir())
    note.write_bytes(note.read_bytes() + rest)
    yesterdays(path)
    with site.open("one") as log:
        assert [one.there for one in log.gone] == [2]


def test_notes_are_made_into_one_for_each_file(tmp_path: Path) -> None:
    known = Known(tmp_path, tmp_path, "shed", disk=FakeDisk())
    for n in range(1, 2500):
        assert known.note([Head("shed", n, f"{n:064x}")])
    known.close()
    note = next((tmp_path / "ends").iterdir())
    assert len(lines(note)) <= 1001
    again = Known(tmp_path, tmp_path, "shed", disk=FakeDisk())
    again.read()
    assert again.heads["shed"].n == 2499
