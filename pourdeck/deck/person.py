"""Signing in: who is there, somebody who is added on site, and the PIN that somebody signs with."""

import secrets
from collections.abc import Callable
from typing import TYPE_CHECKING

from pourdeck.deck.ask_dialog import Ask, AskDialog, TextDialog
from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.spans import line
from pourdeck.deck.who import full_name, initials, name_fault, who
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.records import Person
from pourdeck.walk.people_acts import add_person
from pourdeck.walk.pins import set_pin

if TYPE_CHECKING:
    from pourdeck.deck.app import DeckApp

ADD, PIN = "add", "pin"
"""Keys of the rows that are nobody."""

SALT_BYTES = 16
_BODY = "This name is written with everything that is recorded from here."


def ask_person(
    app: "DeckApp", take: Callable[[str], None], *, title: str, by_itself: bool = False
) -> None:
    """Ask for one of the people of the job, or for a name where the job names nobody."""
    people, now = app.desk.job.people, app.by

    def named(values: dict[str, str] | None) -> None:
        if values is not None:
            take(values["text"])

    def picked(key: str | None) -> None:
        if key == ADD:
            _ask_to_add(app, take)
        elif key == PIN:
            _ask_pin(app)
        elif key is not None:
            take(people[int(key)].name)

    if not people:
        dialog = TextDialog(
            title, "Name", _BODY, value=now or "", verb="Sign in", by_itself=by_itself
        )
        app.push_screen(dialog, named)
        return
    rows = [
        Row(
            key=str(index),
            left=line((person.name, "strong"), (f"  {initials(person.name)}", "quiet")),
            right=line(f"{person.role}, PIN" if person.pin else person.role),
        )
        for index, person in enumerate(people)
    ]
    rows.append(Row(key=ADD, left=line("Somebody else: add a hand or a tester")))
    rows.append(Row(key=PIN, left=line("Set or change a PIN")))
    mine = next((str(n) for n, person in enumerate(people) if person.name == now), None)
    select = None if by_itself else mine
    app.push_screen(
        ChoiceDialog(
            title, tuple(rows), _BODY, select=select, verb="Sign in", unmarked=True,
            by_itself=by_itself,
        ),
        picked,
    )  # fmt: skip


def _ask_to_add(app: "DeckApp", take: Callable[[str], None]) -> None:
    """Add a hand or a tester, on the word of somebody of the job, and sign the person in."""

    def added(values: dict[str, str] | None) -> None:
        if values is None:
            return
        name = full_name(values["by"], app.desk.job.people)
        entry = app.record(add_person(app.desk.job, values["name"], values["role"], name))
        if entry is not None:
            take(str(entry.data["name"]))

    asks = (
        Ask(id="name", label="Name"),
        Ask(id="role", label="As what", choices=(("hand", "hand"), ("tester", "tester"))),
        Ask(id="by", label="Added by", check=lambda typed: name_fault(typed, app.desk.job.people)),
    )
    body = "An engineer, supervisor, foreman or surveyor comes from the office, in job.toml."
    app.push_screen(AskDialog("Add somebody", asks, body, verb="Add"), added)


def _ask_pin(app: "DeckApp") -> None:
    """Set or change the PIN of somebody of the job."""
    people = app.desk.job.people

    def has_one(values: dict[str, str]) -> bool:
        found = who(values["by"], people)
        return isinstance(found, Person) and found.pin is not None

    def done(values: dict[str, str] | None) -> None:
        if values is None:
            return
        name = full_name(values["by"], people)
        waits = app.pins.waiting(name) if values["old"] else None
        act = waits or set_pin(
            app.desk.job, name, values["new"], values["again"],
            secrets.token_bytes(SALT_BYTES), values["old"] or None,
        )  # fmt: skip
        app.pins.tried(name, act)
        app.record(act)

    asks = (
        Ask(
            id="by",
            label="Name or initials",
            check=lambda typed: name_fault(typed, app.desk.job.people),
        ),
        Ask(id="old", label="PIN so far", secret=True, when=has_one),
        Ask(id="new", label="New PIN", secret=True),
        Ask(id="again", label="New PIN again", secret=True),
    )
    body = (
        "Four to eight digits. Whoever has a PIN signs with it. It stops a slip and a borrowed name at the "
        "deck; it does not stop whoever can change the files."
    )
    app.push_screen(AskDialog("A PIN", asks, body, verb="Set"), done)
