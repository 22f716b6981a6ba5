"""What is to be done about a value as cast that is out of tolerance, said by somebody by name.

- Whose word is enough is in the table of `plan/authority.toml`: rework and repair need somebody in charge,
  use as is and reject an engineer, use as is one who did not measure it.
- What is settled is an engineer's to say anew. A rejection is for good: nothing is said after it.
- It may be said of a panel that is closed too: a closed one is measured again.
"""

from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.refusal import Refusal, must, refusable, stop_if
from pourdeck.sitelog.panels import DISPOSITIONS
from pourdeck.walk.allowed import find_item
from pourdeck.walk.authority import Word, word_for
from pourdeck.walk.out_of_tolerance import is_engineer, standing_of
from pourdeck.walk.people import folded
from pourdeck.walk.records import Act, OutOfTolerance, Walk
from pourdeck.walk.tolerance_words import DISPOSITION_WORDS, short_words, state_words
from pourdeck.walk.words import item_name


@refusable
def dispose(
    walk: Walk,
    key: str,
    disposition: str,
    reason: str,
    by: str,
    role: str = "",
    *,
    word: Word | None = None,
) -> Act | Refusal:
    """Say what is to be done: `rework`, `repair`, `use-as-is` or `reject`. `role` where nobody is named.

    `word`: whose word it is and how it was given, `by` then being who is signed in; None: that of `by`, here.
    """
    out = must(_found(walk, key))
    if disposition not in DISPOSITIONS:
        return Refusal(
            title=f"{literal(disposition) or 'Nothing'} is no disposition.",
            body="It is rework, repair, use-as-is or reject.",
        )
    if out.state == "rejected":
        return rejected_for_good(out)
    doers = {folded(one): "measured it" for one in out.measured_by}
    act = f"disposition.{disposition}"
    found = must(word_for(act, by, reason, walk.job, role=role, word=word, doers=doers))
    stop_if(_settled(walk, out, found.role))
    data = {
        "panel": walk.mark,
        "item": out.item,
        "disposition": disposition,
        "reason": found.reason,
        "found": plain(out.found),
        "role": found.role,
        "expected": None if out.expected is None else plain(out.expected),
        "tolerance": {
            "low": None if out.low is None else plain(out.low),
            "high": None if out.high is None else plain(out.high),
        },
        "unit": out.unit,
        "source": out.source,
        **found.data,
    }
    what = f"{literal(walk.mark)} {literal(out.name)}"
    says = f"{what}: {DISPOSITION_WORDS[disposition]}, {literal(found.name)}"
    return Act(kind="disposition", by=found.name, data=data, says=says)


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


def _settled(walk: Walk, out: OutOfTolerance, role: str) -> Refusal | None:
    if not out.settled or is_engineer(role):
        return None
    return Refusal(
        title=f"{short_words(out, walk.job.units)}: settled.",
        body=f"{state_words(out)}. Only an engineer says otherwise; or measure it again.",
    )
