"""Dialogs: what they give, what they refuse, and that no key held down releases a hold."""

from pathlib import Path
from typing import Any

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.choice_dialog import ChoiceDialog, TellDialog
from pourdeck.deck.form import Form, nothing
from pourdeck.deck.form_fields import FormField
from pourdeck.deck.paint import line
from pourdeck.deck.recording import word_step
from pourdeck.deck.widgets.field import Field
from pourdeck.deck.widgets.row_list import Row
from tests.campaign import windows
from tests.deck import driver
from tests.deck.kit import HOSTILE, SIZES, make_deck, page, store

NOTHING = object()


class Given:
    """Hold what a dialog gave, `NOTHING` while it is open."""

    def __init__(self) -> None:
        self.value: Any = NOTHING

    def __call__(self, value: Any) -> None:
        self.value = value


def push(app: DeckApp, dialog: Any) -> Given:
    given = Given()
    app.push_screen(dialog, given)
    return given


def ask(app: DeckApp, title: str, *fields: FormField, body: str = "", draft: str = "") -> Given:
    """Open a form, and keep what is answered in it."""
    given = Given()
    form = Form(title, fields, nothing, body=body, draft=draft, signed=False, done=given)
    app.push_screen(form)
    return given


def note(app: DeckApp, value: str = "") -> Given:
    return ask(app, "Note", FormField(id="text", label="Text", value=value), draft="A/1/note")


CHOICES = tuple(Row(key=name, left=line(name)) for name in ("one", "two", HOSTILE))


