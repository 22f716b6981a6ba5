"""The panel in plan: to scale, on the one below, with everything that stands in and on it."""

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourdeck.deck.drawing.canvas import ASPECT, Bounds, fit
from pourdeck.deck.drawing.plan import PlanDrawing, plan
from pourdeck.deck.paint import cells
from pourdeck.plan.records import CastIn, Job, Panel, Stack, Units
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.record import SetOut
from pourdeck.walk.records import Place
from tests.campaign import share
from tests.deck.kit import HOSTILE
from tests.setout.builders import KIT, in_edge, mm, opening, panel


def setouts(*panels: Panel) -> tuple[SetOut, ...]:
    stack = Stack(id="A", bed_rl=Decimal("100"), panels=panels)
    job = Job(folder=Path("unread"), name="job", number="1", kit=KIT, stacks=(stack,))
    return set_out_stack(job, stack, {})


def pair(width: Any, height: Any, *, on: tuple[Any, Any], **more: Any) -> SetOut:
    """A panel on one that is `on` wide and high."""
    return setouts(panel(*on, mark="BELOW"), panel(width, height, mark="UPPER", **more))[1]


def text(drawing: PlanDrawing) -> str:
    return "\n".join(drawing.canvas.lines())


def bands(drawing: PlanDrawing) -> tuple[int, int]:
    """Count the cells of the panel below at the left and at the right, in a row without brackets."""
    rows = [row.strip() for row in drawing.canvas.lines()]
    bare = [
        row for row in rows if row.count("│") == 2 and "═" not in row and set(row) <= set("░│ ")
    ]
    row = bare[0]
    return row.index("│"), len(row) - 1 - row.rindex("│")


@settings(max_examples=share(60), deadline=None)
@given(st.integers(1000, 12000), st.integers(1000, 12000), st.integers(20, 150), st.integers(8, 60))
def test_both_ways_are_at_the_same_scale(wide: int, high: int, columns: int, rows: int) -> None:
    bounds = Bounds(left=Decimal(0), base=Decimal(0), right=Decimal(wide), head=Decimal(high))
    scale = fit(bounds, 0, 0, columns, rows)

    assert scale.columns <= columns
    assert scale.rows <= rows
    if scale.true:
        assert scale.up == scale.across * ASPECT
        assert (
            abs((scale.column(Decimal(wide)) - scale.column(Decimal(0))) - wide / scale.across) <= 1
        )
        assert abs((scale.row(Decimal(0)) - scale.row(Decimal(high))) - high / scale.up) <= 1


@settings(max_examples=share(40), deadline=None)
@given(st.integers(10, 1500), st.integers(10, 1500))
def test_steps_are_true_to_one_cell_and_never_vanish(left: int, right: int) -> None:
    width = 8000 - left - right
    setout = pair(width, 6000, on=(8000, 6000), shift=(left, 0), align="base-left")
    drawing = plan(setout, 90, 40)
    assert drawing.scale is not None

    for drawn, step in zip(bands(drawing), (left, right), strict=True):
        assert drawn >= 1
        assert abs(drawn - step / drawing.scale.across) <= 1


def test_what_is_flush_shows_no_band() -> None:
    assert bands(plan(pair(6000, 5000, on=(6000, 5600)), 90, 40)) == (0, 0)


def test_base_is_at_the_bottom_and_left_at_the_left() -> None:
    setout = pair(
        6000, 5000, on=(6000, 5000),
        castins=(
            CastIn(name="NEAR", kind="lifter", x=mm(600), y=mm(600)),
            CastIn(name="FAR", kind="lifter", x=mm(5000), y=mm(4400)),
        ),
    )  # fmt: skip
    rows = plan(setout, 80, 36).canvas.lines()
    near = next((y, row.index("NEAR")) for y, row in enumerate(rows) if "NEAR" in row)
    far = next((y, row.index("FAR")) for y, row in enumerate(rows) if "FAR" in row)

    assert near[0] > far[0]
    assert near[1] < far[1]
    assert next(y for y, row in enumerate(rows) if "base" in row) > near[0]
    assert next(y for y, row in enumerate(rows) if "head" in row) < far[0]


