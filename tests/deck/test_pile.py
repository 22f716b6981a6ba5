"""The piles: true to scale, nothing lost, nothing broken by what marks hold."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourdeck.deck.drawing.pile import (
    MOST_DRAWING,
    STATE_SIGNS,
    PileDrawing,
    PilePanel,
    PileStack,
    pile,
)
from pourdeck.deck.paint import cells
from pourdeck.walk.records import PanelPhase
from tests.campaign import share
from tests.deck.kit import HOSTILE

PHASES: tuple[PanelPhase, ...] = tuple(STATE_SIGNS)


def stack(name: str, *panels: tuple[int, int], marks: str = "M", hand: int = 1) -> PileStack:
    """Panels given as x and width, from the bed up."""
    return PileStack(
        id=name,
        bed="100.850 m",
        panels=tuple(
            PilePanel(
                number=number,
                mark=f"{marks}{number}" if marks != HOSTILE else HOSTILE,
                x=Decimal(x),
                width=Decimal(width),
                state=PHASES[number % len(PHASES)],
                lift=100 - number,
                in_hand=number == hand,
            )
            for number, (x, width) in enumerate(panels, 1)
        ),
    )


def ends(drawing: PileDrawing, number: int, name: str = "A") -> tuple[int, int]:
    """First and last cell of a panel's body, read off the drawing."""
    hit = next(hit for hit in drawing.hits.found if hit.what == (name, number))
    row = drawing.canvas.lines()[hit.y + hit.height - 1]
    body = row[hit.x + 4 : hit.x + 4 + min(hit.width - 20, MOST_DRAWING)]
    solid = [index for index, char in enumerate(body) if char != " "]
    return solid[0], solid[-1]


STEPS = st.lists(st.tuples(st.integers(-400, 1500), st.integers(600, 9000)), min_size=1, max_size=6)


@settings(max_examples=share(80), deadline=None)
@given(STEPS, st.integers(60, 140), st.booleans())
def test_widths_and_steps_are_true_to_one_cell(
    panels: list[tuple[int, int]], width: int, tall: bool
) -> None:
    height = 2 * len(panels) + 3 if tall else len(panels) + 2
    drawing = pile((stack("A", *panels),), width, height)
    left = min(x for x, _ in panels)

    for number, (x, wide) in enumerate(panels, 1):
        start, end = ends(drawing, number)
        assert abs(start - (x - left) / drawing.scale) <= 1
        assert abs((end - start + 1) - wide / drawing.scale) <= 2
        assert abs((end + 1) - (x + wide - left) / drawing.scale) <= 1


def test_a_step_of_three_cells_is_drawn_as_three_cells() -> None:
    first = pile((stack("A", (0, 3000), (0, 3000)),), 60, 4)
    step = int(first.scale * 3)
    drawing = pile((stack("A", (0, 3000), (step, 3000 - 2 * step)),), 60, 4)

    below, above = ends(drawing, 1), ends(drawing, 2)

    assert above[0] - below[0] == 3
    assert below[1] - above[1] in (2, 3, 4)


def test_all_piles_share_one_scale() -> None:
    drawing = pile((stack("A", (0, 6000)), stack("B", (0, 3000))), 100, 6)

    wide = ends(drawing, 1, "A")
    half = ends(drawing, 1, "B")

    assert abs((wide[1] - wide[0] + 1) / 2 - (half[1] - half[0] + 1)) <= 1


@pytest.mark.parametrize("tall", [False, True])
def test_every_panel_says_its_mark_state_sign_and_lift(tall: bool) -> None:
    panels = ((0, 6000),) * 4
    drawing = pile((stack("A", *panels),), 78, 20 if tall else 6)
    text = drawing.canvas.lines()

    for number in range(1, 5):
        state = PHASES[number % len(PHASES)]
        row = next(line for line in text if f" M{number} " in line or f"M{number}─" in line)
        assert f"{STATE_SIGNS[state]} {state}" in row
        assert f"{100 - number} {STATE_SIGNS[state]}" in row


def test_the_panel_in_hand_is_solid_and_the_bed_is_at_the_bottom() -> None:
    drawing = pile((stack("A", (0, 6000), (0, 6000), hand=2),), 60, 4)
    text = drawing.canvas.lines()

    assert "█" in text[1]
    assert "█" not in text[2]
    assert "▔" in text[3]
    assert "bed 100.850 m" in text[3]


def test_the_mark_of_the_row_differs_with_and_without_the_focus() -> None:
    one = (stack("A", (0, 6000)),)

    assert "▸" in "".join(pile(one, 60, 6, ("A", 1)).canvas.lines())
    assert "▸" not in "".join(pile(one, 60, 6, ("A", 1), focused=False).canvas.lines())


def test_a_click_on_a_row_finds_its_panel() -> None:
    drawing = pile((stack("A", (0, 6000), (0, 6000)), stack("B", (0, 6000))), 78, 5)
    rows = drawing.canvas.lines()
    upper = next(y for y, row in enumerate(rows) if "M2" in row)

    assert drawing.hits.at(5, upper) == ("A", 2)
    assert drawing.hits.at(5, upper + 1) == ("A", 1)
    assert drawing.hits.at(50, upper + 1) == ("B", 1)
    assert drawing.hits.at(50, upper) is None


def test_stacks_that_do_not_fit_are_paged_round_the_selected_one() -> None:
    stacks = tuple(stack(name, (0, 6000), (0, 5000)) for name in "ABCDE")

    first, last = pile(stacks, 78, 8, ("A", 1)), pile(stacks, 78, 8, ("E", 2))

    assert first.shown == ("A", "B")
    assert "E" in last.shown
    assert "Stack C ►" in first.canvas.lines()[-1]
    assert "◄ Stack C" in last.canvas.lines()[-1]
    assert first.hits.at(75, 7) == ("C", 1)


def test_a_pile_too_high_for_its_room_is_shown_round_the_selected_panel() -> None:
    tall = stack("A", *(((0, 6000),) * 30))

    for number in (1, 15, 30):
        drawing = pile((tall,), 60, 8, ("A", number))
        assert any(hit.what == ("A", number) for hit in drawing.hits.found)
    assert "more below" in pile((tall,), 60, 8, ("A", 30)).canvas.lines()[-1]
    assert "more" in "".join(pile((tall,), 60, 8, ("A", 1)).canvas.lines()[:2])


@pytest.mark.parametrize("width", [0, 1, 2, 5, 11, 19, 28, 30, 59, 78, 200])
@pytest.mark.parametrize("height", [0, 1, 2, 3, 4, 7, 9, 40])
def test_no_size_and_no_mark_breaks_it(width: int, height: int) -> None:
    stacks = (
        stack(HOSTILE, (0, 12000), (0, 300), marks=HOSTILE),
        stack("\x1b[31m\u202e", (0, 1), marks="漢字漢字漢字漢字"),
        PileStack(id="empty", bed="", panels=()),
    )

    for selected in (None, (HOSTILE, 2), ("\x1b[31m\u202e", 1), ("none", 9)):
        drawing = pile(stacks, width, height, selected)
        for y in range(height):
            assert cells(drawing.canvas.spans(y)) == width
        assert "\x1b" not in "".join(drawing.canvas.lines())


def test_markup_in_marks_and_names_shows_as_it_stands() -> None:
    text = "\n".join(pile((stack(HOSTILE, (0, 6000), marks=HOSTILE),), 100, 6).canvas.lines())

    assert f"Stack {HOSTILE}" in text
    assert f" {HOSTILE} " in text


def test_no_stacks_at_all() -> None:
    assert pile((), 20, 3).canvas.lines() == [" " * 20] * 3
