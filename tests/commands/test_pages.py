"""Pages for people: what they say, in whose units, and that they fit the screen they are printed on."""

import io
from collections.abc import Callable
from pathlib import Path

import pytest

from pourdeck.example import IMPERIAL, METRIC, example_folder
from pourdeck.paper import console
from tests.campaign import each_once, some
from tests.commands.conftest import Job
from tests.commands.kit import Command, one_panel_cast
from tests.walk.kit import JOB

Page = Callable[..., list[str]]


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def page(command: Command, monkeypatch: pytest.MonkeyPatch) -> Page:
    """The lines a command shows on a screen so wide, without colours."""

    def run(*words: str | Path, columns: int = 80) -> list[str]:
        screen = Screen()
        monkeypatch.setenv("COLUMNS", str(columns))
        monkeypatch.setenv("TERM", "xterm")
        shown = console.People(file=screen, width=columns, force_terminal=True, color_system=None)
        monkeypatch.setattr(console, "people", lambda: shown)
        assert command(*words).code in (0, 1)
        return screen.getvalue().splitlines()

    return run


def panels(name: str) -> list[tuple[str, str]]:
    counts = {METRIC: {"A": 6, "B": 4, "C": 3, "D": 4}, IMPERIAL: {"1": 3}}[name]
    return [(stack, str(n)) for stack, count in counts.items() for n in range(1, count + 1)]


@pytest.mark.campaign
@pytest.mark.parametrize(("name", "columns"), each_once([METRIC, IMPERIAL], [80, 120]))
def test_every_page_of_both_examples_fits_the_screen(name: str, columns: int, page: Page):
    folder = example_folder(name)
    size = ("--width", "6.9 m") if name == METRIC else ("--width", "22' 6-1/2\"")
    top = panels(name)[-1]
    for words in (
        ("check", folder), ("board", folder), ("log", folder), ("shrink", folder, *top, *size),
        *(("setout", folder, *panel) for panel in panels(name)),
        *(("levels", folder, *panel) for panel in panels(name)),
        *(("pour", folder, *panel) for panel in panels(name)),
    ):  # fmt: skip
        lines = page(*words, columns=columns)
        assert lines
        assert [line for line in lines if len(line) > columns] == [], words
        assert [line for line in lines if "…" in line or line != line.rstrip()] == [], words


def test_a_line_that_is_too_long_goes_on_indented_between_words(page: Page):
    lines = page("check", example_folder(METRIC))
    first = lines.index(next(line for line in lines if line.startswith("warning  needs-prop")))
    assert lines[first + 1].startswith("         ")
    assert not lines[first + 1][9].isspace()
    together = " ".join(line.strip() for line in lines[first : first + 3])
    assert "hold the form there with a prop." in together


@pytest.mark.campaign
def test_a_length_is_never_broken(page: Page):
    for columns in some(range(40, 90)):
        for line in page("check", example_folder(METRIC), columns=columns):
            assert not line.lstrip().startswith("mm"), columns


def test_the_set_out_in_millimetres_names_them_in_its_heads(page: Page):
    lines = page("setout", example_folder(METRIC), "A", "3")
    assert lines[0] == (
        "W07: panel 3 of 6 of stack A, rev C, inside face up, MIRRORED from the drawing"
    )
    sides = lines.index("Sides, in from the panel below")
    assert lines[sides + 1].split() == [
        "length",
        "from",
        "its",
        "face",
        "line",
        "from",
        "its",
        "arris",
    ]
    assert lines[sides + 2].split() == ["side", "mm", "mm", "mm", "bolt"]
    assert [line.split() for line in lines[sides + 4 : sides + 8]] == [
        ["base", "7200", "0", "-15", "outer"],
        ["right", "8700", "300", "285", "inner"],
        ["head", "7200", "200", "185", "inner"],
        ["left", "8700", "0", "-15", "outer"],
    ]
    assert "base   bl  2 of 3000 mm + 2000 mm, 800 mm past the far corner" in lines


def test_the_set_out_in_feet_and_inches_has_their_marks(page: Page):
    lines = page("setout", example_folder(IMPERIAL), "1", "2")
    assert "mm" not in " ".join(lines).split()
    sides = lines.index("Sides, in from the panel below")
    assert lines[sides + 3].split() == ["base", "23'", '1"', '0"', '-3/4"', "near"]


def test_the_first_panel_stands_on_the_bed(page: Page):
    lines = page("setout", example_folder(METRIC), "A", "1")
    assert "Sides: on the bed" in lines
    assert not [line for line in lines if line.startswith(("Brackets", "To fill"))]


def test_what_is_not_there_has_no_table(page: Page, job: Job):
    lines = page("setout", job(JOB), "A", "2")
    for heading in ("Anchors", "Extra", "To fill", "Openings", "Cast", "Findings"):
        assert not [line for line in lines if line.startswith(heading)], heading


