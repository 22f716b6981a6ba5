"""Two pairs of hands on a deck: one has keys only, the other a mouse only. Both work the same walk."""

from decimal import Decimal
from typing import Any

from attrs import define
from textual.widget import Widget

from pourdeck.deck.app import DeckApp
from pourdeck.deck.choice_dialog import ChoiceDialog, DeckDialog, VerbButton
from pourdeck.deck.form import Form
from pourdeck.deck.screens.walk import WalkScreen
from pourdeck.deck.screens.walk_ends import OddDialog
from pourdeck.deck.views.walk_list import Stop
from pourdeck.deck.widgets.bar import ActionBar, Bar
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.pad import LetterPad, Pad
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk import acts
from pourdeck.walk.records import Act, ItemView, Walk
from tests.deck import driver
from tests.walk.kit import FOREMAN, HAND, good_answer


def typed_answer(item: ItemView) -> str:
    """Write an answer that passes, in characters that a keypad and a pad of letters have."""
    if item.kind == "time":
        return ""
    text = good_answer(item)
    if isinstance(item.expected, Decimal) and "." in text:
        text = text.rstrip("0").rstrip(".")
    return text


def _kind(item: ItemView | None) -> tuple[object, ...]:
    """Give what items have alike that are asked alike."""
    return () if item is None else (item.kind, item.unit, item.second, item.pair)


@define
class Hands:
    """Ask the deck for what both ways of working need, and hold the people who take turns at it."""

    app: DeckApp

    @property
    def screen(self) -> WalkScreen:
        screen = self.app.deck_screen
        assert isinstance(screen, WalkScreen)
        return screen

    @property
    def walk(self) -> Walk:
        walk = self.screen.walk
        assert walk is not None
        return walk

    @property
    def stop(self) -> Stop:
        stop = self.screen.stop
        assert stop is not None
        return stop

    @property
    def dialog(self) -> DeckDialog[Any]:
        dialog = self.app.screen
        assert isinstance(dialog, DeckDialog), dialog
        return dialog

    @property
    def entries(self) -> int:
        return len(self.app.desk.state.entries)

    async def settle(self) -> None:
        await driver.settle(self.app)

    # Each pair of hands does these its own way.

    async def act(self, action_id: str) -> None:
        """Start an action of the screen."""
        raise NotImplementedError

    async def write(self, text: str) -> None:
        """Write into the line of words that has the focus, or into the field of the item."""
        raise NotImplementedError

    async def enter(self) -> None:
        raise NotImplementedError

    async def begin_time(self) -> None:
        """The time now, in the field and not yet recorded."""
        await self.enter()

    async def choose(self, words: str) -> None:
        raise NotImplementedError

    async def pick(self, key: str) -> None:
        """Take a row of a dialog by its key."""
        raise NotImplementedError

    async def press_button(self, button_id: str) -> None:
        raise NotImplementedError

    async def to_field(self, field: Widget) -> None:
        raise NotImplementedError

    async def open_panel(self) -> None:
        """From the board to the walk of the marked panel."""
        raise NotImplementedError

    # What is done with them.

    async def person(self, name: str = FOREMAN) -> None:
        """Say who is signed in, where the deck asks for it."""
        if isinstance(self.app.screen, ChoiceDialog):
            await self.pick(str(self._place_of(name)))

    def _place_of(self, name: str) -> int:
        return [person.name for person in self.app.desk.job.people].index(name)

    async def answer(self, typed: str | None = None) -> None:
        """Answer the item in hand, by a second person where one must."""
        item = self.stop.item
        assert item is not None
        text = typed_answer(item) if typed is None else typed
        if item.kind == "choice":
            await self.choose(text)
        elif item.kind == "time" and not text:
            await self.begin_time()
            await self.enter()
        elif item.kind in ("text", "time"):
            await self.enter()
            if text:
                await self.write(text)
            await self.enter()
        else:
            await self.write(text)
            await self.enter()
        await self._confirm()
        if item.second:
            await self.pick(HAND)
        else:
            await self.person()

    async def _confirm(self) -> None:
        """A number that is far off is asked about once."""
        field = self.screen.query_one("#measure", Field)
        if field.display and field.reason.startswith("Did you mean") and not self._over():
            await self.enter()

    def _over(self) -> bool:
        return isinstance(self.app.screen, DeckDialog)

    async def release(self, by: str = "ch", seen: str = "ok 1") -> None:
        await self.act("release")
        dialog = self.dialog
        assert isinstance(dialog, Form)
        await self.fill(dialog, by=by, seen=seen)
        await self.press_button("do")

    async def fill(self, dialog: Form, **texts: str) -> None:
        for name, text in texts.items():
            field = dialog.query_one(f"#ask-{name}", Field)
            await self.to_field(field)
            await self.write(text)

    async def end(self) -> None:
        """Do what the stop at the end of a section wants: its release, or the word that it is complete."""
        if self.stop.kind == "hold":
            await self.release()
        else:
            await self.act("take")
            await self.person()
            await self.close()

    async def close(self, by: str = "ar") -> None:
        """Confirm what is odd, where it is asked, and close the panel by name."""
        if isinstance(self.app.screen, OddDialog):
            await self.press_button("do")
        if isinstance(form := self.app.screen, Form):
            await self.fill(form, by=by)
            await self.press_button("do")

    async def work(self, until: str = "cast", most: int = 400) -> None:
        """Do what is in hand until the panel is cast, or a stop is in hand.

        Of items that are asked alike the first is answered on the screen, the rest behind it.
        """
        done: set[tuple[object, ...]] = set()
        for _ in range(most):
            stop = self.stop
            if until in (self.walk.panel_state, stop.key):
                return
            before = self.entries
            kind = _kind(stop.item)
            if stop.item and kind in done:
                self._answer_behind(stop.item, done)
            elif stop.item:
                done.add(kind)
                await self.answer()
            else:
                await self.end()
            await self.settle()
            assert self.entries > before, (stop.key, self.app.said)
        raise AssertionError(f"still at {self.stop.key}")

    def _answer_behind(self, item: ItemView | None, done: set[tuple[object, ...]]) -> None:
        """Answer this item and those after it in its section that are asked alike; then look again."""
        desk = self.app.desk
        stack, number = self.walk.stack, self.walk.number
        while item is not None and _kind(item) in done:
            by = HAND if item.second else FOREMAN
            walk = desk.walk(stack, number)
            act = acts.answer(walk, item.key, good_answer(item), by, desk.now())
            assert isinstance(act, Act), act
            desk.record(act)
            section = desk.walk(stack, number).section(item.section)
            assert section is not None
            item = next((one for one in section.items if not one.answered), None)
        self.screen.go_on()
        self.app.refresh_screen()


