"""The state of the site: a fold over the log, the same for old entries and for one just saved."""

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal, InvalidOperation
from operator import attrgetter
from typing import Any

from attrs import define, field

from pourdeck.plan.ascast import is_height, is_signed
from pourdeck.plan.messages import Finding, literal
from pourdeck.plan.numbers import number_in
from pourdeck.plan.records import ALIGNMENTS, Person, Pin, Poured, Sides
from pourdeck.sitelog.conflicts import Conflicts, conflicts_among
from pourdeck.sitelog.entries import (
    Entry,
    Head,
    Key,
    Undos,
    file_words,
    moment_of,
    person_of,
    pin_of,
)

__all__ = ["PanelState", "SiteState", "panel_of", "poured", "replay", "steps", "undone"]


# What the log says of one panel, and how each kind of act adds to it.

SIGHTS = frozenset({"back", "inter", "fore"})
"""What a reading of the staff is to its set-up."""

CURED = frozenset({"field", "standard"})
"""Where a specimen was kept: beside its panel, or in the laboratory."""

LOAD_NUMBERS = frozenset({"slump", "temperature", "water", "volume"})
"""Numbers of a load, each with a range of its name."""

MOST_COUNTED = 10_000
"""Loads, set-ups, anchors of a side."""

DISPOSITIONS = ("rework", "repair", "use-as-is", "reject")
"""What may be said of a value as cast that is out of tolerance."""


@define(kw_only=True)
class PanelState:
    """The acts on a panel that stand: nothing undone is in it. Lists run from the oldest.

    `started` is the first act of the walk: notes, size changes and closing a non-conformance are
    none. `latest` holds what stands for an item: its last answer, deferral or "not applicable".
    `sights`: lines of the level book that answer no item. `loads`, `weather`, `temperatures`,
    `specimens`, `tests`: what was written down of the concrete, each entry as it came.
    `closed_ncs` is by the entry that was closed: a `pass-unreleased`, or a `disposition` as repair.
    `conflicts`: what stations that had not seen each other said differently, by what they said it of: none of
    it counts until somebody decides.
    `dispositions` are by item. `measured`: the last value by key, mm, `rl_*` in m. Only the fold
    changes it.
    """

    mark: str
    started: Entry | None = None
    answers: dict[str, list[Entry]] = field(factory=dict)
    latest: dict[str, Entry] = field(factory=dict)
    notes: list[Entry] = field(factory=list)
    follow_ups: dict[str, list[Entry]] = field(factory=dict)
    completed: dict[str, Entry] = field(factory=dict)
    releases: dict[str, list[Entry]] = field(factory=dict)
    passed: dict[str, list[Entry]] = field(factory=dict)
    closed_ncs: dict[Key, Entry] = field(factory=dict)
    dispositions: dict[str, list[Entry]] = field(factory=dict)
    pour_start: Entry | None = None
    pour_end: Entry | None = None
    as_cast: list[Entry] = field(factory=list)
    measured: dict[str, Decimal] = field(factory=dict)
    sights: list[Entry] = field(factory=list)
    loads: list[Entry] = field(factory=list)
    weather: list[Entry] = field(factory=list)
    temperatures: list[Entry] = field(factory=list)
    specimens: list[Entry] = field(factory=list)
    tests: list[Entry] = field(factory=list)
    lift_releases: list[Entry] = field(factory=list)
    closed: Entry | None = None
    lifted: Entry | None = None
    entries: list[Entry] = field(factory=list)
    conflicts: Conflicts = field(factory=dict)


def poured(state: PanelState) -> Poured | None:
    """Give what was cast, from the start of the pour and the as-cast values; None before the pour.

    A list of anchors that cannot be read counts as empty: what then lacks shows above it.
    """
    if state.pour_start is None:
        return None
    data = state.pour_start.data
    return Poured(
        mark=state.mark,
        anchors=_positions(data.get("anchors")),
        extra_anchors=_positions(data.get("extra_anchors")),
        measured=dict(state.measured),
    )


def _positions(lists: object) -> Sides[tuple[Decimal, ...]]:
    by_side = lists if isinstance(lists, dict) else {}
    return Sides.of(lambda side: _rising(by_side.get(side)))


