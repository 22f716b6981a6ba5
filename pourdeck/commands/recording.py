"""Recording an act from a command: refused, not saved, or saved with what rests on it."""

from typing import TYPE_CHECKING

from pourdeck.commands.outcome import CannotDoError
from pourdeck.plan.messages import Refusal

if TYPE_CHECKING:
    from pourdeck.walk.desk import Desk
    from pourdeck.walk.records import Act


def record(desk: "Desk", act: "Act | Refusal") -> tuple[str, ...]:
    """Append an act to the site log, and give back what people should know though it is saved.

    Raises CannotDoError where it is refused, NotSaved where it fails.
    """
    from pourdeck.paper.record_files import keep_record

    if isinstance(act, Refusal):
        raise CannotDoError(act.title, act.body)
    entry = desk.record(act)
    unkept = keep_record(desk, entry)
    return desk.messages if unkept is None else (*desk.messages, unkept)
