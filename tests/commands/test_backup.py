"""`backup`: what it prints, how it ends, and a job that comes back as it was."""

import shutil
from pathlib import Path

import pytest

from pourdeck.example import example_folder
from tests.commands.kit import Command, Done
from tests.commands.test_exit_codes import could_not


@pytest.fixture
def job(tmp_path: Path) -> Path:
    (tmp_path / "stick").mkdir()
    return Path(shutil.copytree(example_folder(), tmp_path / "example"))


def files(folder: Path) -> dict[str, bytes]:
    found = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def told(command: Command, job: Path) -> list[Done]:
    """All that the job says of itself."""
    return [command(name, job, "--json") for name in ("check", "board", "log")]


def test_a_lost_job_comes_back_as_it_was(command: Command, job: Path, tmp_path: Path) -> None:
    before, said = files(job), told(command, job)
    done = command("backup", job, tmp_path / "stick")
    assert (done.code, done.err) == (0, "")
    assert files(job) == before
    assert "head 1473:30109594aa4c" in done.out
    last = done.out.splitlines()[-1]
    assert last.startswith("Verified ")
    assert "8 files with 1473 entries read back" in last
    shutil.rmtree(job)
    shutil.rmtree(tmp_path / "state")
    back = command("backup", job, tmp_path / "stick", "--restore")
    assert (back.code, back.err) == (0, "")
    assert "1473 entries that were missing" in back.out
    assert files(job) == before
    assert told(command, job) == said
    assert "nothing was brought back" in command("backup", job, tmp_path / "stick", "--restore").out


def test_the_documents(command: Command, job: Path, tmp_path: Path) -> None:
    found = command("backup", job / "job.toml", tmp_path / "stick", "--json").document
    assert found["verified"] is True
    assert found["entries"] == 1473
    assert len(found["copied"]) == found["files"] == 8
    assert found["bytes"] == sum(len(data) for data in files(job).values())
    assert found["findings"] == []
    (job / "log/shed.jsonl").write_bytes(b"")
    back = command("backup", job, tmp_path / "stick", "--restore", "--json").document
    [one] = back["brought"]
    assert one["entries"] == 1473
    assert one["file"].startswith("log/shed.restored-")
    assert (back["before"], back["entries"]) == (0, 1473)


def test_a_log_with_errors_is_copied_all_the_same(
    command: Command, job: Path, tmp_path: Path
) -> None:
    log = job / "log/shed.jsonl"
    log.write_bytes(log.read_bytes().replace(b'"by":"', b'"by":"X', 1))
    done = command("backup", job, tmp_path / "stick")
    assert done.code == 1
    assert "wrong-seal" in done.out
    [into] = (tmp_path / "stick").iterdir()
    assert (into / "log/shed.jsonl").read_bytes() == log.read_bytes()


def test_a_loss_is_seen_and_the_backup_is_not_shortened(
    command: Command, job: Path, tmp_path: Path
) -> None:
    command("backup", job, tmp_path / "stick")
    [into] = (tmp_path / "stick").iterdir()
    whole = (into / "log/shed.jsonl").read_bytes()
    (job / "log/shed.jsonl").write_bytes(whole[: len(whole) // 2])
    done = command("backup", job, tmp_path / "stick")
    assert done.code == 1
    assert "backup-has-more" in done.out
    assert "--restore" in done.out
    assert (into / "log/shed.jsonl").read_bytes() == whole


def test_what_cannot_be_done_is_said_in_one_message(
    command: Command, job: Path, tmp_path: Path
) -> None:
    assert "there is no folder" in could_not(command("backup", job, tmp_path / "none/there"))
    assert "own folder" in could_not(command("backup", job, job / "record"))
    assert "round the job" in could_not(command("backup", job, tmp_path))
    assert "no job" in could_not(command("backup", tmp_path / "none/there", tmp_path / "stick"))
    nothing = command("backup", job, tmp_path / "stick", "--restore")
    assert "no backup" in could_not(nothing)
    assert "FOLDER" in could_not(command("backup", job))
