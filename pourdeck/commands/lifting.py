"""`lifting`: mass, centre of gravity and lifters of one panel, for the engineer's check, and its lift."""

from argparse import Namespace
from contextlib import closing

from pourdeck.commands.jobs import find_panel, open_desk
from pourdeck.commands.outcome import DONE, FAULTY, mention, show
from pourdeck.paper.lifting import lifting_document, lifting_page
from pourdeck.plan.messages import has_error


def run(arguments: Namespace) -> int:
    """Exit 1 where what the plan says of the lift has errors. That much is missing yet is no error."""
    with closing(open_desk(arguments, read_only=True)) as desk:
        find_panel(desk.job, arguments.stack, arguments.number)
        view, notes = desk.lift(arguments.stack, arguments.number), desk.messages
        log = desk.log_findings(arguments.stack)

    mention(notes)
    show(
        arguments, lambda: lifting_document(view), lambda console: lifting_page(console, view), log
    )
    return FAULTY if has_error((*view.findings, *log)) else DONE
