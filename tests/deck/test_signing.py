"""Who is there: asked again after hours, added on site, and signing with a PIN."""

from pathlib import Path

import pytest

from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.form import Form
from pourdeck.deck.widgets.field import Field
from pourdeck.walk.authority import set_pin
from tests.deck.hands import Clicks, Hands, Keys
from tests.deck.kit import page
from tests.deck.walk_kit import at_work, crew_at
from tests.walk.kit import CHECKER, FOREMAN, Crew, crew

SALT = bytes(16)


def with_pin(folder: Path, name: str = CHECKER) -> Crew:
    """A crew at the end of its first section, and somebody who signs with 4711."""
    one = crew(folder)
    one.pass_section("drawing")
    one.do(set_pin(one.desk.job, name, "4711", "4711", SALT))
    return one


@pytest.mark.parametrize(("hours", "asked"), [(3.9, False), (4.1, True)])
async def test_after_four_hours_the_deck_asks_who_is_there_now(
    tmp_path: Path, hours: float, asked: bool
) -> None:
    one = crew_at(tmp_path, "forms")
    async with at_work(one, item="forms.from-line/base") as hands:
        one.clock.later(hours=hours)
        before = len(one.desk.state.entries)
        await hands.press(*"1", "enter")
        assert isinstance(hands.app.screen, ChoiceDialog) is asked
        assert ("Who is there now?" in page(hands.app)) is asked
        if asked:
            await hands.press("enter")
            assert len(one.desk.state.entries) == before, "nobody is marked"
            await hands.press("down", "down", "enter")
        entry = one.desk.state.last
        assert entry is not None
        assert entry.by == ("Ben Cole" if asked else FOREMAN)


async def test_another_day_asks_too(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms")
    one.clock.at = one.clock.at.replace(hour=23, minute=50)
    async with at_work(one, item="forms.from-line/base") as hands:
        one.clock.later(minutes=20)
        await hands.press(*"1", "enter")
        assert "Who is there now?" in page(hands.app)


@pytest.mark.parametrize("hands_of", [Keys, Clicks])
async def test_a_hand_is_added_and_signed_in(tmp_path: Path, hands_of: type[Hands]) -> None:
    one = crew(tmp_path)
    async with at_work(one, hands_of, size=(120, 40), item="drawing.face-up") as hands:
        await hands.act("person")
        await hands.pick("add")
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        await hands.fill(dialog, name="Ned Ash", by="ar")
        await hands.press_button("do")
        entry = one.desk.state.last
        assert entry is not None
        assert (entry.kind, entry.by, entry.data["role"]) == ("person", FOREMAN, "hand")
        assert hands.app.by == "Ned Ash"
        assert [each.name for each in one.desk.job.people][-1] == "Ned Ash"


async def test_a_pin_is_set_typed_twice_and_never_shown(tmp_path: Path) -> None:
    one = crew(tmp_path)
    async with at_work(one, item="drawing.face-up") as hands:
        await hands.act("person")
        await hands.pick("pin")
        await hands.fill(hands.dialog, by="ch", new="4711", again="4712")
        assert "4711" not in page(hands.app)
        await hands.press_button("do")
        assert not one.desk.job.people[2].pin
        await hands.fill(hands.dialog, new="4711", again="4711")
        await hands.press_button("do")
        entry = one.desk.state.last
        assert entry is not None
        assert entry.kind == "pin"
        assert "4711" not in str(entry.data)
        assert one.desk.job.people[2].pin
        assert "4711" not in str(hands.app.kept.texts)


async def test_who_has_a_pin_signs_with_it_and_three_wrong_ones_wait(tmp_path: Path) -> None:
    one = with_pin(tmp_path)
    async with at_work(one, item="hold:drawing") as hands:
        await hands.act("release")
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        await hands.fill(dialog, by="ch", seen="all read")
        await hands.press_button("do")
        assert "PIN: nothing written yet" in page(hands.app)
        for _ in range(3):
            await hands.fill(dialog, pin="1234")
            await hands.press_button("do")
        assert not one.walk.record.releases
        await hands.fill(dialog, pin="4711")
        await hands.press_button("do")
        assert "wrong PINs" in page(hands.app)
        assert not one.walk.record.releases


async def test_the_right_pin_releases(tmp_path: Path) -> None:
    one = with_pin(tmp_path)
    async with at_work(one, item="hold:drawing") as hands:
        await hands.act("release")
        await hands.fill(hands.dialog, by="ch", pin="4711", seen="all read")
        await hands.press_button("do")
        (given,) = one.walk.record.releases["drawing"]
        assert given.data["word"] == {"of": CHECKER, "role": "supervisor", "way": "here"}
        assert given.data["signed_in"] == FOREMAN
        assert "4711" not in str(given.data)


async def test_a_release_in_writing_needs_its_document_and_who_took_it_down(
    tmp_path: Path,
) -> None:
    one = crew(tmp_path)
    one.pass_section("drawing")
    async with at_work(one, item="hold:drawing") as hands:
        await hands.act("release")
        dialog = hands.dialog
        await hands.fill(dialog, by="ch", seen="all read")
        dialog.query_one("#ask-way").action_step(1)  # type: ignore[attr-defined]
        await hands.settle()
        await hands.press_button("do")
        assert "nothing written yet" in page(hands.app)
        await hands.fill(dialog, reference="mail 12", at="0550")
        await hands.press_button("do")
        (given,) = one.walk.record.releases["drawing"]
        word = given.data["word"]
        assert (word["way"], word["reference"], word["taken_by"]) == ("writing", "mail 12", FOREMAN)


async def test_a_wrong_pin_is_typed_again_in_its_own_field(tmp_path: Path) -> None:
    one = with_pin(tmp_path)
    async with at_work(one, item="hold:drawing") as hands:
        await hands.act("release")
        dialog = hands.app.screen
        assert isinstance(dialog, Form)
        await hands.fill(dialog, by="ch", pin="1234", seen="all read")
        await hands.press_button("do")
        assert dialog.query_one("#ask-pin").has_focus
        await hands.write("4711")
        assert dialog.query_one("#ask-by", Field).value == "ch"
        assert "4711" not in page(hands.app)
        assert "4711" not in str(hands.app.kept.texts)


async def test_whoever_has_a_pin_signs_in_with_it(tmp_path: Path) -> None:
    one = with_pin(tmp_path)
    async with at_work(one, item="drawing.face-up", by=None) as hands:
        await hands.act("person")
        await hands.pick("2")
        assert hands.app.by is None
        await hands.fill(hands.app.screen, pin="1234")
        await hands.press_button("do")
        assert hands.app.by is None
        await hands.fill(hands.app.screen, pin="4711")
        await hands.press_button("do")
        assert hands.app.by == CHECKER
