"""Lines of pieces: cut, filled up, broken, whatever people typed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.deck.paint import cells, cut, fit, justify, line, plain, text, wrap
from pourdeck.plan.messages import literal
from tests.deck.kit import HOSTILE

TEXT = st.text(max_size=30) | st.sampled_from([HOSTILE, "漢字 漢字漢", "a\u202eb", "\x1b]0;x\x07"])


@given(st.lists(TEXT, max_size=4), st.integers(0, 40))
def test_a_line_fits_its_width_exactly(texts: list[str], width: int) -> None:
    assert cells(fit(line(*texts), width)) == width
    assert cells(cut(line(*texts), width)) <= width


@given(TEXT, TEXT, st.integers(1, 40))
def test_left_gives_way_to_right(left: str, right: str, width: int) -> None:
    whole = justify(line(left), line(right), width)

    assert cells(whole) == width
    if 0 < cells(line(right)) <= width:
        assert plain(whole).endswith(plain(line(right)))


@given(st.lists(TEXT, max_size=4), st.integers(2, 40), st.integers(0, 12))
def test_broken_lines_fit_and_lose_no_letter(texts: list[str], width: int, indent: int) -> None:
    whole = line(*texts)
    rows = wrap(whole, width, indent)

    assert all(cells(row) <= width for row in rows)
    together = "".join(plain(row) for row in rows)
    assert together.replace(" ", "") == plain(whole).replace(" ", "")


def test_words_break_at_spaces_and_later_lines_are_indented() -> None:
    rows = wrap(line(("one two three four", "strong")), 11, 2)

    assert [plain(row) for row in rows] == ["one two", "  three", "  four"]


def test_what_is_cut_says_so() -> None:
    assert plain(cut(line("edge forms"), 6)) == "edge…"


def test_text_is_never_markup() -> None:
    for value in (HOSTILE, "[red]x[/red]", "\x1b[31m"):
        assert text(value).plain == literal(value)
        assert text(value).spans == []


@pytest.mark.parametrize(
    ("text", "width", "rows"),
    [
        ("stay within 7506 mm", 16, ["stay within", "7506 mm"]),
        ("new 12' 0\", 14' 7-1/2\"", 15, ["new 12' 0\",", "14' 7-1/2\""]),
        ("18 h after the pour", 8, ["18 h", "after", "the pour"]),
        ("9 of them, 7 more", 10, ["9 of them,", "7 more"]),
    ],
)
def test_a_value_is_not_parted_from_its_unit(text: str, width: int, rows: list[str]) -> None:
    assert [plain(row) for row in wrap(line(text), width)] == rows
