"""Whose word it is: the fields that ask for it, the same wherever somebody answers for something."""

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from attrs import frozen

from pourdeck.deck.ask_dialog import Ask
from pourdeck.deck.who import full_name, name_fault, who
from pourdeck.plan.authority import WordRule, rule_of
from pourdeck.plan.records import Person
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.authority import WAYS, Word
from pourdeck.walk.pins import PinTries
from pourdeck.walk.typed import read_time

if TYPE_CHECKING:
    from pourdeck.deck.desk_shell import DeskShell

HERE, WRITING, PHONE = "here", "writing", "phone"


@frozen(kw_only=True, eq=False, repr=False)
class WordStep:
    """What a dialog needs to ask for a word: the rule of its act, the people, who is signed in, the clock."""

    rule: WordRule
    people: Sequence[Person]
    signed_in: str
    now: Callable[[], datetime]
    tries: PinTries

    @property
    def needed(self) -> str:
        """Who is needed and why, in a sentence or two."""
        return (
            self.rule.why
            if len(self.rule.roles) == 1
            else f"It takes {self.rule.needed}. {self.rule.why}"
        )

    def before(self) -> tuple[Ask, ...]:
        """The fields before the reason: name, and where it was not given here, how."""
        asks = [Ask(id="by", label="Name or initials", check=self._name_fault)]
        if not self.people:
            asks.append(Ask(id="role", label="As what (role)"))
        if len(self.rule.ways) > 1:
            ways = tuple((way, WAYS[way]) for way in self.rule.ways)
            asks.append(Ask(id="way", label="How it was given", value=ways[0][0], choices=ways))
        asks += [
            Ask(id="reference", label="Document or message", when=self._in(WRITING)),
            Ask(id="at", label="Its date and time", when=self._in(WRITING), check=self._time_fault),
            Ask(id="called", label="Time of the call", when=self._in(PHONE), check=self._time_fault),
            Ask(
                id="taken_by", label="Taken down by", value=self.signed_in, offered=True,
                when=self._in(WRITING, PHONE), check=self._name_fault,
            ),
            Ask(id="pin", label="PIN", secret=True, when=self._has_pin),
        ]  # fmt: skip
        return tuple(asks)

    def word(self, values: dict[str, str]) -> Word:
        """The word that was typed."""
        way = values.get("way") or self.rule.ways[0]
        typed = values["at"] or values["called"]
        at = read_time(typed, self.now()) if typed else None
        return Word(
            of=self._name(values["by"]),
            role=values.get("role"),
            way=way,
            reference=values["reference"],
            at=None if isinstance(at, Refusal) else at,
            taken_by=self._name(values["taken_by"]),
            reason=values["seen"],
            pin=values["pin"] or None,
        )

    def judged(self, word: Word, act: Callable[[], Refusal | None]) -> Refusal | None:
        """Why the act is refused; wrong PINs are counted, and wait."""
        signs = word.of if word.way == HERE else word.taken_by
        waits = self.tries.waiting(signs) if word.pin else None
        if waits is not None:
            return waits
        refusal = act()
        self.tries.tried(signs, refusal)
        return refusal

    def _name(self, typed: str) -> str:
        return full_name(typed, self.people)

    def _name_fault(self, typed: str) -> str | None:
        return name_fault(typed, self.people)

    def _time_fault(self, typed: str) -> str | None:
        found = read_time(typed, self.now())
        return f"{found.title} {found.body}" if isinstance(found, Refusal) else None

    def _in(self, *ways: str) -> Callable[[dict[str, str]], bool]:
        return lambda values: (values.get("way") or self.rule.ways[0]) in ways

    def _has_pin(self, values: dict[str, str]) -> bool:
        here = (values.get("way") or self.rule.ways[0]) == HERE
        found = who(values["by"] if here else values["taken_by"], self.people)
        return isinstance(found, Person) and found.pin is not None


def word_step(deck: "DeskShell", act: str) -> WordStep:
    """The step for an act of the table, on this deck."""
    job: Any = deck.desk.job
    return WordStep(
        rule=rule_of(job, act),
        people=job.people,
        signed_in=deck.present(),
        now=deck.desk.now,
        tries=deck.pins,
    )
