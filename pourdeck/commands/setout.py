"""`setout`: the set-out of one panel."""

from argparse import Namespace

from pourdeck.commands.jobs import find_panel, open_desk
from pourdeck.commands.outcome import DONE, FAULTY, show
from pourdeck.paper.documents import setout_document
from pourdeck.plan.findings import has_error


def run(arguments: Namespace) -> int:
    """Exit 1 where the panel has errors."""
    desk = open_desk(arguments, read_only=True)
    find_panel(desk.job, arguments.stack, arguments.number)
    setout = desk.set_outs(arguments.stack)[arguments.number - 1]

    def page(console: object) -> None:
        from pourdeck.paper.setout_page import setout_page

        setout_page(console, setout, desk.job)  # type: ignore[arg-type]

    show(arguments, lambda: setout_document(setout, desk.job), page)
    return FAULTY if has_error(setout.findings) else DONE
