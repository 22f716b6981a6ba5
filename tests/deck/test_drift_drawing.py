"""The drift picture as text: at the sizes it is looked at, with nothing measured, with hostile marks."""

from decimal import Decimal
from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from pourdeck.deck.drawing.drift import DriftDrawing, drift_drawing
from pourdeck.deck.drawing.drift_words import drift_words
from pourdeck.deck.paint import SHED, plain, strip
from pourdeck.plan.records import Poured, Units
from pourdeck.setout.adjust import OUTWARDS
from pourdeck.setout.drift import rungs
from pourdeck.setout.elevation import DriftPicture, drift_picture
from pourdeck.setout.joints import NOTHING
from pourdeck.setout.panel import set_out_stack
from tests.deck.kit import HOSTILE
from tests.drift_job import SIX, Taped, drift_desk, growing, job_text, leaning
from tests.walk.kit import job_of


def picture(
    folder: Path, taped: tuple[Taped, ...], panels: int = 8, text: str = ""
) -> DriftPicture:
    desk = drift_desk(folder, taped, text, panels)
    try:
        return desk.drift("A")
    finally:
        desk.close()


def drawn(
    found: DriftPicture, width: int, height: int, selected: int = 1, units: Units = "metric"
) -> DriftDrawing:
    drawing = drift_drawing(found, units, width, height, selected)
    assert all(cell_len(row) == width for row in drawing.canvas.lines())
    return drawing


def text(drawing: DriftDrawing) -> str:
    return "\n".join(row.rstrip() for row in drawing.canvas.lines())


def test_six_panels_that_lean_at_the_width_of_a_small_terminal(tmp_path: Path) -> None:
    """3 mm each, a band of 20: 18 on the sixth, and 21 foretold of the seventh."""
    drawing = drawn(picture(tmp_path, SIX), 80, 15, selected=6)
    assert (
        text(drawing)
        == """\
▸ Stack A       out from the planned lines, mm, drawn 20 times as wide as it is
             looking at the base                  looking from the right
           left              right               base                 head
  8 W08 −24! │    :○           │    :○ +24!        │      to come       │
  7 W07 −21! │    :○           │    :○ +21!        │      to come       │
▸ 6 W06 −18  │    █▒▒▒▒▒▒▒▒▒▒▒▒│▒▒▒▒█  +18         │    not measured    │
  5 W05 −15  │   █:▒▒▒▒▒▒▒▒▒▒▒▒│▒▒▒█:  +15         │    not measured    │
  4 W04 −12  │  █▒:▒▒▒▒▒▒▒▒▒▒▒▒│▒▒█ :  +12         │    not measured    │
  3 W03  −9  │ █▒▒:▒▒▒▒▒▒▒▒▒▒▒▒│▒█  :  +9          │    not measured    │
  2 W02  −6  │ █▒▒:▒▒▒▒▒▒▒▒▒▒▒▒│▒█  :  +6          │    not measured    │
  1 W01  −3  │█▒▒▒:▒▒▒▒▒▒▒▒▒▒▒▒│█   :  +3          │    not measured    │
 bed        ▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔                 ▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔▔
 ! left and right pass the band, 20 mm, on W07: 3 mm more each panel, 2 mm left
 W06 as cast: width 0 mm, leans 18 mm to the right
 │ planned  █ cast  ○ foretold  : band  + out  − in"""
    )
    assert drawing.exaggeration == 20
    assert drawing.hits.at(40, 5) == 6


def test_the_same_where_there_is_room(tmp_path: Path) -> None:
    drawing = drawn(picture(tmp_path, SIX), 120, 18, selected=6)
    shown = text(drawing)
    assert drawing.exaggeration == 50
    assert "drawn 50 times as wide as it is" in shown
    rows = shown.splitlines()
    marks = [row.index("█", 60 if "│▒" not in row else row.rindex("▒")) for row in rows[5:11]]
    assert marks == sorted(marks, reverse=True), "each face further out than the one below"
    assert "bands: trial spec, table 1" in shown
    assert "base and head: not measured" in shown


@pytest.mark.parametrize(("width", "height"), [(60, 11), (58, 17), (40, 20), (58, 8), (44, 8)])
def test_figures_and_the_words_of_what_is_passed_survive_where_it_is_narrow(
    tmp_path: Path, width: int, height: int
) -> None:
    shown = text(drawn(picture(tmp_path, SIX), width, height, selected=6))
    assert "−18 " in shown
    assert "+18" in shown
    assert "left" in shown
    assert "right" in shown
    assert "band, 20 mm," in shown.replace("\n  ", " ")


@pytest.mark.parametrize("width", [0, 1, 7, 12, 20, 25])
@pytest.mark.parametrize("height", [0, 1, 2, 3, 5])
def test_where_there_is_hardly_any_room_nothing_breaks(
    tmp_path: Path, width: int, height: int
) -> None:
    drawn(picture(tmp_path, SIX[:2]), width, height)


def test_growth_on_both_sides_looks_like_it(tmp_path: Path) -> None:
    """Left goes to the left and right to the right; its place was not taped, and that is said."""
    grown = picture(tmp_path, tuple(growing(n) for n in (1, 2, 3)))
    rows = text(drawn(grown, 80, 17, selected=3)).splitlines()
    one, two, three = (next(row for row in rows if f" {n} W0{n}" in row) for n in (1, 2, 3))
    assert one.index("█") > two.index("█") > three.index("█")
    assert one.rindex("█") < two.rindex("█") < three.rindex("█")
    assert "+3?" in three
    shown = "\n".join(rows)
    assert "! width passes the band, 8 mm, on W05: 2 mm more each panel, 2 mm left" in shown
    assert "? not taped" in shown
    assert "W03 as cast: width +6 mm" in shown
    assert "leans" not in shown


