"""A full disk: what was typed stays on the screen and in the draft, and one key saves it when there is room.

Each way into the log is a row of WAYS, by the function that opens it; none may be missing.
"""

import ast
import errno
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from attrs import field, frozen

from pourdeck.deck import person, recording
from pourdeck.deck.app import DeckApp
from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.desk_shell import nothing
from pourdeck.deck.form import Form
from pourdeck.deck.screens import concrete_asks, strength
from pourdeck.deck.screens.lift import LiftAsks
from pourdeck.deck.screens.pour_asks import PourAsks, PourLoads
from pourdeck.deck.screens.walk_asks import WalkAsks
from pourdeck.deck.screens.walk_ends import WalkEnds
from pourdeck.deck.shell import Kept
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.field import Field
from pourdeck.walk import acts
from pourdeck.walk.strength_acts import specimen
from tests.deck import driver
from tests.deck.kit import MemoryStore, Ticks, page, store
from tests.deck.walk_kit import crew_at
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    HAND,
    WITH_ENGINEER,
    Crew,
    NoSync,
    crew,
    on_second,
)
from tests.walk.lift_kit import ENGINEER as LIFTS_ENGINEER
from tests.walk.lift_kit import lift_day
from tests.walk.pour_kit import at_the_pour, begun, do
from tests.walk.strength_kit import TEXT

DECK = Path(__file__).parents[2] / "pourdeck" / "deck"
TYPED = "written in the rain"

NOTHING_RECORDED = {
    "levels.another_point": "it names what is read next",
    "person.ask_person": "it signs in",
    "person._sign_in": "it signs in with a PIN, which is never kept",
    "strength._ask_start": "it is asked again with what was typed; the form that records stays",
    "recording.redo": "nothing is typed for it",
    "walk_ends.complete": "nothing is typed for it",
    "recording.ask_time": "nothing is typed for it",
    "backing_up.ask": "it names a folder to copy to",
}


MECHANISM = {"recording.record_act", "desk_shell.record", "form._do", "recording.answer_for"}


def ways_in() -> set[str]:
    """Every function of the deck that opens a form or records what was typed."""
    found = set()
    for path in DECK.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        classes = [one for one in tree.body if isinstance(one, ast.ClassDef)]
        for one in (*tree.body, *(each for made in classes for each in made.body)):
            if isinstance(one, ast.FunctionDef) and any(map(opens, ast.walk(one))):
                found.add(f"{path.stem}.{one.name}")
    return found


def opens(one: ast.AST) -> bool:
    name = one.func if isinstance(one, ast.Call) else None
    if isinstance(name, ast.Name):
        return name.id in ("Form", "answer_for", "record_act")
    return isinstance(name, ast.Attribute) and name.attr in ("record", "record_act")


@frozen(kw_only=True, eq=False)
class Way:
    """Hold how a form comes about, and what is answered in it. `entries`: so many does it record."""

    crew: Callable[[Path], Crew]
    open: Callable[[DeckApp], Any]
    answers: dict[str, str] = field(factory=dict)
    screen: str = "walk"
    item: str = ""
    entries: int = 1


ITEM, WIDE = "forms.from-line/base", "close.width/base"


def walk(app: DeckApp) -> Any:
    return app.deck_screen


async def take(app: DeckApp, text: str) -> None:
    """Type a text into the field in hand, where it does not stand there yet, and take it."""
    line = next(one for one in app.deck_screen.query(Field) if one.display)  # type: ignore[union-attr]
    if line.text != text:
        line.load_draft(text)
        line.post_message(Field.Edited(line))
    line.focus()
    await driver.settle(app)
    await driver.press(app, "enter")
    if not isinstance(app.screen, Form) and line.asked:
        await driver.press(app, "enter")


def at_forms(folder: Path) -> Crew:
    return crew_at(folder, "forms")


def failed(folder: Path) -> Crew:
    one = at_forms(folder)
    one.answer(ITEM, "9")
    return one


