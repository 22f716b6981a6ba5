"""A size change in lines: what moves, what lapses, and where the panel can sit."""

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from pourdeck.deck.paint import Spans, cut, fit, line, wrap
from pourdeck.deck.views.values import length
from pourdeck.deck.widgets.row_list import Row
from pourdeck.paper.resize_moves import in_the_way, listed, moves
from pourdeck.plan.lengths import format_bare
from pourdeck.plan.messages import Finding
from pourdeck.plan.records import SIDES, Job, Panel, Side, Stack, Units, revise_stack
from pourdeck.setout.record import SetOut
from pourdeck.setout.resize import Level, Option, Resize
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import Thing
from pourdeck.walk.acts import Cancel, releases_in_force
from pourdeck.walk.conflicts import one_words
from pourdeck.walk.panel_walk import build_walk
from pourdeck.walk.steps import Context
from pourdeck.walk.words import count_of

if TYPE_CHECKING:
    from pourdeck.walk.desk import Desk


SIZE: Thing = ("size", "")

# What a size change moves, as rows: before and after of this panel and of all above it.


def size_text(panel: Panel, units: Units) -> str:
    return " × ".join(
        length(value, units) for value in (panel.width, panel.height, panel.thickness)
    )


def cancel_text(cancel: Cancel) -> str:
    """A release that a size change takes back, in words."""
    return f"{cancel.name} of {cancel.mark}, released by {cancel.by}"


def conflict_lines(entries: Sequence[Entry], before: Panel, units: Units) -> list[Spans]:
    """Both of the size changes in conflict, and how somebody decides; nothing where there are none."""
    if not entries:
        return []
    return [
        line(("✗ In conflict: ", "error"), "neither had seen the other's size change"),
        *(
            line(f"  {one_words(SIZE, entry, units)}: {entry.data.get('reason', '')}")
            for entry in entries
        ),
        line(
            "  Type the size that is right, ",
            ("F8", "key"),
            f" records it. F8 alone decides for {short_size(before, units)}, {before.align}.",
        ),
    ]


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
    word = ("works", "done") if not errors else (f"✗ {count_of(errors, 'error')}", "error")
    ways = sum(option.feasible for option in change.options)
    return line(
        (short_size(change.after, units), "value"),
        f", {change.after.align}: ",
        word,
        f", {count_of(ways, 'way')} work{'s' if ways == 1 else ''}" if errors and ways else "",
        f"; cancels {_cancelled(len(cancels), len(lapses))}",
    )


def _cancelled(here: int, below: int) -> str:
    """Releases of this panel and those above, and of the one below where what it must carry changes."""
    words = count_of(here, "release") if here else "nothing" if not below else "none here"
    return f"{words}, {below} below lapse{'s' if below == 1 else ''}" if below else words


def short_size(panel: Panel, units: Units) -> str:
    """The three sizes with their unit once, where one unit does."""
    sizes = (panel.width, panel.height, panel.thickness)
    if units == "imperial":
        return size_text(panel, units)
    return f"{' × '.join(format_bare(size, units) for size in sizes)} mm"


def change_rows(
    change: Resize, cancels: Sequence[Cancel], lapses: Sequence[Cancel], units: Units, width: int
) -> tuple[Row, ...]:
    """List what it cancels, then each panel from the changed one up, before and after."""
    if not change.changes_anything:
        quiet = line(("Nothing is changed yet: what moves is shown here at every key.", "quiet"))
        return tuple(Row(left=row) for row in wrap(quiet, width))
    rows = _taken_back(cancels, lapses, width)
    for level in change.levels:
        rows += _level(level, units, width)
    rows += _below(change, units, width)
    return tuple(Row(left=row) for row in rows)


def _taken_back(cancels: Sequence[Cancel], lapses: Sequence[Cancel], width: int) -> list[Spans]:
    """Each panel once, its releases with their names: what moves must stay in sight below."""
    if not cancels and not lapses:
        return [line(("Cancels nothing.", "done"))]
    rows: list[Spans] = []
    for word, these, why in (
        ("! Cancels of ", cancels, ""),
        ("! Lapses of ", lapses, ": its extra anchors change"),
    ):
        for mark, of_one in groupby(these, lambda one: one.mark):
            listed = ", ".join(f"{one.name} ({one.by})" for one in of_one)
            rows += wrap(line((word, "void"), (f"{mark}: ", "strong"), f"{listed}{why}"), width, 2)
    return rows


def _level(level: Level, units: Units, width: int) -> list[Spans]:
    """One panel: its sides before and after, what else moves in it, and what is wrong with it then."""
    lines = [*_sides(level, units, width)]
    for sentence in moves(level, units):
        lines += wrap(line(f"  {sentence}"), width, 4)
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


