"""The line of a field at any width, and sentences in lines."""

from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from pourdeck.deck.widgets.field_text import Look, line_parts, place_at, text_fits, wrap

_LOOK = Look(text="300", cursor=None, focused=False, mark=" ", unit="mm", room=14)
_WORDS = st.text(st.sampled_from("ab[ 1\u4e2d\u0301\u202e\x1b"), max_size=30)


def line(look: Look, width: int) -> str:
    return "".join(text for _, text in line_parts(look, width))


def test_at_rest_and_in_focus() -> None:
    assert line(_LOOK, 40) == " [ 300            ] mm"
    assert line(evolve(_LOOK, focused=True, mark="!"), 40) == "▸[ 300           !] mm"
    assert line(evolve(_LOOK, unit="", room=None), 20) == " [ 300             ]"


def test_what_does_not_fit_is_marked() -> None:
    long = evolve(_LOOK, text="abcdefghij", unit="", cursor=None)
    assert line(long, 11) == " [ abcde›  ]"[:9] + " ]"
    assert line(evolve(long, cursor=10), 11) == " [ ‹ghij  ]"
    assert not text_fits(long, 11)
    assert text_fits(long, 20)


@given(_WORDS, st.integers(min_value=8, max_value=40), st.data())
def test_the_line_is_as_wide_as_it_is_and_shows_the_cursor(
    text: str, width: int, data: st.DataObject
) -> None:
    cursor = data.draw(st.none() | st.integers(min_value=0, max_value=len(text)))
    look = evolve(_LOOK, text=text, cursor=cursor, unit="", room=None)
    parts = line_parts(look, width)
    assert cell_len("".join(part for _, part in parts)) <= width
    at = [part for style, part in parts if style == "cursor"]
    assert len(at) == (cursor is not None)
    if cursor is not None and cursor < len(text) and text[cursor].isprintable():
        assert at == [text[cursor]]


@given(_WORDS, st.integers(min_value=12, max_value=40), st.integers(min_value=-2, max_value=50))
def test_a_click_lands_in_the_text(text: str, width: int, x: int) -> None:
    place = place_at(evolve(_LOOK, text=text, unit="", room=None), width, x)
    assert 0 <= place <= len(text)


def test_a_click_lands_on_the_character() -> None:
    assert [place_at(_LOOK, 40, x) for x in (0, 3, 4, 5, 6, 30)] == [0, 0, 1, 2, 3, 3]


@given(_WORDS, st.integers(min_value=2, max_value=20))
def test_wrapped_lines_fit_and_lose_nothing(text: str, width: int) -> None:
    lines = wrap(text, width)
    assert all(cell_len(part) <= width for part in lines)
    assert "".join("".join(lines).split(" ")) == "".join(text.split(" "))


def test_what_is_cut_is_marked() -> None:
    assert wrap("one two three four", 9) == ["one two", "three", "four"]
    assert wrap("one two three four", 9, most=2) == ["one two", "three…"]
    assert wrap("abcdefghi jkl", 9, most=1) == ["abcdefgh…"]
    assert wrap("", 9) == []
