"""What the Strength screen asks in dialogs: a temperature, a result."""

from pourdeck.deck.dialogs import Ask
from pourdeck.deck.screens.panel_asks import (
    Make,
    ask_for,
    fault_words,
    poured_walk,
    time_ask,
)
from pourdeck.deck.screens.panel_screen import PanelScreen
from pourdeck.plan.amounts import unit_read
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength_acts import (
    find_result,
    find_specimen,
    read_celsius,
    read_strength,
    result,
    temperature,
)
from pourdeck.walk.strength_log import specimens, untested
from pourdeck.walk.strength_words import CURED


def ask_temperature(screen: PanelScreen) -> None:
    """One reading and its time."""
    walk = poured_walk(screen)
    if walk is None:
        return
    unit = unit_read("°C", walk.job.units)
    asks = (
        Ask(
            id="value",
            label=f"Concrete, {unit}",
            check=lambda text: fault_words(read_celsius(walk, text)),
        ),
        time_ask(screen, walk, "Read at", "reading"),
    )

    def make(values: dict[str, str]) -> Make:
        def act(walk: Walk, by: str, why: str) -> Act | Refusal:
            now = screen.deck.desk.now()
            return temperature(walk, values["value"], values["time"], by, now, why)

        return act

    body = "In the concrete, not on it. Now, or a time such as 07:40."
    ask_for(screen, "A temperature", asks, body, screen.draft("temperature"), make)


def ask_result(screen: PanelScreen, name: str = "") -> None:
    """A test of one of the specimens of this panel; the first that has none is offered."""
    walk = poured_walk(screen)
    if walk is None:
        return
    taken = specimens(walk.record)
    if not taken:
        screen.deck.refuse(
            Refusal(
                title="No specimen of this panel yet.",
                body="Record the specimen first (s), and where it was cured.",
            )
        )
        return
    waiting = untested(walk.record)
    first = find_specimen(walk.record, name) if name else (waiting[0] if waiting else None)
    first = first or taken[-1]
    unit = unit_read("MPa", walk.job.units)
    choices = tuple((one.name, f"{one.name}, {CURED[one.cured]}") for one in taken)
    asks = (
        Ask(id="name", label="Specimen", value=first.name, choices=choices),
        Ask(
            id="value",
            label=f"Strength, {unit}",
            check=lambda text: fault_words(read_strength(walk, text)),
        ),
        time_ask(screen, walk, "Tested at", "test"),
    )

    def make(values: dict[str, str]) -> Make:
        def act(walk: Walk, by: str, why: str) -> Act | Refusal:
            now = screen.deck.desk.now()
            return result(walk, values["name"], values["value"], values["time"], by, now, why)

        return act

    known = find_result(walk.record, first.name)
    body = (
        "As the laboratory writes it."
        if known is None
        else "It has a result: another one asks why."
    )
    ask_for(screen, "A result", asks, body, screen.draft("result"), make)
