"""Recording what was measured on the as-cast screen, by the acts of the walk."""

from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.deck.dialogs import TextDialog
from pourdeck.deck.twice_drafts import drop_both, first_reading, keep_first
from pourdeck.deck.views.cast_card import cast_field
from pourdeck.deck.views.cast_rows import value_words
from pourdeck.deck.views.ready_words import CORRECTING, FOLLOWING_UP
from pourdeck.deck.widgets.banner import Said
from pourdeck.plan.lengths import NotALength
from pourdeck.plan.refusal import Refusal
from pourdeck.walk import acts
from pourdeck.walk.ascast import as_cast
from pourdeck.walk.cast_sheet import CastLine
from pourdeck.walk.cast_words import cast_name
from pourdeck.walk.records import Act
from pourdeck.walk.twice import asks_twice, mean, together

if TYPE_CHECKING:
    from pourdeck.deck.screens.ascast import AsCastScreen


class AsCastRecord:
    """From what was typed to an entry; `one` is the line as it stands, nothing typed in it."""

    def __init__(self, screen: "AsCastScreen") -> None:
        self.screen = screen

    def take(self, one: CastLine, typed: str) -> None:
        """Record what was typed, or keep it as the first of two readings."""
        deck, draft = self.screen.deck, self.screen.line_draft(one)
        walk, first = self.screen.walk, first_reading(self.screen.deck, draft)
        if walk is None:
            return
        if asks_twice(walk.job, one.key) and not first:
            keep_first(deck, draft, typed)
            self.screen.show_again()
            words = f"{cast_name(one.key)}: first reading taken"
            deck.say(Said("note", words, "Measure it again without looking at it. Esc drops it."))
            return
        value = self._value(one, typed)
        if value is not None and first:
            before = self._value(one, first)
            both = self._together(one, before, value)
            if isinstance(both, Refusal):
                drop_both(deck, draft)
                self.screen.show_again()
                deck.refuse(both)
                return
            value = mean(before, value) if before is not None else None
        if one.found is not None and value == one.found and self._stands(one):
            drop_both(deck, draft)
            self.screen.show_again()
            shown = value_words(one.key, one.found, walk.job.units)
            deck.say(Said("note", f"Unchanged, nothing recorded: {cast_name(one.key)} {shown}"))
            return

        def named(by: str) -> None:
            if one.found is not None and self._stands(one):
                self._ask_why(one, typed, first, by)
            else:
                self._record(one, typed, first, by, "")

        deck.as_person(named)

    def _together(
        self, one: CastLine, first: Decimal | None, second: Decimal
    ) -> Decimal | Refusal | None:
        walk = self.screen.walk
        if walk is None or first is None:
            return None
        return together(walk.job, one.key, first, second, cast_name(one.key))

    def _value(self, one: CastLine, typed: str) -> Decimal | None:
        walk = self.screen.walk
        try:
            return cast_field(one, walk).parse(typed) if walk else None
        except NotALength:
            return None

    def _stands(self, one: CastLine) -> bool:
        """Whether another value would replace one: what lapsed or was put off is not replaced."""
        return one.item is None or one.item.own_state in ("done", "failed")

    def _ask_why(self, one: CastLine, typed: str, first: str, by: str) -> None:
        failed = one.item is not None and one.item.own_state == "failed"
        title = "What was done about it?" if failed else "Why does the answer change?"
        body = f"{cast_name(one.key)}: now {typed}. The old answer stays in the record beside it."

        def told(values: dict[str, str] | None) -> None:
            if values is None:
                drop_both(self.screen.deck, self.screen.line_draft(one))
                self.screen.show_again()
            else:
                self._record(one, typed, first, by, values["text"])

        ready = FOLLOWING_UP if failed else CORRECTING
        self.screen.app.push_screen(
            TextDialog(title, "In a few words", body, ready=ready, by_itself=True), told
        )

    def _record(self, one: CastLine, typed: str, first: str, by: str, why: str) -> None:
        deck = self.screen.deck
        act = self._act(one, typed, first, by, why)
        if isinstance(act, Refusal):
            deck.refuse(act)
            self.screen.show_again()
            return
        draft = self.screen.line_draft(one)
        if deck.record(act) is None:
            # Not saved: what was typed is still all there is of it.
            self.screen.show_again()
            return
        drop_both(deck, draft)
        # While it was saved the draft was still there, and stood in the field as an open edit.
        self.screen.show_again()
        self.screen.go_on(one.key)

    def _act(self, one: CastLine, typed: str, first: str, by: str, why: str) -> Act | Refusal:
        walk = self.screen.walk
        assert walk is not None
        if one.item is not None:
            now = self.screen.deck.desk.now()
            return acts.answer(walk, one.item.key, typed, by, now, why, first)
        value, before = self._value(one, typed), self._value(one, first) if first else None
        if value is None:
            return Refusal(title=f"{cast_name(one.key)}: {typed} is no length.", body="Look again.")
        if before is not None:
            return as_cast(walk, {}, by, why, {one.key: (before, value)})
        return as_cast(walk, {one.key: value}, by, why)
