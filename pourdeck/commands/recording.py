"""Recording an act from a command: refused, not saved, or saved with what rests on it."""

from typing import TYPE_CHECKING

from pourdeck.commands.outcome import CannotDoError
from pourdeck.plan.refusal import Refusal
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.records import Act

if TYPE_CHECKING:
    from pourdeck.walk.desk import Desk


def record(desk: "Desk", act: Act | Refusal) -> Entry:
    """Append an act to the site log. Raises CannotDoError where it is refused, NotSaved where it fails."""
    from pourdeck.paper.keep import keep_record

    if isinstance(act, Refusal):
        raise CannotDoError(act.title, act.body)
    entry = desk.record(act)
    keep_record(desk, entry)
    return entry
