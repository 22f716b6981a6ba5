"""Ask on the Strength screen for a logger's file, for what it does not say, and once more."""

from collections.abc import Callable
from pathlib import Path

from attrs import evolve

from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.desk_shell import nothing
from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import Answers, FormField, Values, fault_words
from pourdeck.deck.paint import line
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.deck.screens.concrete_asks import poured_walk
from pourdeck.deck.views.strength_rows import import_rows
from pourdeck.deck.widgets.row_list import Row
from pourdeck.plan.messages import Refusal
from pourdeck.walk.logger_cells import Given, Question, order_named, unit_named
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
    folder = walk.job.folder

    def pasted(text: str) -> None:
        form.action_cancel()
        take_text(screen, text)

    def missing(values: Values) -> str | None:
        name = _bare(values["path"])
        return None if _find(name, folder) else f"There is no file {name}."

    def read(told: Answers) -> None:
        found = _find(_bare(told["path"]), folder)
        assert found is not None
        now = screen.deck.desk.now()
        _read(screen, found.name, lambda walk, given: read_file(walk, found, now, given), Given())

    path = FormField(id="path", label="File", check=missing, lines=pasted)
    form = Form(
        "Temperatures from a logger", (path,), lambda _: None, verb="Read it", signed=False,
        body="A CSV file with columns of time and temperature. Or paste its lines here.",
        draft=screen.draft("file"), done=read, leads_on=True,
    )  # fmt: skip
    screen.app.push_screen(form)


def _bare(name: str) -> str:
    return name.strip().strip("'\"")


def _find(name: str, folder: Path) -> Path | None:
    """The file as it is named, or beside the job."""
    try:
        path = Path(name).expanduser()
        tries = (path,) if path.is_absolute() else (path, folder / path)
        return next((one for one in tries if one.is_file()), None)
    except (OSError, ValueError, RuntimeError):
        return None


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

    def make(told: Answers) -> Act | Refusal:
        now = screen.deck.desk.now()
        return temperatures_read(screen.walk or walk, whole, name, told.by, now, told.why)

    title = "Record what was pasted?" if name == PASTED else f"Record what {name} holds?"

    def over(_: object = None) -> None:
        screen.deck.keep_text(f"{screen.draft('file')}.path", "")
        screen.deck.keep_text(f"{screen.draft('start')}.start", "")

    form = Form(
        title, (), make, shown=import_rows(walk.job, taken), draft=screen.draft("import"),
        done=over, left=over, unsaved=nothing,
    )  # fmt: skip
    screen.app.push_screen(form)


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

    def fault(values: Values) -> str | None:
        return fault_words(read_start(values["start"], now))

    def told(answers: Answers) -> None:
        start = read_start(answers["start"], now)
        if not isinstance(start, Refusal):
            again(evolve(given, start=start))

    form = Form(
        title, (FormField(id="start", label="First reading", check=fault),), lambda _: None,
        body=f"{body} Such as {now:%Y-%m-%d} 07:40.", verb="Read it so", signed=False, done=told,
        draft=screen.draft("start"), leads_on=True,
    )  # fmt: skip
    screen.app.push_screen(form)
