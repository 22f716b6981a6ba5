"""What is missing before a panel is lifted, part by part and in words."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from pourdeck.plan.amounts import format_amount
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.records import ItemView, NonConformance
from pourdeck.walk.strength_log import Result, last_below
from pourdeck.walk.words import count_of, item_name

NO_LIMIT = "no limit given: the engineer must give one, with its document, in the release to lift"


def owed_before_lift(
    record: PanelState,
    items: Iterable[ItemView],
    nonconformances: Iterable[NonConformance],
    unsettled: Iterable[str] = (),
) -> tuple[str, ...]:
    """What of its walk and record stands in the way of a lift. `unsettled`: sizes out of tolerance."""
    if record.closed is None:
        return ("its record is not closed",)
    every = tuple(items)
    # What came out of its band is settled by its disposition: it is among what is unsettled, or right.
    failed = [item_name(one) for one in every if one.own_state == "failed" and one.cast_key is None]
    put_off = [item_name(one) for one in every if one.own_state == "deferred"]
    again = [item_name(one) for one in every if one.own_state == "void"]
    return (
        *(f"{name} failed, no follow-up" for name in failed),
        *unsettled,
        *(f"{name} is deferred to before the lift" for name in put_off),
        *(f"{name} is to be answered again" for name in again),
        *(
            f"{literal(one.name)} was passed unreleased, a non-conformance that is not closed"
            for one in nonconformances
            if one.closed is None
        ),
    )


def mark_missing(mark: str, places: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """Where two panels carry one mark nobody can tell whose result and whose release the log has."""
    of_mark = places.get(mark, ())
    if len(of_mark) < 2:
        return ()
    return (
        f"{literal(mark)} is the mark of {count_of(len(of_mark), 'panel')} ({', '.join(of_mark)}): "
        "a result or a release cannot be told to be of this one",
    )


def needed_missing(
    mark: str,
    limit: Decimal | None,
    needed: Decimal | None,
    result: Result | None,
    shown: Sequence[Result],
    units: Units,
) -> tuple[str, ...]:
    """That the strength is not shown, or that nobody has given one."""
    if limit is None and needed is None:
        return (NO_LIMIT,)
    if result is not None or needed is None:
        return ()
    return (strength_missing(mark, needed, shown, units),)


def strength_missing(mark: str, needed: Decimal, shown: Sequence[Result], units: Units) -> str:
    """That no field-cured result of the panel shows a strength, and the low or the best one of them."""
    low = last_below(shown, needed)
    if low is not None and any(one.strength >= needed for one in shown):
        return (
            f"{literal(low.name)} has {format_amount(low.strength, 'MPa', units)}, below "
            f"{format_amount(needed, 'MPa', units)}, and no field-cured result of {literal(mark)} after it "
            "shows that"
        )
    text = f"no field-cured result of {literal(mark)} at {format_amount(needed, 'MPa', units)} or above"
    if not shown:
        return f"{text}: none yet"
    best = max(shown, key=lambda one: one.strength)
    many = count_of(len(shown), "result")
    return f"{text}: {many}, the best {format_amount(best.strength, 'MPa', units)}"


def release_missing(release: Entry | None, lapse: str | None) -> tuple[str, ...]:
    """That the engineer has not released it, or that the release does not stand."""
    if release is None:
        return ("no release to lift by the engineer",)
    if lapse is not None:
        return (f"the release to lift by {literal(release.by)} has lapsed: {lapse}",)
    return ()
