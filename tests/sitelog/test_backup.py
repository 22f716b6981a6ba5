"""A backup is verified, never less than it was, and leaves the job alone, whatever fails."""

import errno
import json
import re
import shutil
from datetime import timedelta
from pathlib import Path

import pytest

from pourdeck.plan.messages import Finding
from pourdeck.sitelog.backup import PART, NotBackedUp
from pourdeck.sitelog.backups import LastBackup, worth_asking
from pourdeck.sitelog.known import heads_of
from tests.campaign import some
from tests.sitelog.backup_kit import (
    FULL,
    NOTE,
    PLAN,
    PULLED,
    Stick,
    a_job,
    back_up,
    backups_of,
    fails_for_good,
    files,
    job_files,
    own_log,
)
from tests.sitelog.kit import MORNING, FakeDisk, act, fail, make_log


def codes(findings: tuple[Finding, ...]) -> list[str]:
    return [one.code for one in findings]


def test_all_of_it_is_copied_and_the_job_is_left_alone(tmp_path: Path) -> None:
    """What is not read, damaged or set aside too: a backup keeps bytes."""
    _, job = a_job(tmp_path)
    (job / "log/shed.jsonl.torn-20251103t063000z").write_bytes(b'{"n":4,"at":"20')
    (job / "log/notes.txt").write_bytes(b"seen by kim")
    (job / "log/office.jsonl").write_bytes(
        make_log(NOTE, station="office")[1].replace(b"W07", b"W08")
    )
    (job / "log/coming.jsonl.part").write_bytes(b"half")
    before = files(job)
    done = back_up(job)
    assert files(job) == before
    there = files(done.into)
    note = json.loads(there.pop("backup.json"))
    assert there == {k: v for k, v in before.items() if not k.endswith(".part")}
    assert note["number"] == "QL-31"
    assert [head["n"] for head in note["heads"]] == [1, 4]
    assert done.entries == 5
    assert "wrong-seal" in codes(done.findings), "what is wrong with the log is said"


def test_only_what_is_other_is_written(tmp_path: Path) -> None:
    site, job = a_job(tmp_path)
    into = back_up(job).into
    assert back_up(job).copied == ()
    (into / "log" / f"old.jsonl{PART}").write_bytes(b"of a run that did not end")
    site.say("one", NOTE)
    done = back_up(job)
    name = own_log(job).name
    assert [(one.file, one.how) for one in done.copied] == [(f"log/{name}", "grown")]
    assert job_files(done.into) == job_files(job)
    assert done.findings == ()


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "for good"])
def test_whatever_call_fails_the_job_is_left_alone_and_the_backup_stays_good(
    tmp_path: Path, for_good: bool
) -> None:
    site, job = a_job(tmp_path)
    into = back_up(job).into
    old = files(into)
    site.say("one", NOTE, NOTE)
    (job / "job.toml").write_bytes(PLAN + b"# rev B\n")
    (job / "record/A-2-W08.toml").write_bytes(b'mark = "W08"\n')
    new = job_files(job)
    disk = Stick()
    shutil.copytree(tmp_path / "stick", tmp_path / "kept stick")
    back_up(job, disk=disk)
    calls = disk.calls
    every = range(len(calls) + 1)
    for at in every if for_good else some(every):
        error = (FULL, PULLED)[at % 2]
        shutil.rmtree(tmp_path / "stick")
        shutil.copytree(tmp_path / "kept stick", tmp_path / "stick")
        disk = Stick()
        if for_good:
            fails_for_good(disk, at + 1, error)
        else:
            call = calls[min(at, len(calls) - 1)]
            disk.before[call] = fail(error, at=calls[: at + 1].count(call))
        try:
            back_up(job, disk=disk)
        except NotBackedUp as refused:
            said = f"{refused}"
            assert "untouched" in said or "Not begun" in said or "cannot be read" in said
        there = files(into)
        assert job_files(job) == new
        for name, data in old.items():
            if name != "backup.json":
                assert there[name] in (data, new[name]), (at, name)
        whole = {k: v for k, v in there.items() if not k.endswith(PART)}
        assert all(whole[name] == new[name] for name in new.keys() & whole.keys() - old.keys())
        done = back_up(job)
        assert job_files(into) == new
        assert done.findings == (), "neither what was there before nor what came is called damaged"
        assert not [name for name in files(into) if name.endswith(PART)]


