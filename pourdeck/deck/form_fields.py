"""What a form asks: its fields, what was answered in them, and whose word an act is."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from attrs import field, frozen

from pourdeck.deck.who import full_name, name_fault, who
from pourdeck.plan.authority import WordRule
from pourdeck.plan.messages import Refusal, sentence
from pourdeck.plan.records import Person
from pourdeck.walk.authority import WAYS, PinTries, Word
from pourdeck.walk.quantities import QUANTITIES, Quantity
from pourdeck.walk.typed import read_time

Values = Mapping[str, str]
"""What stands in the fields, by their ids; "" for one that is not asked."""

HERE, WRITING, PHONE = "here", "writing", "phone"


@frozen(kw_only=True, eq=False, repr=False)
class FormField:
    """One field of a form. `choices` (key, words): a word to pick; otherwise a line for its `quantity`.

    `offered`: its value is the deck's and not what somebody wrote, so that typing takes its place.
    `decides`: the word picked is a decision, and does not come back after a kill by itself. `ready`: phrases
    to pick from. `check` gives what is wrong with it beside the other fields, `when` whether it is asked at
    all. `secret`: what is typed does not show and is not kept. `lines` takes several lines that are pasted.
    """

    id: str
    label: str
    quantity: Quantity = QUANTITIES["note"]
    value: str = ""
    offered: bool = False
    required: bool = True
    choices: tuple[tuple[str, str], ...] = ()
    decides: bool = False
    ready: tuple[str, ...] = ()
    check: Callable[[Values], str | None] | None = None
    when: Callable[[Values], bool] | None = None
    secret: bool = False
    lines: Callable[[str], None] | None = None


@frozen(kw_only=True, eq=False, repr=False)
class Answers:
    """What was answered, who is signed in, why something changes, and whose word it is where one is asked."""

    values: Values = field(factory=dict)
    by: str = ""
    why: str = ""
    word: Word | None = None

    def __getitem__(self, id: str) -> str:
        return self.values.get(id, "")


@frozen(kw_only=True, eq=False, repr=False)
class WordStep:
    """What a form needs to ask for a word: the rule of its act, the people, who is signed in, the clock."""

    rule: WordRule
    people: Sequence[Person]
    signed_in: str
    now: Callable[[], datetime]
    tries: PinTries

    @property
    def needed(self) -> str:
        """Who is needed and why, in a sentence or two."""
        alone = len(self.rule.roles) == 1
        return self.rule.why if alone else f"It takes {self.rule.needed}. {self.rule.why}"

    def fields(self) -> tuple[FormField, ...]:
        """The fields before the reason: name, and where the word was not given here, how."""
        found = [self._name("by", "Name or initials")]
        if not self.people:
            found.append(FormField(id="role", label="As what (role)"))
        if len(self.rule.ways) > 1:
            ways = tuple((way, WAYS[way]) for way in self.rule.ways)
            found.append(
                FormField(id="way", label="How it was given", value=ways[0][0], choices=ways)
            )
        time = QUANTITIES["time"].in_job("metric", now=self.now)
        found += [
            FormField(id="reference", label="Document or message", when=self._given(WRITING)),
            FormField(id="at", label="Its date and time", quantity=time, when=self._given(WRITING)),
            FormField(id="called", label="Time of the call", quantity=time, when=self._given(PHONE)),
            self._name(
                "taken_by", "Taken down by", value=self.signed_in, offered=True,
                when=self._given(WRITING, PHONE),
            ),
            FormField(id="pin", label="PIN", secret=True, when=self._has_pin),
        ]  # fmt: skip
        return tuple(found)

    def _name(self, id: str, label: str, **more: object) -> FormField:
        return name_field(id, label, self.people, **more)

    def word(self, values: Values) -> Word:
        """The word that was typed."""
        typed = values.get("at") or values.get("called")
        at = read_time(typed, self.now()) if typed else None
        return Word(
            of=full_name(values["by"], self.people),
            role=values.get("role"),
            way=self._way(values),
            reference=values.get("reference", ""),
            at=None if isinstance(at, Refusal) else at,
            taken_by=full_name(values.get("taken_by", ""), self.people),
            reason=values.get("seen", ""),
            pin=values.get("pin") or None,
        )

    def _way(self, values: Values) -> str:
        return values.get("way") or self.rule.ways[0]

    def _given(self, *ways: str) -> Callable[[Values], bool]:
        return lambda values: self._way(values) in ways

    def _has_pin(self, values: Values) -> bool:
        here = self._way(values) == HERE
        return has_pin(values["by"] if here else values.get("taken_by", ""), self.people)


def has_pin(typed: str, people: Sequence[Person]) -> bool:
    """Whether the person of a typed name or initials signs with a PIN."""
    found = who(typed, people)
    return isinstance(found, Person) and found.pin is not None


def name_field(id: str, label: str, people: Sequence[Person], **more: object) -> FormField:
    """A field for one of the people, by name or initials."""

    def fault(values: Values) -> str | None:
        return name_fault(values[id], people)

    return FormField(id=id, label=label, quantity=QUANTITIES["name"], check=fault, **more)  # type: ignore[arg-type]


def fault_words(found: object) -> str | None:
    """What a refusal says; None where nothing is refused."""
    return sentence(found) if isinstance(found, Refusal) else None
