"""Try what the measurements of a panel say of each other: judged, checked, suspect, in words."""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.plan.ascast import AS_CAST_KEYS
from pourdeck.plan.messages import Refusal
from pourdeck.setout.adjust import Adjusted
from pourdeck.walk.ascast import (
    as_cast,
    cast_name,
    cast_place,
    cast_sheet,
    misclosure_text,
    signed_text,
    state_words,
)
from pourdeck.walk.records import Act
from tests.walk.kit import ALONE, FOREMAN, Crew, crew

LONG = (
    ALONE.replace("width = 3000\nheight = 3000", "width = 3000\nheight = 9000")
    .replace("height = [", "height = [ { upto = 8000, plus = 5, minus = 5 }, ")
)  # fmt: skip
SIX = {
    "width_base": "3000", "width_head": "3000", "height_left": "9000", "height_right": "9000",
    "diagonal_bl_hr": "9486.8", "diagonal_br_hl": "9486.8",
}  # fmt: skip


@pytest.fixture(scope="module")
def poured(tmp_path_factory: pytest.TempPathFactory) -> Crew:
    """A panel of 3 × 9 m, poured, nothing of it measured. No test records anything of it."""
    one = crew(tmp_path_factory.mktemp("long"), LONG)
    one.go_to("close")
    return one


def measured(poured: Crew, tmp_path: Path, **values: str) -> Crew:
    """Give a crew of the same log with these measured, in a folder of its own."""
    log = poured.desk.job.folder / "log" / "shed.jsonl"
    folder = tmp_path / "job" / "log"
    folder.mkdir(parents=True)
    (folder / "shed.jsonl").write_bytes(log.read_bytes())
    one = crew(tmp_path, LONG)
    one.clock.at = poured.clock.at
    act = as_cast(one.walk, {key: Decimal(text) for key, text in values.items()}, FOREMAN)
    assert isinstance(act, Act)
    one.do(act)
    return one


def test_every_key_has_a_line_a_name_and_a_place(poured: Crew) -> None:
    sheet = cast_sheet(poured.walk)
    assert sorted(one.key for one in sheet.lines) == sorted(AS_CAST_KEYS)
    assert len({cast_name(key) for key in AS_CAST_KEYS}) == len(AS_CAST_KEYS)
    for one in sheet.lines:
        assert one.expected is not None, one.key
        place = one.place
        assert place.side or place.corner or one.key.startswith("diagonal"), one.key
        if one.item is not None and not one.key.startswith("diagonal"):
            assert (cast_place(one.key).side, cast_place(one.key).corner) == (
                one.item.place.side, one.item.place.corner,
            )  # fmt: skip


def test_before_anything_is_taped_a_slip_under_nineteen_in_a_width_is_said_not_to_show(
    poured: Crew,
) -> None:
    words = state_words(cast_sheet(poured.walk))
    assert words == [
        "Nothing is taped yet: the corners are taken as planned.",
        "With all six tapes a slip under 19 mm in a width, 6.3 mm in a height or 6 mm in a diagonal "
        "will not show; with fewer no slip shows at all.",
    ]


def test_five_tapes_cannot_tell(poured: Crew, tmp_path: Path) -> None:
    five = {key: text for key, text in SIX.items() if key != "width_head"}
    sheet = cast_sheet(measured(poured, tmp_path, **five).walk)
    words = state_words(sheet)
    assert words[0] == "5 of 6 tapes measured."
    assert "cannot tell whether they fit together" in words[1]
    assert sheet.suspects == ()
    checked = sheet.line("width_base").checked
    assert checked is not None
    assert misclosure_text(checked, "metric").endswith(
        "cannot tell: no other measurement checks it"
    )


def test_six_tapes_that_fit(poured: Crew, tmp_path: Path) -> None:
    sheet = cast_sheet(measured(poured, tmp_path, **SIX).walk)
    words = state_words(sheet)
    assert words[0] == "6 of 6 tapes measured."
    assert words[1].startswith("They fit together: diagonal ")
    assert "a slip shows above 6 mm" in words[1]