def answered(folder: Path) -> Crew:
    one = at_forms(folder)
    one.answer(ITEM, "1")
    return one


def at_hold(folder: Path) -> Crew:
    one = crew(folder)
    one.pass_section("drawing")
    return one


def too_wide(folder: Path) -> Crew:
    one = crew_at(folder, "close", WITH_ENGINEER)
    one.answer(WIDE, "3012")
    return one


def to_repair(folder: Path) -> Crew:
    one = too_wide(folder)
    one.do(acts.dispose(one.walk, WIDE, "repair", "grind it", CHECKER))
    return one


def at_its_end(folder: Path) -> Crew:
    one = crew_at(folder, "close")
    one.pass_section("close")
    return one


async def close(app: DeckApp) -> None:
    WalkEnds(walk(app))._close()
    await driver.settle(app)
    if isinstance(app.screen, ChoiceDialog):
        app.screen.submit()


def arrived(folder: Path, start: Callable[..., Crew] = begun, minutes: int = 20) -> Crew:
    one = start(folder)
    do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6.0")
    one.clock.later(minutes=minutes)
    do(one, 1, arrived="now", slump="80", temperature="21")
    return one


def in_hand(key: str, text: str) -> Callable[[DeckApp], Awaitable[None]]:
    """At a cell of the first load: type and take it."""

    async def opened(app: DeckApp) -> None:
        walk(app).take_in_hand((1, key))
        await driver.settle(app)
        await take(app, text)

    return opened


def poured(folder: Path) -> Crew:
    return crew_at(folder, "finish", TEXT)


def with_specimen(folder: Path) -> Crew:
    one = poured(folder)
    one.do(specimen(one.walk, "F1", "field", "", "now", FOREMAN, one.clock.at))
    one.clock.later(hours=30)
    return one


async def from_file(app: DeckApp) -> None:
    """The file is named where it does not stand there yet; what it holds is then to be recorded."""
    strength.ask_file(walk(app))
    await driver.settle(app)
    path = app.screen.query_one("#ask-path", Field)
    name = str(app.desk.plan.folder / "logger.csv")
    if path.value != name:
        at = app.desk.now()
        Path(name).write_text(f"Time,Temp (°C)\n{at:%Y-%m-%d %H:%M},21.5\n", encoding="utf-8")
        path.load_draft(name)
    app.screen.submit()  # type: ignore[attr-defined]


def lifts(folder: Path) -> Crew:
    day = lift_day(folder)
    day.result(2)
    return day.crew


def to_lift(folder: Path) -> Crew:
    day = lift_day(folder)
    day.fit(2)
    return day.crew


def laid_bare(folder: Path) -> Crew:
    day = lift_day(folder)
    day.fit(2)
    day.lift(2)
    return Crew(day.crew.desk, day.crew.clock)


def of_lift(name: str) -> Callable[[DeckApp], None]:
    def opened(app: DeckApp) -> None:
        view = app.desk.lift("A", 1 if name == "look" else 2)
        getattr(LiftAsks(walk(app)), name)(view)

    return opened


async def resize(app: DeckApp) -> None:
    width = app.screen.query(Field).first()
    if not width.text:
        await driver.press(app, *"2900")
    walk(app).action_record_resize()


BY = {"by": "Cy Hart", "seen": TYPED}

