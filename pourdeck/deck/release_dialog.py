"""Releasing a hold: the one who releases types the name, and it takes more than pressing a key."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from attrs import frozen
from textual.app import ComposeResult

from pourdeck.deck.ask_dialog import Ask, AskDialog
from pourdeck.deck.dialog_base import fit_list
from pourdeck.deck.spans import Spans
from pourdeck.deck.who import who
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.records import Person
from pourdeck.plan.refusal import Refusal


@frozen(kw_only=True)
class Release:
    """Who releases, as which role, what was seen, and what was done against drying."""

    by: str
    role: str | None
    seen: str
    measures: str = ""


class ReleaseDialog(AskDialog):
    """No key that is pressed by itself releases: the name and what was seen must be typed.

    `shown` is what the one who releases should have read: what to look at, what it covers, what is due. Gives
    the values by their field (`by`, `seen`); `release` makes them a `Release`.
    """

    DEFAULT_CSS = """
    ReleaseDialog RowList { height: auto; margin: 1 0; }
    ReleaseDialog.-low RowList { margin: 0; }
    """
    cancel_verb = "Leave it held"
    ready: ClassVar[tuple[str, ...]] = ()
    rest: int = 14
    """Lines of the dialog beside what is shown."""

    def __init__(
        self,
        title: str,
        shown: Sequence[Spans],
        people: Sequence[Person],
        body: str = "",
        *,
        verb: str = "Release",
        draft: str = "",
        seen: str = "What was seen",
        refused: Callable[[Release], Refusal | None] = lambda _: None,
        measures: tuple[str, ...] = (),
    ) -> None:
        """`seen` is what the words are called. `refused` says why somebody may not do it: then the dialog
        stays, with what was typed. `measures`: those against drying to pick from, where they are asked for.
        """
        self.people = tuple(people)
        self.refused = refused
        self.by_ask = Ask(id="by", label="Name or initials", check=self._check)
        asks = (
            *self.first_asks(),
            self.by_ask,
            *(() if self.people else (Ask(id="role", label="As what (role)"),)),
            *((Ask(id="measures", label="Against drying", ready=measures),) if measures else ()),
            Ask(id="seen", label=seen, ready=self.ready),
        )
        if measures:
            self.rest += 4
        super().__init__(title, asks, body, verb=verb, draft=draft)
        self.shown = tuple(Row(left=spans, wrap=True, indent=2) for spans in shown)

    def first_asks(self) -> tuple[Ask, ...]:
        """What is asked before the name."""
        return ()

    def compose_middle(self) -> ComposeResult:
        if self.shown:
            yield RowList(self.shown, id="shown")
        yield from super().compose_middle()

    def on_mount(self) -> None:
        self.hand_changed()

    def hand_changed(self) -> None:
        super().hand_changed()
        self._fit()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        if self.shown:
            fit_list(self.query_one("#shown", RowList), spare=self.rest + self.pad_rows)

    def _check(self, typed: str) -> str | None:
        if not self.people:
            return None
        found = who(typed, self.people)
        return f"{found.title}. {found.body}" if isinstance(found, Refusal) else None

    def fault(self) -> tuple[Ask, str] | None:
        found = super().fault()
        if found is None:
            why = self.why_not({ask.id: self.value(ask) for ask in self.asks})
            if why is not None:
                return self.by_ask, f"{why.title} {why.body}"
        return found

    def why_not(self, values: dict[str, str]) -> Refusal | None:
        """Why what was typed is not taken."""
        return self.refused(self.release(values))

    def release(self, values: dict[str, str]) -> Release:
        """The typed values with the person's full name and role."""
        found = who(values["by"], self.people) if self.people else None
        known = found if isinstance(found, Person) else None
        return Release(
            by=known.name if known else values["by"],
            role=known.role if known else values.get("role"),
            seen=values["seen"],
            measures=values.get("measures", ""),
        )
