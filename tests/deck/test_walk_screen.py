"""The walk on screen: answering, failing, correcting, locks, the second person, undo."""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.deck.choice_dialog import ChoiceDialog, DeckDialog
from pourdeck.deck.form import Form
from pourdeck.deck.screens.walk import WalkScreen
from pourdeck.deck.widgets.field import Field
from tests.deck import driver
from tests.deck.hands import Keys
from tests.deck.kit import page
from tests.deck.walk_kit import at_work, card, crew_at, in_lines, squeezed
from tests.walk.kit import CHECKER, FOREMAN, HAND, JOB, crew, on_second

ALONE = JOB.rpartition("[[stack.panel]]")[0]
"""The small job with its first panel only."""

KEYPAD = frozenset("0123456789.,") | {
    "enter",
    "up",
    "down",
    "left",
    "right",
    "backspace",
    "tab",
    "escape",
}


# Answers.


async def test_a_pass_goes_on_to_the_next_that_is_owed(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="drawing.face-up") as hands:
        await hands.press("1", "enter")
        assert one.item("drawing.face-up").own_state == "done"
        assert hands.stop.key == "drawing.mirrored"
        assert "Saved" in hands.app.said.title


async def test_a_failed_answer_stays_and_says_what_to_do(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    async with at_work(one, item="forms.from-line/base") as hands:
        await hands.press("1", "2", "enter")
        assert hands.stop.key == "forms.from-line/base"
        words = card(hands.app)
        assert "✗ failed 12 mm fail" in words
        assert "f Say what was done" in words
        assert "Enter Measure again" in words


async def test_measuring_again_asks_what_was_done_and_keeps_both(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    async with at_work(one, item="forms.from-line/base") as hands:
        await hands.press("1", "2", "enter")
        failed = one.item("forms.from-line/base").entry
        await hands.press("enter", "backspace", "backspace", "0", "enter")
        assert "What was done about it?" in page(hands.app)
        await hands.press(*"moved", "enter", "enter")
        entry = one.item("forms.from-line/base").entry
        assert failed is not None
        assert entry is not None
        assert (entry.data["replaces"], entry.data["why"]) == (failed.n, "moved")
        assert one.item("forms.from-line/base").own_state == "done"
        assert hands.stop.key == "forms.from-line/right"


async def test_a_correction_asks_why_and_esc_puts_the_old_answer_back(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    one.answer("forms.from-line/base", "1")
    before = len(one.desk.state.entries)
    async with at_work(one, item="forms.from-line/base") as hands:
        await hands.press("enter", "backspace", "2", "enter")
        assert "Why does it change?" in page(hands.app)
        await hands.press("escape")
        field = hands.screen.query_one("#measure", Field)
        assert (field.text, field.dirty) == ("1", False)
        assert len(one.desk.state.entries) == before


async def test_a_filled_field_needs_enter_before_it_changes(tmp_path: Path) -> None:
    """A brushed key destroys nothing."""
    one = crew_at(tmp_path, "forms")
    one.answer("forms.from-line/base", "1")
    async with at_work(one, item="forms.from-line/base") as hands:
        await hands.press("7")
        assert hands.screen.query_one("#measure", Field).text == "1"
        assert "Enter to change this" in page(hands.app)


async def test_not_saved_keeps_what_was_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pourdeck.sitelog.logfile import NotSaved

    one = crew_at(tmp_path, "forms")
    async with at_work(one, item="forms.from-line/base") as hands:

        def full(*_: object) -> None:
            raise NotSaved("the disk is full", "Make room and try again.")

        monkeypatch.setattr(one.desk, "record", full)
        await hands.press("1", "enter")
        assert "NOT SAVED" in hands.app.said.title
        assert hands.screen.query_one("#measure", Field).text == "1"
        assert hands.stop.key == "forms.from-line/base"


async def test_a_time_begins_as_now_and_takes_two_presses(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "pour")
    async with at_work(one, item="pour.start") as hands:
        assert "Enter begins with the time now" in card(hands.app)
        await hands.press("enter")
        field = hands.screen.query_one("#measure", Field)
        assert field.text == f"{one.clock.at:%H:%M}"
        assert one.item("pour.start").own_state == "open"
        await hands.press("enter")
        assert one.item("pour.start").own_state == "done"


async def test_a_time_of_yesterday_shows_its_day_and_is_refused_with_both_times(
    tmp_path: Path,
) -> None:
    one = crew_at(tmp_path, "finish")
    before = len(one.desk.state.entries)
    async with at_work(one, item="finish.cure-start") as hands:
        await hands.press(*"2350")
        assert "2350 is taken as Sun 01 Mar" in in_lines(hands.app, hands.screen)
        await hands.press("enter")
        assert "Cure start Sun 01 Mar 23:50 is before the end of the pour" in hands.app.said.title
    assert len(one.desk.state.entries) == before


async def test_an_odd_time_asks_why_and_is_marked(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "finish")
    one.clock.later(hours=5)
    async with at_work(one, item="finish.cure-start") as hands:
        await hands.press("enter", "enter")
        assert "is 5 h 1 min after the end of the pour" in in_lines(hands.app, hands.app.screen)
        before = len(one.desk.state.entries)
        await hands.press("escape")
        assert len(one.desk.state.entries) == before
        await hands.press("enter", "enter", *"rain", "enter", "enter")
    (entry,) = one.walk.record.answers["finish.cure-start"]
    assert (entry.data["doubted"], entry.data["why"]) == (True, "rain")


# What cannot be done, and why.


async def test_every_locked_stop_refuses_and_says_what_would_allow_it(tmp_path: Path) -> None:
    """Whatever is tried on a locked item, nothing is written."""
    one = crew(tmp_path)
    before = len(one.desk.state.entries)
    async with at_work(one) as hands:
        locked = [stop for stop in hands.screen.every if stop.locked]
        assert len(locked) > 50
        for stop in locked:
            hands.screen.stand_at(stop)
            hands.screen.action_take()
            assert not isinstance(hands.app.screen, Form), stop.key
            if stop.kind != "complete":
                assert hands.app.said.kind == "refused", stop.key
                said = f"{hands.app.said.title} {hands.app.said.body}"
                assert "Drawings and plan" in said, stop.key
            await driver.settle(hands.app)
            assert "locked" in card(hands.app), stop.key
            assert "Still missing" in card(hands.app), stop.key
        assert len(one.desk.state.entries) == before


@pytest.mark.parametrize("key", ["enter", "1", "7"])
async def test_a_key_on_a_locked_item_is_refused_aloud(tmp_path: Path, key: str) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="strip.bed-flat") as hands:
        await hands.press(key)
        assert hands.app.said.kind == "refused"
        assert "locked" in hands.app.said.title
        assert "Drawings and plan" in hands.app.said.body


async def test_from_a_locked_item_one_key_goes_to_what_is_owed(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="strip.bed-flat") as hands:
        await hands.press("g")
        assert hands.stop.key == "drawing.mark"


async def test_a_panel_that_waits_says_until_when(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.cast()
    one.number = 2
    async with at_work(one) as hands:
        hands.screen.action_take()
        await hands.settle()
        assert "may be formed from" in card(hands.app)
        assert "may be formed from" in hands.app.said.body


async def test_a_stray_character_is_said_to_do_nothing(tmp_path: Path) -> None:
    """No key is swallowed silently."""
    one = crew(tmp_path)
    async with at_work(one, item="drawing.face-up") as hands:
        await hands.press("ß")
        assert hands.app.said.title == "ß does nothing here"


# The second person.


async def test_what_a_second_person_reads_is_not_shown_before(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="drawing.width") as hands:
        assert "3000" not in card(hands.app)
        assert "second person" in card(hands.app)
        await hands.press("f8")
        assert "3000" not in page(hands.app)
        await hands.press("w")
        assert "3000" not in page(hands.app)
        await hands.press("escape")
        await hands.press(*"3000", "enter")
        await hands.pick(HAND)
        assert one.item("drawing.width").by == HAND
        await hands.press("up")
        assert "expected 3000 mm" in card(hands.app)


async def test_who_did_the_rest_is_refused_as_second_person(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.pass_item("drawing.mark")
    async with at_work(one, item="drawing.width") as hands:
        await hands.press(*"3000", "enter")
        await hands.pick(FOREMAN)
        assert hands.app.said.kind == "refused"
        assert "second person" in hands.app.said.body
        assert one.item("drawing.width").own_state == "open"


async def test_what_was_read_before_a_size_change_is_read_again_blind(tmp_path: Path) -> None:
    one = on_second(tmp_path)
    one.pass_section("drawing")
    change = one.desk.resize("A", 2, width=Decimal(2900))
    one.do(one.desk.revise(change, by=FOREMAN, reason="revised"))  # type: ignore[arg-type]
    async with at_work(one, item="drawing.width") as hands:
        words = card(hands.app)
        assert "asked again" in words
        assert "2900" not in words
        assert hands.screen.query_one("#measure", Field).text == ""
        await hands.press(*"2900", "enter")
        await hands.pick(HAND)
        assert one.item("drawing.width").own_state == "done"


async def test_a_void_answer_says_what_moved_and_asks_no_reason(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms", number=2)
    one.pass_item("forms.between/base")
    change = one.desk.resize("A", 2, width=Decimal(2900))
    one.do(one.desk.revise(change, by=FOREMAN, reason="revised"))  # type: ignore[arg-type]
    item = one.item("forms.between/base")
    assert item.own_state == "void"
    async with at_work(one, item=item.key) as hands:
        words = card(hands.app)
        assert "! asked again" in words
        assert "3000 mm was expected when it was answered, now 2900 mm is" in words


# Holds.


async def test_twenty_presses_do_not_release(tmp_path: Path) -> None:
    """Neither Enter nor Space nor y, however often."""
    one = crew(tmp_path)
    one.pass_section("drawing")
    async with at_work(one, item="hold:drawing") as hands:
        for key in ("enter", "space", "y"):
            await hands.press("h")
            for _ in range(20):
                await hands.press(key)
            while not isinstance(hands.app.screen, WalkScreen):
                await hands.press("escape")
        assert one.walk.hold("drawing").state == "open"  # type: ignore[union-attr]


async def test_a_hold_is_released_by_name_and_what_was_seen(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.pass_section("drawing")
    async with at_work(one, item="hold:drawing") as hands:
        await hands.release(by="cy hart", seen="sizes read out")
        hold = one.walk.hold("drawing")
        assert hold is not None
        assert (hold.state, hold.by, hold.seen) == ("released", CHECKER, "sizes read out")
        assert hands.stop.section.id == "strip"


@pytest.mark.parametrize(
    ("by", "why"), [("ada reed", "did work that"), ("ci hart", "Did you mean Cy Hart?")]
)
async def test_the_wrong_name_does_not_release(tmp_path: Path, by: str, why: str) -> None:
    one = crew(tmp_path)
    one.pass_section("drawing")
    async with at_work(one, item="hold:drawing") as hands:
        await hands.release(by=by, seen="sizes")
        assert why in page(hands.app) or why in f"{hands.app.said.title} {hands.app.said.body}"
        assert one.walk.hold("drawing").state == "open"  # type: ignore[union-attr]


async def test_a_hold_that_lacks_something_says_it_before_a_name_is_asked(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="hold:drawing") as hands:
        assert "missing Panel and drawing: 8 items open" in card(hands.app)
        await hands.press("h")
        assert isinstance(hands.app.screen, WalkScreen)
        assert "Still missing" in hands.app.said.body


async def test_passing_unreleased_stays_in_sight_until_it_is_closed(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.pass_section("drawing")
    async with at_work(one, item="hold:drawing") as hands:
        await hands.press("x", *["enter"] * 6)
        assert one.walk.nonconformances == (), "Enter alone passes nothing"
        await hands.press("escape", "x", *"ch", "enter", "enter")
        await hands.press(*"nobody here", "enter", "enter")
        assert hands.stop.section.id == "strip"
        assert "unreleased 1" in page(hands.app)
        hands.app.go("walk", item="hold:drawing")
        await hands.settle()
        assert "passed without release by Cy Hart" in card(hands.app)
        await hands.press("f", *"ar", "enter", "enter", *"looked since", "enter", "enter")
        assert "unreleased 1" not in page(hands.app)
        assert [one.closed is not None for one in one.walk.nonconformances] == [True]


async def test_the_cautions_stand_at_the_start_of_a_section_and_on_its_hold(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "strip")
    async with at_work(one, item="strip.agent") as hands:
        caution = squeezed("Caution: Edges of the stack and of the bed are open")
        assert caution in squeezed(card(hands.app))
        await hands.press("down")
        assert caution not in squeezed(card(hands.app))
        hands.app.go("walk", item="hold:as-cast-below")
        await hands.settle()
        assert caution in squeezed(card(hands.app))
        one.pass_section("strip")
        hands.app.refresh_screen()
        await hands.settle()
        await hands.press("h")
        assert caution in squeezed(page(hands.app))


async def test_a_panel_is_closed_only_when_it_is_said_twice(tmp_path: Path) -> None:
    """Ask before what cannot be undone, with the panel in the question, the safe choice first."""
    one = crew_at(tmp_path, "close")
    one.clock.later(hours=12)
    one.pass_section("close")
    async with at_work(one, item="complete:close") as hands:
        for _ in range(20):
            await hands.press("enter")
        while not isinstance(hands.app.screen, WalkScreen):
            await hands.press("escape")
        assert one.desk.panel_state("A", 1) == "curing"
        await hands.press("enter")
        assert "Close it: P1, panel 1 of 2" in page(hands.app)
        await hands.fill(hands.app.screen, by="bc")
        await hands.press_button("do")
        assert "Ben Cole may not close a panel" in page(hands.app)
        await hands.fill(hands.app.screen, by="ar")
        await hands.press_button("do")
        assert one.desk.panel_state("A", 1) == "cast"


# Undo.


async def test_undo_goes_to_what_it_undid_and_redo_brings_it_back(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="drawing.face-up") as hands:
        await hands.press("1", "enter")
        assert hands.stop.key == "drawing.mirrored"
        await hands.press("u")
        assert hands.stop.key == "drawing.face-up"
        assert one.item("drawing.face-up").own_state == "open"
        await hands.press("r")
        assert one.item("drawing.face-up").own_state == "done"
        assert [entry.kind for entry in one.desk.state.entries][-3:] == ["answer", "undo", "undo"]


# One hand on a keypad.


class KeypadOnly(Keys):
    """Figures, mark, Enter, arrows, Backspace, Tab and Esc: a keypad and one hand."""

    async def press(self, *keys: str) -> None:
        assert set(keys) <= KEYPAD, keys
        await super().press(*keys)

    async def act(self, action_id: str) -> None:
        await self.press("tab")
        assert isinstance(self.app.screen, ChoiceDialog)
        await self.pick(action_id)


async def test_a_keypad_alone_will_do(tmp_path: Path) -> None:
    """Open, next, type, choose, accept, defer, note, undo with one hand."""
    one = crew_at(tmp_path, "forms")
    async with at_work(one, KeypadOnly) as hands:
        hands.app.go("board")
        await hands.settle()
        await hands.open_panel()
        assert hands.stop.key == "forms.run/base"
        await hands.press("3", "enter")
        await hands.press("down", "up")
        await hands.act("defer")
        await hands.press("down", "right", "enter", "enter", "enter", "enter")
        deferred = [item for item in one.walk.items() if item.own_state == "deferred"]
        assert [(item.reason, item.owner) for item in deferred] == [("waits for people", FOREMAN)]
        await hands.act("note")
        await hands.press("down", "enter", "enter")
        assert one.desk.state.last.data["text"] == "photo taken"  # type: ignore[union-attr]
        hands.app.go("walk", item="forms.line/base")
        await hands.settle()
        await hands.press("1", "enter")
        assert one.item("forms.line/base").own_state == "done"
        await hands.act("undo")
        assert one.item("forms.line/base").own_state == "open"


# What else the screen says.


async def test_letters_are_promised_only_where_they_are_keys(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "surface")
    async with at_work(one, item="surface.product") as hands:
        assert "Typing text." in card(hands.app)
        assert "d Defer" not in page(hands.app)
        await hands.press("d")
        assert hands.screen.query_one(Field).text == "d"
        await hands.press("escape", "escape")
        assert "d Defer" in page(hands.app)
        await hands.press("d")
        assert isinstance(hands.app.screen, Form)
        await hands.press("escape", "enter", "d")
        assert hands.screen.query_one(Field).text == "d"
        assert "d Defer" not in page(hands.app)


async def test_the_list_of_what_else_has_every_action_of_the_walk(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="drawing.face-up") as hands:
        await hands.press("tab")
        keys = {row.key for row in hands.dialog.rows}
        assert {
            "defer",
            "not-applicable",
            "note",
            "undo",
            "redo",
            "release",
            "go-board",
            "leave",
        } <= keys


async def test_not_applicable_is_recorded_with_its_reason(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="drawing.base-end") as hands:
        await hands.press("n", *"no mark", "enter", "enter")
        item = one.item("drawing.base-end")
        assert (item.own_state, item.reason) == ("n/a", "no mark")


async def test_a_note_to_the_panel_where_no_item_is_in_hand(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="hold:drawing") as hands:
        await hands.press("m", *"wet", "enter", "enter")
        last = one.desk.state.last
        assert last is not None
        assert (last.kind, last.data["item"], last.data["text"]) == ("note", None, "wet")


async def test_all_there_is_to_read_has_every_answer_so_far(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    one.answer("forms.from-line/base", "12")
    one.answer("forms.from-line/base", "1", why="moved it")
    async with at_work(one, item="forms.from-line/base", size=(120, 40)) as hands:
        await hands.press("w")
        words = squeezed(page(hands.app))
        assert squeezed("12 mm, fail") in words
        assert squeezed("1 mm, pass, moved it") in words


async def test_a_closed_panel_takes_no_more_answers_and_leads_to_its_lift(tmp_path: Path) -> None:
    one = crew(tmp_path, ALONE)
    one.cast()
    async with at_work(one) as hands:
        assert hands.stop.key == "complete:close"
        assert "record/A-1-P1.toml" in card(hands.app)
        hands.app.go("walk", item="finish.screed")
        await hands.settle()
        await hands.press("2", "enter", *"why", "enter", "enter")
        assert "is closed" in hands.app.said.title
        hands.app.go("walk", item="complete:close")
        await hands.settle()
        assert "To its lift" in card(hands.app) or "To its lift" in page(hands.app)
        before = hands.entries
        await hands.press("k", "enter")
        await hands.settle()
        assert (hands.app.here.screen, hands.entries) == ("lift", before)


async def test_the_same_answer_again_is_unchanged_and_records_nothing(tmp_path: Path) -> None:
    one = crew(tmp_path)
    for item in one.walk.items()[:6]:
        one.pass_item(item.key)
    kinds = {item.kind for item in one.walk.items()[:6]}
    assert {"text", "choice"} <= kinds
    for item in one.walk.items()[:6]:
        before = len(one.desk.state.entries)
        found = item.found
        async with at_work(one, item=item.key) as hands:
            await hands.press("enter", "enter")
            assert "Unchanged, nothing recorded" in page(hands.app), item.key
            assert not isinstance(hands.app.screen, DeckDialog)
        assert len(one.desk.state.entries) == before
        assert one.item(item.key).found == found
