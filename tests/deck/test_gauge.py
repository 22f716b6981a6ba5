"""The gauge of a pour: placed, going in, coming, left."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from pourdeck.deck.drawing.pour import COMING, EMPTY, GOING, PLACED, gauge

M3 = st.integers(min_value=0, max_value=400).map(lambda tenths: Decimal(tenths) / 10)


def drawn(placed: str, coming: str, volume: str, width: int, going: str = "0") -> str:
    parts = gauge(Decimal(placed), Decimal(coming), Decimal(volume), width, Decimal(going))
    return "".join(text for text, _ in parts)


def test_what_is_going_in_is_not_drawn_as_placed() -> None:
    assert drawn("4", "0", "8", 18) == "[████████········]"
    assert drawn("4", "0", "8", 18, "4") == "[▓▓▓▓▓▓▓▓········]"
    assert drawn("6", "2", "8", 18, "2") == "[████████▓▓▓▓▒▒▒▒]"


def test_nothing_comes_where_nothing_is_on_its_way() -> None:
    assert COMING not in drawn("4", "0", "9.06", 43)


@given(M3, M3, M3.filter(bool), st.integers(min_value=4, max_value=90), st.data())
def test_it_is_as_wide_as_it_is_and_full_only_where_nothing_is_left(
    placed: Decimal, coming: Decimal, volume: Decimal, width: int, data: st.DataObject
) -> None:
    going = data.draw(st.sampled_from([Decimal(0), placed / 2, placed]))
    text = "".join(words for words, _ in gauge(placed, coming, volume, width, going))
    assert len(text) == width
    inside = text[1:-1]
    assert inside == "".join(sorted(inside, key=(PLACED + GOING + COMING + EMPTY).index))
    assert (GOING in inside) == (going > 0)
    if inside.strip(PLACED + GOING) == "":
        assert placed >= volume
    if going == placed:
        assert PLACED not in inside
