"""Nothing that was pasted vanishes without a word."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.field_text import into_number, into_text
from pourdeck.walk.quantities import QUANTITIES


@pytest.mark.parametrize(
    ("raw", "text", "words"),
    [
        ("12.5 ", "12.5", ""),
        (" 12.5", "12.5", ""),
        ("12,5", "12,5", ""),
        ("\n12.5\t\r\n", "12.5", ""),
        ("23' 7-1/2\"", "23' 7-1/2\"", ""),
        ("12.5\t13", None, "columns"),
        ("12.5\n13.5", None, "2 lines"),
        ("12.5\r\n13.5\r\n14", None, "3 lines"),
        ("\u22125", None, "minus"),
        ("1\u00a0200", None, "plain space"),
        ("abc", None, "a has no place"),
        ("", None, "Nothing"),
        (" \n", None, "Nothing"),
        ("12\x07.5", "12.5", "1 control character was left out"),
        ("12.5\x1b[201~", "12.5", "left out"),
        ("[200~12.5[201~", "12.5", "left out"),
        ("12.5\x1b[201~\r", "12.5", "left out"),
        ("\x1b[31m5", None, "[ has no place"),
    ],
)
def test_into_a_number(raw: str, text: str | None, words: str) -> None:
    pasted = into_number(raw)
    assert pasted.text == text
    assert words in pasted.notice
    assert bool(pasted.notice) == bool(words)


@pytest.mark.parametrize(
    ("raw", "text", "words"),
    [
        ("[/x] [A-1] [Foo] [", "[/x] [A-1] [Foo] [", ""),
        ("one\ntwo\r\nthree\n", "one two three", "as spaces"),
        ("a\tb", "a b", ""),
        ("a\u00a0b", "a b", ""),
        ("a\x1bb\u202ec", "abc", "2 control characters were left out"),
        ("\u202e", None, "Nothing"),
    ],
)
def test_into_text(raw: str, text: str | None, words: str) -> None:
    pasted = into_text(raw)
    assert pasted.text == text
    assert words in pasted.notice
    assert bool(pasted.notice) == bool(words)


@given(st.text(max_size=30))
def test_what_goes_in_is_all_of_it_or_something_is_said(raw: str) -> None:
    trimmed = raw.strip(" \t\r\n")
    number, text = into_number(raw), into_text(raw)
    assert number.text == trimmed or number.notice
    assert text.text is None or text.text.isprintable()
    assert len(text.text or "") == len(trimmed) or text.notice


def test_a_filled_field_takes_no_paste_until_it_is_opened() -> None:
    entry = Field(QUANTITIES["mm"], "300")
    entry.paste("12")
    assert (entry.text, entry.typing) == ("300", False)
    assert "Enter to change" in entry.notice
    entry.open(0)
    entry.paste("12\n")
    assert (entry.text, entry.cursor_position) == ("12300", 2)


def test_a_paste_that_is_too_long_is_refused_whole() -> None:
    entry = Field(QUANTITIES["words"].in_job("metric", longest=5))
    entry.paste("abcdef")
    assert entry.text == ""
    assert "5 characters" in entry.notice