def _below(change: Resize, units: Units, width: int) -> Iterable[Spans]:
    """Say what the panel that carries the changed one must have cast in beside its holes."""
    below = change.below
    if below is None or below.poured:
        return
    for side, along in below.extra_anchors.items():
        if along:
            words = f"{side}: cast in {len(along)} extra at {listed(along, units)}"
            yield from wrap(line(("! ", "warning"), (f"{below.mark} ", "strong"), words), width, 2)


# Releases of the panel below that a size change makes lapse: what it must carry for this one moves.


def lapses_below(desk: "Desk", change: Resize) -> tuple[Cancel, ...]:
    """Those in force now that would be void after the change; none where that panel is poured."""
    below = change.below
    if below is None or below.poured or not change.changes_anything:
        return ()
    record = desk.state.panels.get(below.mark)
    if record is None or not record.releases:
        return ()
    setouts = desk.set_outs(change.stack)
    if setouts[below.number - 1].extra_anchors == below.extra_anchors:
        return ()
    now = releases_in_force(desk.walk(change.stack, below.number))
    stack = revise_stack(desk.stack(change.stack), change.revision())
    context = Context(job=desk.job, stack=stack, setout=below, record=record)
    after = build_walk(context, desk.template, desk.state, desk.now())
    stands = {one.hold for one in releases_in_force(after)}
    return tuple(one for one in now if one.hold not in stands)


# The nine ways to lie as rows, why one does not work, and who is in the way where none does.

NAME = 14

_SHORT = {
    "overhang": "overhangs",
    "out-of-reach": "out of reach",
    "no-form": "no form so deep",
    "short-of-forms": "short of forms",
    "opening-outside": "opening outside it",
    "openings-overlap": "openings overlap",
    "castin-outside": "cast-in outside it",
    "castin-in-opening": "cast-in in an opening",
}


def way_rows(change: Resize, units: Units, width: int) -> tuple[Row, ...]:
    """A heading and all nine, best first; the one that is shown above says so."""
    works = any(option.feasible for option in change.options)
    title = "Where it can sit, best first" if works else "It can sit nowhere"
    heads = line((f"{'':<{NAME}}{'extra':>6}{'moved':>7}{'largest':>10}", "quiet"))
    rows = [Row(left=line((title, "heading" if works else "error"))), Row(left=heads)]
    return (*rows, *(way_row(option, change, units, width) for option in change.options))


def way_row(option: Option, change: Resize, units: Units, width: int) -> Row:
    """`extra` anchors, brackets not on the kit's first bolt, the largest offset; or why it does not work."""
    here = option.align == change.after.align
    mark = ("•", "hand") if here else (" ", "text")
    name = line(mark, (f"{option.align:<{NAME - 1}}", "strong" if here else "text"))
    if option.feasible:
        numbers = f"{option.extra_anchors:>6}{option.moved_bolts:>7}"
        size = f"{length(option.largest_offset, units):>10}"
        spans: Spans = (*name, *line((f"{numbers}{size}", "done")))
    else:
        words = cut(line(("no ", "error"), (short_reason(option.finding, change), "text")),
                    max(4, width - NAME))  # fmt: skip
        spans = (*name, *words)
    return Row(left=fit(spans, width), key=option.align)


def short_reason(finding: Finding | None, change: Resize) -> str:
    """`right out of reach`, `W09 right overhangs`."""
    if finding is None:
        return ""
    word = _SHORT.get(finding.code, finding.code.replace("-", " "))
    whose = "" if finding.panel == change.number else f"{finding.mark} "
    return f"{whose}{finding.side + ' ' if finding.side else ''}{word}"


def about_way(option: Option | None, units: Units, width: int) -> list[Spans]:
    """Say what the numbers of the marked way mean, or the whole reason why it does not work."""
    if option is None:
        return []
    if not option.feasible:
        return wrap(line((f"{option.align}: ", "strong"), option.fault or ""), width, 2)
    fixed = (
        f" ({option.to_fix} to fix afterwards, the panel below is poured)" if option.to_fix else ""
    )
    words = (
        f"{count_of(option.extra_anchors, 'extra anchor')} in all panels from here up{fixed}, "
        f"{count_of(option.moved_bolts, 'bracket')} off the first bolt, "
        f"at most {length(option.largest_offset, units)} in."
    )
    return wrap(line((f"{option.align}: ", "strong"), words), width, 2)


def way_out_rows(change: Resize, job: Job, stack: Stack, width: int) -> list[Spans]:
    """Where none of the nine works: which neighbour stands in the way, and what it would take."""
    rows: list[Spans] = []
    for lead, words in in_the_way(change, job, stack):
        sign = ("! ", "warning") if lead else ("✗ ", "error")
        rows += wrap(line(sign, (lead, "strong"), words), width, 2)
    return rows