def _rising(values: object) -> tuple[Decimal, ...]:
    if not isinstance(values, list):
        return ()
    try:
        return tuple(sorted(_number(value) for value in values))
    except TypeError:
        return ()


def _number(value: object, name: str = "") -> Decimal:
    """An exact decimal from a string of the log, in the range of what may be typed. Raises TypeError."""
    number = number_in(value, name)
    if number is None:
        raise TypeError(value)
    return number


def _moment(value: object) -> None:
    """Raises TypeError where it is no time of the log."""
    if moment_of(value) is None:
        raise TypeError(value)


def _count(value: object) -> int:
    """Raises TypeError where it is no number from 1 to what a pour or a level run comes to."""
    if type(value) is not int or not 1 <= value <= MOST_COUNTED:
        raise TypeError(value)
    return value


def _text(entry: Entry, key: str) -> str:
    value = entry.data[key]
    if type(value) is not str:
        raise TypeError(value)
    return value


def _answer(panel: PanelState, entry: Entry) -> None:
    item = _text(entry, "item")
    value, unit = entry.data.get("value"), entry.data.get("unit")
    if isinstance(value, str) and isinstance(unit, str) and unit and _is_number(value):
        _number(value, unit)
    panel.answers.setdefault(item, []).append(entry)
    panel.latest[item] = entry


def _is_number(value: str) -> bool:
    try:
        return Decimal(value).is_finite()
    except InvalidOperation:
        return False


def _item_state(panel: PanelState, entry: Entry) -> None:
    panel.latest[_text(entry, "item")] = entry


def _note(panel: PanelState, entry: Entry) -> None:
    if not isinstance(entry.data.get("item"), str | None):
        raise TypeError
    _text(entry, "text")
    panel.notes.append(entry)


def _follow_up(panel: PanelState, entry: Entry) -> None:
    panel.follow_ups.setdefault(_text(entry, "item"), []).append(entry)


def _complete(panel: PanelState, entry: Entry) -> None:
    panel.completed[_text(entry, "section")] = entry


def _release(panel: PanelState, entry: Entry) -> None:
    panel.releases.setdefault(_text(entry, "hold"), []).append(entry)


def _pass_unreleased(panel: PanelState, entry: Entry) -> None:
    panel.passed.setdefault(_text(entry, "hold"), []).append(entry)


def _close_nonconformance(panel: PanelState, entry: Entry) -> None:
    closed = entry.target(entry.data)
    if closed is None:
        raise TypeError(entry.data)
    panel.closed_ncs[closed] = entry


def _disposition(panel: PanelState, entry: Entry) -> None:
    item = _text(entry, "item")
    _number(entry.data["found"])
    if _text(entry, "disposition") not in DISPOSITIONS:
        raise TypeError(entry.data["disposition"])
    panel.dispositions.setdefault(item, []).append(entry)


def _pour_start(panel: PanelState, entry: Entry) -> None:
    data = entry.data
    if data.get("time") is not None:
        _moment(data["time"])
    for key in ("width", "height", "thickness"):
        if key in data:
            _number(data[key], "size")
    for lists in (data.get("anchors"), data.get("extra_anchors")):
        for values in lists.values() if isinstance(lists, dict) else ():
            if isinstance(values, list) and len(values) > MOST_COUNTED:
                raise TypeError(len(values))
    panel.pour_start = entry


def _pour_end(panel: PanelState, entry: Entry) -> None:
    if entry.data.get("time") is not None:
        _moment(entry.data["time"])
    panel.pour_end = entry


def _as_cast(panel: PanelState, entry: Entry) -> None:
    values = entry.data["values"]
    if type(values) is not dict:
        raise TypeError(values)
    panel.measured |= {key: _number(value, _range_of(key)) for key, value in values.items()}
    panel.as_cast.append(entry)


def _range_of(key: str) -> str:
    """The range of an as-cast value."""
    return "m" if is_height(key) else "face" if is_signed(key) else "mm"


def _sight(panel: PanelState, entry: Entry) -> None:
    _count(entry.data["setup"])
    if _text(entry, "sight") not in SIGHTS:
        raise TypeError(entry.data)
    _text(entry, "point")
    _number(entry.data["reading"], "staff")
    panel.sights.append(entry)


