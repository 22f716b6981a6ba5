"""`board`: where every stack stands."""

from argparse import Namespace
from collections.abc import Iterable
from contextlib import closing
from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import open_desk, with_lines
from pourdeck.commands.outcome import DONE, FAULTY, show
from pourdeck.paper.documents import Document, findings_document, maybe, number, out_document
from pourdeck.paper.drift import drift_table, drift_unit, out_words, size_words
from pourdeck.plan.amounts import format_amount
from pourdeck.plan.lengths import format_bare, format_length
from pourdeck.plan.messages import Finding, has_error
from pourdeck.plan.records import Units
from pourdeck.walk.board import Board, BoardPanel, BoardStack, Owed
from pourdeck.walk.lift_words import top_words
from pourdeck.walk.lifting import TopLift
from pourdeck.walk.out_of_tolerance import full_words, state_words
from pourdeck.walk.records import NextAct, NonConformance, OutOfTolerance
from pourdeck.walk.words import due_words

if TYPE_CHECKING:
    from rich.console import Console


def run(arguments: Namespace) -> int:
    """Exit 1 where plan or log have errors."""
    with closing(open_desk(arguments, read_only=True)) as desk:
        job, board = desk.job, desk.board()
    show(
        arguments,
        lambda: board_document(job.name, board, with_lines(job.folder, board.findings)),
        lambda console: board_page(console, job.name, board, job.units),
    )
    return FAULTY if has_error(board.findings) else DONE


def board_document(name: str, board: Board, findings: Iterable[Finding]) -> Document:
    """Panels from the bed up; `in_hand` is the number of the panel in hand.

    `findings` are those of the board with the lines they are about.
    """
    return {
        "job": name,
        "stacks": [
            {
                "stack": stack.id,
                "in_hand": stack.in_hand,
                "panels": [_panel_document(panel) for panel in stack.panels],
            }
            for stack in board.stacks
        ],
        "next": [_next_document(act) for act in board.next],
        "deferred": [_owed_document(one) for one in board.deferred],
        "failed": [_owed_document(one) for one in board.failed],
        "nonconformances": [_nonconformance_document(one) for one in board.nonconformances],
        "out_of_tolerance": [_out_document(one) for one in board.out_of_tolerance],
        "poured_today": [
            {
                "stack": one.stack,
                "panel": one.number,
                "mark": one.mark,
                "placed": number(one.placed),
                "begun": one.begun.isoformat(),
            }
            for one in board.poured_today
        ],
        "lifts": [_lift_document(one) for one in board.lifts],
        "findings": findings_document(findings),
    }


def _lift_document(one: TopLift) -> Document:
    """The panel on top of a stack that is cast through: whether it may be lifted, and what is missing."""
    return {
        "stack": one.stack,
        "panel": one.number,
        "mark": one.mark,
        "lift": one.lift,
        "fit": one.fit,
        "missing": list(one.missing),
    }


def _panel_document(panel: BoardPanel) -> Document:
    return {
        "panel": panel.number,
        "mark": panel.mark,
        "state": panel.state,
        "rejected": panel.rejected,
        "lift": panel.lift,
        "findings": panel.findings,
        **out_document(panel.drift),
    }


def _next_document(act: NextAct) -> Document:
    return {
        "stack": act.stack,
        "panel": act.number,
        "mark": act.mark,
        "section": act.section,
        "item": act.key,
        "hold": act.hold,
        "text": act.text,
        "until": act.until.isoformat() if act.until else None,
    }


def _owed_document(one: Owed) -> Document:
    return {
        "stack": one.stack,
        "panel": one.number,
        "mark": one.mark,
        "item": one.key,
        "text": one.text,
        "reason": one.reason,
        "owner": one.owner,
        "before": one.before,
        "by": one.by,
        "at": one.at.isoformat(),
    }


def _nonconformance_document(one: NonConformance) -> Document:
    return {
        "stack": one.stack,
        "panel": one.number,
        "mark": one.mark,
        "hold": one.hold,
        "reason": one.reason,
        "by": one.by,
        "at": one.at.isoformat(),
    }


