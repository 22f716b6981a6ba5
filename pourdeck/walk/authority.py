"""Who may act: on an item now, whose word is enough, PINs, and people added on site.

The rules are the table of `plan/authority.toml`, with what the job asks beyond it. A word given here is
signed by the person at the deck; one in writing or by phone by who took it down. Whoever has a PIN signs
with it.
"""

import hashlib
import hmac
from collections.abc import Callable, Mapping
from datetime import datetime
from math import ceil
from typing import Any
from unicodedata import normalize

from attrs import define, evolve, field, frozen

from pourdeck.plan.authority import WordRule, any_of, built_in, rule_of
from pourdeck.plan.messages import Refusal, literal, must, refusable, stop_if
from pourdeck.plan.records import ROLES, Job, Person, Pin
from pourdeck.sitelog.state import ADDED_ROLES
from pourdeck.walk.records import Act, ItemView, Walk
from pourdeck.walk.words import folded, item_name, name_of, who

# Whether an item may be acted on now, and by whom; else why not and what would allow it.


def find_item(walk: Walk, key: str) -> ItemView | Refusal:
    item = walk.find(key)
    if item is None:
        return Refusal(
            title=f"{literal(walk.mark)} has no item {literal(key)}.",
            body="The plan or its size has changed. Go back to the walk and take the item in hand.",
        )
    return item


def actor(walk: Walk, name: str) -> str | Refusal:
    """The name as the job writes it."""
    found = who(walk.job, name)
    return found if isinstance(found, Refusal) else name_of(found)


def person(walk: Walk, name: str) -> Person | str | Refusal:
    return who(walk.job, name)


def unlocked(item: ItemView) -> Refusal | None:
    """Why an item is locked, with its name in front."""
    if item.locked_by is None:
        return None
    return Refusal(
        title=f"{item_name(item)}: locked.", body=f"{item.locked_by.title} {item.locked_by.body}"
    )


def answerable(walk: Walk, item: ItemView) -> Refusal | None:
    """Why an item takes no answer now."""
    mark = literal(walk.mark)
    if walk.record.closed:
        if item.cast_key or item.own_state == "deferred" or item.conflict:
            return None
        return Refusal(
            title=f"{mark} is closed.",
            body="Only what was deferred or is in conflict, as-cast corrections, dispositions, follow-ups "
            "and notes are taken now.",
        )
    lock = unlocked(item)
    if lock:
        return lock
    if walk.record.pour_start and before_pour(walk, item) and item.own_state in ("done", "n/a"):
        return Refusal(
            title=f"{mark} is poured: what was found before stands.",
            body="Write a note to the item instead.",
        )
    return None


def before_pour(walk: Walk, item: ItemView) -> bool:
    """True for an item of a section before the pour."""
    pour, section = walk.section("pour"), walk.section(item.section)
    return pour is not None and section is not None and section.number < pour.number


def second_person(walk: Walk, item: ItemView, by: str) -> Refusal | None:
    """Why this person may not answer: who did the work cannot be the second person, nor the reverse."""
    section = walk.section(item.section)
    if section is None:
        return None
    others = [one for one in section.items if one.second != item.second]
    acts = [
        entry
        for one in others
        for entry in (
            *walk.record.answers.get(one.key, ()),
            *([one.entry] if one.entry and one.entry.kind == "not-applicable" else []),
        )
    ]
    if not any(folded(entry.by) == folded(by) for entry in acts):
        return None
    if item.second:
        return Refusal(
            title=f"{literal(by)} answered other items of this section.",
            body=f"{item_name(item)}: a second person must answer it.",
        )
    return Refusal(
        title=f"{literal(by)} is the second person in this section.",
        body=f"{item_name(item)}: the one who does the work must answer it.",
    )


def said(text: str, what: str) -> str | Refusal:
    """Text that must not be blank; `what` names it."""
    tidy = text.strip()
    if not tidy:
        return Refusal(title=f"No {what} given.", body=f"Write the {what} in a few words.")
    return tidy