@pytest.mark.parametrize(
    ("units", "words"), [("metric", ("300 mm", "in")), ("imperial", ('~11-13/16"', "in"))]
)
def test_offsets_stand_on_the_sides_in_the_units_of_the_job(
    units: Units, words: tuple[str, ...]
) -> None:
    drawing = plan(pair(5700, 5000, on=(6000, 5000)), 90, 30, units=units)

    assert all(word in text(drawing) for word in words)
    assert "flush" in text(drawing)


def test_an_overhang_says_over_and_shows_the_hidden_face_line() -> None:
    drawing = plan(pair(6600, 5000, on=(6000, 5000)), 90, 30)

    assert "over" in text(drawing)
    assert "┊" in text(drawing)


@pytest.mark.parametrize("size", [(30, 8), (40, 16), (60, 20), (100, 30)])
def test_mirrored_is_said_in_words_at_every_size(size: tuple[int, int]) -> None:
    setout = pair(6000, 5000, on=(6000, 5000), drawn_from="outside")

    for place in (None, Place(side="right", bracket="R1"), Place(corner="hl")):
        assert "MIRRORED" in text(plan(setout, *size, place))
    assert "MIRRORED" not in text(plan(pair(6000, 5000, on=(6000, 5000)), *size))


def test_signs_are_explained_and_only_those_that_are_there() -> None:
    castins = (
        CastIn(name="L", kind="lifter", x=mm(600), y=mm(3000)),
        CastIn(name="F", kind="ferrule", x=mm(5000), y=mm(3000)),
        in_edge("E", "left", 2600),
    )
    drawing = plan(pair(6000, 5000, on=(6200, 5000), castins=castins), 110, 36)

    assert "▲ lifter" in text(drawing)
    assert "● ferrule" in text(drawing)
    assert "░ BELOW below" in text(drawing)
    assert "plate" not in text(drawing)


def test_openings_have_names_and_a_door_breaks_the_base() -> None:
    doors = (opening("D1", 2000, 0, 1500, 2100), opening("V1", 3800, 2500, 1500, 1500))
    drawing = plan(pair(6000, 5000, on=(6000, 5000), openings=doors), 90, 36)
    rows = drawing.canvas.lines()
    base = next(row for row in reversed(rows) if "└" in row and "┘" in row)

    assert "D1" in text(drawing)
    assert "V1" in text(drawing)
    assert base.index("┘") < base.rindex("└"), (
        "the base line must stop at the door and go on after it"
    )


def test_what_is_to_be_filled_is_hatched() -> None:
    lower = panel(6000, 5000, mark="LOW", openings=(opening("V", 2000, 2000, 1500, 1500),))
    drawing = plan(setouts(lower, panel(6000, 5000, mark="UP"))[1], 80, 30)

    assert "╱╱╱" in text(drawing)
    assert "╱ to fill" in text(drawing)


def test_brackets_have_names_where_there_is_room() -> None:
    setout = pair(6000, 5000, on=(6300, 5000))
    labels = [bracket.label for bracket in setout.all_brackets()]
    drawing = text(plan(setout, 110, 44))

    assert all(label in drawing for label in labels)


def test_the_bracket_in_hand_has_an_arrow_and_its_numbers_in_words() -> None:
    setout = pair(5700, 5000, on=(6000, 5000))
    bracket = setout.brackets.right[1]
    drawing = plan(setout, 110, 36, Place(side="right", at=bracket.at, bracket="R2"))
    rows = drawing.canvas.lines()
    y = next(index for index, row in enumerate(rows) if "←R2" in row)

    assert "R2, 1500 mm up the right side: 300 mm in, bolt inner" in rows[0]
    assert any(ink == "highlight" and "R2" in chars for chars, ink in drawing.canvas.spans(y))


@pytest.mark.parametrize(
    ("corner", "arrow"), [("bl", "bl→"), ("br", "←br"), ("hr", "←hr"), ("hl", "hl→")]
)
def test_the_corner_in_hand_has_an_arrow(corner: Any, arrow: str) -> None:
    drawing = plan(pair(6000, 5000, on=(6000, 5000)), 60, 24, Place(corner=corner))
    rows = [y for y, row in enumerate(drawing.canvas.lines()) if arrow in row]

    assert len(rows) == 1
    assert (rows[0] > 12) == corner.startswith("b")


