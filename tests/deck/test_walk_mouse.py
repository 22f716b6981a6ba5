"""The walk by mouse alone where there is little room: pads come with the mouse and go with a key."""

from pathlib import Path

import pytest

from pourdeck.deck.widgets.bar import ActionBar, Boxes
from pourdeck.deck.widgets.choice import BOUNCE, Choice
from pourdeck.deck.widgets.field import STEP_DOWN, STEP_UP, Field
from pourdeck.deck.widgets.pad import Keypad, LetterPad, Pad
from pourdeck.deck.widgets.prose import PlanView
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk.records import Place
from tests.campaign import windows
from tests.deck import driver
from tests.deck.hands import Clicks
from tests.deck.walk_kit import at_work, card, crew_at
from tests.walk.kit import FOREMAN, HAND, crew

SMALL = ((60, 20), (80, 24))


def shown(hands: Clicks) -> list[type[Pad]]:
    return [type(pad) for pad in hands.app.screen.query(Pad) if pad.display]


async def take_mouse(hands: Clicks) -> None:
    """A click that does nothing but show that there is a mouse."""
    await driver.click_at(hands.app, 2, 0)


@pytest.mark.parametrize("size", SMALL)
async def test_pads_come_with_the_mouse_and_go_with_a_key(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    one = crew_at(tmp_path, "forms")
    async with at_work(one, Clicks, size=size, item="forms.from-line/base") as hands:
        assert shown(hands) == []
        await take_mouse(hands)
        assert shown(hands) == [Keypad]
        await driver.press(hands.app, "down")
        assert shown(hands) == []


async def test_where_there_is_room_the_pad_is_always_there(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, Clicks, size=(120, 40), item="drawing.mark") as hands:
        assert shown(hands) == [LetterPad]
        hands.app.go("walk", item="drawing.width")
        await hands.settle()
        assert shown(hands) == [Keypad]
        hands.app.go("walk", item="drawing.face-up")
        await hands.settle()
        assert shown(hands) == []


@pytest.mark.parametrize("size", SMALL)
@pytest.mark.parametrize(
    "key",
    ["drawing.mark", "drawing.face-up", "drawing.width", "forms.from-line/base", "forms.run/base"],
)
async def test_every_kind_of_item_can_be_answered(
    tmp_path: Path, size: tuple[int, int], key: str
) -> None:
    one = crew(tmp_path)
    if key.startswith("forms"):
        one.go_to("forms")
    async with at_work(one, Clicks, size=size, item=key) as hands:
        await take_mouse(hands)
        await hands.answer()
        item = one.item(key)
        assert (item.own_state, item.by) == ("done", HAND if item.second else FOREMAN)


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([*SMALL, (120, 40)]))
async def test_reasons_can_be_written_and_picked(tmp_path: Path, size: tuple[int, int]) -> None:
    one = crew(tmp_path)
    async with at_work(one, Clicks, size=size, item="drawing.base-end") as hands:
        await take_mouse(hands)
        await hands.act("defer")
        await hands.fill(hands.dialog, reason="No.1-b")
        await hands.press_button("do")
        item = one.item("drawing.base-end")
        assert (item.own_state, item.reason, item.owner) == ("deferred", "No.1-b", FOREMAN)


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([*SMALL, (120, 40)]))
async def test_a_hold_can_be_released(tmp_path: Path, size: tuple[int, int]) -> None:
    one = crew(tmp_path)
    one.pass_section("drawing")
    async with at_work(one, Clicks, size=size, item="hold:drawing") as hands:
        await take_mouse(hands)
        await hands.release(by="ch", seen="ok")
        assert one.walk.hold("drawing").state == "released"  # type: ignore[union-attr]


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows([*SMALL, (120, 40)]))
async def test_every_action_of_the_walk_has_a_place_to_click(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """In the bar, in a box of the card, or in the list that the bar opens."""
    one = crew(tmp_path)
    async with at_work(one, Clicks, size=size, item="drawing.face-up") as hands:
        bar = hands.app.screen.query_one(ActionBar)
        in_bar = {chip.chip.action for chip in bar.laid(bar.content_size.width)}
        assert "more" in in_bar
        await hands.act("more")
        listed = {row.key for row in hands.dialog.query_one(RowList).rows}
        wanted = {"defer", "not-applicable", "note", "undo", "redo", "release", "read-all", "next-owed",
                  "pass-unreleased", "go-board", "go-setout", "go-resize", "go-log", "owed", "person",
                  "look", "leave"}  # fmt: skip
        assert wanted <= listed | in_bar


async def test_targets_that_commit_are_large_enough_for_gloves(tmp_path: Path) -> None:
    """For gloves: three rows by twelve columns where there is room."""
    one = crew(tmp_path)
    one.pass_section("drawing")
    async with at_work(one, Clicks, size=(120, 40), item="drawing.mark") as hands:
        take = hands.app.screen.query_one(LetterPad).buttons[-1]
        assert (take.height, take.width >= 12) == (3, True)
        hands.app.go("walk", item="drawing.face-up")
        await hands.settle()
        choice = hands.app.screen.query_one("#choice", Choice)
        assert choice.rows_each == 3
        assert choice.box >= 12
        hands.app.go("walk", item="hold:drawing")
        await hands.settle()
        boxes = hands.app.screen.query_one(Boxes)
        assert boxes.size.height == 3
        laid = boxes.laid(boxes.content_size.width)
        assert all(one.end - one.start >= 12 for one in laid)
        assert laid[1].start - laid[0].end >= 2


async def test_a_double_tap_marks_a_choice_and_does_not_take_it(tmp_path: Path) -> None:
    """Count what comes again at once as the same press."""
    one = crew(tmp_path)
    async with at_work(one, Clicks, item="drawing.face-up") as hands:
        field = hands.app.screen.query_one("#choice", Choice)
        now = [100.0]
        field._clock = lambda: now[0]
        await hands.click(field, 6, 0)
        now[0] += BOUNCE / 2
        await hands.click(field, 6, 0)
        assert one.item("drawing.face-up").own_state == "open"
        now[0] += BOUNCE
        await hands.click(field, 6, 0)
        assert one.item("drawing.face-up").own_state == "done"


async def test_a_click_in_the_drawing_takes_the_bracket_in_hand(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms", number=2)
    async with at_work(one, Clicks, size=(120, 40), item="forms.run/base") as hands:
        plan = hands.app.screen.query_one(PlanView)
        drawing = plan.drawing
        assert drawing is not None
        wanted = one.walk.setout.brackets.right[1]
        at = next(
            (x, y)
            for y in range(plan.content_size.height)
            for x in range(plan.content_size.width)
            if (place := drawing.hits.at(x, y)) and place.bracket == wanted.label
        )
        await hands.click(plan, *at)
        assert hands.stop.key == f"forms.offset/right-{wanted.number}"


async def test_a_click_in_the_drawing_stays_in_the_section_at_hand(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms", number=2)
    wanted = one.walk.setout.brackets.right[1]
    for section in ("brackets", "forms"):
        start = next(item for item in one.walk.items() if item.section == section)
        async with at_work(one, Clicks, size=(120, 40), item=start.key) as hands:
            hands.app.screen.query_one(PlanView).post_message(
                PlanView.Picked(
                    hands.app.screen.query_one(PlanView),
                    Place(side="right", at=wanted.at, bracket=wanted.label),
                )
            )
            await hands.settle()
            assert hands.stop.section.id == section
            assert hands.stop.item is not None
            assert hands.stop.item.label == wanted.label


async def test_the_pad_steps_what_was_typed_and_no_blank_field(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    async with at_work(one, Clicks, size=(120, 40), item="forms.between/base") as hands:
        field = hands.app.screen.query_one("#measure", Field)
        await hands.pad(STEP_UP)
        assert field.text == ""
        assert "type the figure first" in card(hands.app)
        await hands.write("3000")
        await hands.pad(STEP_DOWN)
        assert field.text == "2999"