def _out_document(one: OutOfTolerance) -> Document:
    """Give a measurement out of tolerance, not settled; mm, heights m. `station`, `n`: its entry."""
    said = one.disposition
    return {
        "stack": one.stack,
        "panel": one.number,
        "mark": one.mark,
        "item": one.item,
        "keys": list(one.cast_keys),
        "station": one.entry.station,
        "n": one.entry.n,
        "found": number(one.found),
        "low": maybe(one.low),
        "high": maybe(one.high),
        "over": number(one.over),
        "source": one.source,
        "state": one.state,
        "disposition": one.said,
        "reason": said.data.get("reason") if said else None,
        "by": said.by if said else None,
        "role": said.data.get("role") if said else None,
        "at": said.at.isoformat() if said else None,
    }


def board_page(console: "Console", name: str, board: Board, units: Units) -> None:
    """Each pile from the top down, then what today needs."""
    from pourdeck.paper.console import findings_page, flow, pieces, say, table, title

    say(console, name, "bold")
    console.print()
    rows: list[tuple[object, ...] | None] = []
    for stack in board.stacks:
        rows += [None] if rows else []
        rows += [_row(stack, panel, units) for panel in reversed(stack.panels)]
    heads = ("stack", ">panel", "mark", "", "state", ">thick", ">lift", "came out", ">findings")
    table(console, heads, rows)
    drift = [row for stack in board.stacks for row in _drift_rows(stack, units)]
    if drift:
        title(console, f"Out from the planned lines as cast{drift_unit(units)}")
        drift_table(console, ("mark", ""), drift)
    needs = list(_needs(board, units))
    if needs:
        title(console, "What today needs")
    for word, where, text in needs:
        flow(console, f"{word:<8} {where}  ", pieces(text))
    if board.findings:
        title(console, "Findings")
        findings_page(console, board.findings)


def _drift_rows(stack: BoardStack, units: Units) -> Iterable[tuple[str, ...]]:
    """The measured panels from the top down."""
    for panel in reversed(stack.panels):
        drift = panel.drift
        if drift is not None:
            place = (panel.mark, f"{stack.id} {panel.number} of {len(stack.panels)}")
            yield (*place, *out_words(drift, units), *size_words(drift, units))


def _row(stack: BoardStack, panel: BoardPanel, units: Units) -> tuple[object, ...]:
    return (
        stack.id,
        f"{panel.number} of {len(stack.panels)}",
        panel.mark,
        "in hand" if panel.in_hand and panel.state not in ("cast", "lifted") else "",
        f"{panel.state}, rejected" if panel.rejected else panel.state,
        format_length(panel.thickness, units),
        "" if panel.lift is None else panel.lift,
        _growth(panel.growth, units),
        panel.findings or "",
    )


def _growth(growth: tuple[Decimal | None, Decimal | None], units: Units) -> str:
    """Show how much wider and higher than planned it is, as far as it was measured."""
    if growth == (None, None):
        return ""
    unit = " mm" if units == "metric" else ""
    return " × ".join("?" if one is None else _signed(one, units) for one in growth) + unit


def _signed(value: Decimal, units: Units) -> str:
    text = format_bare(value, units, decimals=1)
    return f"+{text}" if value > 0 and not text.startswith("~") else text


def _needs(board: Board, units: Units) -> Iterable[tuple[str, str, str]]:
    """A word for what kind of need it is, the stack and mark, and the need in words."""
    for act in board.next:
        yield "next", f"{act.stack} {act.mark}", act.text
    for poured in board.poured_today:
        placed = format_amount(poured.placed, "m³", units, 1)
        yield "poured", f"{poured.stack} {poured.mark}", f"{placed} placed today"
    if len(board.poured_today) > 1:
        total = sum((one.placed for one in board.poured_today), Decimal(0))
        yield "poured", "today", f"{format_amount(total, 'm³', units, 1)} in all"
    unsettled = {(out.mark, item) for out in board.out_of_tolerance for item in out.items}
    for top in board.lifts:
        yield "lift", f"{top.stack} {top.mark}", top_words(top)
    for one in board.failed:
        if (one.mark, one.key) in unsettled:
            continue
        yield "failed", f"{one.stack} {one.mark}", f"{one.text}: {one.reason}"
    for out in board.out_of_tolerance:
        words = f"{full_words(out, units)}: {state_words(out)}"
        yield "out", f"{out.stack} {out.mark}", words
    for one in board.deferred:
        due = f"; {one.owner} owes it, before {due_words(one.before)}" if one.owner else ""
        yield "deferred", f"{one.stack} {one.mark}", f"{one.text}: {one.reason}{due}"
    for passed in board.nonconformances:
        yield (
            "passed",
            f"{passed.stack} {passed.mark}",
            f"{passed.name} without release by {passed.by}: {passed.reason}",
        )
