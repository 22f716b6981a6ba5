"""People the log knows beside those of job.toml: added on site, and with a PIN. Neither is ever undone."""

import re

from pourdeck.plan.records import Person, Pin, Role
from pourdeck.sitelog.entries import Entry

ADDED_ROLES: tuple[Role, ...] = ("hand", "tester")
"""Roles of people who may be added on site; all others come from the office."""

_HEX = re.compile(r"[0-9a-f]{32,128}\Z")


def person_of(entry: Entry) -> Person:
    """The person a `person` entry adds. Raises KeyError or TypeError where it adds none."""
    name, given = entry.data["name"], entry.data["role"]
    role = next((one for one in ADDED_ROLES if one == given), None)
    if type(name) is not str or not name.strip() or role is None:
        raise TypeError(entry.data)
    return Person(name=name, role=role)


def pin_of(entry: Entry) -> tuple[str, Pin]:
    """Whose PIN a `pin` entry sets, and the PIN. Raises KeyError or TypeError where it sets none.

    Parameters that would take long, or much memory, are none.
    """
    data = entry.data
    name, salt, hashed = data["person"], data["salt"], data["hash"]
    n, r, p = data["n"], data["r"], data["p"]
    if not all(type(one) is int for one in (n, r, p)) or type(name) is not str:
        raise TypeError(data)
    slow = 2 <= n <= 2**16 and n & (n - 1) == 0 and 1 <= r <= 8 and 1 <= p <= 4
    if not slow or not all(isinstance(one, str) and _HEX.match(one) for one in (salt, hashed)):
        raise TypeError(data)
    return name, Pin(salt=salt, hash=hashed, n=n, r=r, p=p)
