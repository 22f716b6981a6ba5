"""Answering for something: the one whose word it is is named, and it takes more than pressing a key."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from attrs import frozen
from textual.app import ComposeResult

from pourdeck.deck.ask_dialog import Ask, AskDialog
from pourdeck.deck.dialog_base import fit_list
from pourdeck.deck.spans import Spans
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.deck.widgets.rows import Row
from pourdeck.deck.word_step import WordStep
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.authority import Word


@frozen(kw_only=True)
class Release:
    """Whose word it is, what was seen or why, and who is signed in at the deck."""

    word: Word
    seen: str
    signed_in: str
    values: dict[str, str]


class ReleaseDialog(AskDialog):
    """No key that is pressed by itself releases: the name and what was seen must be typed.

    `step` asks whose word it is. `shown` is what that person should have read: what to look at, what it
    covers, what is due. Gives the values by their field; `release` makes them a `Release`.
    """

    DEFAULT_CSS = """
    ReleaseDialog RowList { height: auto; margin: 1 0; }
    ReleaseDialog.-low RowList { margin: 0; }
    """
    cancel_verb = "Leave it held"
    ready: ClassVar[tuple[str, ...]] = ()
    says_needed: ClassVar[bool] = True
    """Whether the words of the table say who is needed; else the body does."""

    rest: int = 15
    """Lines of the dialog beside what is shown."""

    def __init__(
        self,
        title: str,
        shown: Sequence[Spans],
        step: WordStep,
        body: str = "",
        *,
        verb: str = "Release",
        draft: str = "",
        seen: str = "What was seen",
        more: tuple[Ask, ...] = (),
        refused: Callable[[Release], Refusal | None] = lambda _: None,
        by_itself: bool = False,
    ) -> None:
        """`seen` is what the words are called, `more` are fields before them. `refused` says why somebody
        may not do it: then the dialog stays, with what was typed.
        """
        self.step = step
        self.refused = refused
        before = step.before()
        self.by_ask = before[0]
        asks = (*self.first_asks(), *before, *more, Ask(id="seen", label=seen, ready=self.ready))
        self.rest += 4 * len(more)
        words = f"{step.needed} {body}".rstrip() if self.says_needed else body
        super().__init__(title, asks, words, verb=verb, draft=draft, by_itself=by_itself)
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

    def _show_asked(self) -> None:
        super()._show_asked()
        self._fit()

    def _fit(self) -> None:
        if self.shown:
            hidden = sum(ask.when is not None for ask in self._asked())
            fit_list(self.query_one("#shown", RowList), spare=self.rest + hidden + self.pad_rows)

    def fault(self) -> tuple[Ask, str] | None:
        found = super().fault()
        if found is None:
            given = self.release(self.values())
            why = self.step.judged(given.word, lambda: self.refused(given))
            if why is not None:
                return self.by_ask, f"{why.title} {why.body}"
        return found

    def release(self, values: dict[str, str]) -> Release:
        """The typed values as whose word it is, with all that was typed."""
        word = self.step.word(values)
        return Release(word=word, seen=values["seen"], signed_in=self.step.signed_in, values=values)