def _load(panel: PanelState, entry: Entry) -> None:
    _count(entry.data["load"])
    values = entry.data["values"]
    if type(values) is not dict:
        raise TypeError(values)
    for key, value in values.items():
        if key in LOAD_NUMBERS and value is not None:
            _number(value, key)
    panel.loads.append(entry)


def _weather(panel: PanelState, entry: Entry) -> None:
    _moment(entry.data["time"])
    for key in ("concrete", "air", "humidity", "wind"):
        _number(entry.data[key], key)
    panel.weather.append(entry)


def _temperatures(panel: PanelState, entry: Entry) -> None:
    readings = entry.data["readings"]
    if type(readings) is not list:
        raise TypeError(readings)
    for reading in readings:
        if type(reading) is not list or len(reading) != 2 or type(reading[0]) is not str:
            raise TypeError(reading)
        _moment(reading[0])
        _number(reading[1], "reading")
    panel.temperatures.append(entry)


def _specimen(panel: PanelState, entry: Entry) -> None:
    _text(entry, "specimen")
    if _text(entry, "cured") not in CURED:
        raise TypeError(entry.data)
    panel.specimens.append(entry)


def _test(panel: PanelState, entry: Entry) -> None:
    _text(entry, "specimen")
    _moment(entry.data["time"])
    if _text(entry, "cured") not in CURED:
        raise TypeError(entry.data)
    _number(entry.data["strength"], "strength")
    panel.tests.append(entry)


def _lift_release(panel: PanelState, entry: Entry) -> None:
    panel.lift_releases.append(entry)


def _close(panel: PanelState, entry: Entry) -> None:
    panel.closed = entry


def _lifted(panel: PanelState, entry: Entry) -> None:
    panel.lifted = entry


def _revise(panel: PanelState, entry: Entry) -> None:
    """Nothing of the panel's own; what is checked is that the plan can be revised by it."""
    after: dict[str, Any] = entry.data["after"]
    if type(after) is not dict:
        raise TypeError(after)
    for key in ("width", "height", "thickness"):
        if key in after and _number(after[key], "size") <= 0:
            raise TypeError(after[key])
    if after.get("align", "centre") not in ALIGNMENTS:
        raise TypeError(after)


_FOLDS: dict[str, Callable[[PanelState, Entry], None]] = {
    "answer": _answer,
    "defer": _item_state,
    "not-applicable": _item_state,
    "note": _note,
    "follow-up": _follow_up,
    "complete": _complete,
    "release": _release,
    "pass-unreleased": _pass_unreleased,
    "close-nonconformance": _close_nonconformance,
    "disposition": _disposition,
    "pour-start": _pour_start,
    "pour-end": _pour_end,
    "as-cast": _as_cast,
    "sight": _sight,
    "load": _load,
    "weather": _weather,
    "temperatures": _temperatures,
    "specimen": _specimen,
    "test": _test,
    "lift-release": _lift_release,
    "close": _close,
    "lifted": _lifted,
    "revise": _revise,
}

PANEL_KINDS = frozenset(_FOLDS)
"""The kinds of entries that are about a panel."""

_NO_START = frozenset({"note", "revise", "close-nonconformance"})


def fold(panel: PanelState, entry: Entry) -> None:
    """Take in an entry of a kind in PANEL_KINDS.

    Raises KeyError or TypeError where its data is not what the kind needs, and then changes
    nothing.
    """
    _FOLDS[entry.kind](panel, entry)
    panel.entries.append(entry)
    if panel.started is None and entry.kind not in _NO_START:
        panel.started = entry


# What is in conflict counts for nothing.


def settle(panel: PanelState) -> None:
    """Leave out of a panel's state, folded anew, what stations said differently without seeing each other."""
    panel.conflicts = conflicts_among(panel.entries)
    for thing, entries in panel.conflicts.items():
        kind, key = thing
        if kind == "item":
            panel.latest.pop(key, None)
        elif kind == "as-cast":
            panel.measured.pop(key, None)
        elif kind == "test":
            panel.tests = [one for one in panel.tests if one.data["specimen"] != key]
        elif kind == "specimen":
            panel.specimens = [one for one in panel.specimens if one.data["specimen"] != key]
        elif kind == "disposition":
            left = [one for one in panel.dispositions[key] if one not in entries]
            panel.dispositions[key] = left
            if not left:
                del panel.dispositions[key]


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
