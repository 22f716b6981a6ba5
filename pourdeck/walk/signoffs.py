"""Acts that end something with a name to it: a section, a hold, a panel, a non-conformance."""

from pourdeck.plan.messages import Refusal, literal, must, refusable, stop_if
from pourdeck.plan.numbers import plain
from pourdeck.sitelog.panel_state import DISPOSITIONS
from pourdeck.walk.authority import Word, actor, find_item, word_for
from pourdeck.walk.conflicts import conflict_needs, settling_of
from pourdeck.walk.holds import setout_digest
from pourdeck.walk.level_page import level_faults
from pourdeck.walk.oddities import not_confirmed, oddities
from pourdeck.walk.out_of_tolerance import (
    DISPOSITION_WORDS,
    is_engineer,
    short_words,
    standing_of,
    state_words,
)
from pourdeck.walk.plan_in_force import SEALED, sealed
from pourdeck.walk.pour_findings import measures_missing, needs_measures
from pourdeck.walk.records import Act, HoldView, OutOfTolerance, SectionView, Walk
from pourdeck.walk.words import count_of, folded, item_name

# What is to be done about a value as cast that is out of tolerance, said by somebody by name.
#
# - Whose word is enough is in the table of `plan/authority.toml`: rework and repair need somebody in charge,
#   use as is and reject an engineer, use as is one who did not measure it.
# - What is settled is an engineer's to say anew. A rejection is for good: nothing is said after it.
# - It may be said of a panel that is closed too: a closed one is measured again.


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
    since = (f"{out.name} was measured", out.entry.at)
    found = must(
        word_for(act, by, reason, walk.job, role=role, word=word, doers=doers, since=since)
    )
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
        **settling_of(walk.record, ("disposition", out.item)),
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


# Acts that end something with a name to it: a section, a hold, a panel, a non-conformance.


@refusable
def complete(walk: Walk, section_id: str, by: str, confirmed: str = "") -> Act | Refusal:
    """Say that a section without a hold is complete. For the last section that closes the panel.

    `confirmed`: as in `close_panel`.
    """
    section = walk.section(section_id)
    if section is None:
        return Refusal(
            title=f"{literal(walk.mark)} has no section {literal(section_id)}.",
            body="Go back to the walk and take the section in hand.",
        )
    if section.id == "close":
        return close_panel(walk, by, confirmed)
    name = must(actor(walk, by))
    stop_if(_not_complete(walk, section))
    data = {"panel": walk.mark, "section": section.id}
    return Act(kind="complete", by=name, data=data, says=f"{section.name}: complete")


def _not_complete(walk: Walk, section: SectionView) -> Refusal | None:
    if section.locked_by:
        return section.locked_by
    if walk.record.closed:
        return Refusal(
            title=f"{literal(walk.mark)} is closed.", body="Nothing is left to complete."
        )
    if section.hold:
        return Refusal(
            title=f"{section.name} ends with the hold “{section.hold.name}”.",
            body="A second person releases it.",
        )
    if section.complete and section.open == 0:
        return Refusal(
            title=f"{section.name} is complete.", body=f"{literal(section.complete.by)} said so."
        )
    owed = [item for item in section.items if not item.answered]
    if owed:
        return Refusal(
            title=f"{section.name}: {count_of(len(owed), 'item')} open.",
            body=f"Answer or defer: {'; '.join(item_name(item) for item in owed[:3])}"
            + (f" and {len(owed) - 3} more." if len(owed) > 3 else "."),
        )
    return None


@refusable
def release(
    walk: Walk,
    hold_id: str,
    by: str,
    role: str,
    seen: str,
    *,
    measures: str = "",
    word: Word | None = None,
) -> Act | Refusal:
    """Release a hold: a second person who looked, and what was seen. `role` where the job names nobody.

    `measures`: what was done against drying, needed where the weather is at `act`. `word`: whose word it is
    and how it was given, `by` then being who is signed in; None: that of `by`, here.
    """
    hold = must(_find_hold(walk, hold_id))
    stop_if(_not_releasable(walk, hold))
    found = must(
        word_for(
            f"release.{hold.id}", by, seen, walk.job,
            role=role, word=word, doers=_workers(walk, hold),
        )
    )  # fmt: skip
    stop_if(measures_missing(hold, walk.job, measures))
    if needs_measures(hold):
        # Whoever releases answers for the measures too.
        must(word_for("weather-measures", by, measures, walk.job, role=role, word=word))
    data = {
        "panel": walk.mark,
        "hold": hold.id,
        "role": found.role,
        "seen": found.reason,
        "covers": hold.digest,
        "template": walk.template,
        **found.data,
        **({"measures": measures.strip()} if measures.strip() else {}),
    }
    says = f"{literal(walk.mark)}: {hold.name} released by {literal(found.name)}"
    return Act(kind="release", by=found.name, data=data, says=says)


