"""Signing in: who is there, somebody who is added on site, and the PIN that somebody signs with."""

import secrets
from collections.abc import Callable

from attrs import evolve

from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.desk_shell import DeskShell
from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import Answers, FormField, full_name, has_pin, name_field, who
from pourdeck.deck.paint import line
from pourdeck.deck.widgets.row_list import Row
from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import Person
from pourdeck.walk.authority import add_person, pin_refused, set_pin
from pourdeck.walk.quantities import QUANTITIES
from pourdeck.walk.records import Act
from pourdeck.walk.words import initials

ADD, PIN = "add", "pin"
"""Keys of the rows that are nobody."""

SALT_BYTES = 16
_BODY = "This name is written with everything that is recorded from here."


def ask_person(
    app: DeskShell,
    take: Callable[[str], None],
    left: Callable[[], None],
    *,
    title: str,
    by_itself: bool = False,
) -> None:
    """Ask for one of the people of the job, or for a name where the job names nobody."""
    people, now = app.desk.job.people, app.by

    def picked(key: str | None) -> None:
        if key == ADD:
            _ask_to_add(app, take, left)
        elif key is None or key == PIN:
            left()
            if key == PIN:
                _ask_pin(app)
        else:
            _sign_in(app, people[int(key)], take, left)

    if not people:
        name = FormField(id="name", label="Name", quantity=QUANTITIES["name"], value=now or "")
        form = Form(
            title, (name,), lambda _: None, body=_BODY, verb="Sign in", by_itself=by_itself,
            signed=False, done=lambda told: take(told["name"]), left=left, draft="person.name",
        )  # fmt: skip
        app.push_screen(form)
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


def _sign_in(
    app: DeskShell, person: Person, take: Callable[[str], None], left: Callable[[], None]
) -> None:
    """Whoever has a PIN signs in with it; nothing of it is recorded."""
    if person.pin is None:
        take(person.name)
        return

    def wrong(told: Answers) -> Refusal | None:
        waits = app.pins.waiting(person.name)
        found = waits or pin_refused(person, told["pin"])
        app.pins.tried(person.name, waits if waits else found)
        return found

    form = Form(
        f"Sign in: {person.name}", (FormField(id="pin", label="PIN", secret=True),), wrong,
        verb="Sign in", signed=False, done=lambda _: take(person.name), left=left, by_itself=True,
        draft="person.sign-in",
    )  # fmt: skip
    app.push_screen(form)


def _ask_to_add(app: DeskShell, take: Callable[[str], None], left: Callable[[], None]) -> None:
    """Add a hand or a tester, on the word of somebody of the job, and sign the person in."""

    people = app.desk.job.people
    fields = (
        FormField(id="name", label="Name", quantity=QUANTITIES["name"]),
        FormField(id="role", label="As what", choices=(("hand", "hand"), ("tester", "tester"))),
        name_field("by", "Added by", people),
    )

    def make(told: Answers) -> Act | Refusal:
        name = full_name(told["by"], people)
        return add_person(app.desk.job, told["name"], told["role"], name)

    def added(told: Answers) -> None:
        named = who(told["name"], app.desk.job.people)
        take(named.name if isinstance(named, Person) else told["name"])

    form = Form(
        "Add somebody", fields, make, verb="Add", signed=False, done=added, left=left,
        draft="person.add",
        body="An engineer, supervisor, foreman or surveyor comes from the office, in job.toml.",
    )  # fmt: skip
    app.push_screen(form)


def _ask_pin(app: DeskShell) -> None:
    """Set or change the PIN of somebody of the job."""
    people = app.desk.job.people

    def make(told: Answers) -> Act | Refusal:
        name = full_name(told["by"], people)
        waits = app.pins.waiting(name) if told["old"] else None
        act = waits or set_pin(
            app.desk.job, name, told["new"], told["again"],
            secrets.token_bytes(SALT_BYTES), told["old"] or None,
        )  # fmt: skip
        app.pins.tried(name, act)
        there = app.present()
        if isinstance(act, Refusal) or not there:
            return act
        return evolve(act, data={**act.data, "signed_in": there})

    fields = (
        name_field("by", "Name or initials", people),
        FormField(
            id="old",
            label="PIN so far",
            secret=True,
            when=lambda values: has_pin(values["by"], people),
        ),
        FormField(id="new", label="New PIN", secret=True),
        FormField(id="again", label="New PIN again", secret=True),
    )
    body = (
        "Four to eight digits. Whoever has a PIN signs with it. It stops a slip and a borrowed name at the "
        "deck; it does not stop whoever can change the files."
    )
    app.push_screen(
        Form("A PIN", fields, make, body=body, verb="Set", signed=False, draft="person.pin")
    )