def test_what_is_missing_is_said(page: Page, job: Job):
    text = JOB.replace("width = 3000", "width = 3400", 1).replace(
        "{ length = 1000, count = 40 }", "{ length = 1000, count = 1 }"
    )
    lines = page("setout", job(text), "A", "2")
    assert "right  br  cannot be made up" in lines
    assert any("none reaches" in line for line in lines)
    assert any("no density given" in line for line in lines)
    lines = page("setout", job(JOB.replace("thickness = 150", "thickness = 160")), "A", "2")
    assert any(line.startswith("Forms, no form of this depth") for line in lines)


def test_a_measured_surface_stands_beside_the_planned_one(page: Page, tmp_path: Path):
    lines = page("setout", one_panel_cast(tmp_path), "A", "2")
    assert any(line.startswith("RL, planned") and "101.000 m" in line for line in lines)
    assert any(line.startswith("RL, measured") and "101.000 m" in line for line in lines)


def test_a_size_change_shows_only_what_moves(page: Page):
    lines = page("shrink", example_folder(METRIC), "A", "4", "--height", "8280")
    table = lines.index("In from the panel below, mm, with the bolt")
    assert [" ".join(line.split()) for line in lines[table + 3 : table + 8]] == [
        "4 W09 before 0 outer 200 inner 200 inner 200 inner",
        "after same same 420 NO BOLT same",
        "5 W11 before 100 outer 100 outer 100 outer 100 outer",
        "after -10 NO BOLT same -10 NO BOLT same",
        "6 W12 as before 0 outer 107.5 outer 200 inner 107.5 outer",
    ]


def test_brackets_and_extra_anchors_are_counted_as_the_alignments_count_them(
    page: Page, command: Command
):
    for width, brackets, extra, said in (
        ("6400", "28, as before", 1, "1, as before"),
        ("6500", "30, before 28", 3, "3, before 1"),
    ):
        words = ("shrink", example_folder(METRIC), "A", "6", "--width", width)
        options = command(*words, "--json").document["options"]
        (now,) = [one for one in options if one["align"] == "base-centre"]
        lines = page(*words)
        assert f"brackets: {brackets}" in lines
        assert now["extra_anchors"] == extra
        assert f"extra anchors: {said}" in lines


def test_alignments_that_work_are_ranked_the_others_grouped_by_what_is_in_their_way(
    page: Page, job: Job
):
    """Of 3000 mm 2600 are left: only in the middle are both sides in reach of the inner bolt."""
    lines = page("shrink", job(JOB), "A", "2", "--width", "2600")
    works = lines.index("Alignments that work, best first")
    ranked = [line.split() for line in lines[works + 4 : works + 7]]
    assert [row[0] for row in ranked] == ["base-centre", "centre", "head-centre"]
    assert lines[works + 7] == ""
    assert "this one" not in " ".join(lines)
    rest = lines[lines.index("Alignments that do not") + 1 : -2]
    assert [line for line in rest if not line.startswith(" ")] == [
        "base-left, centre-left, head-left", "base-right, centre-right, head-right"
    ]  # fmt: skip
    assert rest[1].startswith("  right: 400 mm in from the panel below is past the longest reach")


def test_the_alignment_in_force_is_marked(page: Page, job: Job):
    lines = page("shrink", job(JOB), "A", "2", "--width", "2900", "--align", "centre")
    (marked,) = [line for line in lines if line.endswith("this one")]
    assert marked.split()[0] == "centre"


def test_where_nothing_works_it_is_said_once(page: Page):
    lines = page("shrink", example_folder(METRIC), "A", "4", "--height", "8280")
    assert "No alignment works" in lines
    assert len([line for line in lines if line.startswith("  W11 base: overhangs")]) == 1


def test_the_board_marks_the_panel_in_hand(page: Page):
    lines = page("board", example_folder(METRIC))
    in_hand = [line.split()[:5] for line in lines if "in hand" in line]
    assert in_hand[0] == ["A", "3", "of", "6", "W07"]
    assert "B" not in {words[0] for words in in_hand}, "every panel of B is cast"
    assert [line.split()[1] for line in lines if line.startswith("A  ")] == list("654321")


def test_the_board_says_what_today_needs(page: Page):
    lines = page("board", example_folder(METRIC), columns=1000)
    needs = lines[lines.index("What today needs") + 1 : lines.index("Findings") - 1]
    kinds = [line.split()[0] for line in needs]
    assert kinds == sorted(kinds, key=["next", "lift", "failed", "out", "deferred", "passed"].index)
    assert any(line.startswith("failed   A W07  base side, B3: ") for line in needs)
    assert any("R. Osei owes it, before set-out" in line for line in needs)


def test_the_board_shows_how_big_panels_came_out(page: Page):
    lines = page("board", example_folder(METRIC))
    cast = [line for line in lines if " of " in line and " cast " in line][:6]
    assert [line.split()[4] for line in cast] == ["W04", "W02", "W18", "W17", "W16", "W15"]
    assert all(" × " in line and " mm" in line for line in cast)


def test_check_counts_in_words(page: Page, job: Job):
    assert page("check", job(JOB)) == ["Trial yard: no errors, no warnings"]
