"""Cells of a drawing."""

import pytest

from pourdeck.deck.drawing.canvas import Canvas
from pourdeck.deck.paint import cells
from tests.deck.kit import HOSTILE


def test_strokes_that_meet_join() -> None:
    canvas = Canvas(7, 5)
    canvas.box(0, 0, 6, 4)
    canvas.across(0, 6, 2)
    canvas.down(3, 0, 4)

    assert canvas.lines() == ["┌──┬──┐", "│  │  │", "├──┼──┤", "│  │  │", "└──┴──┘"]


def test_what_is_put_on_a_stroke_stays_when_another_stroke_ends_beside_it() -> None:
    canvas = Canvas(3, 3)
    canvas.box(0, 0, 2, 2)
    canvas.put(1, 0, "▲", "castin")

    assert canvas.lines()[0] == "┌▲┐"


def test_what_falls_outside_is_left_out() -> None:
    canvas = Canvas(4, 2)
    canvas.box(-2, -2, 50, 50)
    canvas.fill(-5, -5, 100, 100, "░")
    canvas.text(-2, 0, "abcdef")
    canvas.text(2, 1, "abcdef")
    canvas.put(9, 9, "x")

    assert canvas.lines() == ["cdef", "░░ab"]


@pytest.mark.parametrize(
    "text", [HOSTILE, "漢字かな", "e\u0301e\u0301", "\x1b[31m", "\u202eabc", "a\nb", "👷🏽"]
)
@pytest.mark.parametrize("width", range(9))
def test_a_row_is_as_wide_as_its_canvas_whatever_is_written_into_it(text: str, width: int) -> None:
    canvas = Canvas(width, 1)
    canvas.text(0, 0, text)
    canvas.put(1, 0, "x")

    assert cells(canvas.spans(0)) == width
    assert "\x1b" not in canvas.lines()[0]


def test_the_other_half_of_a_wide_character_goes_with_it() -> None:
    canvas = Canvas(4, 1)
    canvas.text(0, 0, "漢字")
    canvas.put(1, 0, "x")

    assert canvas.lines() == [" x字"]


def test_pieces_of_one_ink_are_one_span() -> None:
    canvas = Canvas(5, 1)
    canvas.text(0, 0, "ab", "mark")
    canvas.text(2, 0, "cd", "quiet")

    assert canvas.spans(0) == (("ab", "mark"), ("cd", "quiet"), (" ", "text"))
