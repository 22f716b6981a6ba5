"""`shrink`: what a size change does to a panel and all above it; with `--apply` it is recorded."""

from argparse import Namespace
from decimal import Decimal
from typing import get_args

from pourdeck.commands.jobs import find_panel, open_desk
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, show
from pourdeck.commands.recording import record
from pourdeck.paper.documents import resize_document
from pourdeck.plan.findings import has_error
from pourdeck.plan.lengths import parse_length
from pourdeck.plan.records import Align, Units
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.acts import revise


def run(arguments: Namespace) -> int:
    """Exit 1 where the panels have errors after the change."""
    if arguments.apply and not (arguments.by and arguments.reason):
        raise CannotDoError(
            "a size change is recorded with a name and a reason.",
            "Add --by NAME and --reason TEXT.",
        )
    desk = open_desk(arguments, read_only=not arguments.apply)
    find_panel(desk.job, arguments.stack, arguments.number)
    resize = desk.resize(
        arguments.stack,
        arguments.number,
        align=alignment(arguments.align),
        **sizes(arguments, desk.job.units),
    )
    if isinstance(resize, Refusal):
        raise CannotDoError(resize.title, resize.body)
    cancels = desk.cancels(resize)
    applied = False
    if arguments.apply:
        record(desk, revise(resize, cancels, arguments.reason, arguments.by))
        applied = True

    def page(console: object) -> None:
        from pourdeck.paper.resize_page import resize_page

        resize_page(console, resize, cancels, applied, desk.job.units)  # type: ignore[arg-type]

    show(
        arguments,
        lambda: resize_document(resize, [cancel.document() for cancel in cancels], applied),
        page,
    )
    return FAULTY if has_error(resize.findings) else DONE


def sizes(arguments: Namespace, units: Units) -> dict[str, Decimal]:
    """The sizes that were given, mm."""
    given = {name: getattr(arguments, name) for name in ("width", "height", "thickness")}
    return {name: parse_length(text, units) for name, text in given.items() if text is not None}


def alignment(text: str | None) -> Align | None:
    if text is None:
        return None
    known = get_args(Align)
    if text not in known:
        raise CannotDoError(f"there is no alignment {text}.", f"Take one of {', '.join(known)}.")
    return text  # type: ignore[return-value]
