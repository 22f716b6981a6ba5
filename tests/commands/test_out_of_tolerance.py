"""Check that commands print what is out of tolerance, and end by it, until it is settled."""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.walk import acts
from pourdeck.walk.ascast import as_cast
from tests.commands.kit import Command
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    PEOPLE,
    WITH_ENGINEER,
    Crew,
    on_second,
)

THICK = "close.thickness/br"


def job_with(folder: Path, said: str | None, by: str = CHECKER, text: str = WITH_ENGINEER) -> Path:
    """A panel that is cast 3 mm too thick at a corner, and what was said of it."""
    two = on_second(folder, text)
    one = Crew(two.desk, two.clock)
    one.do(as_cast(one.walk, {"thickness_br": Decimal(158)}, FOREMAN, "measured again"))
    if said:
        one.do(acts.dispose(one.walk, THICK, said, "a word", by))
    one.desk.close()
    return folder / "job"


@pytest.mark.parametrize(
    ("said", "by", "code"),
    [(None, "", 1), ("rework", CHECKER, 1), ("repair", CHECKER, 1), ("reject", ENGINEER, 1),
     ("use-as-is", ENGINEER, 0)],
)  # fmt: skip
def test_it_is_an_error_until_it_is_settled(
    command: Command, tmp_path: Path, said: str | None, by: str, code: int
):
    folder = job_with(tmp_path, said, by)
    for words in (("check", folder), ("board", folder), ("setout", folder, "A", "1")):
        done = command(*words, "--json")
        assert done.code == code, words
        found = [one for one in done.document["findings"] if one["code"] == "out-of-tolerance"]
        assert len(found) == code
    assert command("setout", folder, "A", "2").code == 0, "the panel above is not at fault"


def test_the_finding_is_of_the_measured_panel_and_its_side(command: Command, tmp_path: Path):
    folder = job_with(tmp_path, None)
    done = command(
        "ascast", folder, "A", "1", "height_left=3010", "--by", FOREMAN, "--reason", "again"
    )
    assert done.code == 1
    found = command("check", folder, "--json").document["findings"]
    first, second = [one for one in found if one["code"] == "out-of-tolerance"]
    place = {"stack": "A", "panel": 1, "mark": "P1"}
    assert first["severity"] == "error"
    assert place.items() <= first["where"].items()
    assert "side" not in first["where"], "a thickness is at a corner"
    assert {**place, "side": "left"}.items() <= second["where"].items()
    assert first["message"].startswith(
        "thickness, base right 158 mm, 3 mm too much (147 mm to 155 mm, trial spec, table 1): "
    )
    command("ascast", folder, "A", "1", "height_left=3001", "thickness_br=151", "--by", FOREMAN,
            "--reason", "again")  # fmt: skip
    assert command("check", folder).code == 0


def test_the_board_holds_what_is_not_settled(command: Command, tmp_path: Path):
    folder = job_with(tmp_path, "repair")
    (one,) = command("board", folder, "--json").document["out_of_tolerance"]
    assert {key: one[key] for key in one if key not in ("at", "n")} == {
        "stack": "A", "panel": 1, "mark": "P1", "item": THICK, "keys": ["thickness_br"],
        "station": "shed", "found": 158.0, "low": 147.0, "high": 155.0, "over": 3.0,
        "source": "trial spec, table 1", "state": "repair", "disposition": "repair",
        "reason": "a word", "by": CHECKER, "role": "supervisor",
    }  # fmt: skip
    said = " ".join(command("board", folder).out.split())
    assert "out A P1 thickness, base right 158 mm, 3 mm too much" in said
    assert "to be looked at by somebody else" in said


def test_a_rejected_panel_is_shown_as_rejected(command: Command, tmp_path: Path):
    folder = job_with(tmp_path, "reject", ENGINEER)
    panels = command("board", folder, "--json").document["stacks"][0]["panels"]
    assert [one["rejected"] for one in panels] == [True, False]
    assert panels[0]["state"] == "cast", "the states are those that are promised"
    assert "cast, rejected" in command("board", folder).out


def test_the_log_says_what_was_said(command: Command, tmp_path: Path):
    folder = job_with(tmp_path, "use-as-is", ENGINEER)
    said = " ".join(command("log", folder).out.split())
    assert "thickness, base right 158 mm: use as is (engineer): a word" in said
    assert command("log", folder, "--verify").code == 0


def test_in_feet_and_inches_people_read_inches_and_files_hold_millimetres(
    command: Command, tmp_path: Path
):
    """158 mm is 6 7/32″ to the nearest 32nd, and 3 mm are nearly 1/8″."""
    text = WITH_ENGINEER.replace('number = "TY-1"', 'number = "TY-1"\nunits = "imperial"', 1)
    assert PEOPLE in text
    two = on_second(tmp_path, WITH_ENGINEER)
    one = Crew(two.desk, two.clock)
    one.do(as_cast(one.walk, {"thickness_br": Decimal(158)}, FOREMAN, "measured again"))
    one.desk.close()
    folder = tmp_path / "job"
    (folder / "job.toml").write_text(text, encoding="utf-8")
    (found,) = [
        one for one in command("check", folder, "--json").document["findings"]
        if one["code"] == "out-of-tolerance"
    ]  # fmt: skip
    assert '"' in found["message"].partition("(")[0]
    assert "mm" not in found["message"]
    assert command("board", folder, "--json").document["out_of_tolerance"][0]["found"] == 158.0