def test_a_slip_of_25_in_a_width_shows_and_all_six_are_as_suspect(
    poured: Crew, tmp_path: Path
) -> None:
    """One length too many: the statistic is the same for each, so each is said to be off by its own.

    A slip e in a width turns a diagonal by e·w/d: 25 · 3000/9486.8 is 7.9 mm in a diagonal alone.
    """
    sheet = cast_sheet(measured(poured, tmp_path, **{**SIX, "width_base": "3025"}).walk)
    assert [one.key for one in sheet.suspects] == list(SIX)
    words = " ".join(state_words(sheet))
    assert "each of these is as suspect as the others" in words
    assert "width base 25" in words
    for key in ("diagonal_bl_hr", "diagonal_br_hl"):
        checked = sheet.line(key).checked
        assert checked is not None
        assert checked.slip == pytest.approx(-25 * 3000 / 9486.8, abs=0.2)
    assert sheet.line("width_base").verdict == "fail"


def test_a_slip_of_15_in_a_width_does_not_show(poured: Crew, tmp_path: Path) -> None:
    sheet = cast_sheet(measured(poured, tmp_path, **{**SIX, "width_base": "3015"}).walk)
    assert sheet.suspects == ()


def test_trying_is_what_recording_comes_to(poured: Crew, tmp_path: Path) -> None:
    five = {key: text for key, text in SIX.items() if key != "width_head"}
    tried = cast_sheet(
        measured(poured, tmp_path / "five", **five).walk, ("width_head", Decimal(3007))
    )
    done = cast_sheet(measured(poured, tmp_path / "six", **five, width_head="3007").walk)
    for one, other in zip(tried.lines, done.lines, strict=True):
        assert (one.found, one.off, one.verdict, one.suspect, one.shows) == (
            other.found, other.off, other.verdict, other.suspect, other.shows,
        )  # fmt: skip
        assert (one.checked is None) == (other.checked is None)
    assert isinstance(done.adjusted, Adjusted)
    assert state_words(tried) == state_words(done)


def test_diagonals_are_judged_by_their_difference_both_alike(poured: Crew, tmp_path: Path) -> None:
    """The job allows 8 mm between the two."""
    base = {"diagonal_bl_hr": "9490", "width_base": "3000"}
    one = cast_sheet(measured(poured, tmp_path, **base).walk)
    assert one.line("diagonal_bl_hr").verdict == "recorded"
    for other, verdict in ((9498, "pass"), (9499, "fail"), (9482, "pass")):
        sheet = cast_sheet(one.walk, ("diagonal_br_hl", Decimal(other)))
        assert sheet.apart == abs(9490 - other)
        assert {sheet.line(key).verdict for key in ("diagonal_bl_hr", "diagonal_br_hl")} == {
            verdict
        }


def test_heights_are_off_in_millimetres(poured: Crew) -> None:
    sheet = cast_sheet(poured.walk)
    expected = sheet.line("rl_bl").expected
    assert expected is not None
    tried = cast_sheet(poured.walk, ("rl_bl", expected + Decimal("0.003")))
    assert tried.line("rl_bl").off == 3


def test_lengths_no_panel_has_say_so(poured: Crew, tmp_path: Path) -> None:
    base = {"diagonal_bl_hr": "9000", "height_right": "3000"}
    one = measured(poured, tmp_path, **base)
    sheet = cast_sheet(one.walk, ("width_base", Decimal(3000)))
    assert isinstance(sheet.adjusted, Refusal)
    assert any("a straight line is shorter" in words for words in state_words(sheet))


def test_offset_marks_join_in(poured: Crew, tmp_path: Path) -> None:
    """With marks at two corners of the base the whole base is fixed, and a tape of it is checked."""
    marks = {"out_left_bl": "1", "out_right_br": "2", "width_base": "3003"}
    sheet = cast_sheet(measured(poured, tmp_path, **marks).walk)
    words = state_words(sheet)
    assert words[0] == "1 of 6 tapes and 2 offsets from marks measured."
    checked = sheet.line("width_base").checked
    assert checked is not None
    assert checked.redundancy == pytest.approx(1 / 3, abs=1e-3), (
        "three of the same weight, one too many"
    )


@pytest.mark.parametrize(
    ("mm", "text"), [(1.26, "+1.3 mm"), (-1.26, "−1.3 mm"), (0.04, "0 mm"), (-0.04, "0 mm")]
)
def test_a_sign_stands_before_what_is_off(mm: float, text: str) -> None:
    assert signed_text(mm, "metric") == text