def test_what_comes_back_other_than_it_was_written_is_never_called_verified(tmp_path: Path) -> None:
    site, job = a_job(tmp_path)
    into = back_up(job).into
    old = files(into)
    site.say("one", NOTE)
    with pytest.raises(NotBackedUp, match="NOT verified"):
        back_up(job, disk=Stick(lambda path: path.name.endswith(f".jsonl{PART}")))
    log = f"log/{own_log(job).name}"
    assert files(into)[log] == old[log], "the good copy before it stays"

    class Later(FakeDisk):
        """The stick loses a bit once the file has its name."""

        def replace(self, source: Path, target: Path) -> None:
            super().replace(source, target)
            if target.suffix == ".jsonl":
                target.write_bytes(target.read_bytes()[:-3] + b"?}\n")

    with pytest.raises(NotBackedUp, match="NOT verified"):
        back_up(job, disk=Later())
    assert json.loads(files(into)["backup.json"])["at"] == json.loads(old["backup.json"])["at"]


def test_a_bit_that_is_lost_between_two_runs_is_told_and_put_right(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    into = back_up(job).into
    path = into / "log" / own_log(job).name
    path.write_bytes(path.read_bytes().replace(b"W07", b"W17", 1))
    done = back_up(job)
    assert codes(done.findings) == ["backup-damaged", "backup-differs"]
    assert path.read_bytes() == own_log(job).read_bytes()
    assert back_up(job).findings == ()


def test_more_is_never_overwritten_by_less(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    into = back_up(job).into
    log = own_log(job)
    kept = into / "log" / log.name
    whole = log.read_bytes()
    for less in (b"", whole[:700]):
        log.write_bytes(less)
        done = back_up(job)
        assert kept.read_bytes() == whole
        assert codes(done.findings)[-2:] == ["backup-differs", "backup-has-more"]
    log.unlink()
    assert codes(back_up(job).findings) == ["backup-has-more"]
    assert kept.read_bytes() == whole


def test_of_two_that_went_apart_both_stay(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    log = job / "log/shed.jsonl"
    first = make_log(NOTE, NOTE, station="shed")[1]
    other = make_log(NOTE, act("note", panel="W09", text="y"), NOTE, station="shed")[1]
    log.write_bytes(first)
    into = back_up(job).into
    log.write_bytes(other)
    done = back_up(job)
    assert codes(done.findings) == ["backup-differs", "backup-has-more"]
    for _ in range(2):
        there = files(into / "log")
        assert there.pop("shed.jsonl") == other
        assert first in there.values()
        assert len(there) == 2
        assert codes(back_up(job).findings) == ["backup-has-more"]


def test_the_torn_end_of_an_interrupted_write_is_no_fork(tmp_path: Path) -> None:
    site, job = a_job(tmp_path)
    log = own_log(job)
    whole = log.read_bytes()
    log.write_bytes(whole + b'{"n":5,"at":"2024')
    back_up(job)
    site.say("one", NOTE)
    done = back_up(job)
    assert done.findings == ()
    assert job_files(done.into) == job_files(job)


def test_the_plan_before_stays_under_a_name_with_the_time(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    back_up(job)
    (job / "job.toml").write_bytes(PLAN.replace(b"Quarry Lane", b"Quarry Lane 2"))
    (job / "record/A-1-W07.toml").write_bytes(b'mark = "W07"\nrev = "B"\n')
    done = back_up(job)
    there = files(done.into)
    assert there["job.toml"] == (job / "job.toml").read_bytes()
    older = {re.sub(r"2025\w+-\w+", "T", name): there[name] for name in there if "older/" in name}
    assert older == {"older/job.T.toml": PLAN, "older/A-1-W07.T.toml": b'mark = "W07"\n'}
    assert len(list((tmp_path / "stick").iterdir())) == 1, "another name is no other job"


def test_a_plan_that_cannot_be_read_replaces_none_that_can(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    back_up(job)
    (job / "job.toml").write_bytes(bytes(100))
    done = back_up(job)
    assert codes(done.findings) == ["backup-differs"]
    assert files(done.into)["job.toml"] == PLAN


def test_two_computers_have_a_folder_each_on_one_stick(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    _, other = a_job(tmp_path, "two")
    assert back_up(job).into != back_up(other).into
    twin = back_up(job, state="state of a twin", new_id=lambda: "f" * 16)
    assert twin.into != back_up(job).into, "the same path on another computer"
    for into, folder in ((back_up(job).into, job), (back_up(other).into, other)):
        assert job_files(into) == job_files(folder)


@pytest.mark.parametrize("name", ["Übersee / Ost", "CON", "..", "🏗" * 90, "a" * 300, "مستودع", ""])
def test_the_folder_has_a_name_for_every_file_system(tmp_path: Path, name: str) -> None:
    _, job = a_job(tmp_path)
    plan = f"[job]\nnumber = {json.dumps(name, ensure_ascii=False)}\nname = 'aux.txt'\n"
    (job / "job.toml").write_text(plan, encoding="utf-8")
    assert re.fullmatch(r"[a-z0-9-]{10,80}", back_up(job).into.name)


def test_files_of_sync_programs_get_names_for_every_file_system(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    data = own_log(job).read_bytes()
    for name in ("shed (1).jsonl", "Office.jsonl", "office.jsonl", "aux.jsonl", "shed: 2.jsonl"):
        (job / "log" / name).write_bytes(data + name.encode())
    into = back_up(job).into
    names = [path.name for path in (into / "log").iterdir()]
    assert len({name.lower() for name in names}) == 6
    assert all(re.fullmatch(r"[A-Za-z0-9._-]{1,80}", name) for name in names)
    wanted = sorted(path.read_bytes() for path in (job / "log").iterdir())
    assert sorted(path.read_bytes() for path in (into / "log").iterdir()) == wanted


def test_places_that_are_none_are_refused_by_name(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    before = files(tmp_path)
    backups = backups_of(job)
    for folder, why in (
        (tmp_path / "stick/none/there", "There is no folder"),
        (job / "job.toml", "There is no folder"),
        (job, "in the job's own folder"),
        (job / "record", "in the job's own folder"),
        (tmp_path, "round the job"),
    ):
        with pytest.raises(NotBackedUp, match=why):
            backups.make(str(folder), ())
    with pytest.raises(NotBackedUp, match="no job"):
        back_up(tmp_path / "nobody")
    assert {k: v for k, v in files(tmp_path).items() if "state" not in k} == {
        k: v for k, v in before.items() if "state" not in k
    }


def test_a_share_that_cannot_sync_folders_will_do(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)

    class Share(FakeDisk):
        def sync_folder(self, folder: Path) -> None:
            if (tmp_path / "stick") in (folder, *folder.parents):
                raise OSError(errno.EINVAL, "Invalid argument")

    assert job_files(back_up(job, disk=Share()).into) == job_files(job)


def test_a_file_of_the_backup_that_cannot_be_read_is_not_replaced(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    into = back_up(job).into

    class Bad(FakeDisk):
        def read_back(self, path: Path) -> bytes:
            if path.suffix == ".jsonl":
                raise PULLED
            return super().read_back(path)

    before = files(into)
    with pytest.raises(NotBackedUp, match="cannot be read"):
        back_up(job, disk=Bad())
    assert files(into) == before


def test_one_run_at_a_time(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    refused = []

    def meanwhile(*_: object) -> None:
        with pytest.raises(NotBackedUp, match="running already") as error:
            back_up(job)
        refused.append(error)

    backups_of(job).make(str(tmp_path / "stick"), (), meanwhile)
    assert refused
    back_up(job)


def test_what_is_remembered_says_what_came_since(tmp_path: Path) -> None:
    site, job = a_job(tmp_path)
    assert backups_of(job).last == LastBackup()
    backups = backups_of(job)
    backups.make(str(tmp_path / "stick"), ())
    site.say("one", NOTE, NOTE)
    last = backups_of(job).last
    assert last == backups.last
    assert last.folder == str(tmp_path / "stick")
    with site.open("one") as log:
        assert last.since(heads_of(log.union.lines)) == 2


def test_it_is_worth_a_question_after_hours_of_work_once_a_day() -> None:
    entries, _ = make_log(*[NOTE] * 3, start=MORNING, step=3600)
    noon, evening = MORNING + timedelta(hours=3), MORNING + timedelta(hours=9)
    none = LastBackup()
    assert not worth_asking(none, (), evening)
    assert not worth_asking(none, entries, noon), "the first entry is three hours old"
    assert worth_asking(none, entries, evening)
    assert not worth_asking(none, entries, evening + timedelta(days=1)), "nothing was done today"
    assert not worth_asking(LastBackup(asked=evening.date().isoformat()), entries, evening)
    assert not worth_asking(LastBackup(heads={"shed": 4}), entries, evening)
    assert worth_asking(LastBackup(heads={"shed": 3}), entries, evening)
