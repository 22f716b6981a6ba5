"""The state of the site: a fold over the log, the same for old entries and for one just saved."""

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from datetime import datetime
from operator import attrgetter

from attrs import define, field, fields

from pourdeck.plan.records import Person, Pin
from pourdeck.sitelog.entries import Entry, Key
from pourdeck.sitelog.merge import in_order
from pourdeck.sitelog.panels import PANEL_KINDS, PanelState, fold, poured
from pourdeck.sitelog.people import person_of, pin_of
from pourdeck.sitelog.undo import Undos

__all__ = ["PanelState", "SiteState", "panel_of", "poured", "replay", "steps", "undone"]

_number = attrgetter("n")
_time = attrgetter("at")


@define
class SiteState:
    """What stands on the site. Others read it; only `apply` changes it.

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
    _reached: dict[str, datetime] = field(factory=dict)

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
        place = bisect_left(held, key[1], key=_number)
        return held[place] if place < len(held) and held[place].n == key[1] else None

    def apply(self, entry: Entry) -> None:
        """Take in one more entry, and give it its order."""
        if not self._comes_last(entry):
            self._stations.setdefault(entry.station, []).append(entry)
            self._become(replay(in_order(self._stations.values())))
            return
        self._take_last(entry)

    def _take_last(self, entry: Entry) -> None:
        if entry.kind == "undo":
            self._keep(entry)
            self._undo(entry)
        else:
            self._take(entry)
        self._reached[entry.station] = max(entry.at, self._reached.get(entry.station, entry.at))

    def _comes_last(self, entry: Entry) -> bool:
        """Whether a replay, too, would put it after all others, of whatever station."""
        last = self.last
        if last is None or last.station == entry.station:
            return True
        reached = max(entry.at, self._reached.get(entry.station, entry.at))
        return reached > self._reached[last.station]

    def _become(self, other: "SiteState") -> None:
        for each in fields(SiteState):
            setattr(self, each.name, getattr(other, each.name))

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
        if kind == "start":
            return
        if kind in ("person", "pin"):
            self._take_person(entry)
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
        self.revisions.sort(key=attrgetter("order"))
        self.unknown.sort(key=attrgetter("order"))


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
    state._reached = {station: max(map(_time, held)) for station, held in state._stations.items()}
    return state


def steps(entries: Iterable[Entry]) -> Iterator[tuple[SiteState, Entry]]:
    """Each entry, in the order of the log, with the state before it: an undo counts from where it stands.

    It is one state that goes on, to be read before the next entry is asked for.
    """
    state = SiteState()
    for entry in entries:
        yield state, entry
        state._take_last(entry)


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
    station, n = undo.data.get("station"), undo.data.get("n")
    return state.find((station, n)) if isinstance(station, str) and type(n) is int else None
