"""Signs of the trade where only older character sets can be shown."""

import pytest

from pourdeck.commands.outcome import HANDLER, PLAIN, prepare


@pytest.mark.parametrize("encoding", ["ascii", "cp437", "cp1252", "latin-1"])
def test_every_sign_has_a_plain_one(encoding: str):
    prepare()
    for sign, plain in PLAIN.items():
        shown = f"a{sign}b".encode(encoding, HANDLER).decode(encoding)
        assert shown in (f"a{sign}b", f"a{plain}b")


def test_what_has_none_is_an_escape():
    prepare()
    assert "é漢🙂 ± 2".encode("ascii", HANDLER) == b"\\xe9\\u6f22\\U0001f642 +- 2"


def test_half_characters_are_escapes_even_where_everything_can_be_shown():
    prepare()
    assert "a\udcff".encode("utf-8", HANDLER) == b"a\\udcff"
