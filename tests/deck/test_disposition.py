"""A size out of tolerance on screen: what its card says, and its disposition by keys and by clicks."""

from pathlib import Path
from typing import Any

import pytest

from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.form import Form
from pourdeck.deck.screens.walk_asks import DISPOSITIONS as CHOICES
from pourdeck.deck.views.board_rows import need_rows, owed_rows, target_of
from pourdeck.deck.views.log import entry_words
from pourdeck.deck.views.read_all import read_all_rows
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.field import Field
from pourdeck.walk import acts
from pourdeck.walk.records import Act
from tests.campaign import windows
from tests.deck.hands import Clicks, Hands, Keys
from tests.deck.kit import HOSTILE, SIZES, lines, page, store
from tests.deck.walk_kit import at_work, card, crew_at, squeezed
from tests.walk.kit import CHECKER, ENGINEER, FOREMAN, WITH_ENGINEER, Crew

WIDTH = "close.width/base"
SAID = ("rework", "repair", "use-as-is", "reject")


def out_at_close(folder: Path, number: int = 1, text: str = WITH_ENGINEER) -> Crew:
    """A panel at its close, 7 mm too wide along its base."""
    one = crew_at(folder, "close", text, number)
    one.answer(WIDTH, "3012")
    return one


def above(folder: Path) -> Crew:
    """A crew at the as-cast release of the second panel, the first too thick by 3 mm."""
    two = crew_at(folder, "strip", WITH_ENGINEER, 2)
    two.pass_section("strip")
    first = Crew(two.desk, two.clock)
    first.answer("close.thickness/br", "158", why="measured again")
    return two


async def choose(hands: Hands, what: str) -> None:
    """Turn the choice of the dialog that is open to one of the four."""
    picker = hands.dialog.query_one(Choice)
    turns = [key for key, _ in CHOICES].index(what)
    if isinstance(hands, Keys):
        await hands.press(*["right"] * turns)
    else:
        assert isinstance(hands, Clicks)
        for _ in range(turns):
            await hands.click(picker, picker.content_size.width - 1, 0)
    assert picker.value == what


async def say(hands: Hands, what: str, by: str, reason: str = "ok 1") -> None:
    await hands.act("follow-up")
    dialog = hands.dialog
    assert isinstance(dialog, Form)
    await choose(hands, what)
    await hands.fill(dialog, by=by, seen=reason)
    await hands.press_button("do")
    await hands.settle()


