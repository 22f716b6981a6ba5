"""What the Strength screen asks of a logger's readings: the file, what it does not say, and once more."""

from collections.abc import Callable
from pathlib import Path

from attrs import evolve

from pourdeck.deck.dialogs import Ask, AskDialog, ChoiceDialog
from pourdeck.deck.file_dialog import FileDialog
from pourdeck.deck.import_dialog import ImportDialog
from pourdeck.deck.screens.panel_asks import fault_words, poured_walk, record_asked
from pourdeck.deck.screens.panel_screen import PanelScreen
from pourdeck.deck.spans import line
from pourdeck.deck.views.import_rows import import_rows
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.logger_asked import Given, Question, order_named, unit_named
from pourdeck.walk.logger_days import read_start
from pourdeck.walk.logger_file import Temperatures
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength_import import import_of, read_file, read_text, temperatures_read

PASTED = "pasted"
"""Where readings are from that came by the clipboard."""

Read = Callable[[Walk, Given], Temperatures | Refusal]

ASKED = {
    "unit": "In which unit are the temperatures?",
    "column": "Which column was in the concrete?",
    "dates": "Which is it?",
    "start": "When do the readings begin?",
}


def ask_file(screen: PanelScreen) -> None:
    """A logger's file on disk, or its lines pasted."""
    walk = poured_walk(screen)
    if walk is None:
        return

    def take(found: Path | str | None) -> None:
        if isinstance(found, Path):
            now = screen.deck.desk.now()
            _read(
                screen, found.name, lambda walk, given: read_file(walk, found, now, given), Given()
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
    _read(screen, PASTED, lambda walk, given: read_text(walk, text, now, given), Given())


def _read(screen: PanelScreen, name: str, read: Read, given: Given) -> None:
    """Read it, ask what it does not say, and show what would be recorded: nothing where any line is wrong."""
    walk = screen.walk
    if walk is None:
        return
    found = read(walk, given)
    if isinstance(found, Question):
        _ask(screen, found, lambda more: _read(screen, name, read, more), given)
        return
    taken = found if isinstance(found, Refusal) else import_of(walk, found, screen.deck.desk.now())
    if isinstance(taken, Refusal):
        screen.deck.refuse(taken)
        return
    whole = taken

    def act(walk: Walk, by: str, why: str) -> Act | Refusal:
        return temperatures_read(walk, whole, name, by, screen.deck.desk.now(), why)

    def take(answer: str | None) -> None:
        if answer is not None:
            record_asked(screen, screen.draft("file"), {}, act)

    title = "Record what was pasted?" if name == PASTED else f"Record what {name} holds?"
    rows = import_rows(walk.job, taken)
    screen.app.push_screen(ImportDialog(title, rows), take)


def _ask(
    screen: PanelScreen, question: Question, again: Callable[[Given], None], given: Given
) -> None:
    """Ask what the file does not say; what it holds is read again with the answer."""
    body = f"{question.title} {question.body}"
    title = ASKED[question.about]
    if question.about == "start":
        _ask_start(screen, title, body, again, given)
        return

    def chosen(key: str | None) -> None:
        if key is None:
            return
        if question.about == "unit":
            again(evolve(given, unit=unit_named(key)))
        elif question.about == "dates":
            again(evolve(given, dates=order_named(key)))
        else:
            again(evolve(given, column=key))

    rows = tuple(Row(key=key, left=line(words)) for key, words in question.choices)
    screen.app.push_screen(ChoiceDialog(title, rows, body, verb="Read it so"), chosen)


def _ask_start(
    screen: PanelScreen, title: str, body: str, again: Callable[[Given], None], given: Given
) -> None:
    now = screen.deck.desk.now()

    def told(values: dict[str, str] | None) -> None:
        if values is None:
            return
        start = read_start(values["start"], now)
        if isinstance(start, Refusal):
            screen.deck.refuse(start)
        else:
            again(evolve(given, start=start))

    ask = Ask(
        id="start",
        label="First reading",
        check=lambda text: fault_words(read_start(text, now)),
    )
    body = f"{body} Such as {now:%Y-%m-%d} 07:40."
    screen.app.push_screen(AskDialog(title, (ask,), body, verb="Read it so"), told)
