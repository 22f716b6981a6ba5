"""A figure or a time that was typed at a load, with what has to be asked beside it."""

from collections.abc import Callable, Mapping
from decimal import Decimal

from pourdeck.deck.ask_dialog import TextDialog
from pourdeck.deck.confirm_dialog import ConfirmDialog
from pourdeck.deck.release_dialog import Release, ReleaseDialog
from pourdeck.deck.screens.panel_asks import ask_reason
from pourdeck.deck.screens.pour_ask import PourAsk
from pourdeck.deck.spans import line
from pourdeck.deck.views.ready_words import CORRECTING
from pourdeck.deck.widgets.banner import Said
from pourdeck.deck.word_step import word_step
from pourdeck.plan.findings import Finding
from pourdeck.plan.literal import literal
from pourdeck.plan.refusal import Refusal, WhyNeeded
from pourdeck.walk import acts
from pourdeck.walk.authority import Word
from pourdeck.walk.clock_jumps import set_back
from pourdeck.walk.load_acts import INTO_THE_FORM, START, not_released, write_load
from pourdeck.walk.load_fields import FIELDS, read_field, shown
from pourdeck.walk.load_lines import LoadLine
from pourdeck.walk.pour_findings import TO_DECIDE
from pourdeck.walk.records import Act
from pourdeck.walk.times import Doubt

ADDED_BY = ("driver", "supplier")
SECOND_TEST = "second test passed"


class LetInDialog(ReleaseDialog):
    """Why a load out of its limits goes in, and on whose word."""

    cancel_verb = "It does not go in"
    ready = (SECOND_TEST,)