def test_a_panel_past_its_band_has_a_sign_of_its_own(tmp_path: Path) -> None:
    past = picture(tmp_path, tuple(leaning(n, each=8) for n in (1, 2, 3)))
    shown = text(drawn(past, 80, 17, selected=3))
    assert "✗ left and right past the band, 20 mm, on W03: 24 mm; 8 mm more each panel" in shown
    assert "✗ past band" in shown
    (third,) = [row for row in shown.splitlines() if " 3 W03" in row]
    assert third.count("✗") == 2
    assert "−24!" in third
    assert "+24!" in third


def test_what_was_not_measured_is_said_and_not_drawn(tmp_path: Path) -> None:
    shown = text(drawn(picture(tmp_path, (None, None)), 80, 15))
    assert "Nothing of stack A was measured: no drift is known." in shown
    assert shown.count("not measured") == 4
    assert shown.count("to come") == 12
    assert "times as wide" not in shown
    assert "█" not in shown
    assert " 0 " not in shown


def test_one_panel_foretells_nothing(tmp_path: Path) -> None:
    shown = text(drawn(picture(tmp_path, SIX[:1]), 80, 17))
    assert "left and right: one panel measured, nothing foretold" in shown
    assert "○" not in shown


def test_scattered_tapes_are_said_to_be_no_trend(tmp_path: Path) -> None:
    scattered = tuple(leaning(n, each=by / n) for n, by in ((1, 3), (2, 1), (3, 3), (4, 2)))
    found = picture(tmp_path, scattered)
    assert "left and right: no trend beyond what the tapes may be out" in [
        plain(one) for one in drift_words(found, "metric")
    ]
    assert "○" not in text(drawn(found, 80, 17))


def test_in_feet_and_inches(tmp_path: Path) -> None:
    """18 mm is 11.3 sixteenths of an inch; 24, foretold, is 15.1."""
    shown = text(drawn(picture(tmp_path, SIX), 80, 17, selected=6, units="imperial"))
    assert 'to 1/16", drawn' in shown
    assert '−11/16"' in shown
    assert '+15/16"!' in shown
    assert " mm" not in shown


def test_hostile_marks_are_only_marks(tmp_path: Path) -> None:
    hostile = job_text(8, mark=HOSTILE + "{}\\u202e\\u001b[31m")
    found = picture(tmp_path, SIX, text=hostile)
    for width, height in ((80, 15), (60, 11), (120, 18)):
        shown = text(drawn(found, width, height, selected=3))
        assert "\x1b" not in shown
        assert "\u202e" not in shown
        assert "[/x]" in shown or "[/x…" in shown or "[/…" in shown


def test_forty_panels_are_shown_round_the_marked_one(tmp_path: Path) -> None:
    found = picture(tmp_path, SIX, panels=40)
    low = text(drawn(found, 80, 15, selected=3))
    assert " 1 W01" in low
    assert "▲ " in low
    assert "▼" not in low
    high = drawn(found, 80, 15, selected=30)
    assert "▼ " in text(high)
    assert "▸30 W30" in text(high)
    assert high.hits.at(5, next(y for y in range(15) if "W30" in high.canvas.lines()[y])) == 30


def test_a_stack_of_one(tmp_path: Path) -> None:
    shown = text(drawn(picture(tmp_path, SIX[:1], panels=1), 80, 10))
    assert " 1 W01" in shown
    assert "+3" in shown


def test_every_sign_has_one_in_ascii(tmp_path: Path) -> None:
    found = picture(tmp_path, tuple(leaning(n, each=8) for n in (1, 2, 3)))
    for row in drawn(found, 80, 15).canvas.rows():
        shown = strip(row, evolve(SHED, ascii_only=True), 80).text
        assert shown.isascii(), shown


@given(
    taped=st.lists(
        st.none()
        | st.dictionaries(
            st.sampled_from(sorted(OUTWARDS)), st.integers(-3000, 3000).map(float), max_size=8
        ),
        max_size=5,
    ),
    sized=st.booleans(),
    panels=st.integers(1, 7),
    width=st.integers(0, 130),
    height=st.integers(0, 30),
)
def test_whatever_was_taped_it_is_drawn_within_its_room(
    taped: list[dict[str, float] | None], sized: bool, panels: int, width: int, height: int
) -> None:
    """Metres out, one mark alone, some panels not at all: as wide as asked for, every figure a number."""
    job = job_of(job_text(panels))
    stack = job.stacks[0]
    more = {"width_base": 6004.0, "width_head": 5990.0} if sized else {}
    poured = {
        panel.mark: Poured(
            mark=panel.mark,
            anchors=NOTHING,
            extra_anchors=NOTHING,
            measured={key: Decimal(int(at)) for key, at in (read | more).items()},
        )
        for panel, read in zip(stack.panels, taped, strict=False)
        if read is not None
    }
    found = drift_picture(job, "A", rungs(set_out_stack(job, stack, poured)))
    shown = text(drawn(found, width, height, selected=panels))
    assert "nan" not in shown
    assert "inf" not in shown
