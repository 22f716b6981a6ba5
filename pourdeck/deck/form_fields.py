"""Describe the fields of a form or of the walk: quantity, phrases, names of people, and whose word."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from attrs import field, frozen

from pourdeck.plan.authority import WordRule
from pourdeck.plan.messages import Refusal, sentence
from pourdeck.plan.records import Person
from pourdeck.walk.authority import WAYS, PinTries, Word
from pourdeck.walk.clock import read_time
from pourdeck.walk.quantities import QUANTITIES, Quantity
from pourdeck.walk.words import folded, initials

# Who a typed name or initials mean.


def _plain(name: str) -> str:
    """A name for comparing: neither case nor spaces nor full stops count."""
    return folded(name.replace(".", " "))


def who(typed: str, people: Sequence[Person]) -> Person | Refusal:
    """The one person of the job with that name, or those initials; letter case does not count."""
    wanted = _plain(typed)
    if not wanted:
        return Refusal(title="No name", body="Type your name or your initials.")
    named = [person for person in people if _plain(person.name) == wanted]
    if named:
        return named[0]
    short = wanted.replace(".", "").replace(" ", "").upper()
    found = [person for person in people if initials(person.name) == short]
    if len(found) == 1:
        return found[0]
    if found:
        names = " and ".join(person.name for person in found)
        return Refusal(
            title=f"{typed}: more than one",
            body=f"{names} have these initials: type the whole name.",
        )
    from difflib import get_close_matches

    known = {_plain(person.name): person.name for person in people}
    near = get_close_matches(wanted, list(known), n=1)
    hint = f"Did you mean {known[near[0]]}? " if near else ""
    listed = ", ".join(f"{person.name} ({initials(person.name)})" for person in people)
    return Refusal(title=f"{typed}: not on this job", body=f"{hint}Known here: {listed}.")


def name_fault(typed: str, people: Sequence[Person]) -> str | None:
    """Say what is wrong with a name or initials; None: nothing. Without people any name will do."""
    found = who(typed, people) if people else None
    return f"{found.title}. {found.body}" if isinstance(found, Refusal) else None


def full_name(typed: str, people: Sequence[Person]) -> str:
    """The name of the person that was typed by name or initials; as typed where there is none."""
    found = who(typed, people) if people else None
    return found.name if isinstance(found, Person) else typed


# Words that are ready to be picked where a reason is asked for: for gloves, and for a keypad alone.

DEFERRING = ("waits for material", "waits for people", "not ready yet", "weather")
LEAVING_OUT = ("none on this panel", "done by others", "not in this kit")
UNMEASURED = ("no instrument here", "instrument broken", "cannot be reached", "too late to measure")
CORRECTING = ("misread", "wrong key", "measured again", "second test")
FOLLOWING_UP = ("put right", "replaced", "accepted as it is")
DISPOSING = ("engineer's note", "ground off", "form had moved")
NOTING = ("photo taken", "foreman told", "see the drawing")


# What a form asks: its fields, what was answered in them, and whose word an act is.

Values = Mapping[str, str]
"""Hold what stands in the fields, by their ids; "" for one that is not asked."""

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
    """Hold what was answered, who is signed in, the reason for a change, and the word where one is asked."""

    values: Values = field(factory=dict)
    by: str = ""
    why: str = ""
    word: Word | None = None

    def __getitem__(self, id: str) -> str:
        return self.values.get(id, "")


@frozen(kw_only=True, eq=False, repr=False)
class WordStep:
    """Hold what a form needs to ask for a word: rule of its act, people, who is signed in, clock."""

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
    """Give the words of a refusal; None where nothing is refused."""
    return sentence(found) if isinstance(found, Refusal) else None