def _find_hold(walk: Walk, hold_id: str) -> HoldView | Refusal:
    hold = walk.hold(hold_id)
    if hold is not None:
        return hold
    holds = ", ".join(hold.id for hold in walk.holds)
    return Refusal(title=f"There is no hold {literal(hold_id)}.", body=f"The holds are {holds}.")


def _not_releasable(walk: Walk, hold: HoldView) -> Refusal | None:
    if hold.state == "released":
        return Refusal(
            title=f"{hold.name} is released.", body=f"{literal(hold.by or '')} released it."
        )
    if walk.record.pour_start:
        return Refusal(
            title=f"{literal(walk.mark)} is poured.", body="A hold before the pour is history now."
        )
    if hold.locked_by:
        return Refusal(title=f"{hold.name}: locked.", body=_why(hold.locked_by))
    if hold.needs:
        return Refusal(
            title=f"{hold.name} cannot be released yet.",
            body=f"Still missing: {'; '.join(hold.needs)}.",
        )
    return None


def _why(lock: Refusal) -> str:
    return f"{lock.title} {lock.body}"


def _workers(walk: Walk, hold: HoldView) -> dict[str, str]:
    """Who did the work a hold covers, by folded name, with the first item of it."""
    found: dict[str, str] = {}
    for item in map(walk.find, hold.covers):
        if item is None or item.second:
            continue
        entries = list(walk.record.answers.get(item.key, ()))
        if item.entry and item.entry.kind == "not-applicable":
            entries.append(item.entry)
        for entry in entries:
            found.setdefault(
                folded(entry.by), f"did work that {hold.name} covers ({item_name(item)})"
            )
    return found


@refusable
def pass_unreleased(
    walk: Walk, hold_id: str, reason: str, by: str, *, word: Word | None = None
) -> Act | Refusal:
    """Go on past a hold that was not released: a non-conformance that stays in sight until closed.

    `word` as for `release`.
    """
    hold = must(_find_hold(walk, hold_id))
    if hold.locked_by:
        return Refusal(title=f"{hold.name}: locked.", body=_why(hold.locked_by))
    if hold.lets_pass or walk.record.pour_start:
        return Refusal(
            title=f"{hold.name} holds nothing up.", body="There is nothing to pass unreleased."
        )
    found = must(word_for("pass-unreleased", by, reason, walk.job, word=word))
    data = {
        "panel": walk.mark,
        "hold": hold.id,
        "reason": found.reason,
        "covers": setout_digest(walk.setout),
        **found.data,
    }
    says = f"{literal(walk.mark)}: {hold.name} passed unreleased, a non-conformance"
    return Act(kind="pass-unreleased", by=found.name, data=data, says=says)


@refusable
def close_nonconformance(
    walk: Walk, station: str, n: int, action: str, by: str, *, word: Word | None = None
) -> Act | Refusal:
    """Close a non-conformance, named by its entry: what was done about it. `word` as for `release`.

    A hold that was passed unreleased by its `pass-unreleased`, a repair of what is out of tolerance by its
    `disposition`: somebody else than who said it has looked at it.
    """
    repair = _repair(walk, station, n)
    if repair is not None:
        closes, entry, does = repair.looked, repair.disposition, "said that it is to be repaired"
        what, done = f"repair of {literal(repair.name)}", "looked at"
    else:
        found = next((one for one in walk.nonconformances if one.entry.key == (station, n)), None)
        if found is None:
            return Refusal(
                title=f"{literal(walk.mark)} has no non-conformance no. {n} of {literal(station)}.",
                body="Take it from the list.",
            )
        closes, entry, does = found.closed, found.entry, "passed the hold unreleased"
        what, done = f"non-conformance at {found.name}", "closed"
    if closes is not None:
        return Refusal(
            title=f"{what[:1].upper()}{what[1:]}: {done} already.", body=f"By {literal(closes.by)}."
        )
    assert entry is not None
    closing = must(
        word_for(
            "close-nonconformance",
            by,
            action,
            walk.job,
            word=word,
            doers={folded(entry.by): does},
            since=(f"it was recorded by {literal(entry.by)}", entry.at),
        )
    )
    data = {
        "station": station,
        "n": n,
        "panel": walk.mark,
        "action": closing.reason,
        **closing.data,
    }
    says = f"{literal(walk.mark)}: {what} {done}"
    return Act(kind="close-nonconformance", by=closing.name, data=data, says=says)


