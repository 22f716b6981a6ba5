"""What is wrong with a panel on the one below it as that was cast, and the least shift that cures it."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from pourdeck.plan.findings import Finding, Spot
from pourdeck.plan.lengths import format_length
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Bolt, Job, Panel, Units
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.shown_lengths import rounded
from pourdeck.plan.sides import Side
from pourdeck.setout.adjust import SLIP, Checked
from pourdeck.setout.cast_lines import CastLines
from pourdeck.setout.joints import Seat
from pourdeck.setout.offsets import reach_fault
from pourdeck.setout.record import Bracket

ZERO = Decimal(0)

AXES: tuple[tuple[Side, Side, str, str], ...] = (
    ("left", "right", "to the right", "to the left"),
    ("base", "head", "towards the head", "towards the base"),
)
"""Sides that a shift along one axis opens and closes, and its words when positive and negative."""

Span = tuple[Decimal, Decimal]


def slip_findings(
    found: CastLines | Refusal | None, spot: Spot, units: Units, *, built_on: bool
) -> list[Finding]:
    """`re-measure`: tapes of this panel that contradict each other, to be taken again.

    An error as long as nothing is poured on it, a warning afterwards.
    """
    say = spot.warning if built_on else spot.error
    if isinstance(found, Refusal):
        return [say("re-measure", f"{found.title} {found.body}")]
    suspects = found.adjusted.suspects if found else ()
    if not suspects:
        return []
    worst = max(one.standardised or 0.0 for one in suspects)
    told = ", ".join(f"{one.key} {_signed(one, units)}" for one in suspects)
    which = "it is" if len(suspects) == 1 else "any one of these may be"
    message = (
        f"the tapes contradict each other ({worst:.1f} times what a tape may be out, above {SLIP:.0f}): "
        f"{which} off: {told}. Measure again."
    )
    return [say("re-measure", message)]


def _signed(one: Checked, units: Units) -> str:
    slip = rounded(Decimal(one.slip or 0.0), 1)
    return f"{'+' if slip > 0 else '−'}{format_length(abs(slip), units, decimals=1)}"


def cast_reach_findings(
    job: Job, panel: Panel, below: Panel, here: Seat, spot: Spot
) -> list[Finding]:
    """`overhang` and `out-of-reach` at brackets, where the panel below was measured; one of each a side.

    For a panel that is still to be poured. A side that the plan has in fault already is left out.
    """
    if here.reaches is None or here.offsets is None:
        return []
    kit, lap, units = job.kit, job.limits.lap, job.units
    found: list[Finding] = []
    for side, on in here.brackets.items():
        if reach_fault(side, here.offsets[side], kit, lap, units):
            continue
        faults: dict[str, list[Bracket]] = {}
        for bracket in on:
            fault = reach_fault(side, bracket.offset, kit, lap, units)
            if fault:
                faults.setdefault(fault[0], []).append(bracket)
        for code, these in faults.items():
            cure = _cure(job, panel, here)
            found.append(spot.error(code, _message(code, these, below, units, cure), side))
    return found


def _message(code: str, brackets: Sequence[Bracket], below: Panel, units: Units, cure: str) -> str:
    worst = max(brackets, key=lambda one: abs(one.offset))
    at = f"{worst.label}, {format_length(worst.at, units)} along the side"
    shown = format_length(abs(worst.offset), units, decimals=1)
    what = (
        f"the form overhangs {literal(below.mark)} as cast by {shown}"
        if code == "overhang"
        else f"{shown} in from {literal(below.mark)} as cast is out of reach of every bolt"
    )
    more = f", and {len(brackets) - 1} more" if len(brackets) > 1 else ""
    return f"{worst.side}: at {at}{more}, {what}. {cure}"


def _cure(job: Job, panel: Panel, here: Seat) -> str:
    """The least shift of the panel that brings every bracket into reach, in words."""
    shifts = [
        least_shift(_reached(here, low), _reached(here, high), job.kit.bolts, job.limits.lap)
        for low, high, _, _ in AXES
    ]
    if any(shift is None for shift in shifts):
        return "No shift of this panel brings every bracket into reach: take it to the engineer."
    told = [
        f"{format_length(abs(shift), job.units, decimals=1)} {up if shift > 0 else down}"
        for shift, (_, _, up, down) in zip(shifts, AXES, strict=True)
        if shift
    ]
    if not told:
        return "Move or shrink this panel."
    return (
        f"A shift of {literal(panel.mark)} by {' and '.join(told)} brings every bracket into reach."
    )


def _reached(here: Seat, side: Side) -> list[Decimal]:
    return [offset for offset, _ in here.reaches[side]] if here.reaches else []


def least_shift(
    opened: Iterable[Decimal], closed: Iterable[Decimal], bolts: Sequence[Bolt], lap: Decimal
) -> Decimal | None:
    """The least shift along an axis that puts every offset into a bolt's band; None where none does. mm.

    A positive shift adds to the offsets in `opened` and takes from those in `closed`.
    """
    bands = _merged(
        (-lap if low == 0 else low, high) for low, high in (bolt.reach for bolt in bolts)
    )
    allowed: list[Span] = [(Decimal("-Infinity"), Decimal("Infinity"))]
    for offset in opened:
        allowed = _both(allowed, [(low - offset, high - offset) for low, high in bands])
    for offset in closed:
        allowed = _both(allowed, [(offset - high, offset - low) for low, high in bands])
    nearest = [min(max(ZERO, low), high) for low, high in allowed]
    return min(nearest, key=abs, default=None)


def _merged(spans: Iterable[Span]) -> list[Span]:
    """The same ground in spans that do not touch: bands that overlap would double with every bracket."""
    found: list[Span] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found


def _both(some: Sequence[Span], others: Sequence[Span]) -> list[Span]:
    """What lies in one of `some` and in one of `others`."""
    return [
        (max(low, least), min(high, most))
        for low, high in some
        for least, most in others
        if max(low, least) <= min(high, most)
    ]