def test_a_click_finds_what_it_was_on() -> None:
    setout = pair(5700, 5000, on=(6000, 5000), openings=(opening("V", 2000, 2000, 1500, 1500),))
    drawing = plan(setout, 110, 36)
    rows = drawing.canvas.lines()
    y = next(index for index, row in enumerate(rows) if "R2" in row)
    x = rows[y].index("R2")
    door = next(index for index, row in enumerate(rows) if " V " in row)

    found = drawing.hits.at(x, y)
    hole = drawing.hits.at(rows[door].index("V"), door)

    assert found is not None
    assert found.bracket == "R2"
    assert hole is not None
    assert hole.name == "V"
    assert drawing.hits.at(0, 0) is None


PLACES = (
    None,
    Place(corner="hl"),
    Place(side="left"),
    Place(side="head", at=Decimal(500)),
    Place(side="base", at=Decimal(0), end=Decimal(99999)),
    Place(bracket="R1"),
    Place(bracket="none", side="left"),
    Place(x=Decimal(-5), y=Decimal(1000000)),
    Place(name=HOSTILE, x=Decimal(0), y=Decimal(0)),
    Place(side="right", name="edge", at=Decimal(1)),
)

SHAPES = ((12000, 300), (900, 12000), (150, 150), (7200, 8700))


@pytest.mark.parametrize("shape", SHAPES)
def test_no_shape_size_place_or_name_breaks_it(shape: tuple[int, int]) -> None:
    wide, high = shape
    upper = panel(
        wide,
        high,
        mark=HOSTILE,
        openings=(
            opening(HOSTILE, 0, 0, wide / 3, high / 3),
            opening("漢字", wide / 2, high / 2, wide / 2, high / 2),
        ),
        castins=(
            CastIn(name=HOSTILE, kind="lifter", x=mm(wide) / 3, y=mm(high) / 2),
            in_edge("edge", "right", high / 2),
        ),
    )
    lower = panel(
        wide + 100,
        high + 40,
        mark="\x1b[31m\u202e",
        openings=(opening("V", 0, 0, wide / 2, high / 2),),
    )

    for setout in setouts(lower, upper):
        for number, (width, height) in enumerate(
            (w, h)
            for w in (0, 1, 2, 7, 12, 13, 30, 42, 61, 120)
            for h in (0, 1, 4, 5, 7, 12, 18, 50)
        ):
            drawing = plan(setout, width, height, PLACES[number % len(PLACES)])
            assert all(cells(drawing.canvas.spans(y)) == width for y in range(height))
            assert "\x1b" not in text(drawing)
            assert "\u202e" not in text(drawing)


def test_a_strip_says_that_it_is_not_to_scale() -> None:
    drawing = plan(pair(12000, 300, on=(12000, 300)), 80, 24)

    assert drawing.scale is not None
    assert not drawing.scale.true
    assert "not to scale across" in text(drawing)


def test_the_first_panel_has_sides_without_offsets() -> None:
    drawing = plan(setouts(panel(6000, 5000, mark="FIRST"))[0], 80, 24)

    for side in ("base", "head", "left", "right"):
        assert side in text(drawing)
    assert "flush" not in text(drawing)


# Little room.


@pytest.mark.parametrize(("width", "height"), [(47, 8), (47, 11), (24, 10), (58, 7), (75, 14)])
def test_in_few_rows_the_panel_is_sketched_large(width: int, height: int) -> None:
    """The sides have their names, and the bracket in hand stands out in characters."""
    setout = pair(7200, 8700, on=(7500, 8900))
    for side in ("left", "right", "base", "head"):
        bracket = setout.brackets[side][1]
        place = Place(side=side, at=bracket.at, bracket=bracket.label)
        drawing = plan(setout, width, height, place)
        shown = drawing.canvas.lines()
        assert drawing.scale is not None
        assert drawing.scale.columns >= min(22, width - 12)
        assert sum("█" in row for row in shown) == 1
        arrow = {"left": "→", "right": "←", "base": "↓", "head": "↑"}[side]
        name = f"{bracket.label}{arrow}" if side == "left" else f"{arrow}{bracket.label}"
        assert name in "\n".join(shown)
        x, y = next((row.index("█"), n) for n, row in enumerate(shown) if "█" in row)
        assert drawing.hits.at(x, y) == place
        if width >= 40:
            for word in ("left", "right", "base", "head"):
                assert any(word in row for row in shown[1:]), (word, shown)


def test_of_a_sketch_it_is_said_that_it_is_none_to_measure_from() -> None:
    drawing = plan(pair(7200, 8700, on=(7500, 8900)), 47, 8)
    assert "not to scale" in text(drawing)