def _repair(walk: Walk, station: str, n: int) -> OutOfTolerance | None:
    """Find what is out of tolerance and was said, by that entry, to be repaired."""
    return next(
        (
            one
            for one in walk.out_of_tolerance
            if one.stands
            and one.said == "repair"
            and one.disposition is not None
            and one.disposition.key == (station, n)
        ),
        None,
    )


def close_needs(walk: Walk) -> tuple[str, ...]:
    """List what is still missing before a panel may be closed, failures first.

    What is out of tolerance needs a disposition, and no more: a rejected panel may be closed too. Of what
    is rejected nothing more is said, whatever was measured of it afterwards.
    """
    units = walk.job.units
    rejected = {key for one in walk.unsettled if one.state == "rejected" for key in one.items}
    failed: list[str] = [
        f"{short_words(one, units)}: {state_words(one)}"
        for one in walk.unsettled
        if one.state == "open" and rejected.isdisjoint(one.items)
    ]
    owed: list[str] = []
    for section in walk.sections:
        bad = [
            item
            for item in section.items
            if item.own_state == "failed" and (item.cast_key is None or item.not_measured)
        ]
        open_now = [item for item in section.items if not item.answered]
        if bad:
            failed.append(f"{section.name}: {item_name(bad[0])} failed, no follow-up")
        if open_now:
            first = item_name(open_now[0])
            owed.append(f"{section.name}: {count_of(len(open_now), 'item')} open, first {first}")
        elif _unsaid(section):
            owed.append(f"{section.name}: not said to be complete")
        owed += [
            f"{item_name(item)} is deferred to before {item.before}"
            for item in section.items
            if item.own_state == "deferred" and item.before != "lift"
        ]
    return (*conflict_needs(walk.record, units), *failed, *owed, *level_faults(walk))


def _unsaid(section: SectionView) -> bool:
    """True where a section after the pour still has to be said to be complete."""
    ends_by_itself = section.hold or section.covered_by or section.id == "close"
    return not ends_by_itself and section.complete is None


def not_closable(walk: Walk, confirmed: str) -> Refusal | None:
    """Why nobody may close a panel now, by the digest of the list that was gone through."""
    mark = literal(walk.mark)
    if walk.record.closed:
        return Refusal(
            title=f"{mark} is closed.", body=f"{literal(walk.record.closed.by)} closed it."
        )
    if walk.record.pour_end is None:
        return Refusal(title=f"{mark} is not poured.", body="Only a poured panel can be closed.")
    missing = close_needs(walk)
    if missing:
        return Refusal(
            title=f"{mark} cannot be closed yet.", body=f"Still missing: {'; '.join(missing)}."
        )
    return not_confirmed(walk, oddities(walk), confirmed)


@refusable
def close_panel(
    walk: Walk, by: str, confirmed: str = "", *, word: Word | None = None
) -> Act | Refusal:
    """Close a panel: everything is answered, and from now on it is what its record says.

    `confirmed`: the digest (`odd_digest`) of the list of what is odd that the one who closes has gone
    through; "" where nothing is odd. `word` as for `release`.
    """
    stop_if(not_closable(walk, confirmed))
    mark, odd = literal(walk.mark), oddities(walk)
    found = must(word_for("close-panel", by, "", walk.job, word=word))
    data = {
        "panel": walk.mark,
        "template": walk.template,
        SEALED: sealed(walk.job, walk.plan, walk.setout),
        **({"odd": [one.document() for one in odd]} if odd else {}),
        **found.data,
    }
    return Act(kind="close", by=found.name, data=data, says=f"{mark}: closed, cast")