class LoadAsk(PourAsk):
    """What replaces something asks why, water asks who added it, a load out of its limits who lets it in."""

    def take(self, number: int, key: str, typed: str) -> None:
        """Record what was typed at a load; what replaces something asks why, water asks who added it."""
        standing = self.standing()
        one = standing[1].line(number) if standing else None
        if standing is None or one is None:
            return
        walk, deck = standing[0], self.screen.deck
        now, stands = deck.desk.now(), getattr(one.load, key)
        read = read_field(FIELDS[key], typed, walk.job.units, now, set_back(self.jumps))
        if isinstance(read, Refusal):
            deck.refuse(read)
            self._open_again(typed)
            return
        same = shown(FIELDS[key], read, walk.job.units)
        if stands is not None and same == shown(FIELDS[key], stands, walk.job.units):
            self.screen.forget()
            deck.say(Said("note", f"Unchanged, nothing recorded: {FIELDS[key].name} {same}"))
            return

        def named(why: str) -> None:
            if key == "water" and read != Decimal(0) and one.load.water_by is None:
                self._ask_who(lambda who: self._write(number, {key: typed, "water_by": who}, why))
            elif key == "begun" and (off := self._off(number, typed, why)):
                self._ask_let_in(one, off, typed, why)
            else:
                self._write(number, {key: typed}, why)

        if stands is None:
            named("")
        else:
            self._ask_why(one, key, same, named)

    def _ask_why(self, one: LoadLine, key: str, now: str, then: Callable[[str], None]) -> None:
        was = shown(FIELDS[key], getattr(one.load, key), self.screen.deck.desk.job.units)
        body = (
            f"Load {one.number}, {FIELDS[key].name}: now {now}, was {was}. Both stay in the record."
        )

        def taken(values: dict[str, str] | None) -> None:
            if values is None:
                self.screen.forget()
            else:
                then(values["text"])

        dialog = TextDialog(
            "Why does it change?", "In a few words", body, ready=CORRECTING, by_itself=True
        )
        self.screen.app.push_screen(dialog, taken)

    def _ask_who(self, then: Callable[[str], None]) -> None:
        people = tuple(one.name for one in self.screen.deck.desk.job.people)[:4]

        def taken(values: dict[str, str] | None) -> None:
            if values is None:
                self.screen.forget()
            else:
                then(values["text"])

        body = "Water on site changes the mix: somebody answers for it."
        ready = (*ADDED_BY, *people)
        dialog = TextDialog("Who added the water?", "Name", body, ready=ready, by_itself=True)
        self.screen.app.push_screen(dialog, taken)

    def _off(self, number: int, begun: str, why: str) -> tuple[Finding, ...]:
        """What is out of a limit with a load that would go in now, and that nobody has decided on."""
        standing = self.standing()
        one = standing[1].line(number) if standing else None
        if standing is None or one is None or one.load.let_in is not None:
            return ()
        walk, page = standing
        by, now = self.screen.deck.by, self.screen.deck.desk.now()
        typed = {"begun": begun}
        if by is not None:
            jumps = self.jumps
            act = write_load(walk, number, typed, by, now, why, starting=True, jumps=jumps)
            if isinstance(act, Refusal) and not isinstance(act, Doubt):
                return ()
        return tuple(found for found in page.off[number] if found.code in TO_DECIDE)

    def _ask_let_in(self, one: LoadLine, off: tuple[Finding, ...], begun: str, why: str) -> None:
        """Ask on whose word a load out of its limits goes in, and why."""
        deck = self.screen.deck

        def make(found: Release) -> Act | Refusal:
            standing = self.standing()
            assert standing is not None
            typed = {"begun": begun, "let_in": found.seen}
            return write_load(
                standing[0], one.number, typed, found.signed_in or found.word.of,
                deck.desk.now(), why, starting=True, jumps=self.jumps, word=found.word,
            )  # fmt: skip

        def refused(found: Release) -> Refusal | None:
            act = make(found)
            # Why a time is odd is asked afterwards.
            return act if isinstance(act, Refusal) and not isinstance(act, WhyNeeded) else None

        dialog = LetInDialog(
            f"Does load {one.number} go in all the same?", [line(each.message) for each in off],
            word_step(deck, "let-in"), verb="It goes in", seen="Reason",
            draft=self.screen.draft("let-in"), refused=refused, by_itself=True,
        )  # fmt: skip

        def taken(values: dict[str, str] | None) -> None:
            if values is None:
                self.screen.forget()
                return
            found = dialog.release(values)
            self._write(one.number, {"begun": begun, "let_in": found.seen}, why, found.word)

        self.screen.app.push_screen(dialog, taken)

    def _write(
        self, number: int, typed: Mapping[str, str], why: str, word: Word | None = None
    ) -> None:
        self.screen.deck.as_person(lambda by: self._write_by(number, typed, why, by, word))

    def _write_by(
        self, number: int, typed: Mapping[str, str], why: str, by: str, word: Word | None = None
    ) -> None:
        standing = self.standing()
        if standing is None:
            return
        walk = standing[0]
        begins = any(key in typed for key in INTO_THE_FORM)
        if begins and walk.record.pour_start is None and not_released(walk, "") is None:
            self._offer_start(number, typed, why, by, word)
            return
        now = self.screen.deck.desk.now()
        act = write_load(walk, number, typed, by, now, why, jumps=self.jumps, word=word)
        key = next(iter(typed))
        if isinstance(act, Doubt):
            self._ask_doubt(act, number, typed, by)
            return
        if isinstance(act, Refusal):
            self._refused(act, typed[key])
            return
        if self.record(act):
            self.screen.drop_draft((number, key))
            self.screen.go_on(number, key)

    def _ask_doubt(self, doubt: Doubt, number: int, typed: Mapping[str, str], by: str) -> None:
        """A time that is odd is recorded with a reason."""
        ask_reason(
            self.screen,
            doubt,
            lambda why: self._write_by(number, typed, why, by),
            lambda: self._open_again(next(iter(typed.values()))),
        )

    def _refused(self, refusal: Refusal, text: str) -> None:
        """A time that was only offered is offered again; what somebody typed is kept."""
        self.screen.deck.refuse(refusal)
        if text == self.screen.now_text():
            self.screen.forget()
        else:
            self._open_again(text)

    def _open_again(self, text: str) -> None:
        """What was refused is still in the field, to be put right."""
        self.screen.field.load_draft(text, whole=True)
        self.screen.field.focus()

    def _offer_start(
        self, number: int, typed: Mapping[str, str], why: str, by: str, word: Word | None
    ) -> None:
        """The first concrete of all: the pour start of the walk is the same moment."""
        walk = self.screen.walk
        if walk is None:
            return
        time = typed.get("begun") or typed["ended"]
        # Whether the load may be begun at all is found out before the start is recorded.
        now = self.screen.deck.desk.now()
        checked = write_load(
            walk, number, typed, by, now, why, starting=True, jumps=self.jumps, word=word
        )
        if isinstance(checked, Doubt):
            self._ask_doubt(checked, number, typed, by)
            return
        if isinstance(checked, Refusal):
            self._refused(checked, time)
            return

        def taken(done: str | None) -> None:
            if done is None:
                self._open_again(time)
                return
            now = self.screen.deck.desk.now()
            start = acts.answer(walk, START, time, by, now, jumps=self.jumps)
            if self.record(start):
                self._write_by(number, typed, why, by, word)

        body = (
            f"{literal(walk.mark)}: the pour starts at {time}, with load {number}. From then on "
            "the panel is what it is: its size cannot change."
        )
        dialog = ConfirmDialog(
            "Record the start of the pour?", body, verb="Start the pour", by_itself=True
        )
        self.screen.app.push_screen(dialog, taken)
