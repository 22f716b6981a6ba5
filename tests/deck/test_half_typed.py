"""Bring back after a kill what was half typed."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.shell import MOST_CHARACTERS, MOST_TEXTS, Here, Kept
from pourdeck.walk.desk import Desk
from tests.deck import driver
from tests.deck.kit import HOSTILE, MemoryStore, Ticks, make_deck, store
from tests.deck.walk_kit import crew_at
from tests.walk.kit import Clock, Crew
from tests.walk.pour_kit import begun, do


def test_place_and_half_typed_text_come_back() -> None:
    drafts = store()
    kept = Kept(drafts)
    kept.go(screen="walk", stack="A", panel=3, item="forms.offset/right-4", by=HOSTILE)
    kept.keep("A/3/forms.offset/right-4", "30")
    assert kept.flush()

    again = Kept(drafts)

    assert again.here == Here(
        screen="walk", stack="A", panel=3, item="forms.offset/right-4", by=HOSTILE
    )
    assert again.text("A/3/forms.offset/right-4") == "30"


def test_nothing_is_written_while_nothing_changed() -> None:
    drafts = store()
    kept = Kept(drafts)
    kept.go(screen="board")
    kept.keep("key", "")
    kept.flush()

    assert drafts.draft == {}


def test_who_only_reads_writes_no_drafts() -> None:
    """The window that holds the log keeps them: another one must not write over what is half typed there."""
    Kept(drafts := store()).keep("key", "half")
    first = Kept(drafts)
    first.keep("key", "half")
    first.flush()
    second = Kept(drafts, write=False)
    second.keep("key", "other")
    second.go(screen="log")

    assert second.flush()
    assert second.text("key") == "other"
    assert Kept(drafts).text("key") == "half"


def test_a_text_that_was_taken_does_not_come_back() -> None:
    kept = Kept(drafts := store())
    kept.keep("key", "half")
    kept.keep("key", "")
    kept.flush()

    assert Kept(drafts).text("key") == ""


def test_what_was_not_written_is_tried_again() -> None:
    class Full(MemoryStore):
        def save(self, draft: dict[str, Any]) -> bool:
            self.message = "What is half typed is not kept: no space left."
            return False

    kept = Kept(Full({}))
    kept.keep("key", "half")

    assert not kept.flush()
    assert kept.changed
    assert kept.message is not None


@pytest.mark.parametrize(
    "draft",
    [
        {"here": "walk", "texts": []},
        {"here": {"screen": 3, "panel": "3", "item": None}, "texts": {"key": 5}},
        {"here": {"panel": True, "by": ["x"]}},
        {"other": 1},
    ],
)
def test_a_draft_of_another_shape_is_passed_over(draft: dict[str, Any]) -> None:
    kept = Kept(MemoryStore(draft))

    assert kept.here == Here()
    assert kept.texts == {}


def test_it_cannot_grow_without_end() -> None:
    kept = Kept(store())
    for number in range(MOST_TEXTS + 50):
        kept.keep(str(number), "x" * (MOST_CHARACTERS + 5))

    assert len(kept.texts) == MOST_TEXTS
    assert len(kept.text(str(MOST_TEXTS + 49))) == MOST_CHARACTERS
    assert kept.text("0") == ""


async def test_the_second_window_on_a_job_leaves_the_drafts_of_the_first_alone(
    tmp_path: Path,
) -> None:
    drafts = store()
    first = make_deck(tmp_path, drafts=drafts)
    first.keep_text("key", "half")
    first.kept.flush()
    kept = dict(drafts.draft)
    reading = Desk.open(
        first.desk.plan.folder, station="shed", clock=Clock(), state_folder=tmp_path, read_only=True
    )
    second = DeckApp(reading, drafts, monotonic=Ticks())
    async with second.run_test(size=(80, 24)):
        second.keep_text("key", "other")
        second.go("log")
        await driver.settle(second)
    assert drafts.draft == kept


def at_a_load(folder: Path) -> Crew:
    one = begun(folder)
    do(one, 1, docket="41", mix="N40/20", batched="now")
    return one


WAITING: dict[str, tuple[Callable[[Path], Crew], str, int]] = {
    "walk": (lambda folder: crew_at(folder, "forms"), "03", 1),
    "ascast": (lambda folder: crew_at(folder, "close"), "7,2m", 2),
    "levels": (lambda folder: crew_at(folder, "height"), "1,5m", 1),
    "pour": (at_a_load, "0608", 1),
}


@pytest.mark.parametrize("screen", WAITING)
async def test_what_was_taken_stays_kept_while_somebody_is_asked_who_it_is(
    tmp_path: Path, screen: str
) -> None:
    """The terminal may be closed under the question."""
    crew, typed, enters = WAITING[screen]
    app = DeckApp(crew(tmp_path).desk, drafts := store(), monotonic=Ticks())
    async with app.run_test(size=(80, 24)):
        app.go(screen, stack="A", panel=1)
        await driver.settle(app)
        await driver.press(app, *typed, *["enter"] * enters)
        assert isinstance(app.screen, ChoiceDialog)
    assert typed in drafts.draft["texts"].values()
