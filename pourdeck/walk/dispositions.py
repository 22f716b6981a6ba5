"""What is to be done about a value as cast that is out of tolerance, said by somebody by name.

- Anybody of the job may say rework, repair or reject. Use as is, which settles it, only an engineer may, who
  did not measure it; where the job names nobody, who says the role `engineer`.
- What is settled is an engineer's to say anew. A rejection is for good: nothing is said after it.
- It may be said of a panel that is closed too: a closed one is measured again.
"""

from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Person
from pourdeck.plan.refusal import Refusal, must, refusable, stop_if
from pourdeck.sitelog.panels import DISPOSITIONS
from pourdeck.walk.allowed import find_item, person, said
from pourdeck.walk.out_of_tolerance import ENGINEER, is_engineer, standing_of
from pourdeck.walk.people import folded, name_of
from pourdeck.walk.records import Act, OutOfTolerance, Walk
from pourdeck.walk.tolerance_words import DISPOSITION_WORDS, short_words, state_words
from pourdeck.walk.words import item_name


@refusable
def dispose(
    walk: Walk, key: str, disposition: str, reason: str, by: str, role: str = ""
) -> Act | Refusal:
    """Say what is to be done: `rework`, `repair`, `use-as-is` or `reject`. `role` where nobody is named."""
    out = must(_found(walk, key))
    someone = person(walk, by)
    if isinstance(someone, Refusal):
        return someone
    name = name_of(someone)
    as_what = someone.role if isinstance(someone, Person) else role.strip()
    if disposition not in DISPOSITIONS:
        return Refusal(
            title=f"{literal(disposition) or 'Nothing'} is no disposition.",
            body="It is rework, repair, use-as-is or reject.",
        )
    if not as_what:
        return Refusal(title="No role given.", body="Say as what this is said, such as engineer.")
    stop_if(_not_to_be_said(walk, out, disposition, name, as_what))
    why = must(said(reason, "reason"))
    data = {
        "panel": walk.mark,
        "item": out.item,
        "disposition": disposition,
        "reason": why,
        "found": plain(out.found),
        "role": as_what,
        "expected": None if out.expected is None else plain(out.expected),
        "tolerance": {
            "low": None if out.low is None else plain(out.low),
            "high": None if out.high is None else plain(out.high),
        },
        "unit": out.unit,
        "source": out.source,
    }
    says = f"{literal(walk.mark)} {literal(out.name)}: {DISPOSITION_WORDS[disposition]}, {literal(name)}"
    return Act(kind="disposition", by=name, data=data, says=says)


def _found(walk: Walk, key: str) -> OutOfTolerance | Refusal:
    out = standing_of(key, walk.out_of_tolerance)
    if out is not None:
        return out
    item = find_item(walk, key)
    if isinstance(item, Refusal):
        return item
    return Refusal(
        title=f"{item_name(item)}: not out of tolerance.",
        body="A disposition is said of a value as cast outside its band.",
    )


def rejected_for_good(out: OutOfTolerance) -> Refusal:
    """Why nothing more is said of what is rejected."""
    return Refusal(
        title=f"{literal(out.mark)} is rejected for its {literal(out.name)}.",
        body="A rejection is for good. Write a note if there is more to say.",
    )


def _not_to_be_said(
    walk: Walk, out: OutOfTolerance, disposition: str, name: str, role: str
) -> Refusal | None:
    what = short_words(out, walk.job.units)
    if out.state == "rejected":
        return rejected_for_good(out)
    if out.settled and not is_engineer(role):
        return Refusal(
            title=f"{what}: settled.",
            body=f"{state_words(out)}. Only an engineer says otherwise; or measure it again.",
        )
    if disposition != "use-as-is":
        return None
    if not is_engineer(role):
        return Refusal(
            title=f"{literal(name)} may not say use as is: {literal(role)}, not {ENGINEER}.",
            body="Only an engineer accepts what is out of tolerance. Ask one to give the name.",
        )
    if folded(name) in {folded(one) for one in out.measured_by}:
        return Refusal(
            title=f"{literal(name)} measured it.",
            body="Another engineer must accept it, or somebody else measures it again.",
        )
    return None
