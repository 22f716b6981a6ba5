"""Say in sentences what a size change moves in a panel: for the page and for the screen."""

from collections.abc import Iterable
from decimal import Decimal

from pourdeck.plan.amounts import format_computed
from pourdeck.plan.lengths import format_bare, format_length, format_rl
from pourdeck.plan.records import SIDES, Job, Sides, Stack, Units
from pourdeck.setout.place import SIZES, Leeway, leeways
from pourdeck.setout.record import SetOut
from pourdeck.setout.resize import Level, Resize
from pourdeck.walk.words import count_of


def moves(level: Level, units: Units) -> tuple[str, ...]:
    """All but the offsets: brackets, anchors, forms, diagonal, height, volume and mass."""
    before, after = level.before, level.after
    said = [*_brackets(before, after)]
    for name, old, new in (
        ("anchors", before.anchors, after.anchors),
        ("extra anchors", before.extra_anchors, after.extra_anchors),
        ("to fix afterwards", before.missing, after.missing),
    ):
        said += _positions(name, old, new, units)
    said += _forms(before, after, units)
    if before.diagonal != after.diagonal:
        faces = (format_length(one.diagonal.face, units, decimals=1) for one in (before, after))
        said.append(f"diagonal {' → '.join(faces)}")
    if before.heights.top != after.heights.top:
        tops = (format_rl(one.heights.top, units) for one in (before, after))
        said.append(f"RL top {' → '.join(tops)}")
    said += _amounts(before, after, units)
    return tuple(said)


def _amounts(before: SetOut, after: SetOut, units: Units) -> Iterable[str]:
    """Volume and mass: a panel of another size is another lift."""
    old, new = before.quantities, after.quantities
    if old.volume == new.volume:
        return
    texts = [format_computed(one.volume, "m³", units, 2) for one in (old, new)]
    yield f"volume {texts[0]} → {texts[1]}"
    if old.mass is not None and new.mass is not None:
        texts = [format_computed(mass, "kg", units, 0) for mass in (old.mass, new.mass)]
        yield f"mass {texts[0]} → {texts[1]}"


def _brackets(before: SetOut, after: SetOut) -> Iterable[str]:
    """Say how many brackets there are, and on which sides they go to another bolt."""
    old, new = len(before.all_brackets()), len(after.all_brackets())
    if old != new:
        yield f"brackets {old} → {new}"
    if before.bolts is None or after.bolts is None:
        return
    for side in SIDES:
        was, now = before.bolts[side], after.bolts[side]
        if was != now and after.brackets[side]:
            number = len(after.brackets[side])
            yield f"{count_of(number, 'bracket')} on the {side}: bolt {was or 'none'} → {now or 'none'}"


def _positions(
    name: str,
    before: Sides[tuple[Decimal, ...]],
    after: Sides[tuple[Decimal, ...]],
    units: Units,
) -> Iterable[str]:
    """Along each side what falls away and what comes."""
    for side in SIDES:
        away = [at for at in before[side] if at not in after[side]]
        come = [at for at in after[side] if at not in before[side]]
        if not away and not come:
            continue
        steps = {new - old for old, new in zip(before[side], after[side], strict=False)}
        if len(before[side]) == len(after[side]) and len(steps) == 1:
            step = steps.pop()
            sign = "+" if step > 0 else "−"
            yield f"{name}, {side}: each of {len(away)} by {sign}{format_length(abs(step), units)}"
            continue
        parts = [f"{name}, {side} {len(before[side])} → {len(after[side])}:"]
        if away:
            parts.append(f"away {listed(away, units)}{';' if come else ''}")
        if come:
            parts.append(f"new {listed(come, units)}")
        yield " ".join(parts)


def listed(along: Iterable[Decimal], units: Units) -> str:
    return ", ".join(format_bare(at, units) for at in along)


def _forms(before: SetOut, after: SetOut, units: Units) -> Iterable[str]:
    if before.form_depth != after.form_depth:
        depths = [
            "none" if one.form_depth is None else format_length(one.form_depth, units)
            for one in (before, after)
        ]
        yield f"depth of forms {' → '.join(depths)}"
    for side in SIDES:
        old, new = before.runs[side], after.runs[side]
        texts = [
            " + ".join(format_bare(piece, units) for piece in run.pieces) if run else "none"
            for run in (old, new)
        ]
        if texts[0] != texts[1]:
            yield f"forms, {side}: {texts[0]} → {texts[1]}"
        elif old and new and old.overrun != new.overrun:
            past = f"{format_bare(old.overrun, units)} → {format_bare(new.overrun, units)}"
            yield f"forms, {side}: the same, past the corner {past}"


def in_the_way(change: Resize, job: Job, stack: Stack) -> tuple[tuple[str, str], ...]:
    """Where none of the nine alignments works: what is in the way, and what it would take.

    Pairs of a lead word and the rest; the lead is "" where something else than reach is wrong.
    """
    if any(option.feasible for option in change.options):
        return ()
    found = [option.finding for option in change.options if option.finding]
    reach = [one for one in found if one.code in ("overhang", "out-of-reach")]
    if len(reach) < len(found):
        first = next(one for one in found if one not in reach)
        return (("", first.message),)
    rows: list[tuple[str, str]] = []
    for size in SIZES:
        mine = [one for one in leeways(job, stack, change.number) if one.size == size]
        value = getattr(change.after, size)
        if any(not one.least <= value <= one.most for one in mine):
            rows.append((f"{size}: ", _takes(mine, job.units)))
    if not rows:
        marks = sorted({one.mark or "" for one in reach if one.panel != change.number})
        above = f"{', '.join(marks)} above" if marks else "the panel below"
        rows.append(("In the way: ", f"{above}. Change its size first."))
    return tuple(rows)


def _takes(mine: Iterable[Leeway], units: Units) -> str:
    """`W04 below takes 6900 mm to 7506 mm; W09 above takes 7197 mm to 7500 mm.`"""
    parts = [
        f"{one.mark} {'above' if one.above else 'below'} takes "
        f"{format_length(one.least, units)} to {format_length(one.most, units)}"
        for one in mine
    ]
    return f"{'; '.join(parts)}. Change that panel first, or stay within."
