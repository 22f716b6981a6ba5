"""What was lost comes back from the backups of a job, and nothing that the job has is touched."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from pourdeck.sitelog.backup import PART, NotBackedUp
from pourdeck.sitelog.known import heads_of
from pourdeck.sitelog.state import replay
from pourdeck.sitelog.union import read_union
from pourdeck.sitelog.verify import verify
from tests.sitelog.backup_kit import (
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
    restore,
)
from tests.sitelog.kit import MORNING, Site, act, make_log, open_log


def story(folder: Path) -> list[str]:
    """The seals of all entries in their order: the state is a fold over them and nothing else."""
    return [entry.seal for entry in replay(read_union(folder).entries).entries]


def emptied(job: Path) -> None:
    own_log(job).write_bytes(b"")


def yesterdays(job: Path) -> None:
    log = own_log(job)
    log.write_bytes(b"".join(log.read_bytes().splitlines(keepends=True)[:2]))


def cut_in_a_line(job: Path) -> None:
    log = own_log(job)
    log.write_bytes(log.read_bytes()[:-300])


def log_taken_away(job: Path) -> None:
    own_log(job).unlink()


def log_folder_taken_away(job: Path) -> None:
    shutil.rmtree(job / "log")


def all_of_it(job: Path) -> None:
    shutil.rmtree(job)


def all_but_the_folder(job: Path) -> None:
    shutil.rmtree(job)
    job.mkdir()


def records(job: Path) -> None:
    shutil.rmtree(job / "record")


LOSSES = (
    emptied, yesterdays, cut_in_a_line, log_taken_away, log_folder_taken_away, all_of_it,
    all_but_the_folder, records,
)  # fmt: skip


@pytest.mark.parametrize("loss", LOSSES, ids=lambda one: one.__name__)
def test_every_loss_comes_back_and_the_work_goes_on(
    tmp_path: Path, loss: Callable[[Path], None]
) -> None:
    site, job = a_job(tmp_path)
    before, told = job_files(job), story(job)
    known = heads_of(read_union(job).lines)
    back_up(job)
    loss(job)
    left = files(job)
    done = backups_of(job).bring_back(str(tmp_path / "stick"), known)
    assert {name: files(job)[name] for name in left} == left, "nothing is overwritten"
    assert story(job) == told
    assert done.report.gone == ()
    assert not [one for one in done.findings if one.is_error]
    for kind in ("job.toml", "record/"):
        assert {k: v for k, v in job_files(job).items() if k.startswith(kind)} == {
            k: v for k, v in before.items() if k.startswith(kind)
        }
    assert restore(job).brought == (), "a second time there is nothing to bring"
    new = site.say("one", NOTE)
    assert story(job)[:-2] == told or story(job)[:-1] == told
    assert story(job)[-1] == new[-1].seal
    assert not read_union(job).faults
    assert verify(job, known=known).gone == ()


def test_a_new_computer_gets_what_every_backup_of_the_job_has(tmp_path: Path) -> None:
    site, job = a_job(tmp_path)
    other = site.folder("two")
    site.bring("one", "two")
    shutil.copy(job / "job.toml", other)
    site.say("two", NOTE, station="office")
    back_up(other)
    site.say("one", NOTE)
    back_up(job)
    site.bring("two", "one")
    told = story(job)
    for folder in (job, other, tmp_path / "state of one", tmp_path / "state of two"):
        shutil.rmtree(folder)
    new = tmp_path / "new"
    done = restore(new)
    assert len(done.sources) == 2
    logs = [one for one in done.brought if one.entries]
    assert len(logs) == 2, "of two copies of a file the one with more is enough"
    assert story(new) == told
    assert verify(new).whole
    with site.open("new") as log:
        assert log.file.startswith("log/shed-")
        assert not (new / log.file).exists(), "another installation writes its own file"
        assert not log.read_only


def test_a_deck_that_is_open_goes_on_with_its_own_file(tmp_path: Path) -> None:
    """Also where its file lacks what the backup has: it was opened on an old copy."""
    site, job = a_job(tmp_path)
    back_up(job)
    told = story(job)
    yesterdays(job)
    with site.open("one", state_folder=tmp_path / "new state") as log:
        log.append("note", "kim", {"panel": "W07", "text": "z"})
        own = Path(job / log.file)
        before, number = own.read_bytes(), own.stat().st_ino
        restore(job)
        assert (own.read_bytes(), own.stat().st_ino) == (before, number)
        entry = log.append("note", "kim", {"panel": "W07", "text": "z"})
    assert entry.seal in story(job)
    assert set(told) < set(story(job))


def test_branches_that_went_apart_are_both_there(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    log = job / "log/shed.jsonl"
    first = make_log(NOTE, NOTE)
    other = make_log(NOTE, act("note", panel="W09", text="y"))
    log.write_bytes(first[1])
    back_up(job)
    log.write_bytes(other[1])
    done = restore(job)
    assert log.read_bytes() == other[1]
    assert [one.entries for one in done.brought] == [1]
    assert {entry.seal for entry in (*first[0], *other[0])} < set(story(job))
    assert "fork" in [one.code for one in done.findings]


def test_what_was_damaged_here_comes_back_beside_it(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    told = story(job)
    back_up(job)
    log = own_log(job)
    damaged = log.read_bytes().replace(b'"text":"x"', b'"text":"!"', 1)
    log.write_bytes(damaged)
    done = restore(job)
    assert log.read_bytes() == damaged
    assert set(story(job)) == set(told)
    assert any(one.is_error for one in done.findings), (
        "the damaged file is still there, and is said"
    )


def test_a_plan_that_is_there_stays(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    into = back_up(job).into
    (job / "job.toml").write_bytes(PLAN + b"# today's\n")
    (job / "record/A-1-W07.toml").write_bytes(b"")
    before = files(job)
    assert restore(job).plan_differs == into
    assert files(job) == before


def test_a_plan_that_lost_a_bit_on_the_stick_is_not_brought(tmp_path: Path) -> None:
    """A size in it would be another one, and nobody would see it."""
    _, job = a_job(tmp_path)
    into = back_up(job).into
    for name in ("job.toml", "record/A-1-W07.toml"):
        path = into / name
        path.write_bytes(path.read_bytes().replace(b"7", b"6").replace(b"1", b"3"))
    log_only = {k for k in files(job) if k.startswith("log/")}
    shutil.rmtree(job)
    done = restore(job)
    assert set(files(job)) == log_only
    assert [one.code for one in done.findings] == ["backup-damaged"] * 2


def test_a_backup_that_did_not_end_is_as_good_as_it_got(tmp_path: Path) -> None:
    site, job = a_job(tmp_path)
    back_up(job)
    site.say("one", NOTE)
    (job / "job.toml").write_bytes(PLAN + b"# rev B\n")
    told = story(job)
    counted = Stick()
    shutil.copytree(tmp_path / "stick", tmp_path / "kept")
    back_up(job, disk=counted)
    shutil.rmtree(tmp_path / "stick")
    shutil.copytree(tmp_path / "kept", tmp_path / "stick")
    disk = Stick()
    # The last file has its name by then, and what is noted of it at the end does not.
    last = [at for at, call in enumerate(counted.calls) if call == "replace"][-2]
    fails_for_good(disk, last, PULLED)
    with pytest.raises(NotBackedUp):
        back_up(job, disk=disk)
    plan = (job / "job.toml").read_bytes()
    shutil.rmtree(job)
    assert restore(job).findings == ()
    assert story(job) == told
    assert (job / "job.toml").read_bytes() == plan


def test_another_job_is_never_mixed_in(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    _, other = a_job(tmp_path, "two")
    (other / "job.toml").write_bytes(PLAN.replace(b"QL-31", b"QL-32"))
    into = back_up(other).into
    before = files(job)
    for folder in (tmp_path / "stick", into):
        with pytest.raises(NotBackedUp, match="no backup of this job"):
            backups_of(job).bring_back(str(folder), ())
    assert files(job) == before
    mine = back_up(job).into
    assert restore(job).sources == (mine,)
    new = tmp_path / "new"
    with pytest.raises(NotBackedUp, match="several jobs"):
        restore(new)
    assert not new.exists()
    backups_of(new).bring_back(str(into), ())
    assert job_files(new) == job_files(other)


def test_a_copy_of_the_job_to_train_on_is_not_mixed_in(tmp_path: Path) -> None:
    """It has the same plan, and a log of its own that began under the same name."""
    _, job = a_job(tmp_path)
    _, other = a_job(tmp_path, "two")
    for folder, text in ((job, "x"), (other, "trained")):
        own_log(folder).unlink()
        entries = make_log(
            act("note", panel="W07", text=text), start=MORNING.replace(hour=len(text))
        )
        (folder / "log/shed.jsonl").write_bytes(entries[1])
    mine, theirs = back_up(job).into, back_up(other).into
    told = story(job)
    assert restore(job).sources == (mine,)
    emptied(job)
    with pytest.raises(NotBackedUp, match="several jobs"):
        restore(job)
    with pytest.raises(NotBackedUp, match="several jobs"):
        restore(tmp_path / "new")
    assert not (tmp_path / "new").exists()
    backups_of(job).bring_back(str(mine), ())
    assert story(job) == told
    assert backups_of(job).bring_back(str(theirs), ()).sources == (theirs,), "where it is named"


def test_a_job_whose_name_was_changed_is_known_by_its_log(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    into = back_up(job).into
    (job / "job.toml").write_bytes(PLAN.replace(b"Quarry", b"Query"))
    yesterdays(job)
    assert restore(job).sources == (into,)


def test_whatever_call_fails_nothing_of_the_job_is_lost(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    back_up(job)
    told = story(job)
    yesterdays(job)
    (job / "record/A-1-W07.toml").unlink()
    shutil.copytree(job, tmp_path / "lost")
    counted = Stick()
    restore(job, disk=counted)
    for at in range(len(counted.calls) + 1):
        shutil.rmtree(job)
        shutil.copytree(tmp_path / "lost", job)
        before = files(job)
        disk = Stick()
        fails_for_good(disk, at + 1, PULLED)
        try:
            restore(job, disk=disk)
        except NotBackedUp:
            assert at < len(counted.calls)
        now = files(job)
        assert {name: now[name] for name in before} == before
        left = read_union(job)
        assert not left.faults, "no half file is read"
        restore(job)
        assert story(job) == told
        assert not [name for name in files(job) if name.endswith(PART)]


def test_what_is_brought_back_is_read_back_too(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    back_up(job)
    yesterdays(job)
    before = files(job)
    with pytest.raises(NotBackedUp, match="NOT verified"):
        restore(job, disk=Stick(lambda path: job in path.parents))
    assert files(job) == before


def test_an_open_log_whose_file_was_taken_away_loses_nothing(tmp_path: Path) -> None:
    _, job = a_job(tmp_path)
    back_up(job)
    log = open_log(job, state_folder=tmp_path / "state of one")
    log.close()
    site = Site(tmp_path)
    with site.open("one") as log:
        log_taken_away(job)
        restore(job)
        told = story(job)
        with pytest.raises(Exception, match="removed or replaced"):
            log.append("note", "kim", {})
        again = log.append("note", "kim", {})
        assert log.file.endswith("-2.jsonl")
    assert story(job)[:-2] == told
    assert story(job)[-1] == again.seal
