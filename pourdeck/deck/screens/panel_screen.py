"""What the screens of one panel share: which panel it is, its first line, and what is said of a stray key."""

from textual import events

from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.spans import Spans
from pourdeck.deck.views.panel_title import panel_title
from pourdeck.deck.widgets.banner import Said
from pourdeck.plan.messages import literal
from pourdeck.setout.record import SetOut
from pourdeck.walk.records import Walk


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
        """What lines there is room for is worked out after the layout."""
        super().on_resize()
        self.call_after_refresh(self.reload)

    def is_stray(self, event: events.Key) -> bool:
        """True for a character that is no key of the screen; it goes no further."""
        if not event.is_printable or event.character is None or event.key in self.active_bindings:
            return False
        event.stop()
        return True

    def say_stray(self, event: events.Key) -> None:
        """That a key does nothing here: none is swallowed in silence."""
        words = f"{literal(event.character or '')} does nothing here"
        self.deck.say(Said("note", words, "F1 lists what does."))


class WalkedScreen(PanelScreen):
    """A screen of the walk of the panel in hand: of one that is closed, as its close sealed it."""

    @property
    def setout(self) -> SetOut | None:
        walk = self.walk
        return walk.setout if walk else None