WAYS = {
    "walk_asks._ask": Way(
        crew=at_forms, item=ITEM, answers={"text": TYPED},
        open=lambda app: WalkAsks(walk(app)).note(walk(app).item)),
    "walk_asks.defer": Way(
        crew=at_forms, item=ITEM, answers={"reason": TYPED, "owner": HAND},
        open=lambda app: WalkAsks(walk(app)).defer(walk(app).item)),
    "walk_asks._answer_for": Way(
        crew=failed, item=ITEM, answers=BY,
        open=lambda app: WalkAsks(walk(app)).follow_up(walk(app).stop)),
    "walk_asks._dispose": Way(
        crew=too_wide, item=WIDE, answers={"disposition": "repair", **BY},
        open=lambda app: WalkAsks(walk(app)).follow_up(walk(app).stop)),
    "walk_asks._looked_at": Way(
        crew=to_repair, item=WIDE, answers={"by": ENGINEER, "seen": TYPED},
        open=lambda app: WalkAsks(walk(app))._looked_at(walk(app).item.out)),
    "walk_ends.release": Way(
        crew=at_hold, answers=BY, open=lambda app: WalkEnds(walk(app)).release("drawing")),
    "walk_ends.pass_unreleased": Way(
        crew=at_hold, answers=BY, open=lambda app: WalkEnds(walk(app)).pass_unreleased("drawing")),
    "walk_ends._close": Way(crew=at_its_end, answers={"by": CHECKER}, open=close),
    "recording.ask_why": Way(
        crew=answered, item=ITEM, answers={"why": TYPED}, open=lambda app: take(app, "2")),
    "pour_asks.turn_away": Way(
        crew=arrived, screen="pour", answers={"reason": TYPED},
        open=lambda app: PourAsks(walk(app)).turn_away(1)),
    "pour_asks.not_measured": Way(
        crew=lambda folder: do_docket(begun(folder)), screen="pour", answers={"text": TYPED},
        open=lambda app: PourAsks(walk(app)).not_measured(1, "slump")),
    "pour_asks.weather": Way(
        crew=begun, screen="pour", open=lambda app: PourAsks(walk(app)).weather(),
        answers={"concrete": "20", "air": "21", "humidity": "50", "wind": "5"}),
    "pour_asks.note": Way(
        crew=begun, screen="pour", answers={"text": TYPED},
        open=lambda app: PourAsks(walk(app)).note()),
    "pour_asks.docket": Way(
        crew=begun, screen="pour", answers={"docket": "D-9", "volume": "5.8"},
        open=lambda app: PourLoads(walk(app)).docket(1)),
    "pour_asks._ask_who": Way(
        crew=arrived, screen="pour", answers={"who": TYPED}, open=in_hand("water", "10")),
    "pour_asks._ask_let_in": Way(
        crew=lambda folder: arrived(folder, minutes=100), screen="pour", answers=BY,
        open=in_hand("begun", "now")),
    "pour_asks._offer_start": Way(
        crew=lambda folder: arrived(folder, at_the_pour), screen="pour", entries=2,
        open=in_hand("begun", "now")),
    "concrete_asks.ask_specimen": Way(
        crew=poured, screen="strength", answers={"name": "F7", "cured": "field"},
        open=lambda app: concrete_asks.ask_specimen(walk(app))),
    "concrete_asks.ask_temperature": Way(
        crew=poured, screen="strength", answers={"value": "21.5"},
        open=lambda app: concrete_asks.ask_temperature(walk(app))),
    "concrete_asks.ask_result": Way(
        crew=with_specimen, screen="strength", answers={"value": "12.5", "time": "now"},
        open=lambda app: concrete_asks.ask_result(walk(app))),
    "strength._read": Way(crew=poured, screen="strength", open=from_file),
    "lift.release": Way(
        crew=lifts, screen="lift", answers={"by": LIFTS_ENGINEER, "seen": TYPED},
        open=of_lift("release")),
    "lift.lift": Way(crew=to_lift, screen="lift", open=of_lift("lift")),
    "lift.look": Way(
        crew=laid_bare, screen="lift", open=of_lift("look"),
        answers={"recesses": "not clean", "residue": "none", "face": "sound", "more": TYPED}),
    "resize._ask_to_record": Way(crew=on_second, screen="resize", answers=BY, open=resize),
    "person._ask_to_add": Way(
        crew=at_forms, answers={"name": "New Hand", "role": "tester", "by": FOREMAN},
        open=lambda app: person._ask_to_add(app, nothing, nothing)),
    "person._ask_pin": Way(
        crew=at_forms, answers={"by": FOREMAN, "new": "2468", "again": "2468"}, open=person._ask_pin),
    "recording.undo": Way(
        crew=with_specimen, screen="strength", answers={"why": TYPED}, open=recording.undo),
}  # fmt: skip


