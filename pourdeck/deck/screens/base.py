"""Give all screens a frame, actions and the last message, and those of one panel the panel in hand."""

from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.reactive import Reactive
from textual.widget import Widget

from pourdeck.deck.actions import ACTIONS, EVERYWHERE, actions_for
from pourdeck.deck.desk_shell import DeskShell
from pourdeck.deck.paint import Spans, SteadyColumn, cut, line
from pourdeck.deck.shell import Front
from pourdeck.deck.widgets.bar import ActionBar, Bar, roomy
from pourdeck.deck.widgets.frame import Banner, MarkBar, Said, TabBar, TitleLine, TooSmall
from pourdeck.plan.messages import literal
from pourdeck.setout.record import SetOut
from pourdeck.walk.records import Walk

# What all screens have: the first line, the tabs, the body, what can be done, what was said.

if TYPE_CHECKING:
    from pourdeck.deck.widgets.field import Field

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
        yield MarkBar()
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
        return action_id != "back-up" or self.deck.backups is not None

    def action_back_up(self) -> None:
        self.deck.back_up()

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

    def set_focus(
        self, widget: Widget | None, scroll_visible: bool = False, from_app_focus: bool = False
    ) -> None:
        """Nothing of a deck screen scrolls out of sight: to look for that would lay it out once more."""
        super().set_focus(widget, scroll_visible, from_app_focus)

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
        large = roomy(self)
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
        self.query_one(MarkBar).show(deck.marks())
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

    def action_more(self) -> None:
        """List what the screen can do now, then what works everywhere; do what is picked."""
        from pourdeck.deck.choice_dialog import ChoiceDialog
        from pourdeck.deck.widgets.row_list import Row

        own = [one for one in actions_for(self.ID) if self.can_do(one.id)]
        left_out = ("more", "take", f"go-{self.ID}")
        actions = [one for one in (*own, *actions_for(EVERYWHERE)) if one.id not in left_out]

        async def picked(action_id: str | None) -> None:
            if action_id is not None:
                await self.run_known(action_id)

        rows = tuple(
            Row(
                key=one.id,
                left=line(
                    (f"{one.key_text:<6}", "key"), (f"{one.label:<12}", "strong"), f" {one.help}"
                ),
            )
            for one in actions
        )
        self.app.push_screen(ChoiceDialog("What else", rows, verb="Do it"), picked)

    # Keys that do nothing.

    def is_stray(self, event: events.Key) -> bool:
        """True for a character that is no key of the screen; it goes no further."""
        if not event.is_printable or event.character is None or event.key in self.active_bindings:
            return False
        event.stop()
        return True

    def on_key(self, event: events.Key) -> None:
        """Say of a key that nothing here takes that it does nothing."""
        if self.is_stray(event):
            self.say_stray(event)

    def say_stray(self, event: events.Key) -> None:
        """Say that a key does nothing here: none is swallowed in silence."""
        words = f"{literal(event.character or '')} does nothing here"
        self.deck.say(Said("note", words, "F1 lists what does."))


# Which panel a screen is about, in the words that never change, the most important first.

LONGEST_MARK = 20


def panel_title(setout: SetOut, *, rejected: bool = False) -> Spans:
    """`W07 · panel 3 of 6 · REJECTED · MIRRORED · stack A · rev C · inside up`."""
    mark = cut(line((setout.mark, "bar-strong")), LONGEST_MARK)
    pieces: list[tuple[str, str]] = [*mark, (f" · panel {setout.number} of {setout.of}", "bar")]
    if rejected:
        pieces += [(" · ", "bar"), ("REJECTED", "bar-strong")]
    if setout.mirrored:
        pieces += [(" · ", "bar"), ("MIRRORED", "bar-strong")]
    pieces.append((f" · stack {setout.stack}", "bar"))
    if setout.panel.rev:
        pieces.append((f" · rev {setout.panel.rev}", "bar"))
    pieces.append((f" · {setout.panel.face_up} up", "bar"))
    return line(*pieces)


# What the screens of one panel share: which panel it is, its first line, and the field that figures go to.


class PanelScreen(DeckScreen):
    """A screen of the panel in hand."""

    @property
    def number(self) -> tuple[str, int] | None:
        """Stack and number of the panel in hand, None where the job has no such panel."""
        here = self.deck.here
        stack = self.deck.desk.job.stack(here.stack) if here.stack else None
        if stack is None or here.panel is None or not 1 <= here.panel <= len(stack.panels):
            return None
        return stack.id, here.panel

    @property
    def walk(self) -> Walk | None:
        number = self.number
        return self.deck.desk.walk(*number) if number else None

    @property
    def setout(self) -> SetOut | None:
        """The panel in hand as it is now."""
        number = self.number
        return self.deck.desk.set_outs(number[0])[number[1] - 1] if number else None

    def draft(self, name: str) -> str:
        """The key under which something half typed on this panel is kept."""
        here = self.deck.here
        return f"{self.ID}.{here.stack}.{here.panel}.{name}"

    def title_words(self) -> Spans:
        setout = self.setout
        if setout is None:
            return super().title_words()
        rejected = self.deck.desk.rejected(setout.stack, setout.number)
        return panel_title(setout, rejected=rejected)

    def on_resize(self) -> None:
        """Load again once the layout is done: it tells how many lines there is room for."""
        super().on_resize()
        self.call_after_refresh(self.reload)

    @property
    def field_in_hand(self) -> "Field | None":
        """The field that figures go to, wherever the focus is; None where there is none."""
        return None

    def type_key(self, event: events.Key) -> bool:
        """Give a key to the field in hand; False where it is not for it."""
        field = self.field_in_hand
        if field is None or not field.display:
            return False
        return field.type_key(event) if field.has_focus else field.begin_with(event)


class WalkedScreen(PanelScreen):
    """A screen of the walk of the panel in hand: of one that is closed, as its close sealed it."""

    @property
    def setout(self) -> SetOut | None:
        walk = self.walk
        return walk.setout if walk else None
