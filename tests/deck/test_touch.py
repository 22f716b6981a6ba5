"""A gloved finger at 120 by 40: times, names, words for who has no Enter key, and places large enough."""

import itertools
from pathlib import Path

import pytest

from pourdeck.deck.choice_dialog import ChoiceDialog, DeckDialog, VerbButton
from pourdeck.deck.form import Form
from pourdeck.deck.widgets.choice import Choice, ReadyWords
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.frame import TabBar, TitleLine
from pourdeck.deck.widgets.pad import Keypad, keys_for
from pourdeck.deck.widgets.row_list import RowList
from tests.deck import driver
from tests.deck.hands import Clicks
from tests.deck.kit import make_deck, page
from tests.deck.walk_kit import at_work, card, crew_at
from tests.walk.kit import FOREMAN, crew

ROOMY = (120, 40)
GLOVE = 12
"""Columns of a place to click, for gloves; the limit is ours."""


async def take_mouse(hands: Clicks) -> None:
    await driver.click_at(hands.app, 2, 0)


# Times.


async def test_a_time_is_now_with_one_button(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "pour")
    async with at_work(one, Clicks, size=ROOMY, item="pour.start") as hands:
        await hands.pad("now")
        assert one.item("pour.start").own_state == "open"
        field = hands.app.screen.query_one("#measure", Field)
        assert field.text == f"{one.desk.now():%H:%M}"
        await hands.pad("enter")
        assert one.item("pour.start").own_state == "done"


@pytest.mark.parametrize("earlier", ["%H%M", "%H.%M", "%H:%M"])
async def test_a_time_is_typed_in_four_figures_or_with_a_mark(tmp_path: Path, earlier: str) -> None:
    one = crew_at(tmp_path, "pour")
    at = one.desk.now().replace(second=0)
    async with at_work(one, Clicks, size=ROOMY, item="pour.start") as hands:
        assert "18:30, 18.30 or 1830" in card(hands.app)
        text = at.strftime(earlier)
        if "." in text:
            await driver.press(hands.app, *text)
            await take_mouse(hands)
        else:
            for key in text:
                await hands.pad(key)
        await hands.pad("enter")
        found = one.item("pour.start")
        assert found.own_state == "done"
        assert str(found.found).startswith(f"{at:%Y-%m-%dT%H:%M}")


def test_the_pad_for_times_has_figures_a_colon_and_now() -> None:
    keys = {button.key for button in keys_for("time", "metric", signed=False)}
    assert set("0123456789:") | {"now", "backspace", "escape"} == keys


# What is wanted.


@pytest.mark.parametrize(
    ("section", "item"), [("forms", "forms.from-line/base"), ("pour", "pour.start")]
)
async def test_record_on_an_empty_field_says_what_is_wanted(
    tmp_path: Path, section: str, item: str
) -> None:
    one = crew_at(tmp_path, section)
    async with at_work(one, Clicks, size=ROOMY, item=item) as hands:
        before = len(one.desk.state.entries)
        for _ in range(2):
            await hands.pad("enter")
            shown = card(hands.app)
            assert "Nothing recorded" in shown or "Hours and minutes" in shown
        assert len(one.desk.state.entries) == before


