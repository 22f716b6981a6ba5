"""The list of what is odd, the release to pour in drying weather, "not measured": by keys and clicks."""

from pathlib import Path

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.form import Form
from pourdeck.deck.screens.pour import PourScreen
from pourdeck.deck.screens.walk_ends import OddDialog
from pourdeck.walk import acts
from pourdeck.walk.oddities import oddities
from tests.deck.hands import Clicks, Hands, Keys
from tests.deck.kit import page as screen_page
from tests.deck.test_pour_screen import at_pour
from tests.deck.walk_kit import at_work, card, crew_at, squeezed
from tests.walk.kit import CHECKER, FOREMAN, Crew
from tests.walk.pour_kit import POUR_JOB, at_the_pour, do, page
from tests.walk.test_ready_weather import HOT

BOTH = pytest.mark.parametrize("hands", [Keys, Clicks])
CLOSE = "complete:close"


def size_of(hands: type[Hands]) -> tuple[int, int]:
    return (80, 24) if hands is Keys else (120, 40)


def odd_one(folder: Path) -> Crew:
    """All is answered; threads failed and were followed up, a thickness was not measured."""
    one = crew_at(folder, "close")
    one.answer("close.threads", "blocked")
    one.do(acts.follow_up(one.walk, "close.threads", "drilled out", CHECKER))
    one.do(acts.not_measured(one.walk, "close.thickness/bl", "no gauge", FOREMAN))
    one.do(acts.follow_up(one.walk, "close.thickness/bl", "engineer told", CHECKER))
    one.pass_section("close")
    return one


class TestClosing:
    @BOTH
    async def test_each_row_opens_its_item(self, tmp_path: Path, hands: type[Hands]) -> None:
        one = odd_one(tmp_path)
        async with at_work(one, hands, item=CLOSE, size=size_of(hands)) as crew:
            await crew.act("take")
            dialog = crew.app.screen
            assert isinstance(dialog, OddDialog)
            assert [row.key for row in dialog.rows] == ["0", "1", "2"]
            await crew.pick("1")
            assert crew.stop.key == oddities(one.walk)[1].key
            assert one.walk.record.closed is None

    @BOTH
    async def test_the_button_confirms_the_list_and_seals_it(
        self, tmp_path: Path, hands: type[Hands]
    ) -> None:
        one = odd_one(tmp_path)
        wanted = [each.document() for each in oddities(one.walk)]
        async with at_work(one, hands, item=CLOSE, size=size_of(hands)) as crew:
            await crew.act("take")
            assert one.walk.record.closed is None
            await crew.close()
            closed = one.walk.record.closed
            assert closed is not None
            assert closed.data["word"] == {"of": FOREMAN, "role": "foreman", "way": "here"}
            assert (closed.by, closed.data["odd"]) == (FOREMAN, wanted)

    async def test_esc_closes_nothing(self, tmp_path: Path) -> None:
        one = odd_one(tmp_path)
        async with at_work(one, Keys, item=CLOSE) as crew:
            await crew.act("take")
            await crew.press("escape")
            assert one.walk.record.closed is None

    async def test_a_list_that_changed_meanwhile_is_refused(self, tmp_path: Path) -> None:
        one = odd_one(tmp_path)
        async with at_work(one, Keys, item=CLOSE) as crew:
            await crew.act("take")
            one.do(acts.follow_up(one.walk, "close.threads", "and tapped", CHECKER))
            await crew.close()
            assert one.walk.record.closed is None
            assert "has changed" in screen_page(crew.app)

    async def test_a_row_of_a_load_opens_the_load_on_the_pour_screen(self, tmp_path: Path) -> None:
        one = crew_at(tmp_path, "pour", POUR_JOB)
        one.answer("pour.start", "now")
        do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="9.6", arrived="now")
        do(one, 1, slump="120", temperature="21", begun="now", let_in="Eve Lund, tested again")
        do(one, 1, ended="now")
        one.go_to("close")
        one.pass_section("close")
        async with at_work(one, Keys, item=CLOSE) as crew:
            await crew.act("take")
            await crew.pick("0")
            screen = crew.app.deck_screen
            assert isinstance(screen, PourScreen)
            assert screen.page is not None
            assert screen.hand(screen.page)[0] == 1


