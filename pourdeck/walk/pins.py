"""PINs: set by the person, kept in the log as a salted slow hash (scrypt, RFC 7914), never as digits.

A PIN stops a slip and a borrowed name at the deck. It does not stop whoever can write the log file.
"""

import hashlib
import hmac
from collections.abc import Callable
from math import ceil
from typing import Any

from attrs import define, field, frozen

from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job, Person, Pin
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.people import folded, who
from pourdeck.walk.records import Act

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
        return Refusal(title=f"{name} signs with a PIN.", body=f"Type the PIN of {name}.")
    if hmac.compare_digest(_hash(digits.strip(), someone.pin), someone.pin.hash):
        return None
    return WrongPin(
        title=f"That is not the PIN of {name}.",
        body=f"After {TRIES} wrong ones in a row the deck waits for a minute.",
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
