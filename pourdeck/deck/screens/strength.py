"""Show how strong the panel in hand is by when: the curve with its limits, what is missing, the tests."""

from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

from attrs import evolve
from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.choice_dialog import ChoiceDialog, TellDialog
from pourdeck.deck.desk_shell import nothing
from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import Answers, FormField, Values, fault_words
from pourdeck.deck.paint import SteadyRow, line
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.deck.screens.concrete_asks import (
    ask_result,
    ask_specimen,
    ask_temperature,
    poured_walk,
)
from pourdeck.deck.views.strength_rows import (
    ADDING,
    AGE,
    SPECIMEN,
    import_rows,
    read_all_rows,
    strength_rows,
)
from pourdeck.deck.widgets.prose import GainView
from pourdeck.deck.widgets.row_list import Row, RowList
from pourdeck.plan.messages import Refusal
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.logger_cells import Given, Question, order_named, unit_named
from pourdeck.walk.logger_days import read_start
from pourdeck.walk.logger_file import Temperatures
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength import Strength, strength
from pourdeck.walk.strength_import import import_of, read_file, read_text, temperatures_read


class StrengthScreen(PanelScreen):
    """↑↓ go through what can be added and put right, Enter or a click on the mark does it."""

    ID = "strength"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("strength")]
    DEFAULT_CSS = """
    StrengthScreen #both { layout: horizontal; height: 1fr; width: 1fr; }
    StrengthScreen #gain { width: 1fr; height: 1fr; }
    StrengthScreen #known { width: 38; height: 1fr; }
    StrengthScreen.-wide #known { width: 48; }
    StrengthScreen.-narrow #both, StrengthScreen.-slim #both { layout: vertical; }
    StrengthScreen.-narrow #gain, StrengthScreen.-slim #gain { height: 8; }
    StrengthScreen.-narrow #known, StrengthScreen.-slim #known { width: 1fr; }
    """

    def compose_body(self) -> ComposeResult:
        with SteadyRow(id="both"):
            yield GainView(id="gain")
            yield RowList(id="known", empty="The job has no such panel.")

    # What stands.

    @property
    def record(self) -> PanelState | None:
        """Give what the log has of the panel in hand."""
        setout = self.setout
        return self.deck.desk.state.panel(setout.mark) if setout else None

    def found(self) -> Strength | None:
        """By the plan in force, closed or not: a limit that the office gives later counts."""
        record, desk = self.record, self.deck.desk
        if record is None:
            return None
        return strength(desk.job, record, desk.now(), desk.clocks().left_out(record.pour_end))

    @property
    def rows(self) -> RowList:
        return self.query_one("#known", RowList)

    # What is shown.

    def on_mount(self) -> None:
        super().on_mount()
        self.set_focus(self.rows)

    def minute(self) -> None:
        """Its age and the estimate by now are others."""
        self.reload()

    def reload(self) -> None:
        record, found, desk = self.record, self.found(), self.deck.desk
        if record is None or found is None:
            self.rows.set_rows(())
            self.query_one(GainView).show(None, desk.job)
            return
        shown = strength_rows(desk.job, record, found, desk.now().tzinfo)
        kept = self.deck.kept.text(self.draft("row")) or None
        self.rows.set_rows(shown, select=kept)
        self.query_one(GainView).show(found, desk.job)

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        self.deck.keep_text(self.draft("row"), event.key)

    async def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        if event.key in ADDING:
            await self.run_known(event.key)
        elif event.key == AGE:
            self.action_read_all()
        elif event.key.startswith(SPECIMEN):
            ask_result(self, event.key.removeprefix(SPECIMEN))

    # What can be done.

    def action_add_temperature(self) -> None:
        ask_temperature(self)

    def action_read_logger(self) -> None:
        ask_file(self)

    def action_add_specimen(self) -> None:
        ask_specimen(self)

    def action_correct_specimen(self) -> None:
        key = self.rows.key or ""
        ask_specimen(self, key.removeprefix(SPECIMEN) if key.startswith(SPECIMEN) else "")

    def action_add_result(self) -> None:
        ask_result(self)

    def action_read_all(self) -> None:
        """All that is known, uncut, and what the estimate is worked out by."""
        record, found, desk = self.record, self.found(), self.deck.desk
        if record is not None and found is not None:
            rows = read_all_rows(desk.job, record, found, desk.now().tzinfo)
            self.app.push_screen(TellDialog("How strong by when", rows))

    def can_do(self, action_id: str) -> bool:
        if action_id == "correct-specimen":
            return (self.rows.key or "").startswith(SPECIMEN)
        return True

    def on_paste(self, event: events.Paste) -> None:
        """Lines pasted where no field has the focus are those of a logger."""
        if len(event.text.splitlines()) > 1:
            event.stop()
            take_text(self, event.text)


# A logger's readings: the file, what it does not say, and once more before they are recorded.

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
