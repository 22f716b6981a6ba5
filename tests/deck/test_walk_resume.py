"""After a kill the crew stands where it stood, with what was half typed."""

import os
import signal
import sys
import time
from pathlib import Path

import pytest

from pourdeck.deck.shell import Kept
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.field import Field
from pourdeck.sitelog.disk import Drafts
from tests.bench.terminal import Terminal
from tests.deck.kit import MemoryStore, store
from tests.deck.walk_kit import at_work, crew_at
from tests.walk.kit import FOREMAN, JOB, Crew, crew, open_desk


def again(one: Crew, folder: Path) -> Crew:
    """Open the same job anew, as after a kill."""
    one.desk.close()
    return Crew(open_desk(folder, JOB, one.clock), one.clock)


def kept(drafts: MemoryStore, hands: object) -> MemoryStore:
    """Give what was on disk when the deck was killed."""
    hands.app.kept.flush()  # type: ignore[attr-defined]
    return MemoryStore({"here": dict(drafts.draft["here"]), "texts": dict(drafts.draft["texts"])})


async def test_the_half_typed_number_comes_back(tmp_path: Path) -> None:
    one, drafts = crew_at(tmp_path, "forms"), store()
    async with at_work(one, item="forms.from-line/head", drafts=drafts) as hands:
        await hands.press(*"29.5")
        saved = kept(drafts, hands)
    async with at_work(again(one, tmp_path), drafts=saved) as hands:
        assert hands.stop.key == "forms.from-line/head"
        field = hands.screen.query_one("#measure", Field)
        assert (field.text, field.dirty, field.has_focus) == ("29.5", True, True)
        assert hands.app.by == FOREMAN


async def test_a_choice_that_was_marked_comes_back_marked_and_not_taken(tmp_path: Path) -> None:
    one, drafts = crew(tmp_path), store()
    async with at_work(one, item="drawing.mirrored", drafts=drafts) as hands:
        await hands.press("2")
        saved = kept(drafts, hands)
    one = again(one, tmp_path)
    async with at_work(one, drafts=saved) as hands:
        assert hands.stop.key == "drawing.mirrored"
        assert hands.screen.query_one("#choice", Choice).marked == 1
        assert one.item("drawing.mirrored").own_state == "open"


@pytest.mark.parametrize(
    ("key", "field"), [("d", "reason"), ("n", "text"), ("m", "text")], ids=["defer", "n/a", "note"]
)
async def test_a_form_that_was_open_has_its_words_when_it_is_asked_again(
    tmp_path: Path, key: str, field: str
) -> None:
    one, drafts = crew(tmp_path), store()
    async with at_work(one, item="drawing.base-end", drafts=drafts) as hands:
        await hands.press(key, *"waits fo")
        saved = kept(drafts, hands)
    async with at_work(again(one, tmp_path), drafts=saved) as hands:
        assert hands.stop.key == "drawing.base-end"
        await hands.press(key)
        assert hands.dialog.query_one(f"#ask-{field}", Field).value == "waits fo"


async def test_the_release_that_was_being_typed_has_its_words_again(tmp_path: Path) -> None:
    one, drafts = crew(tmp_path), store()
    one.pass_section("drawing")
    async with at_work(one, item="hold:drawing", drafts=drafts) as hands:
        await hands.press("h")
        await hands.fill(hands.dialog, by="cy h")
        saved = kept(drafts, hands)
    async with at_work(again(one, tmp_path), drafts=saved) as hands:
        await hands.press("h")
        assert hands.dialog.query_one("#ask-by", Field).value == "cy h"


async def test_a_dialog_that_was_left_does_not_come_back(tmp_path: Path) -> None:
    one, drafts = crew(tmp_path), store()
    async with at_work(one, item="drawing.base-end", drafts=drafts) as hands:
        await hands.press("d", *"waits", "escape")
        saved = kept(drafts, hands)
    async with at_work(again(one, tmp_path), drafts=saved) as hands:
        assert hands.app.screen is hands.screen
        await hands.press("d")
        assert hands.dialog.query_one("#ask-reason", Field).value == ""


async def test_what_is_half_typed_of_one_item_is_not_put_to_another(tmp_path: Path) -> None:
    one, drafts = crew_at(tmp_path, "forms"), store()
    async with at_work(one, item="forms.from-line/base", drafts=drafts) as hands:
        await hands.press("1", "escape", "down", "4")
        hands.app.go("walk", item="forms.from-line/base")
        await hands.settle()
        assert hands.screen.query_one("#measure", Field).text == ""
        hands.app.go("walk", item="forms.from-line/right")
        await hands.settle()
        assert hands.screen.query_one("#measure", Field).text == "4"


def _draft_has(drafts: Drafts, text: str, seconds: float = 10) -> None:
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if text in drafts.load().get("texts", {}).values():
            return
        os.sched_yield()
    raise AssertionError(f"{text} is not on disk")


def test_a_deck_killed_in_the_middle_starts_where_it_was(tmp_path: Path) -> None:
    """With a real process in a real terminal, and SIGKILL."""
    one = crew_at(tmp_path, "forms")
    job = one.desk.plan.folder
    one.desk.close()
    state = tmp_path / "drafts"
    before = Kept(Drafts(state, job))
    before.go(screen="walk", stack="A", panel=1, item="forms.from-line/head", by=FOREMAN)
    before.flush()
    env = {**os.environ, "POURDECK_STATE": str(state), "TERM": "xterm-256color"}
    root = Path(__file__).resolve().parents[2]
    command = [sys.executable, "-m", "pourdeck", "open", str(job)]
    with Terminal(command, env, root) as terminal:
        terminal.wait_for("from the bed line", "log ")
        terminal.press(b"2", quiet=0.1)
        terminal.press(b"9", quiet=0.1)
        _draft_has(Drafts(state, job), "29")
        os.kill(terminal._process.pid, signal.SIGKILL)
    with Terminal(command, env, root) as terminal:
        terminal.wait_for("from the bed line", "head side", "29", "log ")
