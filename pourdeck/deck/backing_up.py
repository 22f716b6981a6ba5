"""Back the job up from the deck: ask where to, copy beside the work, and offer it when the day ends."""

import threading
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from pourdeck.deck.choice_dialog import DeckDialog, VerbButton
from pourdeck.deck.desk_shell import SHORT_SEAL, DeskShell, nothing
from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import Answers, FormField, Values
from pourdeck.deck.views.log import backup_words
from pourdeck.deck.widgets.frame import Said
from pourdeck.plan.messages import has_error, literal
from pourdeck.sitelog.backup import SAME_DISK, BackedUp, NotBackedUp, check_place
from pourdeck.sitelog.backups import Backups, LastBackup, worth_asking
from pourdeck.walk.words import count_of

BODY = "Plan, log and records go to a folder of their own there, and are read back."


class Copying:
    """The backup that a deck makes, one at a time, in a thread that ends with the program."""

    def __init__(self, app: DeskShell) -> None:
        self._app = app
        self._thread: threading.Thread | None = None
        self._told = Said("note", "")
        self._warned = False

    @property
    def is_running(self) -> bool:
        return self._thread is not None and self._thread.is_alive()

    def ask(self, then: Callable[[], None] = nothing) -> None:
        """Ask for the folder, the last one offered, and copy there; `then` once it is verified."""
        app, backups = self._app, self._app.backups
        if backups is None:
            return
        if self.is_running:
            app.say(Said("note", "A backup is being made", "It says so when it is verified."))
            return

        def fault(values: Values) -> str | None:
            try:
                check_place(backups.folder, Path(values["folder"]).expanduser())
            except (NotBackedUp, RuntimeError) as error:
                return str(error)
            return None

        def told(answers: Answers) -> None:
            self.start(backups, answers["folder"], then)

        last = backups.last
        folder = FormField(
            id="folder", label="Folder", value=last.folder, offered=True, check=fault
        )  # fmt: skip
        form = Form(
            "Back up to a stick or a share", (folder,), lambda _: None, body=f"{self.last_words()} {BODY}",
            verb="Back up", signed=False, done=told, draft="backup",
        )  # fmt: skip
        app.push_screen(form)

    def start(self, backups: Backups, folder: str, then: Callable[[], None] = nothing) -> None:
        """Copy to `folder` beside the work; `then` once it is verified and nothing is wrong."""
        known = self._app.desk.log.known_ends
        self._warned = False
        self._tell(Said("note", f"Backing up to {literal(folder)}", "The deck goes on meanwhile."))

        def work() -> None:
            try:
                done = backups.make(folder, known, progress)
            except NotBackedUp as error:
                self._from_thread(partial(self._failed, error.title, error.body))
            except Exception as error:
                self._from_thread(
                    partial(self._failed, "Not backed up", f"{type(error).__name__}.")
                )
            else:
                self._from_thread(partial(self._finished, done, then))

        def progress(number: int, of: int, path: str) -> None:
            self._from_thread(partial(self._progress, f"Backing up {number} of {of}: {path}"))

        # Not one of the toolkit's: leaving would wait for a stick that does not answer.
        self._thread = threading.Thread(target=work, name="backup", daemon=True)
        self._thread.start()

    def _from_thread(self, tell: Callable[[], None]) -> None:
        # The deck may have been left meanwhile.
        with suppress(RuntimeError):
            self._app.call_from_thread(tell)

    def _tell(self, said: Said) -> None:
        self._told = said
        self._app.say(said)

    def _progress(self, words: str) -> None:
        """Say how far it is, where nothing else was said since."""
        if self._app.said is self._told:
            self._tell(Said("note", words))

    def _failed(self, title: str, body: str) -> None:
        self._thread = None
        self._tell(Said("refused", title, body))

    def _finished(self, done: BackedUp, then: Callable[[], None]) -> None:
        self._thread = None
        at = done.at.astimezone(self._app.desk.now().tzinfo)
        title = f"Backed up {at:%H:%M}, verified: {count_of(done.entries, 'entry', 'entries')}"
        if has_error(done.findings):
            wrong = next(one for one in done.findings if one.is_error)
            self._tell(Said("refused", f"{title}, and something is wrong", wrong.message))
        else:
            heads = ", ".join(
                f"{one.station} {one.n} {one.seal[:SHORT_SEAL]}" for one in done.heads
            )
            same = f"{SAME_DISK} " if done.same_disk else ""
            self._tell(
                Said("saved", title, f"{same}In {literal(str(done.into))}. {literal(heads)}")
            )
        self._app.refresh_screen()
        if not has_error(done.findings):
            then()

    def last_words(self) -> str:
        """When the last backup was, and what came since, in a sentence."""
        backups, desk = self._app.backups, self._app.desk
        last = backups.last if backups else LastBackup()
        return f"{backup_words(last.at, last.since(desk.state.heads), desk.now())}."

    # When the day ends.

    def waits(self) -> bool:
        """Whether a backup is being made that leaving would end; said once, and the next key leaves."""
        if not self.is_running or self._warned:
            return False
        self._warned = True
        self._tell(
            Said(
                "note", "The backup is not finished", "Wait for it, or F10 again leaves without it."
            )
        )
        return True

    def offer(self) -> bool:
        """Ask once a day whether to back up before leaving; False where there is nothing to ask."""
        app, backups = self._app, self._app.backups
        now = app.desk.now()
        if (
            backups is None
            or app.desk.read_only
            or app.screen is not app.deck_screen
            or not worth_asking(backups.last, app.desk.state.entries, now)
        ):
            return False
        backups.asked(now.date())
        folder = backups.last.folder

        def answered(answer: str | None) -> None:
            if answer == LEAVE:
                app.leave()
            elif answer == BACK_UP and folder:
                self.start(backups, folder, app.leave)
            elif answer == BACK_UP:
                self.ask(app.leave)

        to = f"To {literal(folder)}: put the stick in first. " if folder else ""
        app.push_screen(LeaveDialog(f"{to}{self.last_words()}"), answered)
        return True


LEAVE, BACK_UP = "leave", "back-up"


class LeaveDialog(DeckDialog[str]):
    """One question when the deck is left: Enter backs up, `n` does not, Esc stays in the deck."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("n", "leave", "Not today", show=False)]

    def __init__(self, body: str) -> None:
        super().__init__("Back up before you go?", body)

    def compose_buttons(self) -> ComposeResult:
        yield VerbButton("Not today (n)", id="leave")
        yield VerbButton("Back up (Enter)", id="do")

    def on_mount(self) -> None:
        self.set_focus(self.query_one("#do"))

    def submit(self) -> None:
        self.dismiss(BACK_UP)

    def action_leave(self) -> None:
        self.dismiss(LEAVE)

    def on_verb_button_pressed(self, event: VerbButton.Pressed) -> None:
        event.stop()
        self.dismiss(LEAVE if event.button.id == "leave" else BACK_UP)
