"""What a panel's screens ask alike of what was poured: an act from a dialog, kept until it is on disk."""

from collections.abc import Callable

from pourdeck.deck.dialogs import Ask, AskDialog, TextDialog
from pourdeck.deck.screens.panel_screen import PanelScreen
from pourdeck.deck.views.ready_words import CORRECTING
from pourdeck.plan.refusal import Refusal, WhyNeeded
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength_acts import not_poured, time_since_pour

Make = Callable[[Walk, str, str], Act | Refusal]
"""An act from the walk as it stands, who does it and why it changes."""


def poured_walk(screen: PanelScreen) -> Walk | None:
    """The walk of the panel, once its pour has begun; else why not is said."""
    walk = screen.walk
    refusal = not_poured(walk) if walk else None
    if refusal is not None:
        screen.deck.refuse(refusal)
        return None
    return walk


def fault_words(found: object) -> str | None:
    return f"{found.title} {found.body}" if isinstance(found, Refusal) else None


def ask_reason(
    screen: PanelScreen,
    refusal: Refusal,
    then: Callable[[str], None],
    left: Callable[[], None] = lambda: None,
) -> None:
    """Ask for the reason with which an act is allowed; `left`: where none is given."""

    def told(answer: dict[str, str] | None) -> None:
        if answer is None:
            left()
        else:
            then(answer["text"])

    body = f"{refusal.title} {refusal.body}"
    dialog = TextDialog("Why?", "In a few words", body, ready=CORRECTING, by_itself=True)
    screen.app.push_screen(dialog, told)


def record_asked(screen: PanelScreen, draft: str, values: dict[str, str], make: Make) -> None:
    """Record an act, asking why where something stands; what was refused is kept for the next time."""

    def named(by: str) -> None:
        walk = screen.walk
        if walk is None:
            return
        act = make(walk, by, "")
        if isinstance(act, WhyNeeded):
            ask_why(act, by)
        else:
            done(act)

    def ask_why(refusal: Refusal, by: str) -> None:
        def told(why: str) -> None:
            walk = screen.walk
            if walk is not None:
                done(make(walk, by, why))

        ask_reason(screen, refusal, told)

    def keep(there: bool) -> None:
        for name, value in values.items():
            screen.deck.keep_text(f"{draft}.{name}", value if there else "")

    def done(act: Act | Refusal) -> None:
        if screen.deck.record(act) is not None:
            keep(False)

    # Kept until it is on disk: who is signed in may have to be asked first.
    keep(True)
    screen.deck.as_person(named)


def ask_for(
    screen: PanelScreen,
    title: str,
    asks: tuple[Ask, ...],
    body: str,
    draft: str,
    make: Callable[[dict[str, str]], Make],
) -> None:
    """A dialog whose values become an act."""

    def take(values: dict[str, str] | None) -> None:
        if values is not None:
            record_asked(screen, draft, values, make(values))

    screen.app.push_screen(AskDialog(title, asks, body, draft=draft), take)


def time_ask(
    screen: PanelScreen,
    walk: Walk,
    label: str,
    what: str,
    value: str = "now",
) -> Ask:
    def check(text: str) -> str | None:
        return fault_words(time_since_pour(walk, text, screen.deck.desk.now(), what))

    return Ask(id="time", label=label, value=value, offered=True, check=check)
