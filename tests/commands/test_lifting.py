"""`lifting`: mass, centre of gravity and lifters, as a page and as a document."""

from pathlib import Path

import pytest

from pourdeck.walk.records import Act
from tests.commands.conftest import Job
from tests.commands.kit import Command, misses
from tests.walk.kit import FOREMAN, JOB
from tests.walk.lift_kit import LIFT_JOB, Day, lift_day

LIFTING = {
    "mass": float, "centroid": [float], "lifters": int, "lifter_centre": [float],
    "eccentricity": [float], "share": float, "findings": [{"code": str, "severity": str}],
    "stack": str, "panel": int, "mark": str, "factor": float, "factored_mass": float, "leads": str,
    "strength": {"needed": float, "source": str}, "fit": bool, "missing": [str], "face_up": str,
}  # fmt: skip
"""List what is promised, and what was added to it."""

TEXTBOOK = LIFT_JOB.replace("width = 3000\nheight = 3000", "width = 5000\nheight = 8000")
TEXTBOOK = TEXTBOOK.replace("x = 2200, y = 1900", "x = 1200, y = 1900").replace(
    'rev = "B"\n',
    'rev = "B"\nopenings = [ { name = "V1", x = 2000, y = 1500, width = 2500, height = 5000 } ]\n',
)
"""A plate 5 × 8 less 2.5 × 5 centred at (3.25, 4): area 27.5, centroid (2.159, 4), a homework answer
published on gauthmath.com (1811103054216214), worked out again; here in metres.
"""


def test_the_document_has_its_keys(command: Command, job: Job):
    found = command("lifting", job(LIFT_JOB), "A", "2", "--json").document
    assert misses(found, LIFTING) == []


def test_a_plate_with_an_opening(command: Command, job: Job):
    """Statics by hand from the published centroid: lifters at (0.8, 1.9), (1.2, 1.9), centre (1, 1.9)."""
    found = command("lifting", job(TEXTBOOK), "A", "1", "--json").document
    assert found["centroid"] == pytest.approx([2159.09, 4000], abs=0.01)
    assert found["lifter_centre"] == [1000, 1900]
    assert found["eccentricity"] == pytest.approx([1000 - 2159.09, -2100], abs=0.01)
    volume = 27.5 * 0.15 - 2 * (5 + 8) * 0.015**2 + 8 / 3 * 0.015**3
    assert found["mass"] == pytest.approx(volume * 2400)
    assert found["factored_mass"] == pytest.approx(1.5 * volume * 2400)
    assert found["share"] == pytest.approx(volume * 1200)
    assert found["leads"] == "base"
    (finding,) = found["findings"]
    assert (finding["code"], finding["severity"]) == ("eccentricity", "warning")
    assert "2100 mm towards the base" in finding["message"]
    assert "1159.1 mm towards the left" in finding["message"]
    assert "lifting design LD-1" in finding["message"]


def test_a_finding_for_the_engineer_is_no_error(command: Command, job: Job):
    folder = job(TEXTBOOK)
    assert command("lifting", folder, "A", "1").code == 0
    assert any(
        one["code"] == "eccentricity"
        for one in command("check", folder, "--json").document["findings"]
    )


def test_a_panel_without_lifters_says_so(command: Command, job: Job):
    folder = job(JOB)
    found = command("lifting", folder, "A", "1", "--json").document
    assert (found["lifters"], found["lifter_centre"], found["eccentricity"], found["share"]) == (
        0, None, None, None,
    )  # fmt: skip
    assert found["mass"] is None
    said = command("lifting", folder, "A", "1").out
    assert "none in its face" in said
    assert "the mix gives no density" in said
    assert "no limit given: the engineer must give one" in said


def test_the_page_names_two_edges_and_says_the_cautions(command: Command, job: Job):
    said = command("lifting", job(LIFT_JOB), "A", "2").out
    for part in (
        "P2, panel 2 of 2, stack A, lift 1",
        "not cast yet",
        "1500 mm from the left edge, 1500 mm from the base edge",
        "3234 kg, at 2400 kg/m³",
        "4850 kg, factor 1.5 of lifting design LD-1",
        "head edge (top of wall)",
        "nothing here designs a lift",
        "Suction at lifting off",
        "the youngest first",
        "Nobody under a panel",
    ):
        assert part in said, part


def test_what_it_says_follows_the_log(tmp_path: Path, command: Command):
    day = lift_day(tmp_path)
    day.fit(2)
    day.crew.desk.close()
    # The command asks the real clock: whenever this runs, the results are from before now or from after.
    found = command("lifting", tmp_path / "job", "A", "2", "--json").document
    assert found["release"]["by"] == "Eva Ross"
    assert found["fit"] is (found["strength"]["shown_by"] is not None)


def test_panels_that_are_not_there(command: Command, job: Job):
    assert command("lifting", job(LIFT_JOB), "A", "3").code == 2
    assert command("lifting", job(LIFT_JOB), "Q", "1").code == 2


def test_the_board_says_which_panel_may_go(tmp_path: Path, command: Command):
    day = lift_day(tmp_path)
    day.crew.desk.close()
    (one,) = command("board", tmp_path / "job", "--json").document["lifts"]
    assert (one["mark"], one["lift"], one["fit"]) == ("P2", 1, False)
    assert "no release to lift by the engineer" in one["missing"]
    assert "not fit to lift" in command("board", tmp_path / "job").out


# A lift that somebody wrote into the log.


def forged(folder: Path) -> Day:
    """The chain of seals is right, and the gate was not open."""
    day = lift_day(folder)
    day.do(Act(kind="lifted", by=FOREMAN, data={"panel": "P2"}, says="x"))
    day.crew.desk.close()
    return day


def test_a_lift_that_was_not_to_be_made_is_an_error_everywhere(tmp_path: Path, command: Command):
    forged(tmp_path)
    job = tmp_path / "job"
    for words in (
        ("check", job),
        ("board", job),
        ("lifting", job, "A", "2"),
        ("log", job),
        ("log", job, "--verify"),
    ):
        done = command(*words)
        assert done.code == 1, words
        said = " ".join(done.out.split())
        assert "while it was not fit to lift" in said, words
        assert "no field-cured result of P2 at 25 MPa or above: none yet" in said, words
        assert "no release to lift by the engineer" in said, words
    for words in (
        ("check", job),
        ("board", job),
        ("lifting", job, "A", "2"),
        ("log", job, "--verify"),
    ):
        found = command(*words, "--json").document["findings"]
        (one,) = [finding for finding in found if finding["code"] == "lifted-unfit"]
        assert {"stack": "A", "panel": 2, "mark": "P2"}.items() <= one["where"].items()
        assert one["severity"] == "error"


def test_a_lift_whose_plan_cannot_be_read_is_said_not_to_be_judged(
    tmp_path: Path, command: Command
):
    forged(tmp_path)
    (tmp_path / "job" / "job.toml").write_text("[job", encoding="utf-8")
    done = command("log", tmp_path / "job", "--verify")
    assert done.code == 0
    assert "not judged" in done.out


def test_a_lift_that_was_to_be_made_is_no_error(tmp_path: Path, command: Command):
    day = lift_day(tmp_path)
    day.fit(2)
    day.lift(2)
    day.crew.desk.close()
    assert command("log", tmp_path / "job", "--verify").code == 0
    assert command("lifting", tmp_path / "job", "A", "2").code == 0
