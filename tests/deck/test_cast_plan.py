"""The drawing of a cast panel with its tape lines, as plain lines without an app."""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.deck.drawing.cast_plan import cast_plan
from pourdeck.deck.paint import cells, plain
from pourdeck.deck.views.cast import all_words, cast_rows, state_spans
from pourdeck.deck.widgets.row_list import place
from pourdeck.example import example_folder
from pourdeck.plan.ascast import AS_CAST_KEYS
from pourdeck.walk.ascast import CastSheet, cast_sheet
from pourdeck.walk.desk import Desk
from tests.deck.kit import HOSTILE_JOB
from tests.walk.kit import Clock, open_desk

JOBS = {
    "metric": lambda: (example_folder() / "job.toml").read_text(encoding="utf-8"),
    "imperial": lambda: (example_folder("mill-yard") / "job.toml").read_text(encoding="utf-8"),
    "hostile": lambda: HOSTILE_JOB,
}
ROOMS = ((34, 12), (34, 17), (60, 8), (66, 24), (110, 32))


@pytest.fixture(params=JOBS)
def desk(request: pytest.FixtureRequest, tmp_path: Path) -> Desk:
    return open_desk(tmp_path, JOBS[request.param](), Clock())


def sheets(desk: Desk) -> list[CastSheet]:
    stack = desk.job.stacks[0]
    return [cast_sheet(desk.walk(stack.id, number)) for number in (1, len(stack.panels))]


@pytest.mark.parametrize("room", ROOMS, ids=str)
def test_every_measurement_is_to_be_seen_when_it_is_in_hand(
    desk: Desk, room: tuple[int, int]
) -> None:
    """In square brackets, whatever the room; and what is not measured in round ones."""
    for sheet in sheets(desk):
        for key in AS_CAST_KEYS:
            drawing = cast_plan(sheet, *room, key)
            rows = drawing.canvas.lines()
            assert len(rows) == room[1]
            assert all(cells(drawing.canvas.spans(y)) == room[0] for y in range(room[1]))
            assert sum(row.count("[") - row.count("[ ]") for row in rows[1:]) == 1, "\n".join(rows)
            assert any("(" in row for row in rows)


@pytest.mark.parametrize("room", ROOMS, ids=str)
def test_every_tape_and_mark_has_a_place_to_click(desk: Desk, room: tuple[int, int]) -> None:
    """The corner heights too where there is room for them; else the thickness stands for the corner."""
    for sheet in sheets(desk):
        drawing = cast_plan(sheet, *room)
        found = {
            drawing.hits.at(x, y)
            for y in range(room[1])
            for x in range(room[0])
        }  # fmt: skip
        wanted = {key for key in AS_CAST_KEYS if not key.startswith("rl_")}
        assert wanted <= found


def test_what_is_too_small_for_a_drawing_has_the_words_alone(desk: Desk) -> None:
    (sheet, _) = sheets(desk)
    rows = cast_plan(sheet, 20, 6, "width_base").canvas.lines()
    assert rows[0].strip()
    assert not "".join(rows[1:]).strip()


def test_the_drawing_of_a_long_panel(tmp_path: Path) -> None:
    """A 3 × 9 m panel half measured, a width half typed."""
    text = HOSTILE_JOB[: HOSTILE_JOB.index("[[stack]]")] + (
        '[[stack]]\nid = "A"\nbed_rl = 1\n[[stack.panel]]\nmark = "L"\nwidth = 3000\nheight = 9000\n'
        "thickness = 150\n"
    )
    sheet = cast_sheet(open_desk(tmp_path, text).walk("A", 1), ("height_left", Decimal(9004)))
    shown = cast_plan(sheet, 34, 14, "width_head", "30").canvas.lines()
    assert [row.rstrip() for row in shown] == LONG


LONG = [
    "inside face up           head side",
    "   ○         head [30]        ○",
    "  ┌════════════════════════════┐",
    "○ │ · ·                   · ·  ┊ ○",
    "  │     · ·          (9486.8)  ┊",
    "  │       · ·       · ·        ┊",
    "  │9004       · · · ·    (9000)┊",
    "  │           · · · ·          ┊",
    "  │       · ·       · ·        ┊",
    "  │     · ·          (9486.8)  ┊",
    "○ │ · ·                   · ·  ┊ ○",
    "  └┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┄┘",
    "   ○        base (3000)       ○",
    "in mm",
]


@pytest.mark.parametrize("width", [24, 41, 57, 90])
def test_no_row_is_wider_than_the_list_and_all_are_there(desk: Desk, width: int) -> None:
    for sheet in sheets(desk):
        rows = cast_rows(sheet, width)
        assert [row.key for row in rows if row.key] == [one.key for one in sheet.lines]
        assert all(cells(one.spans) <= width for one in place(rows, width))
        words = " ".join(plain(row.left) + plain(row.right) for row in rows)
        assert words.count("assumed") == len(AS_CAST_KEYS)


def test_the_foot_says_there_is_more_where_it_does_not_fit(desk: Desk) -> None:
    (sheet, _) = sheets(desk)
    rows = state_spans(sheet, 58, 1)
    assert len(rows) == 1
    assert plain(rows[0]).endswith("w reads it all")
    assert cells(rows[0]) <= 58
    assert "will not show" in " ".join(plain(row) for row in all_words(sheet))