@pytest.mark.parametrize("hands", [Keys, Clicks])
@pytest.mark.parametrize("what", SAID)
async def test_each_is_said_by_keys_and_by_clicks_with_the_same_entry(
    tmp_path: Path, hands: type[Hands], what: str
) -> None:
    one = out_at_close(tmp_path)
    engineers = what in ("use-as-is", "reject")
    by = "el" if engineers else "ch"
    async with at_work(one, hands, item=WIDTH, size=(120, 40)) as crew:
        word = acts.Word(of=ENGINEER if engineers else CHECKER, reason="ok 1")
        act = acts.dispose(one.walk, WIDTH, what, "ok 1", FOREMAN, word=word)
        assert isinstance(act, Act)
        await say(crew, what, by)
        entry = one.desk.state.entries[-1]
        assert (entry.kind, entry.by, entry.data) == (act.kind, act.by, act.data)
        assert one.walk.out_of_tolerance[0].said == what


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_the_card_says_by_how_much_how_it_stands_and_what_it_holds_up(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    one = out_at_close(tmp_path)
    async with at_work(one, item=WIDTH, size=size) as hands:
        words = squeezed(card(hands.app))
        assert squeezed("✗ failed") in words
        assert squeezed("7 mm too much: no disposition yet") in words
        assert squeezed("f Disposition") in words
        if size[0] >= 80:
            assert squeezed("holds up the as-cast release of P2 above, and the lift") in words
        rows = "".join(text for row in read_all_rows(one.walk, hands.stop) for text, _ in row)
        assert "holds up: the as-cast release of P2 above, and the lift" in rows


async def test_the_last_panel_holds_up_its_lift_alone(tmp_path: Path) -> None:
    one = out_at_close(tmp_path, 2)
    async with at_work(one, item=WIDTH) as hands:
        assert squeezed("holds up the lift of this panel") in squeezed(card(hands.app))


@pytest.mark.campaign
@pytest.mark.parametrize("size", windows(SIZES))
async def test_the_dialog_is_whole_in_every_window(tmp_path: Path, size: tuple[int, int]) -> None:
    one = out_at_close(tmp_path)
    async with at_work(one, item=WIDTH, size=size) as hands:
        await hands.act("follow-up")
        words = page(hands.app)
        for part in ("Disposition", "not chosen yet", "Name or initials", "Reason", "Record",
                     "Leave it open", "3012 mm"):  # fmt: skip
            assert part in words, part
        for button in ("#do", "#cancel"):
            region = hands.dialog.query_one(button).region
            assert region.height >= 1
            assert region.bottom <= size[1]
        assert all(len(row) <= size[0] for row in lines(hands.app))


class TestNothingByItself:
    async def test_no_key_that_is_pressed_again_and_again_says_anything(
        self, tmp_path: Path
    ) -> None:
        one = out_at_close(tmp_path)
        before = len(one.desk.state.entries)
        async with at_work(one, item=WIDTH) as hands:
            await hands.act("follow-up")
            assert isinstance(hands.dialog.focused, Choice), "no button that acts has the focus"
            assert hands.dialog.query_one(Choice).value == ""
            await hands.press(*["enter"] * 12, *["space"] * 3)
        assert len(one.desk.state.entries) == before

    async def test_without_a_choice_it_is_not_taken_and_says_so(self, tmp_path: Path) -> None:
        one = out_at_close(tmp_path)
        async with at_work(one, item=WIDTH) as hands:
            await say(hands, "", "el")
            assert isinstance(hands.app.screen, Form)
            assert "Disposition: nothing" in page(hands.app)
            await hands.press("escape")
        assert one.walk.unsettled[0].state == "open"

    async def test_who_may_not_is_refused_and_what_was_typed_stays(self, tmp_path: Path) -> None:
        one = out_at_close(tmp_path)
        async with at_work(one, item=WIDTH) as hands:
            await say(hands, "use-as-is", "ch", "it will do")
            assert isinstance(hands.app.screen, Form)
            assert f"{CHECKER} may not say use as is" in page(hands.app)
            field = hands.dialog.query_one("#ask-seen", Field)
            assert field.value == "it will do"
            by = hands.dialog.query_one("#ask-by", Field)
            by.value = "el"
            await hands.press_button("do")
            await hands.settle()
        assert one.walk.unsettled == ()

    async def test_what_was_half_typed_comes_back_after_a_kill_without_the_choice(
        self, tmp_path: Path
    ) -> None:
        one, drafts = out_at_close(tmp_path), store()
        async with at_work(one, item=WIDTH, drafts=drafts) as hands:
            await hands.act("follow-up")
            await choose(hands, "reject")
            await hands.fill(hands.dialog, by="c", seen="half")
            hands.app.kept.flush()
        async with at_work(one, item=WIDTH, drafts=drafts) as hands:
            await hands.act("follow-up")
            dialog = hands.dialog
            assert isinstance(dialog, Form)
            assert dialog.query_one("#ask-seen", Field).value == "half"
            assert dialog.query_one(Choice).value == "", "nobody rejects by coming back"


class TestRepair:
    @pytest.mark.parametrize("hands", [Keys, Clicks])
    async def test_somebody_else_says_that_it_was_looked_at(
        self, tmp_path: Path, hands: type[Hands]
    ) -> None:
        one = out_at_close(tmp_path)
        said = one.do(acts.dispose(one.walk, WIDTH, "repair", "grind it", CHECKER))
        async with at_work(one, hands, item=WIDTH, size=(120, 40)) as crew:
            assert "Repair looked at" in page(crew.app)
            await crew.act("follow-up")
            assert isinstance(crew.dialog, ChoiceDialog)
            await crew.pick("looked")
            dialog = crew.dialog
            assert isinstance(dialog, Form)
            await crew.fill(dialog, by="ch", seen="flat 1")
            await crew.press_button("do")
            assert f"{CHECKER} said that it is to be repaired" in page(crew.app)
            dialog.query_one("#ask-by", Field).value = "el"
            await crew.press_button("do")
            await crew.settle()
        entry = one.desk.state.entries[-1]
        assert (entry.kind, entry.by, entry.data["n"]) == ("close-nonconformance", ENGINEER, said.n)
        assert one.walk.unsettled == ()

    async def test_another_disposition_may_be_said_instead(self, tmp_path: Path) -> None:
        one = out_at_close(tmp_path)
        one.do(acts.dispose(one.walk, WIDTH, "repair", "grind it", CHECKER))
        async with at_work(one, item=WIDTH) as hands:
            await hands.act("follow-up")
            await hands.pick("other")
            assert isinstance(hands.dialog, Form)


class TestElsewhere:
    def test_the_board_names_it_and_leads_to_it(self, tmp_path: Path) -> None:
        one = out_at_close(tmp_path)
        rows = owed_rows(one.desk.board(), "metric")
        assert [row.key for row in rows] == ["out:0"], "it is one failure, not two"
        words = "".join(text for text, _ in rows[0].left)
        assert (
            "out of tolerance, width, base side 3012 mm, 7 mm too much: no disposition yet" in words
        )
        target = target_of(one.desk.board(), "out:0")
        assert target is not None
        assert (target.screen, target.stack, target.panel, target.item) == ("walk", "A", 1, WIDTH)
        one.do(acts.dispose(one.walk, WIDTH, "rework", "r", CHECKER))
        assert "out:0" in [row.key for row in need_rows(one.desk.board(), "metric")]
        one.do(acts.dispose(one.walk, WIDTH, "use-as-is", "r", ENGINEER))
        assert owed_rows(one.desk.board(), "metric") == []
        assert target_of(one.desk.board(), "out:0") is None

    async def test_the_list_of_what_is_owed_opens_it(self, tmp_path: Path) -> None:
        one = out_at_close(tmp_path)
        async with at_work(one, item="close.width/head") as hands:
            assert "failed 1" in page(hands.app)
            await hands.press("f7")
            assert "out of tolerance, width, base side" in " ".join(page(hands.app).split())
            await hands.press("enter")
            await hands.settle()
            assert hands.stop.key == WIDTH

    async def test_the_hold_of_the_panel_above_names_it(self, tmp_path: Path) -> None:
        two = above(tmp_path)
        async with at_work(two, item="hold:as-cast-below") as hands:
            words = squeezed(card(hands.app))
            assert squeezed("P1 thickness, base right 158 mm, 3 mm too much") in words
            await hands.press("h")
            assert hands.app.said.kind == "refused"
            assert "no disposition yet" in hands.app.said.body
            first = Crew(two.desk, two.clock)
            two.do(acts.dispose(first.walk, "close.thickness/br", "use-as-is", "ok", ENGINEER))
            hands.app.refresh_screen()
            await hands.settle()
            assert squeezed(f"used as is, says {ENGINEER}") in squeezed(card(hands.app))
            await hands.press("h")
            words = page(hands.app).replace("│", "")
            assert squeezed(f"used as is, says {ENGINEER}") in squeezed(words)

    @pytest.mark.campaign
    @pytest.mark.parametrize("size", windows(SIZES))
    async def test_a_rejected_panel_says_so_in_the_title_and_on_the_board(
        self, tmp_path: Path, size: tuple[int, int]
    ) -> None:
        one = out_at_close(tmp_path)
        one.do(acts.dispose(one.walk, WIDTH, "reject", "cracked too", ENGINEER))
        async with at_work(one, item=WIDTH, size=size) as hands:
            assert "P1 · panel 1 of 2 · REJECTED" in lines(hands.app)[0]
            assert "f Disposition" not in card(hands.app), "nothing more is said of it"
            await hands.press("f")
            assert hands.app.said.title == "P1 is rejected for its width, base side."
            for screen in ("setout", "ascast", "resize"):
                hands.app.go(screen)
                await hands.settle()
                assert "REJECTED" in lines(hands.app)[0], screen
            hands.app.go("board")
            await hands.settle()
            assert "✗ rejected" in page(hands.app)
            assert "REJECTED" in page(hands.app)

    async def test_the_log_says_it_in_words(self, tmp_path: Path) -> None:
        one = out_at_close(tmp_path)
        entry = one.do(acts.dispose(one.walk, WIDTH, "use-as-is", "joint takes it", ENGINEER))
        said = dict(entry_words(entry, lambda _: None, "metric"))
        assert said == {
            "panel": "P1", "item": "width, base side", "disposition": "use as is",
            "reason": "joint takes it", "found": "3012 mm", "role": "engineer",
            "expected": "3000 mm", "tolerance": "2995 mm to 3005 mm", "unit": "mm",
            "source": "trial spec, table 1", "word": f"of {ENGINEER}; role engineer; way here",
        }  # fmt: skip

    async def test_undo_goes_to_what_it_undid(self, tmp_path: Path) -> None:
        one = out_at_close(tmp_path)
        one.do(acts.dispose(one.walk, WIDTH, "rework", "r", CHECKER))
        async with at_work(one, item="close.width/head") as hands:
            await hands.press("u")
            assert "answers for that" in hands.app.said.title, "the foreman did not say it"
            hands.app.keep(by=CHECKER)
            await hands.press("u")
            await hands.fill(hands.app.screen, why="a slip")
            await hands.press_button("do")
            await hands.settle()
            assert hands.stop.key == WIDTH
            assert "undone: P1 width, base side 3012 mm: rework" in hands.app.said.title
        assert one.walk.unsettled[0].state == "open"

    async def test_words_that_look_like_markup_are_words(self, tmp_path: Path) -> None:
        text = WITH_ENGINEER.replace("trial spec, table 1", HOSTILE).replace('"P1"', f'"{HOSTILE}"')
        one = out_at_close(tmp_path, text=text)
        one.do(acts.dispose(one.walk, WIDTH, "repair", HOSTILE, CHECKER))
        async with at_work(one, item=WIDTH, size=(120, 40)) as hands:
            assert squeezed(HOSTILE) in squeezed(card(hands.app))
            await hands.act("follow-up")
            await hands.pick("other")
            assert squeezed(HOSTILE) in squeezed(page(hands.app))
            await hands.press("escape", "f2")
            await hands.settle()
            assert "tolerance, width," in page(hands.app)

    async def test_an_old_follow_up_stays_in_sight_beside_what_is_open(
        self, tmp_path: Path
    ) -> None:
        one = out_at_close(tmp_path)
        data: dict[str, Any] = {"panel": "P1", "item": WIDTH, "action": "engineer accepts"}
        one.do(Act(kind="follow-up", by=FOREMAN, data=data, says=""))
        async with at_work(one, item=WIDTH, size=(120, 40)) as hands:
            words = squeezed(card(hands.app))
            assert squeezed("engineer accepts") in words
            assert squeezed("no disposition yet") in words
            assert squeezed("f Disposition") in words
