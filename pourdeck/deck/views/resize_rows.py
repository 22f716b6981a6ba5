"""What a size change moves, as rows: before and after of this panel and of all above it."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from pourdeck.deck.spans import Spans, fit, line, wrap
from pourdeck.deck.views.values import length
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.amounts import format_computed
from pourdeck.plan.lengths import format_bare, format_rl
from pourdeck.plan.records import Panel, Units
from pourdeck.plan.sides import SIDES, Side, Sides
from pourdeck.setout.record import SetOut
from pourdeck.setout.resize import Level, Resize
from pourdeck.walk.acts import Cancel


def size_text(panel: Panel, units: Units) -> str:
    return " × ".join(
        length(value, units) for value in (panel.width, panel.height, panel.thickness)
    )


def cancel_text(cancel: Cancel) -> str:
    """A release that a size change takes back, in words."""
    return f"{cancel.name} of {cancel.mark}, released by {cancel.by}"


def outcome(
    change: Resize, cancels: Sequence[Cancel], lapses: Sequence[Cancel], units: Units
) -> Spans:
    """The whole of it in a line: the new size, whether it works, what it cancels."""
    if not change.changes_anything:
        return line(
            (size_text(change.before, units), "strong"),
            f", {change.before.align}: type a new size, or pick another way to lie",
        )
    errors = sum(finding.is_error for finding in change.findings)
    word = ("works", "done") if not errors else (f"✗ {_count(errors, 'error')}", "error")
    return line(
        (size_text(change.after, units), "value"),
        f", {change.after.align}: ",
        word,
        f"; cancels {_count(len(cancels), 'release') if cancels else 'nothing'}",
        f"; {_below_lapse(len(lapses))}" if lapses else "",
    )


def _below_lapse(number: int) -> str:
    return "1 release below lapses" if number == 1 else f"{number} releases below lapse"


def _count(number: int, one: str) -> str:
    return f"{number} {one}{'' if number == 1 else 's'}"


def change_rows(
    change: Resize, cancels: Sequence[Cancel], lapses: Sequence[Cancel], units: Units, width: int
) -> tuple[Row, ...]:
    """What it cancels, then each panel from the changed one up, before and after."""
    if not change.changes_anything:
        quiet = line(("Nothing is changed yet: what moves is shown here at every key.", "quiet"))
        return tuple(Row(left=row) for row in wrap(quiet, width))
    rows = _taken_back(cancels, lapses, width)
    for level in change.levels:
        rows += _level(level, units, width)
    rows += _below(change, units, width)
    return tuple(Row(left=row) for row in rows)


def _taken_back(cancels: Sequence[Cancel], lapses: Sequence[Cancel], width: int) -> list[Spans]:
    if not cancels:
        rows = [line(("Cancels nothing.", "done"))]
    else:
        rows = [
            row
            for cancel in cancels
            for row in wrap(line(("! Cancels ", "void"), cancel_text(cancel)), width, 2)
        ]
    for one in lapses:
        words = f"{cancel_text(one)}: its extra anchors change"
        rows += wrap(line(("! Lapses below: ", "void"), words), width, 2)
    return rows


def _level(level: Level, units: Units, width: int) -> list[Spans]:
    """One panel: its sides before and after, what else moves in it, and what is wrong with it then."""
    lines = [*_sides(level, units, width), *_moves(level, units, width)]
    for finding in level.after.findings:
        sign = ("  ✗ ", "error") if finding.is_error else ("  ! ", "warning")
        lines += wrap(line(sign, finding.message), width, 4)
    head = line((f"{level.number} {level.mark}", "strong"), "" if lines else ": nothing moves")
    return [fit(head, width), *lines]


def _sides(level: Level, units: Units, width: int) -> list[Spans]:
    before, after = level.before, level.after
    if before.offsets is None or after.offsets is None:
        return []
    texts = {side: (_offset(before, side, units), _offset(after, side, units)) for side in SIDES}
    if all(old == new for old, new in texts.values()):
        return []
    gap = min(max(11, (width - 9) // 2), 22)
    rows = [line((f"  {'side':<6}{'before':<{gap}}  after", "quiet"))]
    for side, (old, new) in texts.items():
        bad = any(one.side == side and one.is_error for one in after.findings)
        ink = "error" if bad else "warning" if old != new else "text"
        sign = "✗" if bad else "→" if old != new else " "
        shown = new if old != new or bad else "same"
        rows.append(fit(line(f"  {side:<6}{old:<{gap}}", (f"{sign} {shown}", ink)), width))
    return rows


def _offset(setout: SetOut, side: Side, units: Units) -> str:
    if setout.offsets is None or setout.bolts is None:
        return ""
    return f"{format_bare(setout.offsets[side], units)} {setout.bolts[side] or 'NO BOLT'}"


def _moves(level: Level, units: Units, width: int) -> Iterable[Spans]:
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
        said.append(f"diagonal {length(before.diagonal.face, units)} → "
                    f"{length(after.diagonal.face, units)}")  # fmt: skip
    if before.heights.top != after.heights.top:
        tops = (format_rl(one.heights.top, units) for one in (before, after))
        said.append(f"RL top {' → '.join(tops)}")
    said += _amounts(before, after, units)
    for sentence in said:
        yield from wrap(line(f"  {sentence}"), width, 4)


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
    """How many brackets there are, and on which sides they go to another bolt."""
    old, new = len(before.all_brackets()), len(after.all_brackets())
    if old != new:
        yield f"brackets {old} → {new}"
    if before.bolts is None or after.bolts is None:
        return
    for side in SIDES:
        was, now = before.bolts[side], after.bolts[side]
        if was != now and after.brackets[side]:
            number = len(after.brackets[side])
            yield f"{_count(number, 'bracket')} on the {side}: bolt {was or 'none'} → {now or 'none'}"


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
        parts = [f"{name}, {side} {len(before[side])} → {len(after[side])}:"]
        if away:
            parts.append(f"away {_listed(away, units)}{';' if come else ''}")
        if come:
            parts.append(f"new {_listed(come, units)}")
        yield " ".join(parts)


def _listed(along: Iterable[Decimal], units: Units) -> str:
    return ", ".join(format_bare(at, units) for at in along)


def _forms(before: SetOut, after: SetOut, units: Units) -> Iterable[str]:
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


def _below(change: Resize, units: Units, width: int) -> Iterable[Spans]:
    """What the panel that carries the changed one must have cast in beside its holes."""
    below = change.below
    if below is None or below.poured:
        return
    for side, along in below.extra_anchors.items():
        if along:
            words = f"{side}: cast in {len(along)} extra at {_listed(along, units)}"
            yield from wrap(line(("! ", "warning"), (f"{below.mark} ", "strong"), words), width, 2)
