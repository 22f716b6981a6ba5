"""A record is never replaced by one that rests on less."""

import tomllib
from pathlib import Path

import pytest

from pourdeck.paper.record_files import build_records
from pourdeck.sitelog.verify import verify
from tests.commands.kit import one_panel_cast
from tests.walk.kit import Crew, crew, open_desk

NAME, BESIDE = "A-1-P1.toml", "A-1-P1-damaged.toml"


def recorded(root: Path) -> Path:
    """A job with a finished panel and its record."""
    folder = one_panel_cast(root)
    desk = open_desk(root)
    assert [one.name for one in build_records(desk)] == [NAME]
    desk.close()
    return folder


def flip(folder: Path, old: bytes, new: bytes) -> None:
    path = folder / "log/shed.jsonl"
    data = path.read_bytes()
    assert old in data
    path.write_bytes(data.replace(old, new, 1))


def test_the_old_one_stays_and_what_is_left_is_written_beside_it(tmp_path: Path) -> None:
    folder = recorded(tmp_path)
    before = (folder / "record" / NAME).read_bytes()
    flip(folder, b'"width_base"', b'"width_bass"')
    desk = open_desk(tmp_path)
    (written,) = build_records(desk)
    desk.close()
    assert written.name == BESIDE
    assert f"record/{NAME} stays as it was: the log is damaged" in written.kept
    assert (folder / "record" / NAME).read_bytes() == before
    found = tomllib.loads((folder / "record" / BESIDE).read_text())
    assert any("its seal does not fit" in one for one in found["damaged"])
    assert all(one["what"] != "width_base" for one in found["as_cast"]["measured"])


def test_once_the_log_is_whole_again_the_damaged_one_goes(tmp_path: Path) -> None:
    folder = recorded(tmp_path)
    before = (folder / "record" / NAME).read_bytes()
    for old, new in ((b'"width_base"', b'"width_bass"'), (b'"width_bass"', b'"width_base"')):
        flip(folder, old, new)
        desk = open_desk(tmp_path)
        build_records(desk)
        desk.close()
    assert [path.name for path in (folder / "record").iterdir()] == [NAME]
    assert (folder / "record" / NAME).read_bytes() == before


def test_damage_that_bears_on_nothing_of_it_writes_nothing_beside_it(tmp_path: Path) -> None:
    folder = recorded(tmp_path)
    path = folder / "log/shed.jsonl"
    path.write_bytes(path.read_bytes() + b"# hello\n")
    desk = open_desk(tmp_path)
    assert [one.name for one in build_records(desk)] == [NAME]
    desk.close()
    assert [one.name for one in (folder / "record").iterdir()] == [NAME]


@pytest.mark.parametrize("state", ["state", "another computer"])
def test_the_record_knows_the_entry_it_rests_on(tmp_path: Path, state: str) -> None:
    """Also on a computer that has never seen the log."""
    folder = recorded(tmp_path)
    path = folder / "log/shed.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(lines[:-30]))
    desk = open_desk(tmp_path, state_folder=tmp_path / state)
    assert desk.read_only
    (gone,) = (one for one in desk.findings() if one.code == "log-gone")
    assert gone.is_error
    assert f"had {len(lines)}" in gone.message
    known = desk.log.known_ends
    desk.close()
    assert not verify(folder, known=known).whole


def test_it_knows_the_ends_of_the_other_files_too(tmp_path: Path) -> None:
    first = crew(tmp_path, station="office")
    first.go_to("forms")
    first.desk.close()
    one = Crew(open_desk(tmp_path, clock=first.clock), first.clock)
    for view in one.walk.sections:
        if view.state != "done":
            one.end_section(view.id)
    build_records(one.desk)
    one.desk.close()
    assert verify(tmp_path / "job").whole
    (tmp_path / "job/log/office.jsonl").unlink()
    (missing,) = verify(tmp_path / "job").gone
    assert str(missing).startswith("log/office.jsonl is gone: it had 39 entries")
