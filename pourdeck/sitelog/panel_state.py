"""Hold what the log says of one panel: a fold over its entries, and what of them is in conflict.

What two stations said differently of the same thing, while neither had seen the other say it, is in conflict.
Both stay in the log, and neither counts: the thing is open until somebody decides, in an entry that names
both under `settles`. Of what one had seen the later one stands, whatever the clocks say.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal, InvalidOperation
from typing import Any

from attrs import define, field

from pourdeck.plan.ascast import is_height, is_signed
from pourdeck.plan.numbers import number_in
from pourdeck.plan.records import ALIGNMENTS, Poured, Sides
from pourdeck.sitelog.entries import Entry, Key, moment_of, settled_by

Thing = tuple[str, str]
"""Kind and key of a thing: `item` and its key, `as-cast` and its key, `disposition` and its item, `size`,
`load` and number with field, `pour-start`, `pour-end`, `specimen` and `test` with the name of the specimen.
"""

Conflicts = dict[Thing, tuple[Entry, ...]]


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


# What stations said differently without having seen each other counts for nothing.


def things(entry: Entry) -> Iterator[tuple[Thing, Any]]:
    """Give each thing that an entry says something of, with what it says, in JSON values."""
    data = entry.data
    match entry.kind:
        case "answer":
            reason = data.get("not_measured")
            said = data["value"] if data.get("value") is not None else f"not measured: {reason}"
            yield ("item", data["item"]), said
        case "defer" | "not-applicable":
            yield ("item", data["item"]), (entry.kind,)
        case "as-cast":
            for key, value in data["values"].items():
                yield ("as-cast", key), value
        case "disposition":
            yield ("disposition", data["item"]), (data["disposition"], data["found"])
        case "revise":
            # It says all of the size: who changed the width had not seen that the height was changed.
            yield ("size", ""), data["after"]
        case "load":
            for key, value in data["values"].items():
                yield ("load", f"{data['load']} {key}"), value
        case "pour-start" | "pour-end":
            yield (entry.kind, ""), data.get("time")
        case "specimen":
            said = (data["cured"], data.get("load"), data.get("time"))
            yield ("specimen", data["specimen"]), said
        case "test":
            yield ("test", data["specimen"]), data["strength"]


def said_of(entry: Entry, thing: Thing) -> Any:
    """Give what an entry says of a thing."""
    return next((value for each, value in things(entry) if each == thing), None)


def conflicts_among(entries: Iterable[Entry]) -> Conflicts:
    """Find what is in conflict among the entries of one panel that stand, in their order."""
    fronts: dict[Thing, list[tuple[Entry, Any]]] = {}
    for entry in entries:
        names = set(settled_by(entry))
        for thing, value in things(entry):
            front = fronts.get(thing, [])
            seen = [one for one in front if entry.had_seen(one[0])]
            unseen = [one for one in front if not entry.had_seen(one[0])]
            if _differ(seen) and not all(one.key in names for one, _ in seen):
                unseen = front
            fronts[thing] = [*unseen, (entry, value)]
    return {
        thing: tuple(entry for entry, _ in front)
        for thing, front in fronts.items()
        if _differ(front)
    }


def _differ(front: Sequence[tuple[Entry, Any]]) -> bool:
    return any(value != front[0][1] for _, value in front)


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
