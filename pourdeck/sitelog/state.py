"""Hold the state of the site: a fold over the log, the same for old entries and for one just saved."""

import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator
from operator import attrgetter

from attrs import define, field

from pourdeck.plan.messages import Finding, literal
from pourdeck.plan.records import Person, Pin, Role
from pourdeck.sitelog.entries import Entry, Head, Key, file_words, moment_of
from pourdeck.sitelog.panel_state import PANEL_KINDS, PanelState, fold, settle

# Which entries are undone: those that an undo names which is not itself undone.


@define
class Undos:
    """The undos of a log, in whatever order they came.

    `voided`: each entry that is undone, undos among them, with the undo that does it.
    """

    voided: dict[Key, Entry] = field(factory=dict)
    _targets: dict[Key, Key] = field(factory=dict)
    _naming: dict[Key, list[Entry]] = field(factory=dict)

    def add(self, undo: Entry) -> Key | None:
        """Take in one undo; gives the act whose standing changed by it, None where none did.

        Raises TypeError where it does not name an entry.
        """
        target = undo.target(undo.data)
        if target is None or target == undo.key:
            raise TypeError
        self._targets[undo.key] = target
        self._naming.setdefault(target, []).append(undo)
        return self._settle(target)

    def _settle(self, key: Key) -> Key | None:
        """Follow a change of standing down to the act it ends at. Undos in a ring undo nothing
        more.
        """
        passed: set[Key] = set()
        while key not in passed:
            passed.add(key)
            before = key in self.voided
            by = next((u for u in self._naming[key] if u.key not in self.voided), None)
            if by is None:
                self.voided.pop(key, None)
            else:
                self.voided[key] = by
            if before == (by is not None):
                return None
            if key not in self._targets:
                return key
            key = self._targets[key]
        return None


# People the log knows beside those of job.toml: added on site, and with a PIN. Neither is ever undone.

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


# The state of the site: a fold over the log, the same for old entries and for one just saved.

_entry_number = attrgetter("n")


@define
class SiteState:
    """Hold what stands on the site. Others read it; only `apply` changes it.

    `entries` are all there are, in order, undone ones too, `voided` the undone ones with the undo
    that did it. `revisions` are the size changes that stand, in order. `people` were added on site,
    `pins` are the last ones, by the name they were set for. `unknown` are entries of a
    kind, or with data, that this program does not know. `last` is the last of all entries.
    """

    panels: dict[str, PanelState] = field(factory=dict)
    revisions: list[Entry] = field(factory=list)
    entries: list[Entry] = field(factory=list)
    people: list[Person] = field(factory=list)
    pins: dict[str, Pin] = field(factory=dict)
    unknown: list[Entry] = field(factory=list)
    _undos: Undos = field(factory=Undos)
    _acts: dict[str, list[Entry]] = field(factory=dict)
    _stations: dict[str, list[Entry]] = field(factory=dict)

    @property
    def last(self) -> Entry | None:
        return self.entries[-1] if self.entries else None

    @property
    def voided(self) -> dict[Key, Entry]:
        return self._undos.voided

    def panel(self, mark: str) -> PanelState:
        """The state of a panel, an empty one where nothing is known of it."""
        return self.panels.get(mark) or PanelState(mark=mark)

    def find(self, key: Key) -> Entry | None:
        """The entry of that station and number."""
        held = self._stations.get(key[0], [])
        place = bisect_left(held, key[1], key=_entry_number)
        return held[place] if place < len(held) and held[place].n == key[1] else None

    def apply(self, entry: Entry) -> None:
        """Take in one more entry, made with all of these in view, and give it its order."""
        if len(self._stations) > 1 or entry.station not in self._stations:
            ends = {station: held[-1].n for station, held in self._stations.items()}
            entry.past = {station: n for station, n in ends.items() if station != entry.station}
        self._take_last(entry)

    def _take_last(self, entry: Entry) -> None:
        if entry.kind == "undo":
            self._keep(entry)
            self._undo(entry)
            return
        self._take(entry)
        mark = entry.panel
        record = self.panels.get(mark) if mark is not None else None
        if record is not None and mark is not None and _from_several(record):
            self._refold(mark)

    @property
    def heads(self) -> tuple[Head, ...]:
        """The last entry of each station."""
        ends = (held[-1] for held in self._stations.values())
        return tuple(Head(one.station, one.n, one.seal) for one in ends)

    def _keep(self, entry: Entry) -> None:
        entry.order = len(self.entries)
        self.entries.append(entry)
        held = self._stations.get(entry.station)
        if held is None:
            self._stations[entry.station] = [entry]
        else:
            held.append(entry)

    def _take(self, entry: Entry) -> None:
        self._keep(entry)
        kind = entry.kind
        if entry.odd:
            self.unknown.append(entry)
            return
        if kind == "start":
            return
        if kind in ("person", "pin"):
            self._take_person(entry)
            return
        if kind == "clock" and moment_of(entry.data.get("time")) is not None:
            return
        mark = entry.data.get("panel")
        if kind not in PANEL_KINDS or type(mark) is not str:
            self.unknown.append(entry)
            return
        acts = self._acts.get(mark)
        if acts is None:
            acts = self._acts[mark] = []
        acts.append(entry)
        voided = self._undos.voided
        if voided and entry.key in voided:
            return
        self._fold(mark, entry)

    def _take_person(self, entry: Entry) -> None:
        try:
            if entry.kind == "person":
                self.people.append(person_of(entry))
            else:
                name, pin = pin_of(entry)
                self.pins.pop(name, None)
                self.pins[name] = pin
        except (KeyError, TypeError):
            self.unknown.append(entry)

    def _fold(self, mark: str, entry: Entry) -> None:
        panel = self.panels.get(mark)
        if panel is None:
            panel = self.panels[mark] = PanelState(mark=mark)
        try:
            fold(panel, entry)
        except (KeyError, TypeError):
            self.unknown.append(entry)
            return
        if entry.kind == "revise":
            self.revisions.append(entry)

    def _name_target(self, undo: Entry) -> Key | None:
        try:
            return self._undos.add(undo)
        except (KeyError, TypeError):
            self.unknown.append(undo)
            return None

    def _undo(self, undo: Entry) -> None:
        key = self._name_target(undo)
        act = self.find(key) if key is not None else None
        if act is not None and act.panel is not None:
            self._refold(act.panel)

    def _refold(self, mark: str) -> None:
        """Fold one panel anew from its acts that stand."""
        acts = self._acts.get(mark, [])
        voided = self._undos.voided
        self.panels.pop(mark, None)
        self.unknown = [
            entry for entry in self.unknown if entry.panel != mark or entry.kind not in PANEL_KINDS
        ]
        self.revisions = [entry for entry in self.revisions if entry.panel != mark]
        for entry in acts:
            if entry.key not in voided:
                self._fold(mark, entry)
        self._settle(mark)
        self.revisions.sort(key=attrgetter("order"))
        self.unknown.sort(key=attrgetter("order"))

    def _settle(self, mark: str) -> None:
        """Leave out what is in conflict of a panel that was just folded."""
        record = self.panels.get(mark)
        if record is None or not _from_several(record):
            return
        settle(record)
        sizes = [
            one for thing, those in record.conflicts.items() if thing[0] == "size" for one in those
        ]
        if sizes:
            self.revisions = [entry for entry in self.revisions if entry not in sizes]


