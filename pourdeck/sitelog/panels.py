"""What the log says of one panel, and how each kind of act adds to it."""

from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from typing import Any

from attrs import define, field

from pourdeck.plan.poured import Poured
from pourdeck.plan.records import ALIGNMENTS
from pourdeck.plan.sides import Sides
from pourdeck.sitelog.entries import Entry, Key

SIGHTS = frozenset({"back", "inter", "fore"})
"""What a reading of the staff is to its set-up."""

CURED = frozenset({"field", "standard"})
"""Where a specimen was kept: beside its panel, or in the laboratory."""

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


def poured(state: PanelState) -> Poured | None:
    """What was cast, from the start of the pour and the as-cast values; None before the pour.

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


def _number(value: object) -> Decimal:
    """An exact decimal from a string of the log. Raises TypeError."""
    if not isinstance(value, str):
        raise TypeError(value)
    try:
        number = Decimal(value)
    except InvalidOperation:
        raise TypeError(value) from None
    if not number.is_finite():
        raise TypeError(value)
    return number


def _text(entry: Entry, key: str) -> str:
    value = entry.data[key]
    if type(value) is not str:
        raise TypeError(value)
    return value


def _answer(panel: PanelState, entry: Entry) -> None:
    item = _text(entry, "item")
    panel.answers.setdefault(item, []).append(entry)
    panel.latest[item] = entry


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
    n = entry.data["n"]
    if type(n) is not int:
        raise TypeError(n)
    panel.closed_ncs[_text(entry, "station"), n] = entry


def _disposition(panel: PanelState, entry: Entry) -> None:
    item = _text(entry, "item")
    _number(entry.data["found"])
    if _text(entry, "disposition") not in DISPOSITIONS:
        raise TypeError(entry.data["disposition"])
    panel.dispositions.setdefault(item, []).append(entry)


def _pour_start(panel: PanelState, entry: Entry) -> None:
    panel.pour_start = entry


def _pour_end(panel: PanelState, entry: Entry) -> None:
    panel.pour_end = entry


def _as_cast(panel: PanelState, entry: Entry) -> None:
    values = entry.data["values"]
    if type(values) is not dict:
        raise TypeError(values)
    panel.measured |= {key: _number(value) for key, value in values.items()}
    panel.as_cast.append(entry)


def _sight(panel: PanelState, entry: Entry) -> None:
    setup = entry.data["setup"]
    if type(setup) is not int or setup < 1 or _text(entry, "sight") not in SIGHTS:
        raise TypeError(entry.data)
    _text(entry, "point")
    _number(entry.data["reading"])
    panel.sights.append(entry)


def _load(panel: PanelState, entry: Entry) -> None:
    number, values = entry.data["load"], entry.data["values"]
    if type(number) is not int or number < 1 or type(values) is not dict:
        raise TypeError(entry.data)
    panel.loads.append(entry)


def _weather(panel: PanelState, entry: Entry) -> None:
    _text(entry, "time")
    for key in ("concrete", "air", "humidity", "wind"):
        _number(entry.data[key])
    panel.weather.append(entry)


def _temperatures(panel: PanelState, entry: Entry) -> None:
    readings = entry.data["readings"]
    if type(readings) is not list:
        raise TypeError(readings)
    for reading in readings:
        if type(reading) is not list or len(reading) != 2 or type(reading[0]) is not str:
            raise TypeError(reading)
        _number(reading[1])
    panel.temperatures.append(entry)


def _specimen(panel: PanelState, entry: Entry) -> None:
    _text(entry, "specimen")
    if _text(entry, "cured") not in CURED:
        raise TypeError(entry.data)
    panel.specimens.append(entry)


def _test(panel: PanelState, entry: Entry) -> None:
    _text(entry, "specimen")
    _text(entry, "time")
    if _text(entry, "cured") not in CURED:
        raise TypeError(entry.data)
    _number(entry.data["strength"])
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
        if key in after and _number(after[key]) <= 0:
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
