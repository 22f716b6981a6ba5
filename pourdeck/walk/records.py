"""Hold what the crew sees of a panel: its walk, sections, items and holds, and what an act is.

Lengths are exact millimetres, heights and staff readings metres, whatever the job's units: `unit` says
which. Nothing here is kept: every view is worked out from plan and log, and the next entry replaces it.
"""

from collections.abc import Callable, Iterable
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Literal

from attrs import field, frozen

from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import Corner, Job, Side, Stack
from pourdeck.setout.record import SetOut, Sum
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.clock import Clocks

if TYPE_CHECKING:
    from pourdeck.walk.pour_findings import WeatherReading


# What the crew sees of a panel: its walk, sections, items and holds, and what an act is.

AnswerKind = Literal["choice", "measure", "count", "text", "time"]
ItemState = Literal["open", "done", "failed", "deferred", "n/a", "locked", "void"]
SectionState = Literal["open", "done", "locked"]
HoldState = Literal["open", "released", "void", "passed", "locked"]
PanelPhase = Literal[
    "waiting", "ready", "forming", "released", "pouring", "curing", "cast", "lifted"
]
Mode = Literal["do-confirm", "read-do"]
Verdict = Literal["pass", "fail", "recorded"]
Disposition = Literal["rework", "repair", "use-as-is", "reject"]
OutState = Literal[
    "open", "rework", "repair", "repaired", "use-as-is", "rejected", "measured again"
]

ANSWERED: frozenset[ItemState] = frozenset({"done", "failed", "deferred", "n/a"})
"""States in which an item owes no answer now. A failed one owes a follow-up, an as-cast one a disposition."""


@frozen(kw_only=True, repr=False)
class Place:
    """Where on the drawing an item is: what applies. x, y in the panel's own coordinates, mm.

    `at` is along `side`, `end` where a stretch ends. `bracket` is its label, such as R4. `name` that
    of an opening or cast-in.
    """

    side: Side | None = None
    corner: Corner | None = None
    at: Decimal | None = None
    end: Decimal | None = None
    x: Decimal | None = None
    y: Decimal | None = None
    bracket: str | None = None
    name: str | None = None


NOWHERE = Place()


@frozen(kw_only=True, eq=False, repr=False)
class LastAct:
    """Hold what an item has from the log: its last act, and how often it was answered.

    `lapse` says why an answer is void, `reason` why it replaced another or was put off. `not_measured`: why
    there is no value, where the answer is that nobody measured it. `doubted`: the value was doubted and kept.
    `conflict`: what two stations said of it that had not seen each other.
    """

    found: Decimal | str | None = None
    typed: str | None = None
    by: str | None = None
    at: datetime | None = None
    reason: str | None = None
    owner: str | None = None
    before: str | None = None
    lapse: str | None = None
    entry: Entry | None = field(default=None, repr=False)
    history: int = 0
    follow_up: str | None = None
    fast: bool = False
    not_measured: str | None = None
    doubted: bool = False
    conflict: tuple[Entry, ...] = field(default=(), repr=False)


@frozen(kw_only=True, repr=False)
class OutOfTolerance:
    """A value as cast outside its band: a non-conformance of the panel, one for each such value.

    Two diagonals are one, and `found` how far they are apart; `items` and `cast_keys` then name both,
    `item` the one measured last. `values` is what was measured, by as-cast key. `low` and `high` are the
    limits, ends included, `source` the document they come from; `over` how far `found` is above (positive)
    or below them, all in `unit` (mm or m). `entry` gave the value and is the number of the
    non-conformance. `disposition` is the one that counts now, `looked` who looked at a repair, `again` the
    entry that gave another value, `found_again`, in the band or not: `passed_again`.
    """

    stack: str
    number: int
    mark: str
    item: str
    items: tuple[str, ...]
    cast_keys: tuple[str, ...]
    name: str
    side: Side | None
    unit: str
    found: Decimal
    values: dict[str, Decimal]
    expected: Decimal | None
    low: Decimal | None
    high: Decimal | None
    over: Decimal
    source: str | None
    measured_by: tuple[str, ...]
    entry: Entry = field(repr=False)
    disposition: Entry | None = field(default=None, repr=False)
    looked: Entry | None = field(default=None, repr=False)
    again: Entry | None = field(default=None, repr=False)
    found_again: Decimal | None = None
    passed_again: bool = False

    @property
    def said(self) -> str | None:
        """Give what was said is to be done about it."""
        return str(self.disposition.data["disposition"]) if self.disposition else None

    @property
    def state(self) -> OutState:
        if self.said == "reject":
            return "rejected"
        if self.again is not None:
            return "measured again"
        if self.said == "use-as-is":
            return "use-as-is"
        if self.said == "repair":
            return "repaired" if self.looked else "repair"
        return "rework" if self.said == "rework" else "open"

    @property
    def stands(self) -> bool:
        """True where it still is of the value that stands; a rejection stands for good."""
        return self.again is None or self.state == "rejected"

    @property
    def settled(self) -> bool:
        return self.state in ("measured again", "use-as-is", "repaired")


