"""A copy of an example whose times have moved, and nothing else."""

import json
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from pourdeck.sitelog.logfile import LogFile
from pourdeck.sitelog.union import read_union
from pourdeck.sitelog.verify import verify
from pourdeck.walk.replay_story import Clock, StoryUnfitError, copy_example

HOBART = ZoneInfo("Australia/Hobart")
THEN = datetime(2026, 11, 25, 7, 40, 51, tzinfo=HOBART)
NOW = datetime(2027, 6, 3, 14, 5, 30, tzinfo=HOBART)


@pytest.fixture
def example(tmp_path: Path) -> Path:
    """A job folder with a log over two days, a record and a sheet."""
    folder = tmp_path / "example"
    (folder / "record").mkdir(parents=True)
    (folder / "out").mkdir()
    (folder / "job.toml").write_text("format = 1\n", encoding="utf-8")
    (folder / "record" / "A-1-W02.toml").write_text("format = 1\n", encoding="utf-8")
    clock = Clock(THEN - timedelta(hours=20))
    with LogFile.open(
        folder,
        "shed",
        job="QL-31",
        clock=clock.time,
        monotonic=clock.seconds,
        state_folder=tmp_path / "state",
    ) as log:
        log.append("note", "R. Osei", {"panel": "W02", "item": None, "text": "at 07:00 [/x]"})
        clock.at += timedelta(hours=1)
        time = clock.at.isoformat(timespec="seconds")
        log.append("pour-end", "R. Osei", {"panel": "W02", "time": time, "volume": "9.1"})
        answer = {"panel": "W02", "item": "finish.cure", "value": time, "typed": "12:40"}
        log.append("answer", "R. Osei", answer)
        clock.at = THEN
        log.append("undo", "R. Osei", {"station": "shed", "n": 4, "why": "wrong panel"})
    return folder


def copied(example: Path, tmp_path: Path, now: datetime = NOW) -> Path:
    return copy_example(example, tmp_path / "copy", now, state_folder=tmp_path / "state")


def test_the_last_entry_was_made_less_than_a_minute_before_now(example: Path, tmp_path: Path):
    last = read_union(copied(example, tmp_path)).entries[-1]
    assert timedelta(0) <= NOW - last.at < timedelta(minutes=1)


def test_every_time_moves_by_the_same_offset(example: Path, tmp_path: Path):
    before = read_union(example).entries
    after = read_union(copied(example, tmp_path)).entries
    assert len({late.at - early.at for early, late in zip(before, after, strict=True)}) == 1
    offset = after[0].at - before[0].at
    for n, key in ((3, "time"), (4, "value")):
        early, late = (datetime.fromisoformat(all_[n - 1].data[key]) for all_ in (before, after))
        assert late - early == offset


def test_times_have_the_offset_of_the_zone_on_the_day_they_moved_to(example: Path, tmp_path: Path):
    """Hobart is 11 h ahead of UTC in November and 10 h in June: the tz database."""
    last = read_union(copied(example, tmp_path)).entries[-1]
    assert last.at.isoformat().endswith("+10:00")


def test_a_time_of_day_reads_as_it_would_have_been_typed(example: Path, tmp_path: Path):
    answer = read_union(copied(example, tmp_path)).entries[3]
    assert answer.data["typed"] == datetime.fromisoformat(answer.data["value"]).strftime("%H:%M")


def test_nothing_else_changes(example: Path, tmp_path: Path):
    def rest(folder: Path) -> list[object]:
        found = []
        for entry in read_union(folder).entries:
            data = {key: each for key, each in entry.data.items() if key not in moved}
            found.append((entry.station, entry.n, entry.by, entry.kind, data))
        return found

    moved = ("time", "value", "typed")
    assert rest(copied(example, tmp_path)) == rest(example)


def test_the_copy_is_whole_and_says_nothing_of_jumps(example: Path, tmp_path: Path):
    copy = copied(example, tmp_path)
    assert [(one.whole, one.entries) for one in verify(copy).stations] == [(True, 5)]
    for line in (copy / "log" / "shed.jsonl").read_text("ascii").splitlines():
        assert "clock" not in json.loads(line)


def test_records_and_sheets_are_left_to_be_built_again(example: Path, tmp_path: Path):
    copy = copied(example, tmp_path)
    assert sorted(each.name for each in copy.iterdir()) == ["job.toml", "log"]


def test_a_job_without_a_log_is_copied_as_it_is(example: Path, tmp_path: Path):
    (example / "log" / "shed.jsonl").unlink()
    assert [each.name for each in copied(example, tmp_path).iterdir()] == ["job.toml"]


def test_a_folder_in_use_is_refused(example: Path, tmp_path: Path):
    copied(example, tmp_path)
    with pytest.raises(StoryUnfitError, match="not empty"):
        copied(example, tmp_path)


def test_a_damaged_example_is_refused(example: Path, tmp_path: Path):
    log = example / "log" / "shed.jsonl"
    log.write_bytes(log.read_bytes().replace(b"W02", b"W03", 1))
    with pytest.raises(StoryUnfitError, match="damaged"):
        copied(example, tmp_path)