async def test_for_the_mouse_the_words_name_buttons_and_for_keys_keys(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    one.pass_item("forms.from-line/base")
    async with at_work(one, Clicks, size=ROOMY, item="forms.from-line/base") as hands:
        assert "Enter to change this" in card(hands.app)
        await take_mouse(hands)
        assert "Click the field to change this" in card(hands.app)
        assert "Enter to change" not in card(hands.app)
        await driver.press(hands.app, "up", "down")
        assert "Enter to change this" in card(hands.app)


async def test_a_choice_says_what_a_click_does(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, Clicks, size=ROOMY, item="drawing.face-up") as hands:
        await take_mouse(hands)
        assert "A click marks what you see" in card(hands.app)
        field = hands.app.screen.query_one("#choice", Choice)
        await hands.click(field, 6, 1)
        assert "A second click records it" in card(hands.app)


# Names.


async def test_who_is_asked_for_is_one_of_the_people_to_pick(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "ready")
    async with at_work(one, Clicks, size=ROOMY, item="ready.watcher") as hands:
        people = hands.app.screen.query_one("#people", ReadyWords)
        assert people.display
        row, laid = next(
            (row, laid)
            for row, laid in people.laid(people.content_size.width)
            if people.phrases[int(laid.chip.action or 0)] == FOREMAN
        )
        await hands.click(people, laid.start + 1, row)
        field = hands.app.screen.query_one("#measure", Field)
        assert (field.text, one.item("ready.watcher").own_state) == (FOREMAN, "open")
        await hands.pad("enter")
        assert one.item("ready.watcher").found == FOREMAN


async def test_other_words_are_not_offered_names(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, Clicks, size=ROOMY, item="drawing.mark") as hands:
        assert not hands.app.screen.query_one("#people", ReadyWords).display


# Places to click.


async def test_tabs_counts_and_names_are_as_wide_as_a_glove(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=ROOMY):
        tabs = app.screen.query_one(TabBar)
        tabs.show_counts(deferred=2, failed=1, passed=1)
        for bar in (tabs, app.screen.query_one(TitleLine)):
            for one in bar.laid(120):
                if one.chip.action not in (None, "owed"):
                    assert one.end - one.start >= GLOVE, one.chip.action
        owed = [one for one in tabs.laid(120) if one.chip.action == "owed"]
        assert sum(one.end - one.start for one in owed) >= GLOVE


async def test_names_in_a_dialog_stand_two_rows_apart_and_pickers_have_boxes(
    tmp_path: Path,
) -> None:
    one = crew(tmp_path)
    async with at_work(one, Clicks, size=ROOMY, item="drawing.face-up") as hands:
        await hands.act("person")
        rows = hands.dialog.query_one(RowList)
        firsts = [number for number, placed in enumerate(rows.lines) if placed.first]
        assert all(after - before >= 2 for before, after in itertools.pairwise(firsts))
        await driver.press(hands.app, "escape")
        await hands.act("defer")
        picker = hands.dialog.query_one("#ask-owner", Choice)
        assert (picker.size.height, picker.end) == (3, GLOVE)
        first = picker.value
        await hands.click(picker, picker.end + picker.middle + 3, 0)
        assert picker.value != first
        await hands.click(picker, 1, 2)
        assert picker.value == first


async def test_everything_of_a_dialog_fits(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, Clicks, size=ROOMY, item="drawing.face-up") as hands:
        await hands.act("defer")
        dialog = hands.dialog
        for button in dialog.query(VerbButton):
            assert dialog.region.contains_region(button.region)


def test_in_every_dialog_the_way_out_comes_first() -> None:
    for kind in (Form, ChoiceDialog, Form, Form):
        assert kind.compose_buttons is DeckDialog.compose_buttons


async def test_a_click_over_a_size_opens_its_field(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=ROOMY):
        app.go("resize", stack="A", panel=2)
        await driver.settle(app)
        field = app.screen.query_one("#new-height", Field)
        for y in (field.region.y - 1, field.region.y, field.region.bottom - 1):
            app.screen.query_one("#new-width", Field).focus()
            field.press("escape")
            await driver.click_at(app, field.region.x + 12, y)
            assert field.has_focus, y
            assert field.typing, y


async def test_the_pad_goes_from_size_to_size_and_says_so(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=ROOMY):
        app.go("resize", stack="A", panel=2)
        await driver.settle(app)
        pad = app.screen.query_one(Keypad)
        assert "Next size" in page(app)
        take = pad.buttons[-1]
        for name in ("height", "thickness"):
            await driver.click(app, pad, take.x + 2, take.y + 2)
            assert app.screen.query_one(f"#new-{name}", Field).has_focus


async def test_one_click_shows_how_a_panel_lies_and_records_nothing(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=ROOMY):
        app.go("resize", stack="A", panel=2)
        await driver.settle(app)
        ways = app.screen.query_one("#ways", RowList)
        at = next(n for n, one in enumerate(ways.lines) if ways.rows[one.row].key == "head-right")
        await driver.click(app, ways, 4, at - ways.top)
        assert "Shown as it lies head-right" in page(app)
        assert not app.desk.state.entries
