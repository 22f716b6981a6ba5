"""`shrink`: what a size change does to a panel and all above it; with `--apply` it is recorded."""

from argparse import Namespace
from contextlib import closing
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import find_panel, open_desk, record
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, mention, show
from pourdeck.paper.documents import resize_document
from pourdeck.plan.messages import Refusal, has_error
from pourdeck.plan.records import ALIGNMENTS, Align, Units
from pourdeck.walk.quantities import QUANTITIES, number_read

if TYPE_CHECKING:
    from rich.console import Console

    from pourdeck.walk.authority import Word


def run(arguments: Namespace) -> int:
    """Exit 1 where the panels have errors after the change."""
    named = all((one or "").strip() for one in (arguments.by, arguments.reason))
    if arguments.apply and not named:
        raise CannotDoError(
            "a size change is recorded with a name and a reason.", "Add --by NAME --reason TEXT."
        )
    with closing(open_desk(arguments, read_only=not arguments.apply)) as desk:
        find_panel(desk.job, arguments.stack, arguments.number)
        resize = desk.resize(
            arguments.stack,
            arguments.number,
            align=alignment(arguments.align),
            **sizes(arguments, desk.job.units),
        )
        if isinstance(resize, Refusal):
            raise CannotDoError(resize.title, resize.body)
        cancels, log = desk.cancels(resize), desk.log_findings(arguments.stack)
        job, stack = desk.job, desk.stack(arguments.stack)
        notes = desk.messages
        if arguments.apply:
            act = desk.revise(
                resize, by="", reason=arguments.reason, word=_word(arguments, desk.now())
            )
            notes = record(desk, act)
        elif arguments.by or arguments.reason:
            notes = (*notes, "nothing is recorded without --apply.")

    def page(console: "Console") -> None:
        from pourdeck.paper.resize_page import resize_page

        resize_page(console, resize, cancels, arguments.apply, job, stack)

    mention(notes)
    taken_back = [cancel.document() for cancel in cancels]
    show(arguments, lambda: resize_document(resize, taken_back, arguments.apply), page, log)
    return FAULTY if has_error((*resize.findings, *log)) else DONE


def _word(arguments: Namespace, now: datetime) -> "Word":
    """Whose word the size change is, and how it was given. Raises CannotDoError."""
    from pourdeck.commands.strength import read_at
    from pourdeck.walk.authority import Word

    at = None if arguments.at is None else read_at(arguments.at, now)
    if at is not None and at > now:
        raise CannotDoError(f"--at: {arguments.at} is still to come.", "Look at its day and time.")
    return Word(
        of=arguments.by,
        way=arguments.word or "here",
        reference=arguments.reference or "",
        at=at,
        taken_by=arguments.taken_by or "",
        pin=arguments.pin,
    )


def sizes(arguments: Namespace, units: Units) -> dict[str, Decimal]:
    """The sizes that were given, mm. Raises CannotDoError for what is no length."""
    found = {}
    for name in ("width", "height", "thickness"):
        text = getattr(arguments, name)
        if text is not None:
            size = number_read(QUANTITIES["size"].in_job(units), text)
            if isinstance(size, Refusal):
                raise CannotDoError(f"--{name} {size.title.removesuffix('.')}.", size.body)
            found[name] = size
    return found


def alignment(text: str | None) -> Align | None:
    """The alignment of that name, None for none given. Raises CannotDoError."""
    if text is None:
        return None
    for align in ALIGNMENTS:
        if align == text.strip().lower():
            return align
    from pourdeck.plan.wording import nearest

    near = nearest(text, ALIGNMENTS)
    raise CannotDoError(
        f"there is no alignment {text}.",
        f"Did you mean {near}?" if near else f"Take one of {', '.join(ALIGNMENTS)}.",
    )