async def test_a_choice_is_taken_by_enter_click_or_button(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        given = push(app, ChoiceDialog("Which?", CHOICES))
        await driver.press(app, "down", "enter")
        assert given.value == "two"
        given = push(app, ChoiceDialog("Which?", CHOICES, select=HOSTILE, verb="Take over"))
        await driver.settle(app)
        assert HOSTILE in page(app)
        await driver.click_in(app, "#do")
        assert given.value == HOSTILE
        given = push(app, ChoiceDialog("Which?", CHOICES))
        await driver.press(app, "escape")
        assert given.value is None


async def test_what_is_required_must_be_written_and_is_given_by_its_field(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    asks = (
        FormField(id="reason", label="Reason"),
        FormField(id="owner", label="Owner", choices=(("ada", "Ada Reed"), ("ben", HOSTILE))),
        FormField(id="more", label="More", required=False),
    )
    async with app.run_test(size=(80, 24)):
        given = ask(app, "Defer", *asks)
        await driver.press(app, "enter")
        assert "Type a few words. Tab goes on, Esc leaves." in page(app)
        await driver.press(app, "tab", "right")
        assert HOSTILE in page(app)
        await driver.press(app, "enter", "enter", "enter")
        assert given.value is NOTHING
        assert "Reason: nothing written yet." in page(app)
        await driver.press(app, *"late", "enter", "enter", "enter", "enter")

        assert dict(given.value.values) == {"reason": "late", "owner": "ben", "more": "", "why": ""}


async def test_what_is_half_typed_comes_back_after_a_kill_but_not_after_esc(tmp_path: Path) -> None:
    drafts = store()
    app = make_deck(tmp_path, drafts=drafts)
    async with app.run_test(size=(80, 24)):
        note(app)
        await driver.press(app, *"half")
        app.kept.flush()
    app = make_deck(tmp_path, drafts=drafts)
    async with app.run_test(size=(80, 24)):
        note(app)
        await driver.settle(app)
        assert app.screen.query_one("#ask-text", Field).value == "half"
        await driver.press(app, "escape")
        note(app)
        await driver.settle(app)
        assert app.screen.query_one("#ask-text", Field).value == ""


async def test_a_brushed_key_adds_a_letter_and_destroys_nothing(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        note(app, "kept")
        await driver.press(app, "x")

        assert app.screen.query_one("#ask-text", Field).value == "keptx"


@pytest.mark.parametrize(
    ("pasted", "value"),
    [
        ("one\ntwo", "one two"),
        ("a\tb\r\nc", "a b c"),
        ("x\x1b[201~y", "xy"),
        (HOSTILE, HOSTILE),
    ],
)
async def test_what_is_pasted_becomes_one_line(tmp_path: Path, pasted: str, value: str) -> None:
    from textual import events

    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        given = note(app)
        await driver.settle(app)
        app.post_message(events.Paste(pasted))
        await driver.settle(app)

        assert app.screen.query_one("#ask-text", Field).value == value
        assert given.value is NOTHING
        field = app.screen.query_one("#ask-text", Field)
        assert bool(field.notice) == (pasted != value)


async def test_letters_go_into_a_field_and_not_to_commands(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        note(app)
        await driver.press(app, *"lpudnmhfo")

        assert app.screen.query_one("#ask-text", Field).value == "lpudnmhfo"
        assert app.look.name == "shed"


def release_dialog(app: DeckApp) -> Form:
    step = word_step(app, "release.set-out")
    return Form(
        "Release set-out of W07?",
        (*step.fields(), FormField(id="seen", label="What was seen")),
        nothing,
        shown=[line("look at the offsets"), line(("» ", "deferred"), HOSTILE)],
        word=step,
        draft="release",
    )


@pytest.mark.parametrize("key", ["enter", "space", "y", "r"])
async def test_no_key_held_down_releases_a_hold(tmp_path: Path, key: str) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        given = push(app, release_dialog(app))
        await driver.press(app, *[key] * 20)

        assert given.value in (NOTHING, None)


async def test_the_one_who_releases_types_a_name_and_what_was_seen(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        dialog, given = release_dialog(app), Given()
        dialog.done = given
        app.push_screen(dialog)
        await driver.settle(app)
        assert HOSTILE in page(app)
        dialog.query_one("#ask-by").focus()
        await driver.press(app, *"zz", "enter")
        assert "zz: not on this job" in page(app)
        await driver.press(app, *"ch", "enter", "enter", *"all of it", "enter")
        assert given.value is NOTHING
        await driver.press(app, "enter")

        assert given.value is not NOTHING
        word = given.value.word
        assert (word.of, word.way, word.reason) == ("Cy Hart", "here", "all of it")


async def test_every_dialog_fits_every_size(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    asks = tuple(FormField(id=f"a{number}", label=f"Field {number}") for number in range(3))
    many = tuple(Row(key=str(number), left=line(f"row {number}")) for number in range(40))
    async with app.run_test(size=SIZES[0]):
        for size in windows(SIZES):
            await driver.resize(app, *size)
            for dialog in (
                ChoiceDialog(HOSTILE, many, HOSTILE),
                Form(HOSTILE, asks, nothing, body=HOSTILE, draft=HOSTILE),
                TellDialog(HOSTILE, tuple(line(HOSTILE) for _ in range(60))),
                release_dialog(app),
            ):
                push(app, dialog)
                await driver.settle(app)
                for button in dialog.query("VerbButton"):
                    assert button.region.bottom <= size[1], (size, dialog)
                    assert button.region.width >= 12
                    assert button.region.height == (3 if size[1] >= 24 else 1)
                await driver.press(app, "escape")


async def test_one_of_the_people_of_the_job_comes_on_deck(tmp_path: Path) -> None:
    app = make_deck(tmp_path)
    then: list[str] = []
    async with app.run_test(size=(80, 24)):
        app.as_person(then.append)
        await driver.settle(app)
        await driver.press(app, "enter")
        assert "Nobody is picked" in page(app), "nobody is marked at first"
        await driver.press(app, "down", "down", "enter")
        app.as_person(then.append)
        await driver.settle(app)

        assert then == ["Ben Cole", "Ben Cole"]
        assert "Ben Cole" in page(app).splitlines()[0]
