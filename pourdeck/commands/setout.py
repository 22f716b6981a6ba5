"""`setout`: the set-out of one panel."""

from argparse import Namespace
from contextlib import closing
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import find_panel, open_desk
from pourdeck.commands.outcome import DONE, FAULTY, mention, show
from pourdeck.paper.documents import setout_document
from pourdeck.plan.messages import has_error

if TYPE_CHECKING:
    from rich.console import Console


def run(arguments: Namespace) -> int:
    """Exit 1 where the panel has errors."""
    with closing(open_desk(arguments, read_only=True)) as desk:
        find_panel(desk.job, arguments.stack, arguments.number)
        setout = desk.set_outs(arguments.stack)[arguments.number - 1]
        job, notes = desk.job, desk.messages
        log = desk.log_findings(arguments.stack)

    def page(console: "Console") -> None:
        from pourdeck.paper.setout_page import setout_page

        setout_page(console, setout, job)

    mention(notes)
    show(arguments, lambda: setout_document(setout, job), page, log)
    return FAULTY if has_error((*setout.findings, *log)) else DONE
