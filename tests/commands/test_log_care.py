"""Building records anew, and deciding to go on after damage."""

import json
import shutil
from pathlib import Path

import pytest

from pourdeck.example import example_folder
from tests.commands.kit import Command


@pytest.fixture
def example(tmp_path: Path) -> Path:
    return Path(shutil.copytree(example_folder(), tmp_path / "example"))


def damage(folder: Path) -> bytes:
    """One word of a line in the middle changed by hand."""
    log = folder / "log" / "shed.jsonl"
    lines = log.read_bytes().splitlines(keepends=True)
    lines[500] = lines[500].replace(b'"by":"', b'"by":"X', 1)
    log.write_bytes(b"".join(lines))
    return log.read_bytes()


def test_records_are_built_again_byte_for_byte(command: Command, example: Path) -> None:
    before = {path.name: path.read_bytes() for path in (example / "record").iterdir()}
    shutil.rmtree(example / "record")
    done = command("log", example, "--records", "--json")
    assert done.code == 0
    assert json.loads(done.out) == {"records": sorted(before)}
    assert {path.name: path.read_bytes() for path in (example / "record").iterdir()} == before


def test_an_undone_correction_leaves_no_trace_in_the_record(
    command: Command, example: Path
) -> None:
    from pourdeck.commands.jobs import open_job, record

    kept = example / "record" / "A-2-W04.toml"
    assert command(
        "ascast", example, "A", "2", "width_base=7599", "--by", "P. Field", "--reason", "slip"
    ).code in (
        0,
        1,
    )
    assert "7599" in kept.read_text(encoding="utf-8")
    desk = open_job(example, "shed", read_only=False)
    record(desk, desk.undo("P. Field"))
    desk.close()
    assert "width_base = 7599" not in kept.read_text(encoding="utf-8")
    now = kept.read_bytes()
    assert command("log", example, "--records").code == 0
    assert kept.read_bytes() == now


def test_going_on_after_damage_takes_a_person_and_edits_nothing(
    command: Command, example: Path
) -> None:
    damaged = damage(example)
    change = ("shrink", example, "A", "5", "--width", "6950", "--apply")
    signed = ("--by", "A. Brook", "--reason", "rev D")
    refused = command(*change, *signed)
    assert refused.code == 2
    assert "--continue" in refused.err
    assert command("log", example, "--continue").code == 2
    assert command("log", example, "--continue", "--by", "Nobody", "--reason", "x").code == 2
    done = command(
        "log", example, "--continue", "--by", "M. Tallow", "--reason", "compared with the print"
    )
    assert done.code == 0
    assert "log/shed-2.jsonl" in done.out
    assert command(*change, *signed).code in (0, 1)
    assert (example / "log" / "shed.jsonl").read_bytes() == damaged
    files = json.loads(command("log", example, "--json").out)["stations"]
    assert [(one["file"], one["whole"]) for one in files] == [
        ("log/shed-2.jsonl", True),
        ("log/shed.jsonl", False),
    ]


def test_a_whole_log_is_not_gone_on_from(command: Command, example: Path) -> None:
    done = command("log", example, "--continue", "--by", "M. Tallow", "--reason", "x")
    assert done.code == 2
    assert "not damaged" in done.err
