"""Naming a file on disk, or pasting what is in it."""

from pathlib import Path

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message

from pourdeck.deck.dialog_base import DeckDialog
from pourdeck.deck.spans import line
from pourdeck.deck.widgets.letter_pad import LetterPad, type_into
from pourdeck.deck.widgets.line_field import LineField
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.room import roomy


class PathField(LineField):
    """A line for the name of a file. Several lines pasted are what is in one, and are given as `Lines`."""

    class Lines(Message):
        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    def _on_paste(self, event: events.Paste) -> None:
        if len(event.text.splitlines()) > 1:
            event.stop()
            event.prevent_default()
            self.post_message(self.Lines(event.text))
            return
        super()._on_paste(event)


class FileDialog(DeckDialog[Path | str]):
    """Gives the path that was written, or the text that was pasted.

    `folder`: where a name without a folder is looked for too. `draft`: the path that is half typed is kept
    under this key.
    """

    def __init__(self, title: str, body: str, *, verb: str, folder: Path, draft: str) -> None:
        super().__init__(title, body, verb=verb)
        self.folder = folder
        self.draft = draft

    def compose_middle(self) -> ComposeResult:
        with Horizontal(classes="field-row"):
            yield Prose(line(("▸ ", "key"), "File"))
            yield PathField(self._kept(), id="path")
        yield LetterPad(id="letters")

    @property
    def field(self) -> PathField:
        return self.query_one("#path", PathField)

    def on_mount(self) -> None:
        self.hand_changed()
        self.field.focus()

    def hand_changed(self) -> None:
        """The mouse was taken, or the keys: the pad comes and goes."""
        by_mouse = bool(getattr(self.app, "by_mouse", False))
        self.query_one(LetterPad).display = roomy(self) or by_mouse

    async def on_letter_pad_pressed(self, event: LetterPad.Pressed) -> None:
        event.stop()
        self.field.focus()
        await type_into(self.field, event.key, event.character)

    def on_path_field_lines(self, event: PathField.Lines) -> None:
        event.stop()
        self._keep("")
        self.dismiss(event.text)

    def on_input_changed(self, event: LineField.Changed) -> None:
        event.stop()
        self.tell("")
        self._keep(event.value)

    def on_line_field_told(self, event: LineField.Told) -> None:
        event.stop()
        self.tell(event.text)

    def on_input_submitted(self, event: LineField.Submitted) -> None:
        event.stop()
        self.submit()

    def submit(self) -> None:
        name = self.field.value.strip().strip("'\"")
        if not name:
            self.tell("Name the file, or paste the lines that are in it.")
            return
        found = self._find(name)
        if found is None:
            self.tell(f"There is no file {name}.")
            return
        self._keep("")
        self.dismiss(found)

    def _find(self, name: str) -> Path | None:
        """The file as it is named, or beside the job."""
        try:
            path = Path(name).expanduser()
            tries = (path,) if path.is_absolute() else (path, self.folder / path)
            return next((one for one in tries if one.is_file()), None)
        except (OSError, ValueError, RuntimeError):
            return None

    def action_cancel(self) -> None:
        self._keep("")
        super().action_cancel()

    def _kept(self) -> str:
        kept = getattr(self.app, "kept", None)
        return str(kept.text(self.draft)) if kept is not None else ""

    def _keep(self, value: str) -> None:
        keep = getattr(self.app, "keep_text", None)
        if keep is not None:
            keep(self.draft, value)
