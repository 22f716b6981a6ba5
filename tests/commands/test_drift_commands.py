"""Check what the commands say of a stack that leans."""

from pathlib import Path

import pytest

from tests.commands.kit import Command
from tests.drift_job import LIMITS, SIX, Taped, drift_desk, growing, job_text


def job(folder: Path, taped: tuple[Taped, ...], text: str = "") -> Path:
    drift_desk(folder, taped, text).close()
    return folder / "job"


def test_the_board_has_how_far_each_side_came_out(command: Command, tmp_path: Path) -> None:
    document = command("board", job(tmp_path, SIX), "--json").document
    panels = document["stacks"][0]["panels"]
    sixth = panels[5]["out"]
    assert sixth["right"] == pytest.approx(18, abs=1e-3)
    assert sixth["left"] == pytest.approx(-18, abs=1e-3)
    assert sixth["base"] is None
    assert sixth["head"] is None
    assert panels[6]["out"] == dict.fromkeys(("base", "right", "head", "left"))
    assert panels[6]["out_shared"] == []


def test_a_place_that_was_not_taped_is_told_apart(command: Command, tmp_path: Path) -> None:
    document = command("board", job(tmp_path, (growing(3),)), "--json").document
    first = document["stacks"][0]["panels"][0]
    assert first["out"]["left"] == pytest.approx(3, abs=1e-3)
    assert first["out_shared"] == ["right", "left"]


def test_the_board_prints_it_for_each_measured_panel(command: Command, tmp_path: Path) -> None:
    out = command("board", job(tmp_path, SIX[:2])).out
    assert "Out from the planned lines as cast, mm, in is minus" in out
    rows = [" ".join(row.split()) for row in out.splitlines() if " to the " in row]
    assert rows == [
        "W02 A 2 of 8 – +6 – -6 0 × ? 6 to the right",
        "W01 A 1 of 8 – +3 – -3 0 × ? 3 to the right",
    ]
    assert "– not taped" in out
    bare = tmp_path / "bare"
    bare.mkdir()
    assert "planned lines" not in command("board", job(bare, (None,))).out


def test_the_set_out_has_it_too(command: Command, tmp_path: Path) -> None:
    folder = job(tmp_path, SIX)
    document = command("setout", folder, "A", "6", "--json").document
    assert document["out"]["right"] == pytest.approx(18, abs=1e-3)
    out = command("setout", folder, "A", "6").out
    assert "Drift: out from the planned lines as cast, mm, in is minus" in out
    assert "18 to the right" in out
    assert "Drift" not in command("setout", folder, "A", "7").out


def test_the_places_do_not_inherit_it_and_the_warning_names_the_panel(
    command: Command, tmp_path: Path
) -> None:
    """3, 6 … 18 mm on six panels of eight, a band of 20: past it, at 21, on the seventh."""
    folder = job(tmp_path, SIX)
    places = [
        command("setout", folder, "A", str(number), "--json").document["position"]
        for number in range(1, 9)
    ]
    assert places == [[0, 0]] * 8
    done = command("check", folder, "--json")
    assert done.code == 0, "a warning is no error"
    found = [one for one in done.document["findings"] if one["code"] == "drift"]
    assert {(one["severity"], one["where"]["mark"], one["where"]["side"]) for one in found} == {
        ("warning", "W07", "left"), ("warning", "W07", "right"),
    }  # fmt: skip
    assert all("with 2 mm left of it as measured last" in one["message"] for one in found)


def test_in_feet_and_inches(command: Command, tmp_path: Path) -> None:
    text = job_text(8, limits=LIMITS).replace("[site]", 'units = "imperial"\n[site]')
    out = command("board", job(tmp_path, SIX, text)).out
    assert 'as cast, to 1/16", in is minus' in out
    assert '-11/16"' in out
