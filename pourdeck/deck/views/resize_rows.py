"""A size change as rows: before and after for each panel, what is wrong then, and the ways out."""

from collections.abc import Sequence

from pourdeck.deck.spans import Spans, fit, justify, line, wrap
from pourdeck.deck.views.values import length
from pourdeck.plan.lengths import format_bare
from pourdeck.plan.records import Panel, Units
from pourdeck.plan.sides import SIDES, Side
from pourdeck.setout.record import SetOut
from pourdeck.setout.resize import Level, Option, Resize
from pourdeck.walk.acts import Cancel


def cancel_text(cancel: Cancel) -> str:
    """A release that a size change takes back, in words."""
    return f"{cancel.name} of {cancel.mark}, released by {cancel.by}"


def size_text(panel: Panel, units: Units) -> str:
    return " × ".join(
        length(value, units) for value in (panel.width, panel.height, panel.thickness)
    )


def change_rows(resize: Resize, cancels: Sequence[Cancel], units: Units, width: int) -> list[Spans]:
    """What moves on the changed panel and all above, then findings, then cancelled releases."""
    rows: list[Spans] = []
    for level in resize.levels:
        rows += _level(level, resize.number, units, width)
    rows += below_rows(resize, units, width)
    for finding in resize.findings:
        sign = ("✗ ", "error") if finding.is_error else ("! ", "warning")
        rows += wrap(line(sign, (f"{finding.mark} ", "strong"), finding.message), width, 2)
    for cancel in cancels:
        rows += wrap(line(("Cancels ", "void"), cancel_text(cancel)), width, 2)
    if not rows:
        rows.append(line(("Nothing moves.", "quiet")))
    return rows


def _level(level: Level, changed: int, units: Units, width: int) -> list[Spans]:
    head = line((f"{level.number} {level.mark}", "strong"), " · ", _lost_and_won(level, units))
    rows = [fit(head, width)]
    if level.before.offsets is None or level.after.offsets is None:
        return [*rows, line(("   on the bed: nothing to hang on", "quiet"))]
    gap = max(18, (width - 9) // 2)
    rows.append(line((f"   {'':<6}{'before':<{gap}}{'after'}", "quiet")))
    for side in SIDES:
        before, after = _offset(level.before, side, units), _offset(level.after, side, units)
        moved = before != after
        bad = any(one.side == side and one.is_error for one in level.after.findings)
        ink = "error" if bad else "warning" if moved else "text"
        sign = "✗" if bad else "→" if moved else " "
        rows.append(fit(line(f"   {side:<6}{before:<{gap}}", (f"{sign} {after}", ink)), width))
    return rows


def _offset(setout: SetOut, side: Side, units: Units) -> str:
    if setout.offsets is None or setout.bolts is None:
        return ""
    return f"{length(setout.offsets[side], units)} {setout.bolts[side] or 'none'}"


def _lost_and_won(level: Level, units: Units) -> str:
    """How many brackets, anchors and forms change."""
    before, after = level.before, level.after
    counts = [
        ("brackets", len(before.all_brackets()), len(after.all_brackets())),
        (
            "anchors",
            sum(len(side) for side in before.anchors.values()),
            sum(len(side) for side in after.anchors.values()),
        ),
        (
            "extra",
            sum(len(side) for side in before.extra_anchors.values()),
            sum(len(side) for side in after.extra_anchors.values()),
        ),
        ("forms", _pieces(before), _pieces(after)),
    ]
    return ", ".join(
        f"{name} {old} → {new}" if old != new else f"{name} {new}" for name, old, new in counts
    )


def _pieces(setout: SetOut) -> int:
    return sum(len(run.pieces) for run in setout.runs.values() if run)


def below_rows(resize: Resize, units: Units, width: int) -> list[Spans]:
    """What the panel that carries the changed one must have added."""
    below = resize.below
    if below is None or below.poured:
        return []
    rows: list[Spans] = []
    for side, along in below.extra_anchors.items():
        if along:
            listed = ", ".join(format_bare(at, units) for at in along)
            rows += wrap(
                line(("! ", "warning"), (f"{below.mark} ", "strong"),
                     f"{side}: cast in {len(along)} extra at {listed}"),
                width, 2,
            )  # fmt: skip
    return rows


def option_head(width: int) -> Spans:
    return _option_line("alignment", "", "extra", "moved", "largest", width, "quiet")


def option_row(option: Option, units: Units, width: int) -> Spans:
    """One alignment; `moved` counts brackets that are not on the kit's first bolt."""
    if option.feasible:
        return _option_line(
            option.align,
            "works",
            str(option.extra_anchors),
            str(option.moved_bolts),
            length(option.largest_offset, units),
            width,
            "text",
        )
    return fit(
        line(f" {option.align:<13}", ("no  ", "error"), (option.fault or "", "quiet")), width
    )


def _option_line(
    align: str, works: str, extra: str, moved: str, largest: str, width: int, ink: str
) -> Spans:
    left = line((f" {align:<13}", ink), (f"{works:<6}", "done" if works else ink))
    right = line((f"{extra:>6}{moved:>7}{largest:>12} ", ink))
    return justify(left, right, width)


def option_title() -> Spans:
    return line(
        ("Ways out, best first", "heading"), ("   extra anchors, brackets on another bolt", "quiet")
    )