def do_docket(one: Crew) -> Crew:
    do(one, 1, docket="D-1", mix="N40/20", batched="now", volume="6.0")
    return one


@frozen(kw_only=True, eq=False)
class Line:
    """A field of a screen, and what is typed there."""

    crew: Callable[[Path], Crew]
    screen: str
    text: str
    item: str = ""
    place: Callable[[DeckApp], Any] = nothing


LINES = {
    "walk_answer.record_answer": Line(crew=at_forms, screen="walk", item=ITEM, text="1"),
    "ascast._record": Line(
        crew=lambda folder: crew_at(folder, "close"), screen="ascast", text="100.999",
        place=lambda app: walk(app).stand_at("rl_bl")),
    "levels._record": Line(
        crew=lambda folder: crew_at(folder, "levels"), screen="levels", text="1.234"),
    "pour_asks._write": Line(
        crew=lambda folder: do_docket(begun(folder)), screen="pour", text="80",
        place=lambda app: walk(app).take_in_hand((1, "slump"))),
}  # fmt: skip


def test_no_way_into_the_log_is_forgotten() -> None:
    known = {
        *WAYS,
        *LINES,
        *NOTHING_RECORDED,
        *MECHANISM,
        "recording.ask_second",
        "strength.ask_file",
    }
    assert ways_in() == known


