"""`board`: where every stack stands."""

from argparse import Namespace
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import open_desk
from pourdeck.commands.outcome import DONE, FAULTY, show
from pourdeck.paper.documents import Document, findings_document
from pourdeck.plan.findings import has_error
from pourdeck.walk.board import Board, Owed
from pourdeck.walk.records import NextAct

if TYPE_CHECKING:
    from rich.console import Console


def run(arguments: Namespace) -> int:
    """Exit 1 where plan or log have errors."""
    desk = open_desk(arguments, read_only=True)
    board = desk.board()
    show(
        arguments,
        lambda: board_document(desk.job.name, board),
        lambda console: board_page(console, desk.job.name, board),
    )
    return FAULTY if has_error(board.findings) else DONE


def board_document(name: str, board: Board) -> Document:
    return {
        "job": name,
        "stacks": [
            {
                "stack": stack.id,
                "in_hand": stack.in_hand,
                "panels": [
                    {
                        "panel": panel.number,
                        "mark": panel.mark,
                        "state": panel.state,
                        "lift": panel.lift,
                        "findings": panel.findings,
                    }
                    for panel in stack.panels
                ],
            }
            for stack in board.stacks
        ],
        "next": [_next_document(act) for act in board.next],
        "deferred": [_owed_document(one) for one in board.deferred],
        "failed": [_owed_document(one) for one in board.failed],
        "findings": findings_document(board.findings),
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


def board_page(console: "Console", name: str, board: Board) -> None:
    """Each pile from the top down, then what today needs."""
    from pourdeck.paper.console import findings_page, table, words

    console.print(words(name, "bold"))
    table(
        console,
        "",
        ("stack", ">panel", "mark", "state", ">lift", "", ">findings"),
        [
            (
                stack.id,
                f"{panel.number} of {len(stack.panels)}",
                panel.mark,
                panel.state,
                "" if panel.lift is None else panel.lift,
                "in hand" if panel.in_hand else "",
                panel.findings or "",
            )
            for stack in board.stacks
            for panel in reversed(stack.panels)
        ],
    )
    for act in board.next:
        console.print(words(f"Next    {act.stack} {act.mark}: {act.text}"), soft_wrap=True)
    for word, owed in (("Owed", board.deferred), ("Failed", board.failed)):
        for one in owed:
            due = f"; {one.owner}, before {one.before}" if one.owner else ""
            console.print(
                words(f"{word:<8}{one.stack} {one.mark}: {one.text}: {one.reason}{due}"),
                soft_wrap=True,
            )
    for nonconformance in board.nonconformances:
        console.print(
            words(
                f"Passed  {nonconformance.stack} {nonconformance.mark}: {nonconformance.name} "
                f"without release by {nonconformance.by}: {nonconformance.reason}"
            ),
            soft_wrap=True,
        )
    findings_page(console, board.findings)