# PINs: set by the person, kept in the log as a salted slow hash (scrypt, RFC 7914), never as digits.
#
# A PIN stops a slip and a borrowed name at the deck. It does not stop whoever can write the log file.

FEWEST, MOST = 4, 8
"""Digits of a PIN."""

TRIES, WAIT = 3, 60.0
"""Wrong PINs in a row, and the seconds to wait after so many."""

COST = {"n": 2**14, "r": 8, "p": 1}
"""Parameters of scrypt: 16 MiB and about a twentieth of a second."""


@frozen(kw_only=True)
class WrongPin(Refusal):
    """A PIN that is not the person's. Counts towards the wait."""


def _hash(digits: str, pin: Pin) -> str:
    raw = hashlib.scrypt(
        digits.encode(),
        salt=bytes.fromhex(pin.salt),
        n=pin.n,
        r=pin.r,
        p=pin.p,
        maxmem=128 * pin.r * (pin.n + pin.p + 2) + 2**20,
        dklen=32,
    )
    return raw.hex()


def pin_refused(someone: Person | str, digits: str | None) -> Refusal | None:
    """Why somebody may not sign with these digits; None where they fit or the person has no PIN."""
    if isinstance(someone, str) or someone.pin is None:
        return None
    name = literal(someone.name)
    if digits is None or not digits.strip():
        return Refusal(
            title=f"{name} signs with a PIN.", body=f"Type the PIN of {name}.", about="pin"
        )
    if hmac.compare_digest(_hash(digits.strip(), someone.pin), someone.pin.hash):
        return None
    return WrongPin(
        title=f"That is not the PIN of {name}.",
        body=f"After {TRIES} wrong ones in a row the deck waits for a minute.",
        about="pin",
    )


def set_pin(
    job: Job, by: str, digits: str, again: str, salt: bytes, old: str | None = None
) -> Act | Refusal:
    """Set or change the own PIN, typed twice; `old` where there is one. `salt`: 16 random bytes."""
    someone = who(job, by)
    if isinstance(someone, Refusal):
        return someone
    if isinstance(someone, str):
        return Refusal(
            title="No PIN without people.",
            body="The job lists nobody: the office names people in job.toml first.",
        )
    if refusal := pin_refused(someone, old):
        return refusal
    typed = digits.strip()
    if not (typed.isascii() and typed.isdigit() and FEWEST <= len(typed) <= MOST):
        return Refusal(
            title="That is no PIN.", body=f"A PIN has {FEWEST} to {MOST} digits and nothing else."
        )
    if typed != again.strip():
        return Refusal(title="The two PINs are not the same.", body="Type the new PIN twice.")
    blank = Pin(salt=salt.hex(), hash="", **COST)
    data: dict[str, Any] = {
        "person": someone.name, "salt": blank.salt, "hash": _hash(typed, blank), **COST,
    }  # fmt: skip
    return Act(kind="pin", by=someone.name, data=data, says=f"{literal(someone.name)}: PIN set")


@define
class PinTries:
    """Wrong PINs in a row by person, and who must wait. `monotonic` gives seconds that never go back."""

    monotonic: Callable[[], float]
    _wrong: dict[str, int] = field(factory=dict, init=False)
    _until: dict[str, float] = field(factory=dict, init=False)

    def waiting(self, name: str) -> Refusal | None:
        """Why this person may not try a PIN yet."""
        left = self._until.get(folded(name), 0.0) - self.monotonic()
        if left <= 0:
            return None
        return Refusal(
            title=f"{TRIES} wrong PINs for {literal(name)}.",
            body=f"Wait {ceil(left)} s, then type it again.",
        )

    def tried(self, name: str, outcome: object) -> None:
        """Count how a try of this person ended: a WrongPin counts, no other refusal does, an act clears."""
        key = folded(name)
        if isinstance(outcome, WrongPin):
            self._wrong[key] = self._wrong.get(key, 0) + 1
            if self._wrong[key] >= TRIES:
                self._wrong.pop(key)
                self._until[key] = self.monotonic() + WAIT
        elif not isinstance(outcome, Refusal):
            self._wrong.pop(key, None)


