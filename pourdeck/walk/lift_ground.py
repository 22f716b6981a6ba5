"""What the lifts of the log rest on, and whether it still stands: results, releases, the lifts above.

Taking it back is refused here; where it comes from another station it is an error of the panel lifted.
"""

from collections.abc import Iterable, Iterator
from datetime import datetime
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.findings import Finding, Spot
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job, Stack
from pourdeck.plan.refusal import Refusal
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import SiteState, replay
from pourdeck.walk.lift_history import entry_words
from pourdeck.walk.lift_seals import named
from pourdeck.walk.log_numbers import number_of
from pourdeck.walk.people import folded
from pourdeck.walk.records import Act
from pourdeck.walk.strength_log import field_results, last_below, showing, specimens

ABOVE_UNDONE = "lift-above-undone"
"""A panel is lifted, and the lift of one above it was taken back."""

GROUND_LOST = "lift-ground-lost"
"""A panel is lifted, and the result or the release that its lift rests on no longer stands."""


@frozen(kw_only=True)
class Lost:
    """Something that the lift of a panel rested on and that no longer stands. `entry`: what took it away."""

    spot: Spot
    code: str
    lifted: Entry
    what: str
    by: Entry | None
    remedy: str

    @property
    def key(self) -> tuple[str, str, str]:
        return self.spot.mark, self.code, self.what

    def finding(self) -> Finding:
        by = f" ({self.by.kind} {entry_words(self.by)})" if self.by else ""
        return self.spot.error(
            self.code,
            f"it is lifted ({entry_words(self.lifted)}), and {self.what}{by}. {self.remedy}",
        )


def lost_ground(job: Job, state: SiteState) -> tuple[Lost, ...]:
    """Whatever the lifts that stand rested on and that does not stand now."""
    found: list[Lost] = []
    for stack in job.stacks:
        for number, panel in enumerate(stack.panels, 1):
            record = state.panels.get(panel.mark)
            if record is not None and record.lifted is not None:
                spot = Spot(stack=stack.id, panel=number, mark=panel.mark)
                found += _above(spot, record.lifted, stack, state)
                found += _release(spot, record.lifted, state)
                found += _result(spot, record.lifted, state)
    return tuple(found)


def _above(spot: Spot, lifted: Entry, stack: Stack, state: SiteState) -> Iterator[Lost]:
    mark = literal(spot.mark)
    for panel in stack.panels[spot.panel :]:
        if state.panel(panel.mark).lifted is not None:
            continue
        undone = _last_lift(state, panel.mark)
        if undone is None:
            continue  # never lifted: the lift below was not fit to be recorded
        upper = literal(panel.mark)
        yield Lost(
            spot=spot,
            code=ABOVE_UNDONE,
            lifted=lifted,
            what=f"the lift of {upper} above it was taken back",
            by=state.voided.get(undone.key),
            remedy=f"Look at the stack: if {upper} is off, record its lift again; if {mark} lies there "
            f"still, take the lift of {mark} back at {literal(lifted.station)}.",
        )


def _last_lift(state: SiteState, mark: str) -> Entry | None:
    return next(
        (one for one in reversed(state.entries) if one.kind == "lifted" and one.panel == mark), None
    )


def _release(spot: Spot, lifted: Entry, state: SiteState) -> Iterator[Lost]:
    key = named(lifted.data.get("release"))
    release = state.find(key) if key else None
    if release is None or release.key not in state.voided:
        return
    yield Lost(
        spot=spot,
        code=GROUND_LOST,
        lifted=lifted,
        what=f"the release to lift that it rests on ({entry_words(release)}) was taken back",
        by=state.voided[release.key],
        remedy="Tell the engineer today.",
    )


def _result(spot: Spot, lifted: Entry, state: SiteState) -> Iterator[Lost]:
    """The result that a lift names is void, or its specimen no longer shows what the release asked for."""
    key = named(lifted.data.get("result"))
    test = state.find(key) if key else None
    if test is None or test.kind != "test":
        return
    record, name = state.panel(spot.mark), str(test.data.get("specimen"))
    needed = _needed(lifted, state)
    known = field_results(record, lifted.at)
    enough = known if needed is None else showing(known, needed)
    stands = any(folded(one.name) == folded(name) for one in enough)
    if stands and test.key not in state.voided:
        return
    low = None if needed is None else last_below(known, needed)
    yield Lost(
        spot=spot,
        code=GROUND_LOST,
        lifted=lifted,
        what=f"the result of {literal(name)} that it rests on ({entry_words(test)}) no longer shows its "
        "strength",
        by=_took_away(state, test, name) or (low.entry if low else None),
        remedy="Tell the engineer today, and record a result of another field-cured specimen of it.",
    )


def _needed(lifted: Entry, state: SiteState) -> Decimal | None:
    key = named(lifted.data.get("release"))
    release = state.find(key) if key else None
    return number_of(release.data.get("strength")) if release else None


def _took_away(state: SiteState, test: Entry, name: str) -> Entry | None:
    """The last entry that says otherwise of a specimen: an undo, another result, where it was cured."""
    if test.key in state.voided:
        return state.voided[test.key]
    record = state.panel(test.panel or "")
    said = [one for one in (*record.tests, *record.specimens) if _of(one, name)]
    later = [one for one in said if one.order > test.order]
    if later:
        return max(later, key=lambda one: one.order)
    if any(folded(one.name) == folded(name) for one in specimens(record)):
        return None
    voided = [
        one
        for one in state.entries
        if one.kind == "specimen" and one.panel == test.panel and _of(one, name)
    ]
    return next((state.voided[one.key] for one in voided if one.key in state.voided), None)


def _of(entry: Entry, name: str) -> bool:
    return folded(str(entry.data.get("specimen", ""))) == folded(name)


def undo_refused(job: Job, state: SiteState, act: Act, now: datetime) -> Refusal | None:
    """Why an undo, or taking one back, may not be: a lift that stands would lose what it rests on."""
    if not any(record.lifted for record in state.panels.values()):
        return None
    before = {one.key for one in lost_ground(job, state)}
    last = max((one.n for one in state.entries), default=0)
    trial = Entry(
        station="", n=last + 1, at=now, by=act.by, kind=act.kind, data=act.data, prev="", seal=""
    )
    after = lost_ground(job, replay([*state.entries, trial]))
    return _refusal(one for one in after if one.key not in before)


def _refusal(lost: Iterable[Lost]) -> Refusal | None:
    one = next(iter(lost), None)
    if one is None:
        return None
    mark = literal(one.spot.mark)
    where = f"{entry_words(one.lifted)}"
    if one.code == ABOVE_UNDONE:
        remedy = f"Take back the lift of {mark} first, where it lies there still."
    else:
        remedy = (
            "A result that is wrong is put right by a new result of that specimen, with why; where "
            f"{mark} lies on its stack still, take back its lift first."
        )
    return Refusal(
        title=f"The lift of {mark} rests on that.",
        body=f"Then {mark} would be lifted ({where}), and {one.what}. {remedy}",
    )