def replay(entries: Iterable[Entry]) -> SiteState:
    """The state after some entries in the order of the log. Gives each its order."""
    state = SiteState()
    every = list(entries)
    for entry in every:
        if entry.kind == "undo":
            state._name_target(entry)
    for entry in every:
        if entry.kind == "undo":
            state._keep(entry)
        else:
            state._take(entry)
    state.unknown.sort(key=attrgetter("order"))
    if len(state._stations) > 1:
        for mark in state.panels:
            state._settle(mark)
    return state


def _from_several(record: PanelState) -> bool:
    """Whether more than one station made entries about a panel."""
    first = record.entries[0].station if record.entries else ""
    return any(entry.station != first for entry in record.entries)


def steps(entries: Iterable[Entry]) -> Iterator[tuple[SiteState, Entry]]:
    """Each entry, in the order of the log, with the state before it: an undo counts from where it stands.

    It is one state that goes on, to be read before the next entry is asked for.
    """
    state = SiteState()
    for entry in entries:
        yield state, entry
        state._take_last(entry)


MOST_TOLD = 20
"""Entries that are named one by one."""


def unknown_findings(state: SiteState) -> list[Finding]:
    """`entry-unknown` for what is kept and counts for nothing: an error where something may be lacking by it.

    A kind that this program does not know is that of a later one.
    """
    found = []
    for entry in state.unknown[:MOST_TOLD]:
        known = entry.kind in PANEL_KINDS or entry.kind in (
            "undo",
            "person",
            "pin",
            "clock",
            "start",
        )
        why = entry.odd or ("what it says cannot be" if known else "a later program wrote it")
        found.append(
            Finding(
                code="entry-unknown",
                severity="error" if known else "warning",
                mark=entry.panel,
                message=f"{file_words(entry.station)}, no. {entry.n}, {literal(entry.kind[:40])} of "
                f"{entry.at:%Y-%m-%d}: {literal(why)}. It is kept and counts for nothing.",
            )
        )
    more = len(state.unknown) - MOST_TOLD
    if more > 0:
        message = f"{more} more entries are kept and count for nothing."
        found.append(Finding(code="entry-unknown", severity="error", message=message))
    return found


def panel_of(state: SiteState, entry: Entry) -> str | None:
    """The mark of the panel an entry is about; for an undo, that of the act at its end."""
    seen: set[tuple[str, int]] = set()
    found: Entry | None = entry
    while found is not None and found.kind == "undo" and found.key not in seen:
        seen.add(found.key)
        found = undone(state, found)
    return found.panel if found is not None else None


def undone(state: SiteState, undo: Entry) -> Entry | None:
    """The entry an undo names, None where it names none that is known."""
    key = undo.target(undo.data)
    return state.find(key) if key is not None else None
