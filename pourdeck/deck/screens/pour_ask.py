"""What every question of the pour has: what stands, who is signed in, what is wrong with what was written."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from pourdeck.deck.ask_dialog import Ask, AskDialog
from pourdeck.deck.screens.panel_asks import ask_reason
from pourdeck.plan.refusal import Refusal, WhyNeeded
from pourdeck.walk.clock_jumps import Jump, set_back
from pourdeck.walk.load_fields import FIELDS, read_field
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.typed import read_time

if TYPE_CHECKING:
    from pourdeck.deck.screens.pour import PourScreen


class PourAsk:
    """Each ask ends in an act that is recorded, or in a refusal that is shown; Esc does nothing."""

    def __init__(self, screen: "PourScreen") -> None:
        self.screen = screen

    def standing(self) -> tuple[Walk, PourPage] | None:
        walk, page = self.screen.walk, self.screen.page
        return (walk, page) if walk is not None and page is not None else None

    @property
    def jumps(self) -> tuple[Jump, ...]:
        """Where clocks were set back during this pour."""
        page = self.screen.page
        return page.jumped if page is not None else ()

    def push(self, dialog: AskDialog, take: Callable[[dict[str, str], str], None]) -> None:
        """Ask, and do it in the name of who is signed in."""
        deck = self.screen.deck

        def taken(values: dict[str, str] | None) -> None:
            if values is not None:
                deck.as_person(lambda by: take(values, by))

        self.screen.app.push_screen(dialog, taken)

    def record(self, act: Act | Refusal, then: Callable[[], None] | None = None) -> bool:
        deck = self.screen.deck
        done = deck.record(act) is not None
        if done and then is not None:
            then()
        return done

    def record_with_reason(
        self, make: Callable[[str], Act | Refusal], then: Callable[[], None]
    ) -> None:
        """Record an act; a time that is odd asks for a reason first."""
        act = make("")
        if isinstance(act, WhyNeeded):

            def told(why: str) -> None:
                self.record(make(why), then)

            ask_reason(self.screen, act, told)
        else:
            self.record(act, then)

    # Times and what is wrong with them.

    def now_ask(self, label: str) -> Ask:
        """A time, for which now is offered."""
        now = f"{self.screen.deck.desk.now():%H:%M}"
        return Ask(id="time", label=label, value=now, offered=True, check=self.time_fault)

    def time_fault(self, text: str) -> str | None:
        found = read_time(text, self.screen.deck.desk.now(), set_back(self.jumps))
        return f"{found.title} {found.body}" if isinstance(found, Refusal) else None

    def fault(self, key: str) -> Callable[[str], str | None]:
        """What is wrong with what was written of a load, before it is given."""

        def fault(text: str) -> str | None:
            desk = self.screen.deck.desk
            found = read_field(FIELDS[key], text, desk.job.units, desk.now(), set_back(self.jumps))
            return f"{found.title} {found.body}" if isinstance(found, Refusal) else None

        return fault
