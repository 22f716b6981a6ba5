"""End the deck at what nobody foresaw: put the terminal back, and name nobody on it or in what is kept."""

import json
import sys
from pathlib import Path

import pytest

from tests.campaign import in_full
from tests.commands.kit_terminal import environment
from tests.deck.kit import TWO_STACKS
from tests.deck.terminal import PUT_BACK, in_pty

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no such terminals there")

SECRET = "Wilhelmina 7201"

RUN = f"""
import sys, threading
from pourdeck.cli import main
from pourdeck.deck import app, desk_shell, shell
from pourdeck.deck.screens import board

def fail(*_, **__):
    name = {SECRET!r}
    raise ValueError(f"{{name}} measured it")

def later(fail):
    before = desk_shell.DeskShell.on_mount
    def on_mount(self):
        before(self)
        self.keep_text("note", "half typed")
        self.set_timer(0.1, lambda: fail(self))
    desk_shell.DeskShell.on_mount = on_mount

def failing():
    fail()

async def in_worker(*_):
    fail()

PLACES = {{
    "start": lambda: setattr(app.DeckApp, "get_css_variables", fail),
    "mount": lambda: setattr(desk_shell.DeskShell, "repaint", fail),
    "screen": lambda: setattr(board.BoardScreen, "on_mount", fail),
    "render": lambda: setattr(desk_shell.DeskShell, "head_text", fail),
    "timer": lambda: later(fail),
    "worker": lambda: later(lambda self: self.run_worker(in_worker(), exit_on_error=True)),
    "task": lambda: later(lambda self: setattr(self, "task", None) or
        __import__("asyncio").get_running_loop().call_soon(fail)),
    "thread": lambda: later(lambda self: threading.Thread(target=fail).start()),
    "memory": lambda: later(lambda self: (_ for _ in ()).throw(MemoryError())),
    "depth": lambda: later(lambda self: (_ for _ in ()).throw(RecursionError({SECRET!r}))),
}}
PLACES[sys.argv[1]]()
sys.exit(main(sys.argv[2:]))
"""

SAYS = {
    "memory": "this computer has no memory left for it",
    "depth": "nested too deeply",
}
OFTEN = ("render", "worker", "thread", "memory")
PLACES = (*OFTEN, "start", "mount", "screen", "timer", "task", "depth")


@pytest.mark.campaign
@pytest.mark.parametrize("place", PLACES if in_full() else OFTEN)
def test_a_fault_anywhere_puts_the_terminal_back(place: str, tmp_path: Path) -> None:
    (tmp_path / "job").mkdir()
    (tmp_path / "job" / "job.toml").write_text(TWO_STACKS, encoding="utf-8")
    script = tmp_path / "run.py"
    script.write_text(RUN, encoding="utf-8")
    state = tmp_path / "state"
    command = [sys.executable, str(script), place, "open", str(tmp_path / "job")]

    with in_pty(command, environment(state, {"TERM": "xterm-256color"})) as terminal:
        assert terminal.ended() == 2
        assert terminal.as_it_was

    said = bytes(terminal.output).decode()
    assert place == "start" or all(one in terminal.output for one in PUT_BACK)
    words = said.rpartition("\x1b")[2].partition("pourdeck: ")[2].splitlines()
    assert SAYS.get(place, "something is wrong in pourdeck itself") in words[0]
    assert "What was said to be saved is saved." in words[1]
    assert len(words) <= 3
    (kept,) = (state / "crashes").iterdir()
    assert str(kept) in said
    for text in (said, kept.read_text(encoding="utf-8")):
        assert not any(one in text for one in (*SECRET.split(), "Traceback"))
    if place not in ("start", "mount", "screen", "render"):
        (draft,) = (state / "drafts").iterdir()
        assert json.loads(draft.read_bytes())["texts"] == {"note": "half typed"}