class TestTheWeather:
    def hot(self, folder: Path) -> Crew:
        one = crew_at(folder, "ready", POUR_JOB)
        for key, typed in HOT.items():
            one.answer(f"ready.{key}", typed)
        one.pass_section("ready")
        return one

    @BOTH
    async def test_the_release_asks_for_the_measures(
        self, tmp_path: Path, hands: type[Hands]
    ) -> None:
        one = self.hot(tmp_path)
        async with at_work(one, hands, item="hold:pour", size=size_of(hands)) as crew:
            await crew.act("release")
            dialog = crew.app.screen
            assert isinstance(dialog, Form)
            await crew.fill(dialog, by="ch", seen="ok")
            await crew.press_button("do")
            assert crew.app.screen is dialog, "without measures it stays"
            await crew.fill(dialog, measures="fog on")
            await crew.press_button("do")
            released = one.walk.hold("pour")
            assert released is not None
            assert released.entry is not None
            assert released.entry.data["measures"] == "fog on"

    async def test_the_cards_say_what_the_readings_come_to(self, tmp_path: Path) -> None:
        one = self.hot(tmp_path)
        async with at_work(one, Keys, item="hold:pour", size=(120, 40)) as crew:
            assert "act from 1.00 kg/m²/h; readings" in card(crew.app)
        async with at_work(one, Keys, item="ready.air", size=(120, 40)) as crew:
            assert squeezed("act from 1.00 kg/m²/h; readings") in squeezed(card(crew.app))


class TestNotMeasured:
    @BOTH
    async def test_an_item_of_the_walk(self, tmp_path: Path, hands: type[Hands]) -> None:
        one = crew_at(tmp_path, "forms")
        async with at_work(one, hands, item="forms.between/base", size=size_of(hands)) as crew:
            await crew.act("not-measured")
            dialog = crew.app.screen
            assert isinstance(dialog, Form)
            await crew.press_button("do")
            assert crew.app.screen is dialog, "a reason is never empty"
            await crew.fill(dialog, text="no tape")
            await crew.press_button("do")
            assert one.item("forms.between/base").not_measured == "no tape"
            crew.app.go("walk", item="forms.between/base")
            await crew.settle()
            assert squeezed("not measured: no tape") in squeezed(card(crew.app))

    async def test_what_must_be_measured_says_so_at_once(self, tmp_path: Path) -> None:
        one = crew_at(tmp_path, "height")
        async with at_work(one, Keys, item="height.backsight") as crew:
            await crew.act("not-measured")
            assert not isinstance(crew.app.screen, Form)
            assert "must be measured" in crew.app.said.title

    @BOTH
    async def test_the_value_of_a_load_in_hand(self, tmp_path: Path, hands: type[Hands]) -> None:
        one = at_the_pour(tmp_path)
        do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6.0", arrived="now")
        async with at_pour(one, hands, size=size_of(hands)) as crew:
            app: DeckApp = crew.app
            await crew.act("not-measured")
            dialog = app.screen
            assert isinstance(dialog, Form)
            await crew.fill(dialog, text="no cone")
            await crew.press_button("do")
            assert page(one).lines[0].load.not_measured == {"slump": "no cone"}
            screen = app.deck_screen
            assert isinstance(screen, PourScreen)
            assert screen.page is not None
            assert screen.hand(screen.page) == (1, "temperature"), "it goes on to what is next"

    async def test_an_as_cast_value_is_followed_up_by_its_key(self, tmp_path: Path) -> None:
        one = crew_at(tmp_path, "close")
        one.do(acts.not_measured(one.walk, "close.width/base", "no tape", FOREMAN))
        async with at_work(one, Keys, item="close.width/base") as crew:
            await crew.act("follow-up")
            dialog = crew.app.screen
            assert isinstance(dialog, Form)
            await crew.fill(dialog, by="ch", seen="office tapes it")
            await crew.press_button("do")
            assert one.item("close.width/base").own_state == "done"