@define
class Keys(Hands):
    """A keyboard and nothing else."""

    async def press(self, *keys: str) -> None:
        await driver.press(self.app, *keys)

    async def open_panel(self) -> None:
        await self.press("enter")
        await self.settle()

    async def act(self, action_id: str) -> None:
        from pourdeck.deck.actions import ACTIONS

        await self.press(next(one.keys[0] for one in ACTIONS if one.id == action_id))

    async def write(self, text: str) -> None:
        await self.press(*text)

    async def enter(self) -> None:
        await self.press("enter")

    async def choose(self, words: str) -> None:
        item = self.stop.item
        assert item is not None
        await self.press(str(item.choices.index(words) + 1), "enter")

    async def pick(self, key: str) -> None:
        rows = self.dialog.query_one(RowList)
        while rows.key != key:
            before = rows.key
            await self.press("down")
            assert rows.key != before, key
        await self.press("enter")

    async def press_button(self, button_id: str) -> None:
        await self.focus(self.dialog.query_one(f"#{button_id}"))
        await self.press("enter")

    async def to_field(self, field: Widget) -> None:
        await self.focus(field)

    async def focus(self, widget: Widget) -> None:
        for _ in range(20):
            if self.app.screen.focused is widget:
                return
            await self.press("tab")
        raise AssertionError(f"{widget} cannot be reached with Tab")


@define
class Clicks(Hands):
    """A mouse, or a finger on a tablet, and nothing else."""

    async def open_panel(self) -> None:
        await self.act("open-panel")
        await self.settle()

    async def click(self, widget: Widget, x: int, y: int) -> None:
        await driver.click(self.app, widget, x, y)

    async def act(self, action_id: str) -> None:
        for bar in self.app.screen.query(Bar):
            for one in bar.laid(bar.content_size.width) if bar.display else ():
                if one.chip.action == action_id:
                    await self.click(bar, one.start + 1, (bar.size.height - 1) // 2)
                    return
        bar = self.app.screen.query_one(ActionBar)
        assert action_id != "more", "there is no place to click for More"
        await self.act("more")
        await self.pick(action_id)

    async def pad(self, key: str) -> None:
        pads = [pad for pad in self.app.screen.query(Pad) if pad.display]
        assert len(pads) == 1, pads
        pad = pads[0]
        button = next(one for one in pad.buttons if one.key == key)
        await self.click(pad, button.x + button.width // 2, button.y + button.height // 2)

    async def write(self, text: str) -> None:
        if not any(pad.display for pad in self.app.screen.query(Pad)):
            field = self.app.screen.query_one("#measure", Field)
            await self.click(field, 4, 0)
            await self.settle()
        for char in text:
            letters = isinstance(self._pad(), LetterPad)
            if letters and char.isupper():
                await self.pad("shift")
            await self.pad({" ": "space"}.get(char, char.lower() if letters else char))

    def _pad(self) -> Pad:
        return next(pad for pad in self.app.screen.query(Pad) if pad.display)

    async def enter(self) -> None:
        if not any(pad.display for pad in self.app.screen.query(Pad)):
            field = self.app.screen.query_one("#measure", Field)
            await self.click(field, 4, 0)
            await self.settle()
            return
        await self.pad("enter")

    async def begin_time(self) -> None:
        await self.pad("now")

    async def choose(self, words: str) -> None:
        item = self.stop.item
        assert item is not None
        field = self.screen.query_one("#choice", Choice)
        row = item.choices.index(words) - field.top
        y = row * field.rows_each + field.rows_each // 2
        if field.marked != item.choices.index(words):
            await self.click(field, 6, y)
        row = item.choices.index(words) - field.top
        await self.click(field, 6, row * field.rows_each + field.rows_each // 2)

    async def pick(self, key: str) -> None:
        rows = self.dialog.query_one(RowList)
        for _ in range(60):
            await self.settle()
            at = next(n for n, one in enumerate(rows.lines) if rows.rows[one.row].key == key)
            if rows.top <= at < rows.top + rows.page:
                break
            await driver.scroll(self.app, rows, down=at >= rows.top)
        if rows.key != key:
            await self.click(rows, 4, at - rows.top)
        await self.settle()
        at = next(n for n, one in enumerate(rows.lines) if rows.rows[one.row].key == key)
        await self.click(rows, 4, at - rows.top)

    async def press_button(self, button_id: str) -> None:
        await self.click(self.dialog.query_one(f"#{button_id}", VerbButton), 4, 0)

    async def to_field(self, field: Widget) -> None:
        await self.click(field, 1, 0)
