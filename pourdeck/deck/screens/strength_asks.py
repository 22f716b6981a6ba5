"""What the Strength screen asks in dialogs: a temperature, a logger's file, a specimen, a result, and why."""

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from pourdeck.deck.confirm_dialog import ConfirmDialog
from pourdeck.deck.dialogs import Ask, AskDialog, TextDialog
from pourdeck.deck.file_dialog import FileDialog
from pourdeck.deck.views.ready_words import CORRECTING
from pourdeck.plan.amounts import unit_read
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.logger_file import read_logger, read_temperatures
from pourdeck.walk.pour_times import pour_ended
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength_acts import (
    BEFORE_POUR,
    Import,
    WhyNeeded,
    find_result,
    find_specimen,
    import_of,
    import_words,
    not_poured,
    read_celsius,
    read_load,
    read_strength,
    result,
    specimen,
    temperature,
    temperatures_read,
    time_since_pour,
)
from pourdeck.walk.strength_log import specimens, untested
from pourdeck.walk.strength_words import CURED

if TYPE_CHECKING:
    from pourdeck.deck.screens.strength import StrengthScreen

PASTED = "pasted"
"""Where readings are from that came by the clipboard."""

Make = Callable[[Walk, str, str], Act | Refusal]
"""An act from the walk as it stands, who does it and why it changes."""


def _walk(screen: "StrengthScreen") -> Walk | None:
    """The walk of the panel, once its pour has begun; else why not is said."""
    walk = screen.walk
    refusal = not_poured(walk) if walk else None
    if refusal is not None:
        screen.deck.refuse(refusal)
        return None
    return walk


def _fault(found: object) -> str | None:
    return f"{found.title} {found.body}" if isinstance(found, Refusal) else None


def _record(screen: "StrengthScreen", draft: str, values: dict[str, str], make: Make) -> None:
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
        def told(answer: dict[str, str] | None) -> None:
            walk = screen.walk
            if answer is not None and walk is not None:
                done(make(walk, by, answer["text"]))

        body = f"{refusal.title} {refusal.body}"
        dialog = TextDialog("Why?", "In a few words", body, ready=CORRECTING)
        screen.app.push_screen(dialog, told)

    def keep(there: bool) -> None:
        for name, value in values.items():
            screen.deck.keep_text(f"{draft}.{name}", value if there else "")

    def done(act: Act | Refusal) -> None:
        if screen.deck.record(act) is not None:
            keep(False)

    # Kept until it is on disk: who is on deck may have to be asked first.
    keep(True)
    screen.deck.as_person(named)


def _ask(
    screen: "StrengthScreen",
    title: str,
    asks: tuple[Ask, ...],
    body: str,
    draft: str,
    make: Callable[[dict[str, str]], Make],
) -> None:
    """A dialog whose values become an act."""

    def take(values: dict[str, str] | None) -> None:
        if values is not None:
            _record(screen, draft, values, make(values))

    screen.app.push_screen(AskDialog(title, asks, body, draft=draft), take)


def _time_ask(
    screen: "StrengthScreen",
    walk: Walk,
    label: str,
    value: str = "now",
    early: timedelta = timedelta(0),
) -> Ask:
    def check(text: str) -> str | None:
        return _fault(time_since_pour(walk, text, screen.deck.desk.now(), early))

    return Ask(id="time", label=label, value=value, offered=True, check=check)


def ask_temperature(screen: "StrengthScreen") -> None:
    """One reading and its time."""
    walk = _walk(screen)
    if walk is None:
        return
    unit = unit_read("°C", walk.job.units)
    asks = (
        Ask(
            id="value",
            label=f"Concrete, {unit}",
            check=lambda text: _fault(read_celsius(walk, text)),
        ),
        _time_ask(screen, walk, "Read at"),
    )

    def make(values: dict[str, str]) -> Make:
        def act(walk: Walk, by: str, why: str) -> Act | Refusal:
            now = screen.deck.desk.now()
            return temperature(walk, values["value"], values["time"], by, now, why)

        return act

    body = "In the concrete, not on it. Now, or a time such as 07:40."
    _ask(screen, "A temperature", asks, body, screen.draft("temperature"), make)


def ask_specimen(screen: "StrengthScreen", name: str = "") -> None:
    """A cylinder or a cube; with a name the one that is put right."""
    walk = _walk(screen)
    if walk is None:
        return
    stands = find_specimen(walk.record, name) if name else None
    choices = (("field", "field, beside the panel"), ("standard", "standard, laboratory"))
    zone = screen.deck.desk.now().tzinfo
    taken = "now"
    ended = pour_ended(walk.record)
    if ended is not None:
        taken = ended.astimezone(zone).strftime("%Y-%m-%d %H:%M")
    if stands is not None and stands.taken is not None:
        taken = stands.taken.astimezone(zone).strftime("%Y-%m-%d %H:%M")
    load = str(stands.load) if stands is not None and stands.load is not None else ""
    asks = (
        Ask(id="name", label="Name", value=stands.name if stands else ""),
        Ask(id="cured", label="Cured", value=stands.cured if stands else "field", choices=choices),
        Ask(
            id="load",
            label="Load no.",
            value=load,
            required=False,
            check=lambda text: _fault(read_load(walk, text)),
        ),
        _time_ask(screen, walk, "Taken at", taken, BEFORE_POUR),
    )

    def make(values: dict[str, str]) -> Make:
        def act(walk: Walk, by: str, why: str) -> Act | Refusal:
            now = screen.deck.desk.now()
            return specimen(
                walk, values["name"], values["cured"], values["load"], values["time"], by, now, why
            )

        return act

    body = "Only one that was cured beside this panel shows its strength for the lift."
    title = "Put a specimen right" if stands else "A specimen"
    draft = screen.draft("correct" if stands else "specimen")
    _ask(screen, title, asks, body, draft, make)


def ask_result(screen: "StrengthScreen", name: str = "") -> None:
    """A test of one of the specimens of this panel; the first that has none is offered."""
    walk = _walk(screen)
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
            check=lambda text: _fault(read_strength(walk, text)),
        ),
        _time_ask(screen, walk, "Tested at"),
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
    _ask(screen, "A result", asks, body, screen.draft("result"), make)


def ask_file(screen: "StrengthScreen") -> None:
    """A logger's file on disk, or its lines pasted."""
    walk = _walk(screen)
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


def take_text(screen: "StrengthScreen", text: str) -> None:
    """The lines of a logger that were pasted."""
    if _walk(screen) is None:
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


def _show(screen: "StrengthScreen", name: str, read: Callable[[Walk], Import | Refusal]) -> None:
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
            _record(screen, screen.draft("file"), {}, act)

    body = " ".join((f"{import_words(walk, found)}.", *found.said))
    screen.app.push_screen(ConfirmDialog(f"Record what {name} holds?", body, verb="Record"), take)
