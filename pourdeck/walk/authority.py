"""Whose word an act of somebody who answers for it is, how it was given, and whether that is enough.

The rules are the table of `plan/authority.toml`, with what the job asks beyond it. A word given here is
signed by the person at the deck; one in writing or by phone by who took it down. Whoever has a PIN signs
with it.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from attrs import evolve, field, frozen

from pourdeck.plan.authority import WordRule, any_of, built_in, rule_of
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job, Person
from pourdeck.plan.refusal import Refusal, must, refusable, stop_if
from pourdeck.walk.people import folded, name_of, who
from pourdeck.walk.pins import pin_refused
from pourdeck.walk.records import ItemView

WAYS = {"here": "here", "writing": "in writing", "phone": "by phone"}
"""The ways a word may be given, as people say them."""


@frozen(kw_only=True)
class Word:
    """Somebody's word: `of` whom, the `way` it was given, and the reason.

    `role` counts where the job lists nobody; None: nobody was asked for it. `reference` is the document or
    message, `at` its date or the time of the call, with its offset, `taken_by` who took it down. `pin` is
    that of whoever signs at the deck.
    """

    of: str
    role: str | None = None
    way: str = "here"
    reference: str = ""
    at: datetime | None = None
    taken_by: str = ""
    reason: str = ""
    pin: str | None = field(default=None, repr=False)

    @property
    def signer(self) -> str:
        """Who signs at the deck, and whose PIN is asked: the person, or who took the word down."""
        return self.of if self.way == "here" else self.taken_by


@frozen(kw_only=True)
class JudgedWord:
    """A word that is enough. `data` is what the entry holds of it: `word`, and `signed_in` where known."""

    name: str
    role: str
    reason: str
    data: dict[str, Any]


def is_critical(item: ItemView, act: str) -> bool:
    """True where an item needs the word of that act: marked critical, or named in its row of the table."""
    return item.critical or item.key.partition("/")[0] in built_in()[act].items


def word_for(
    act: str,
    by: str,
    reason: str,
    job: Job,
    *,
    role: str | None = None,
    word: Word | None = None,
    doers: Mapping[str, str] | None = None,
) -> JudgedWord | Refusal:
    """Judge the word for an act. With `word` None it is that of `by`, given here.

    With a `word`, `by` is who is signed in at the deck, "" for nobody, and `reason` counts where the word
    has none. `doers` are those who did the work, by folded name, with what they did.
    """
    if word is None:
        return judge(act, Word(of=by, role=role, reason=reason), job, doers)
    found = judge(act, evolve(word, reason=word.reason or reason), job, doers)
    name = " ".join(by.split())
    if isinstance(found, Refusal) or not name:
        return found
    return evolve(found, data={**found.data, "signed_in": name})


@refusable
def judge(
    act: str, word: Word, job: Job, doers: Mapping[str, str] | None = None
) -> JudgedWord | Refusal:
    """Judge a word by the row of its act: who, the way, the reason, the PIN. Raises KeyError for no act."""
    rule = rule_of(job, act)
    someone = who(job, word.of)
    if isinstance(someone, Refusal):
        return someone
    name = name_of(someone)
    role = someone.role if isinstance(someone, Person) else folded(word.role or "")
    stop_if(_wrong_role(rule, job, name, role, asked=word.role is not None))
    did = None if rule.doer else (doers or {}).get(folded(name))
    if did is not None:
        return Refusal(
            title=f"{literal(name)} {did}.",
            body=f"Somebody else must {rule.does}: {rule.needed}. {rule.why}",
        )
    stop_if(_wrong_way(rule, word))
    signs, data = someone, {"of": name, "role": role, "way": word.way}
    if word.way != "here":
        taken = _taken_by(job, word, name)
        if isinstance(taken, Refusal):
            return taken
        signs = taken
        data |= must(_taken_down(word)) | {"taken_by": name_of(taken)}
    reason = word.reason.strip()
    if rule.reason and not reason:
        return Refusal(
            title=f"No {rule.reason} given.", body=f"Write the {rule.reason} in a few words."
        )
    stop_if(pin_refused(signs, word.pin))
    return JudgedWord(name=name, role=role, reason=reason, data={"word": data})


def _wrong_role(rule: WordRule, job: Job, name: str, role: str, *, asked: bool) -> Refusal | None:
    if role in rule.roles:
        return None
    if not job.people and not role:
        if not asked and len(rule.roles) > 1:
            return None
        return Refusal(
            title=f"No role given for {literal(name)}.",
            body=f"The job lists no people: say as what, {any_of(rule.roles)}. {rule.why}",
        )
    may = [literal(person.name) for person in job.people if person.role in rule.roles]
    here = f" Of this job: {', '.join(may)}." if may else ""
    if job.people and not may:
        here = " The job lists nobody who may: the office adds people in job.toml."
    return Refusal(
        title=f"{literal(name)} may not {rule.does}: {literal(role)}, not {any_of(rule.roles)}.",
        body=f"{rule.why}{here}",
    )


def _wrong_way(rule: WordRule, word: Word) -> Refusal | None:
    if word.way in rule.ways:
        return None
    enough = any_of([WAYS[way] for way in rule.ways])
    said = WAYS.get(word.way, literal(word.way))
    return Refusal(title=f"Nobody may {rule.does} {said}.", body=f"It is done {enough}. {rule.why}")


def _taken_by(job: Job, word: Word, name: str) -> Person | str | Refusal:
    """Who took a word down that was not given here: somebody else of the job."""
    if not word.taken_by.strip():
        return Refusal(
            title="Nobody named who took it down.",
            body=f"Say who read the message or took the call of {literal(name)}.",
        )
    found = who(job, word.taken_by)
    if isinstance(found, Refusal):
        return Refusal(title=f"Taken down by: {found.title}", body=found.body)
    if folded(name_of(found)) == folded(name):
        return Refusal(
            title=f"{literal(name)} cannot take down the own word.",
            body=f"Where {literal(name)} is at the deck the word is given here.",
        )
    return found


def _taken_down(word: Word) -> dict[str, Any] | Refusal:
    """Reference and time of a word in writing or by phone, as the log holds them."""
    reference = " ".join(word.reference.split())
    if word.way == "writing" and not reference:
        return Refusal(
            title="No document named.", body="Write which document or message it is: RFI 12."
        )
    if word.at is None:
        what = "date of the document or message" if word.way == "writing" else "time of the call"
        return Refusal(title=f"No {what} given.", body=f"Write the {what}.")
    when = {"at": word.at.isoformat(timespec="seconds")}
    return {"reference": reference, **when} if reference else when
