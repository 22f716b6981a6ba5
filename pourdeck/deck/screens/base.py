"""What all screens have: the first line, the tabs, the body, what can be done, what was said."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.reactive import Reactive
from textual.widget import Widget

from pourdeck.deck.actions import ACTIONS
from pourdeck.deck.desk_shell import DeskShell
from pourdeck.deck.repaint import SteadyColumn
from pourdeck.deck.shell import Front
from pourdeck.deck.spans import Spans, line
from pourdeck.deck.widgets.action_bar import ActionBar
from pourdeck.deck.widgets.banner import Banner
from pourdeck.deck.widgets.bar import Bar
from pourdeck.deck.widgets.tab_bar import TabBar
from pourdeck.deck.widgets.title_line import TitleLine
from pourdeck.deck.widgets.too_small import TooSmall

LETTER = "d"
"""Any letter: a field takes all of them or none."""

_BY_ID = {action.id: action for action in ACTIONS}


class DeckScreen(Front):
    """A screen of the deck. One that is made from it gives `ID`, `BINDINGS`, its body and `reload`.

    Bindings come from the registry: `BINDINGS = [*bindings("board")]`, and an action `show-sum` runs the
    method `action_show_sum`. `can_do` says what has a meaning now.
    """

    ID: ClassVar[str] = ""
    # Each widget paints its own focus: the toolkit would paint the whole screen anew.
    focused: Reactive[Widget | None] = Reactive(None, repaint=False)
    BINDINGS: ClassVar[list[BindingType]] = []
    DEFAULT_CSS = """
    DeckScreen { layers: base foot cover; background: $deck-ground; color: $deck-text; }
    DeckScreen #body { height: 1fr; width: 1fr; margin-bottom: 1; }
    """

    def compose(self) -> ComposeResult:
        self._suit_window()
        yield TitleLine()
        yield TabBar(self.ID)
        with SteadyColumn(id="body"):
            yield from self.compose_body()
        yield Banner()
        yield ActionBar(self.ID)
        yield TooSmall()

    def compose_body(self) -> ComposeResult:
        """The widgets between the tabs and the action bar."""
        yield from ()

    def reload(self) -> None:
        """Show what stands now. Called when the screen comes up and after every entry."""

    def title_words(self) -> Spans:
        """The left of the first line: the most important first."""
        job = self.deck.desk.job
        return line((job.name, "bar-strong"), (f"  {job.number}", "bar"))

    def can_do(self, action_id: str) -> bool:
        """False where an action of this screen has no meaning now: it leaves the bar and the palette."""
        return True

    @property
    def deck(self) -> DeskShell:
        """The app, as what it is."""
        app = self.app
        assert isinstance(app, DeskShell)
        return app

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Keys, bar, palette and help all ask `can_do`."""
        known = _BY_ID.get(action.replace("_", "-"))
        return known is None or self.can_do(known.id)

    # What the shell does for every screen.

    def _suit_window(self) -> None:
        """The classes of the window's size before the first layout: the toolkit gives them after it, and
        all would be laid out twice.
        """
        size = self.app.size
        for length, every in (
            (size.width, self.app.HORIZONTAL_BREAKPOINTS),
            (size.height, self.app.VERTICAL_BREAKPOINTS),
        ):
            names = [name for least, name in every or () if length >= least]
            for _, name in every or ():
                self.set_class(name == names[-1], name)

    def on_mount(self) -> None:
        self.set_class(self.app.size.height >= 36, "-roomy")

    def on_resize(self) -> None:
        self._fit_bar()

    def on_screen_resume(self) -> None:
        self._fit_bar()
        self.refresh_all()

    def _fit_bar(self) -> None:
        """Large places to click where there is room for them."""
        size = self.app.size
        large = size.height >= 36 and size.width >= 100
        self.set_class(large, "-large-bar")
        self.query_one(ActionBar).set_class(large, "-tall")

    def on_descendant_focus(self) -> None:
        self.suit_letters()

    def on_descendant_blur(self) -> None:
        self.suit_letters()

    def suit_letters(self) -> None:
        """The bar names its letters only while they are keys."""
        field = self.focused
        written = field is not None and field.check_consume_key(LETTER, LETTER)
        self.query_one(ActionBar).show_letters(not written)

    def refresh_all(self) -> None:
        """Body, first line, counts and bar, from what stands now."""
        self.reload()
        self.refresh_frame()

    def refresh_frame(self) -> None:
        """First line, counts, bar and banner."""
        deck = self.deck
        self.query_one(TitleLine).show(self.title_words(), deck.time_text(), deck.by or "")
        counts = deck.counts()
        self.query_one(TabBar).show_counts(
            deferred=counts.deferred, failed=counts.failed, passed=counts.passed
        )
        hidden = frozenset(
            action.id
            for action in ACTIONS
            if self.ID in action.where and not self.can_do(action.id)
        )
        self.query_one(ActionBar).show_only(hidden)
        self.query_one(Banner).show(deck.said, deck.head_text())
        self.suit_letters()

    async def on_bar_clicked(self, event: Bar.Clicked) -> None:
        event.stop()
        await self.run_known(event.action)

    async def run_known(self, action_id: str) -> None:
        """Run an action of the registry, as its key would."""
        action = _BY_ID.get(action_id)
        if action is not None:
            await self.app.run_action(action.run, self)
