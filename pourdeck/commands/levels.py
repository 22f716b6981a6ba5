"""`levels`: the level book of one panel."""

from argparse import Namespace
from contextlib import closing
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import find_panel, open_desk
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, mention, show
from pourdeck.paper.levels_document import levels_document
from pourdeck.plan.messages import has_error

if TYPE_CHECKING:
    from rich.console import Console


def run(arguments: Namespace) -> int:
    """Exit 1 where a run does not close, or a point is out of its limits."""
    with closing(open_desk(arguments, read_only=True)) as desk:
        find_panel(desk.job, arguments.stack, arguments.number)
        page = desk.levels(arguments.stack, arguments.number)
        walk, notes = desk.walk(arguments.stack, arguments.number), desk.messages
        log = desk.log_findings(arguments.stack)
    if page is None:
        raise CannotDoError(
            "The job names no benchmark.",
            "Heights are levelled from one: add site.benchmark, its name and RL, to job.toml.",
        )
    book = page

    def print_page(console: "Console") -> None:
        from pourdeck.paper.levels_page import levels_page

        levels_page(console, walk, book)

    mention(notes)
    show(arguments, lambda: levels_document(walk, book), print_page, log)
    out = any(line.verdict == "fail" or line.again for line in book.lines)
    out = out or any(book.closes(one) is False for one in book.runs)
    return FAULTY if out or has_error(log) else DONE
