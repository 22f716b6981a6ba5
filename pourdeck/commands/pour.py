"""`pour`: concrete to order for one panel, what has been placed, what is left."""

from argparse import Namespace
from contextlib import closing
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import find_panel, open_desk
from pourdeck.commands.outcome import DONE, FAULTY, mention, show
from pourdeck.paper.pour_document import pour_document
from pourdeck.plan.messages import has_error

if TYPE_CHECKING:
    from rich.console import Console


def run(arguments: Namespace) -> int:
    """Exit 1 where something is in the form against a limit of the job."""
    with closing(open_desk(arguments, read_only=True)) as desk:
        find_panel(desk.job, arguments.stack, arguments.number)
        page = desk.pour(arguments.stack, arguments.number)
        walk, notes = desk.walk(arguments.stack, arguments.number), desk.messages
        log = desk.log_findings(arguments.stack)

    def print_page(console: "Console") -> None:
        from pourdeck.paper.pour_page import pour_page

        pour_page(console, walk, page)

    mention(notes)
    show(arguments, lambda: pour_document(walk, page), print_page, log)
    return FAULTY if has_error((*page.findings, *log)) else DONE