# Adding somebody on site: a hand or a tester. All others come from the office, in job.toml.

LONGEST_NAME = 80


def add_person(job: Job, name: str, role: str, by: str) -> Act | Refusal:
    """Add a hand or a tester to the people of the job, by somebody of the job."""
    if not job.people:
        return Refusal(
            title="The job lists no people.", body="Any name is taken, so nobody needs to be added."
        )
    adder = who(job, by)
    if isinstance(adder, Refusal):
        return adder
    tidy, as_what = " ".join(name.split()), folded(role)
    if not _look(tidy) or not tidy.isprintable():
        return Refusal(title="No name given.", body="Write the first letter and the surname.")
    if len(tidy) > LONGEST_NAME:
        return Refusal(
            title=f"{len(tidy)} characters are too many.", body=f"Keep it to {LONGEST_NAME}."
        )
    like = next((one for one in job.people if _look(one.name) == _look(tidy)), None)
    if like is not None:
        return Refusal(
            title=f"{literal(like.name)} is among the people of this job already.",
            body=f"The name looks the same ({like.role}). Add something that tells the two apart.",
        )
    if as_what not in ADDED_ROLES:
        return Refusal(
            title=f"Nobody is added here as {as_what}."
            if as_what in ROLES
            else f"{literal(role) or 'Nothing'} is no role.",
            body="Hands and testers are added here. An engineer, supervisor, foreman or surveyor "
            "comes from the office, in job.toml.",
        )
    data = {"name": tidy, "role": as_what}
    says = f"{literal(tidy)} added as {as_what}"
    return Act(kind="person", by=name_of(adder), data=data, says=says)


def _look(name: str) -> str:
    """A name for telling apart: case, accents, points and spaces do not count."""
    return "".join(sign for sign in normalize("NFKD", name).casefold() if sign.isalnum())


# Whose word an act of somebody who answers for it is, how it was given, and whether that is enough.

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
    since: tuple[str, datetime] | None = None,
) -> JudgedWord | Refusal:
    """Judge the word for an act. With `word` None it is that of `by`, given here.

    With a `word`, `by` is who is signed in at the deck, "" for nobody, and `reason` counts where the word
    has none. `doers` are those who did the work, by folded name, with what they did. `since`: what the word
    is about, and when that was: no document or call is older.
    """
    if word is None:
        return judge(act, Word(of=by, role=role, reason=reason), job, doers)
    if older := _too_old(word, since):
        return older
    found = judge(act, evolve(word, reason=word.reason or reason), job, doers)
    name = " ".join(by.split())
    if isinstance(found, Refusal):
        return evolve(found, about=found.about or "by")
    if not name:
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
            title=f"No {rule.reason} given.",
            body=f"Write the {rule.reason} in a few words.",
            about="seen",
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


def _with_offset(at: datetime) -> datetime:
    return at.astimezone() if at.tzinfo is None else at


def _too_old(word: Word, since: tuple[str, datetime] | None) -> Refusal | None:
    """Why a word in writing or by phone cannot be about this: it was given before there was any of it."""
    if since is None or word.at is None or word.way == "here":
        return None
    what, began = since
    at, began = _with_offset(word.at), began.replace(second=0, microsecond=0)
    if at >= began:
        return None
    given = "The call" if word.way == "phone" else "The document"
    shown = f"{at.astimezone(began.tzinfo):%d %b %H:%M}"
    return Refusal(
        title=f"{given} of {shown} is before {what}, {began:%d %b %H:%M}.",
        body="It cannot have been about this. Look at its date and time.",
        about="called" if word.way == "phone" else "at",
    )


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
    when = {"at": _with_offset(word.at).isoformat(timespec="seconds")}
    return {"reference": reference, **when} if reference else when
