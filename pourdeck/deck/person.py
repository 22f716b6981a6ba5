"""Asking who is signed in."""

from collections.abc import Callable, Sequence
from typing import Any

from textual.app import App

from pourdeck.deck.dialogs import ChoiceDialog, TextDialog
from pourdeck.deck.spans import line
from pourdeck.deck.who import initials
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.records import Person

_BODY = "This name is written with everything that is recorded from here."


def ask_person(
    app: App[Any],
    people: Sequence[Person],
    now: str | None,
    take: Callable[[str], None],
    *,
    by_itself: bool = False,
) -> None:
    """Ask for one of the people of the job, or for a name where the job names nobody."""

    def named(values: dict[str, str] | None) -> None:
        if values is not None:
            take(values["text"])

    def picked(key: str | None) -> None:
        if key is not None:
            take(people[int(key)].name)

    if not people:
        app.push_screen(
            TextDialog(
                "Who is signed in?", "Name", _BODY, value=now or "", verb="Take over",
                by_itself=by_itself,
            ),
            named,
        )  # fmt: skip
        return
    rows = tuple(
        Row(
            key=str(index),
            left=line((person.name, "strong"), (f"  {initials(person.name)}", "quiet")),
            right=line(person.role),
        )
        for index, person in enumerate(people)
    )
    mine = next((str(n) for n, person in enumerate(people) if person.name == now), None)
    app.push_screen(
        ChoiceDialog(
            "Who is signed in?", rows, _BODY, select=mine, verb="Take over", unmarked=True,
            by_itself=by_itself,
        ),
        picked,
    )  # fmt: skip