@frozen(kw_only=True, repr=False)
class ItemView(LastAct):
    """One item as it stands. `name` is a word or three for lists, `label` which one of several it is.

    `own_state` is the state without locks: a locked item keeps the answer it had. `expected` is a
    number, or for a choice the one that passes. `low` and `high` are the limits judged by, ends
    included; None: no limit on that side. `source` is the document the limits come from. `note` says
    what stands beside the expected value, such as the arris or the planned reading. `offered`: what was
    written down elsewhere already, to be taken or changed. `locked_by` says
    what would unlock it. `kept`: it cannot be deferred, dropped or
    not applicable, because the state of the panel hangs on it. `measured`: it cannot be left unmeasured.
    `pair`: judged by the difference of two, `low` and `high` from the other one. `bare`: answered without
    measuring or writing. `where` pins down what the key stands for. `records` and `cast_key`: the kind of
    entry, and the as-cast key, an answer makes. `out`: what of it is out of tolerance now.
    """

    key: str
    section: str
    label: str
    group: str
    name: str
    prompt: str
    why: str
    kind: AnswerKind
    unit: str
    decimals: int
    choices: tuple[str, ...] = ()
    good: tuple[str, ...] = ()
    expected: Decimal | str | None = None
    plus: Decimal | None = None
    minus: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    source: str | None = None
    note: str = ""
    offered: Decimal | str | None = None
    state: ItemState = "open"
    own_state: ItemState = "open"
    verdict: Verdict | None = None
    notes: tuple[Entry, ...] = field(default=(), repr=False)
    second: bool = False
    critical: bool = False
    signed: bool = False
    kept: bool = False
    measured: bool = False
    pair: bool = False
    bare: bool = False
    where: str | None = None
    records: str | None = None
    cast_key: str | None = None
    out: OutOfTolerance | None = None
    place: Place = NOWHERE
    locked_by: Refusal | None = None
    opens: Callable[[], Sum | None] | None = field(default=None, eq=False, repr=False)

    @property
    def sum(self) -> Sum | None:
        """The sum behind the expected value, worked out when it is asked for."""
        return self.opens() if self.opens else None

    @property
    def answered(self) -> bool:
        return self.own_state in ANSWERED


@frozen(kw_only=True, eq=False, repr=False)
class Dropped:
    """A built-in item the job leaves out, and why."""

    item: str
    prompt: str
    reason: str


@frozen(kw_only=True, repr=False)
class HoldView:
    """A hold point. `needs` says in words what is still missing before it may be released.

    `covers` are the keys of the items it covers, `digest` what a release now would seal of them.
    `due` are deferred items that must be settled first, `fast` those answered faster than they can be
    measured. `lapse` says why a release is void. `accepted`: what of the panel below is out of tolerance
    and was settled as it is, for whoever releases to see. `weather`: what the readings among its items come
    to, once all four are in.
    """

    id: str
    section: str
    name: str
    look: str
    state: HoldState
    by: str | None = None
    role: str | None = None
    at: datetime | None = None
    seen: str | None = None
    reason: str | None = None
    lapse: str | None = None
    entry: Entry | None = field(default=None, repr=False)
    needs: tuple[str, ...] = ()
    covers: tuple[str, ...] = ()
    digest: str = ""
    due: tuple[ItemView, ...] = ()
    fast: tuple[ItemView, ...] = ()
    locked_by: Refusal | None = None
    accepted: tuple[OutOfTolerance, ...] = ()
    weather: "WeatherReading | None" = field(default=None, eq=False, repr=False)

    @property
    def lets_pass(self) -> bool:
        return self.state in ("released", "passed")


@frozen(kw_only=True, repr=False)
class SectionView:
    """One section. `complete` is the entry that ended it; a section with a hold ends with its release."""

    id: str
    number: int
    name: str
    place: str
    mode: Mode
    state: SectionState
    items: tuple[ItemView, ...]
    answered: int
    total: int
    locked_by: Refusal | None = None
    hold: HoldView | None = None
    covered_by: str | None = None
    complete: Entry | None = field(default=None, repr=False)
    cautions: tuple[str, ...] = ()
    dropped: tuple[Dropped, ...] = ()

    @property
    def open(self) -> int:
        return self.total - self.answered