@pytest.fixture
def room(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """Whether there is room on the disk; each write asks for it."""
    there, write = [True], NoSync.write

    def maybe(disk: NoSync, fd: int, data: bytes | memoryview) -> int:
        if not there[0]:
            raise OSError(errno.ENOSPC, "No space left on device")
        return write(disk, fd, data)

    monkeypatch.setattr(NoSync, "write", maybe)
    return there


def deck(one: Crew, screen: str, item: str, drafts: MemoryStore) -> DeckApp:
    here = {
        "screen": screen, "stack": one.stack, "panel": one.number, "item": item or None,
        "by": FOREMAN, "by_at": one.clock.at.isoformat(),
    }  # fmt: skip
    drafts.draft = {"here": here, "texts": {}}
    return DeckApp(one.desk, drafts, monotonic=Ticks())


async def opened(app: DeckApp, way: Way) -> Form:
    made = way.open(app)
    if made is not None:
        await made
    await driver.settle(app)
    form = app.screen
    assert isinstance(form, Form), form
    return form


async def fill(app: DeckApp, form: Form, answers: dict[str, str]) -> None:
    for name, text in answers.items():
        widget = form.query_one(f"#ask-{name}")
        if isinstance(widget, Choice):
            widget.action_mark(1 + [key for key, _ in widget.choices].index(text))
        elif isinstance(widget, Field) and widget.text != text:
            widget.load_draft(text)
            widget.post_message(Field.Edited(widget))
        await driver.settle(app)


async def press_do(app: DeckApp, form: Form) -> None:
    form.query_one("#do").focus()
    await driver.settle(app)
    await driver.press(app, "enter")


@pytest.mark.parametrize("name", WAYS)
async def test_a_form_keeps_all_until_it_is_saved(
    name: str, tmp_path: Path, room: list[bool]
) -> None:
    way, drafts = WAYS[name], store()
    one = way.crew(tmp_path)
    app = deck(one, way.screen, way.item, drafts)
    async with app.run_test(size=(80, 40)):
        await driver.settle(app)
        form = await opened(app, way)
        await fill(app, form, way.answers)
        before = len(app.desk.state.entries)
        secret = {each.id for each in form.fields if each.secret}
        decided = {each.id for each in form.fields if each.decides}
        room[0] = False
        await press_do(app, form)
        for _ in range(2):
            assert app.screen is form
            assert "NOT SAVED" in page(app)
            assert form.values() | way.answers == form.values() or "time" in way.answers
            again = Kept(drafts)
            kept = {id: again.text(f"{form.draft}.{id}") for id in form.values()}
            stands = {id: "" if id in secret else text for id, text in form.values().items()}
            assert kept == stands
            assert "now" not in kept.values(), "a time is the time it was said"
            await driver.press(app, "enter")
        await driver.press(app, "escape")
        assert app.screen is not form
        one.clock.later(minutes=3)

        form = await opened(app, way)
        stands = {id: "" if id in secret | decided else text for id, text in kept.items()}
        assert {id: text for id, text in form.values().items() if id not in secret} == {
            id: text for id, text in stands.items() if id not in secret
        }
        await fill(app, form, {id: way.answers[id] for id in way.answers if id in secret | decided})
        room[0] = True
        await press_do(app, form)
        assert app.screen is not form
        assert len(app.desk.state.entries) == before + way.entries
        app.kept.flush()
        assert not any(key.startswith(f"{form.draft}.") for key in Kept(drafts).texts)
    assert "2468" not in str(drafts.draft)


@pytest.mark.parametrize("name", LINES)
async def test_a_field_keeps_what_was_typed_until_it_is_saved(
    name: str, tmp_path: Path, room: list[bool]
) -> None:
    way, drafts = LINES[name], store()
    one = way.crew(tmp_path)
    app = deck(one, way.screen, way.item, drafts)
    async with app.run_test(size=(80, 40)):
        await driver.settle(app)
        way.place(app)
        await driver.settle(app)
        before = len(app.desk.state.entries)
        room[0] = False
        await take(app, way.text)
        for _ in range(2):
            line = next(each for each in app.screen.query(Field) if each.display)
            assert line.text == way.text
            assert "NOT SAVED" in page(app)
            assert way.text in Kept(drafts).texts.values()
            await driver.press(app, "enter")
        room[0] = True
        await driver.press(app, "enter")
        if not len(app.desk.state.entries) > before:
            await driver.press(app, "enter")
        assert len(app.desk.state.entries) == before + 1
        app.kept.flush()
        assert way.text not in Kept(drafts).texts.values()


async def test_who_read_it_stays_marked_until_it_is_saved(tmp_path: Path, room: list[bool]) -> None:
    one, drafts = crew(tmp_path), store()
    one.pass_item("drawing.mark")
    app = deck(one, "walk", "drawing.width", drafts)
    async with app.run_test(size=(80, 40)):
        await driver.settle(app)
        before = len(app.desk.state.entries)
        room[0] = False
        await take(app, "3000")
        await driver.press(app, "down", "down", "enter")
        assert isinstance(app.screen, ChoiceDialog)
        assert "NOT SAVED" in page(app)
        assert "3000" in Kept(drafts).texts.values()
        room[0] = True
        await driver.press(app, "enter")
        assert len(app.desk.state.entries) == before + 1
        assert app.desk.state.last is not None
        assert app.desk.state.last.data["second"] != FOREMAN


async def test_the_next_start_says_that_something_was_not_saved(
    tmp_path: Path, room: list[bool]
) -> None:
    one, drafts = at_forms(tmp_path), store()
    app = deck(one, "walk", ITEM, drafts)
    async with app.run_test(size=(80, 24)):
        await driver.settle(app)
        room[0] = False
        await take(app, "1")
    again = DeckApp(one.desk, drafts, monotonic=Ticks())
    async with again.run_test(size=(80, 24)):
        await driver.settle(again)
        assert "NOT SAVED when the deck was last open: answer P1" in page(again)
        assert again.screen.query_one("#measure", Field).text == "1"
        room[0] = True
        await driver.press(again, "enter")
        assert again.kept.text("unsaved") == ""
