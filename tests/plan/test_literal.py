"""Text made harmless: for a terminal, and for the name of a file."""

import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.plan.messages import file_name, literal

ANY_TEXT = st.text(st.characters(codec=None))


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("W07", "W07"),
        ("[/x] [A-1] [Foo] [", "[/x] [A-1] [Foo] ["),
        ("Größe ½ – 東", "Größe ½ – 東"),
        ("a\u00a0b\u3000c", "a\u00a0b\u3000c"),
        ("\x1b[31mred", "\\x1b[31mred"),
        ("a\tb\nc\rd", "a\\tb\\nc\\rd"),
        ("\x00\x07\x7f\x80\x9b", "\\x00\\x07\\x7f\\x80\\x9b"),
        ("\u202egpj.exe\u202c", "\\u202egpj.exe\\u202c"),
        ("\u200b\u200f\u2060\u2066\u2069\ufeff", "\\u200b\\u200f\\u2060\\u2066\\u2069\\ufeff"),
        ("\u061c\u00ad", "\\u061c\\xad"),
        ("\u2028\u2029", "\\u2028\\u2029"),
        ("\ud800", "\\ud800"),
        ("\U000e0041", "\\U000e0041"),
        ("", ""),
    ],
)
def test_what_does_not_print_shows_as_an_escape(text: str, shown: str) -> None:
    assert literal(text) == shown


@given(ANY_TEXT)
def test_nothing_harmful_is_left_and_twice_is_once(text: str) -> None:
    shown = literal(text)
    assert all(unicodedata.category(char) not in {"Cc", "Cf", "Cs", "Zl", "Zp"} for char in shown)
    assert literal(shown) == shown
    shown.encode("utf-8")


SAFE = re.compile(r"[A-Za-z0-9._-]{1,80}")


@pytest.mark.parametrize("parts", [("W07",), ("A", "3", "W-07.b"), ("shed",), ("x" * 80,)])
def test_a_name_that_is_safe_stays_as_it_is(parts: tuple[str, ...]) -> None:
    assert file_name(*parts) == "-".join(parts)


@pytest.mark.parametrize(
    "text",
    ["", ".", "..", "../../etc/passwd", "/", "CON", "aux.txt", "nul", "Lpt1", ".hidden", "end.",
     "a b", "W:07", "\x1b[2J", "\u202e", "東", "[/x] [A-1] [Foo] [", "x" * 81, "\ud800",
     "CON." + "x" * 90],
)  # fmt: skip
def test_a_name_that_is_not_safe_is_changed_and_told_apart(text: str) -> None:
    name = file_name(text)
    assert SAFE.fullmatch(name)
    assert name[0] != "."
    assert name[-1] != "."
    assert name.partition(".")[0].upper() not in {"CON", "PRN", "AUX", "NUL", "COM1", "LPT1"}
    assert re.search(r"-[0-9a-f]{10}$", name)
    assert name != file_name(text + "?")


def test_parts_that_join_alike_get_different_names() -> None:
    joined = [("A-1", "2", "X"), ("A", "1-2", "X"), ("A", "1", "2-X"), ("A-1-2-X",)]
    assert len({file_name(*parts) for parts in joined}) == len(joined) - 1
    # One part needs no hash, and three parts without a hyphen in the first two neither.
    assert file_name("A-1-2-X") == file_name("A", "1", "2-X")


@given(ANY_TEXT, ANY_TEXT)
def test_two_texts_never_meet_in_one_name(one: str, other: str) -> None:
    assert SAFE.fullmatch(file_name(one))
    assert (file_name(one) == file_name(other)) == (one == other)


def test_a_name_cannot_be_made_to_look_like_a_changed_one() -> None:
    changed = file_name("W 07")
    assert file_name(changed) != changed
