"""What the Strength screen asks in dialogs: a temperature, a logger's file, a result."""

from collections.abc import Callable
from pathlib import Path

from pourdeck.deck.confirm_dialog import ConfirmDialog
from pourdeck.deck.dialogs import Ask
from pourdeck.deck.file_dialog import FileDialog
from pourdeck.deck.screens.panel_asks import (
    Make,
    ask_for,
    fault_words,
    poured_walk,
    record_asked,
    time_ask,
)
from pourdeck.deck.screens.panel_screen import PanelScreen
from pourdeck.plan.amounts import unit_read
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.logger_file import read_logger, read_temperatures
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength_acts import (
    Import,
    find_result,
    find_specimen,
    import_of,
    import_words,
    read_celsius,
    read_strength,
    result,
    temperature,
    temperatures_read,
)
from pourdeck.walk.strength_log import specimens, untested
from pourdeck.walk.strength_words import CURED

PASTED = "pasted"
"""Where readings are from that came by the clipboard."""


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
        time_ask(screen, walk, "Read at"),
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
        time_ask(screen, walk, "Tested at"),
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


def ask_file(screen: PanelScreen) -> None:
    """A logger's file on disk, or its lines pasted."""
    walk = poured_walk(screen)
    if walk is None:
        return

    def take(found: Path | str | None) -> None:
        if isinstance(found, Path):
            now = screen.deck.desk.now()
            _show(
                screen,
                found.name,
                lambda walk: _imported(walk, read_logger(found, walk.job.units, now)),
            )
        elif isinstance(found, str):
            take_text(screen, found)

    dialog = FileDialog(
        "Temperatures from a logger",
        "A CSV file with columns of time and temperature. Or paste its lines here.",
        verb="Read it",
        folder=walk.job.folder,
        draft=screen.draft("file"),
    )
    screen.app.push_screen(dialog, take)


def take_text(screen: PanelScreen, text: str) -> None:
    """The lines of a logger that were pasted."""
    if poured_walk(screen) is None:
        return
    now = screen.deck.desk.now()
    zone = now.tzinfo
    assert zone is not None
    _show(
        screen,
        PASTED,
        lambda walk: _imported(walk, read_temperatures(text, walk.job.units, zone, now)),
    )


def _imported(walk: Walk, found: object) -> Import | Refusal:
    from pourdeck.walk.logger_file import Temperatures

    if isinstance(found, Temperatures):
        return import_of(walk, found)
    assert isinstance(found, Refusal)
    return found


def _show(screen: PanelScreen, name: str, read: Callable[[Walk], Import | Refusal]) -> None:
    """What would be recorded, before it is; nothing is where any line is wrong."""
    walk = screen.walk
    if walk is None:
        return
    found = read(walk)
    if isinstance(found, Refusal):
        screen.deck.refuse(found)
        return
    taken = found

    def act(walk: Walk, by: str, why: str) -> Act | Refusal:
        return temperatures_read(walk, taken, name, by, why)

    def take(answer: str | None) -> None:
        if answer is not None:
            record_asked(screen, screen.draft("file"), {}, act)

    body = " ".join((f"{import_words(walk, found)}.", *found.said))
    screen.app.push_screen(ConfirmDialog(f"Record what {name} holds?", body, verb="Record"), take)