@frozen(kw_only=True, repr=False)
class NonConformance:
    """A hold that was passed without release. `closed` is the entry that closed it."""

    stack: str
    number: int
    mark: str
    hold: str
    name: str
    reason: str
    by: str
    at: datetime
    entry: Entry = field(repr=False)
    closed: Entry | None = field(default=None, repr=False)
    action: str | None = None


@frozen(kw_only=True, eq=False, repr=False)
class Gate:
    """Whether a panel may be started. `refusal` None: it may. `until`: when the clock alone will open it."""

    refusal: Refusal | None = None
    until: datetime | None = None


@frozen(kw_only=True, repr=False)
class NextAct:
    """Hold what comes next. `key` of the item, or None where it is a hold, a section's end or a wait."""

    stack: str
    number: int
    mark: str
    section: int | None
    key: str | None
    hold: str | None
    text: str
    until: datetime | None = None
    answered: int = 0
    total: int = 0


@frozen(kw_only=True, repr=False)
class Walk:
    """The panel in hand: all that the crew answers, and what is owed.

    `gate`: why the panel may not be started, and `gate_until` when that ends by the clock, if it does.
    `open` counts items without a valid answer, `failed` those without a follow-up or disposition. Counts
    are of the items themselves, locked or not. `out_of_tolerance` has the settled ones too, oldest first.
    `record` is what the log says of the panel, `below` and `above` of its neighbours, None where none is.
    """

    stack: str
    number: int
    of: int
    mark: str
    rev: str | None
    mirrored: bool
    panel_state: PanelPhase
    sections: tuple[SectionView, ...]
    answered: int
    total: int
    open: int
    failed: int
    deferred: int
    nonconformances: tuple[NonConformance, ...]
    out_of_tolerance: tuple[OutOfTolerance, ...]
    gate: Refusal | None
    gate_until: datetime | None
    clocks: Clocks = field(eq=False)
    next: NextAct | None
    template: str
    job: Job = field(repr=False)
    plan: Stack = field(repr=False)
    setout: SetOut = field(repr=False)
    record: PanelState = field(repr=False)
    below: PanelState | None = field(default=None, repr=False)
    above: PanelState | None = field(default=None, repr=False)

    def find(self, key: str) -> ItemView | None:
        """The item of that key; None where the walk has none."""
        wanted = key.partition(".")[0]
        for section in self.sections:
            if section.id == wanted:
                return next((item for item in section.items if item.key == key), None)
        return None

    def mean_measured(self, keys: Iterable[str]) -> Decimal | None:
        """The mean of what was measured of these items and stands; None where nothing was."""
        items = (self.find(key) for key in keys)
        read = [
            item.found
            for item in items
            if item and item.own_state in ("done", "failed") and isinstance(item.found, Decimal)
        ]
        return sum(read, Decimal(0)) / len(read) if read else None

    def section(self, section_id: str) -> SectionView | None:
        return next((section for section in self.sections if section.id == section_id), None)

    def hold(self, hold_id: str) -> HoldView | None:
        return next((one for one in self.holds if one.id == hold_id), None)

    @property
    def holds(self) -> tuple[HoldView, ...]:
        return tuple(section.hold for section in self.sections if section.hold)

    @property
    def unsettled(self) -> tuple[OutOfTolerance, ...]:
        """List what is out of tolerance and not settled."""
        return tuple(one for one in self.out_of_tolerance if not one.settled)

    @property
    def rejected(self) -> bool:
        return any(one.state == "rejected" for one in self.out_of_tolerance)

    def items(self) -> tuple[ItemView, ...]:
        return tuple(item for section in self.sections for item in section.items)


@frozen(kw_only=True, eq=False, repr=False)
class Act:
    """Something done that is to be recorded. `says` is one line for people."""

    kind: str
    by: str
    data: dict[str, Any]
    says: str


# Whether what was found passes. Limits themselves pass.


def verdict(
    value: Decimal, expected: Decimal | None, plus: Decimal | None, minus: Decimal | None
) -> Verdict:
    """Judge a value by how far it may be above and below; None: no limit on that side.

    Without an expected value or any limit it is recorded and not judged.
    """
    if expected is None:
        return "recorded"
    low = None if minus is None else expected - minus
    high = None if plus is None else expected + plus
    return within(value, low, high)


def within(value: Decimal, low: Decimal | None, high: Decimal | None) -> Verdict:
    """Judge a value by its limits, ends included; None: no limit on that side."""
    if low is None and high is None:
        return "recorded"
    too_low = low is not None and value < low
    too_high = high is not None and value > high
    return "fail" if too_low or too_high else "pass"
