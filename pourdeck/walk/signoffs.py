"""Acts that end something with a name to it: a section, a hold, a panel, a non-conformance."""

from pourdeck.plan.literal import literal
from pourdeck.plan.records import Person
from pourdeck.plan.refusal import Refusal, must, refusable, stop_if
from pourdeck.walk import as_computed
from pourdeck.walk.allowed import actor, person, said
from pourdeck.walk.level_page import level_faults
from pourdeck.walk.oddities import not_confirmed, oddities
from pourdeck.walk.people import folded, name_of
from pourdeck.walk.ready_weather import measures_missing
from pourdeck.walk.records import Act, HoldView, OutOfTolerance, SectionView, Walk
from pourdeck.walk.seals import setout_digest
from pourdeck.walk.tolerance_words import short_words, state_words
from pourdeck.walk.words import count_of, item_name


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
    walk: Walk, hold_id: str, by: str, role: str, seen: str, measures: str = ""
) -> Act | Refusal:
    """Release a hold: a second person who looked, and what was seen. `role` where the job names nobody.

    `measures`: what was done against drying, needed where the weather is at `act`.
    """
    hold = must(_find_hold(walk, hold_id))
    someone = person(walk, by)
    if isinstance(someone, Refusal):
        return someone
    stop_if(_not_releasable(walk, hold) or _wrong_releaser(walk, hold, someone, role))
    looked = said(seen, "what was seen")
    if isinstance(looked, Refusal):
        return Refusal(
            title="Nothing said of what was seen.", body=f"Look at {hold.look}; write it."
        )
    stop_if(measures_missing(hold, walk.job, measures))
    data = {
        "panel": walk.mark,
        "hold": hold.id,
        "role": someone.role if isinstance(someone, Person) else role.strip(),
        "seen": looked,
        "covers": hold.digest,
        "template": walk.template,
        **({"measures": measures.strip()} if measures.strip() else {}),
    }
    name = name_of(someone)
    says = f"{literal(walk.mark)}: {hold.name} released by {literal(name)}"
    return Act(kind="release", by=name, data=data, says=says)


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


def _wrong_releaser(walk: Walk, hold: HoldView, someone: Person | str, role: str) -> Refusal | None:
    """Who did the work cannot release it, nor one who says no role where the job names nobody."""
    name = name_of(someone)
    done = [item for item in map(walk.find, hold.covers) if item and not item.second]
    for item in done:
        entries = list(walk.record.answers.get(item.key, ()))
        if item.entry and item.entry.kind == "not-applicable":
            entries.append(item.entry)
        if any(folded(entry.by) == folded(name) for entry in entries):
            return Refusal(
                title=f"{literal(name)} did work that {hold.name} covers.",
                body=f"{item_name(item)}: answered by the same person. Somebody else must release it.",
            )
    held = someone.role if isinstance(someone, Person) else role.strip().casefold()
    if not held:
        return Refusal(
            title=f"No role given for {literal(name)}.",
            body="The job lists no people: say as what the hold is released, such as supervisor.",
        )
    return None


@refusable
def pass_unreleased(walk: Walk, hold_id: str, reason: str, by: str) -> Act | Refusal:
    """Go on past a hold that was not released: a non-conformance that stays in sight until closed."""
    hold = must(_find_hold(walk, hold_id))
    name = must(actor(walk, by))
    if hold.locked_by:
        return Refusal(title=f"{hold.name}: locked.", body=_why(hold.locked_by))
    if hold.lets_pass or walk.record.pour_start:
        return Refusal(
            title=f"{hold.name} holds nothing up.", body="There is nothing to pass unreleased."
        )
    why = must(said(reason, "reason"))
    data = {
        "panel": walk.mark,
        "hold": hold.id,
        "reason": why,
        "covers": setout_digest(walk.setout),
    }
    says = f"{literal(walk.mark)}: {hold.name} passed unreleased, a non-conformance"
    return Act(kind="pass-unreleased", by=name, data=data, says=says)


@refusable
def close_nonconformance(walk: Walk, station: str, n: int, action: str, by: str) -> Act | Refusal:
    """Close a non-conformance, named by its entry: what was done about it.

    A hold that was passed unreleased by its `pass-unreleased`, a repair of what is out of tolerance by its
    `disposition`: somebody else than who said it has looked at it.
    """
    repair = _repair(walk, station, n)
    if repair is not None:
        return _repair_looked_at(walk, repair, action, by)
    found = next((one for one in walk.nonconformances if one.entry.key == (station, n)), None)
    if found is None:
        return Refusal(
            title=f"{literal(walk.mark)} has no non-conformance no. {n} of {literal(station)}.",
            body="Take it from the list.",
        )
    if found.closed:
        return Refusal(
            title=f"{found.name} is closed already.", body=f"{literal(found.closed.by)} closed it."
        )
    name = must(actor(walk, by))
    done = must(said(action, "action"))
    data = {"station": station, "n": n, "panel": walk.mark, "action": done}
    says = f"{literal(walk.mark)}: non-conformance at {found.name} closed"
    return Act(kind="close-nonconformance", by=name, data=data, says=says)


def _repair(walk: Walk, station: str, n: int) -> OutOfTolerance | None:
    """What is out of tolerance and was said, by that entry, to be repaired."""
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


def _repair_looked_at(walk: Walk, out: OutOfTolerance, action: str, by: str) -> Act | Refusal:
    assert out.disposition is not None
    if out.looked:
        return Refusal(
            title=f"The repair of {literal(out.name)} was looked at already.",
            body=f"{literal(out.looked.by)} looked at it.",
        )
    name = must(actor(walk, by))
    said_by = out.disposition.by
    if folded(name) == folded(said_by):
        return Refusal(
            title=f"{literal(name)} said that it is to be repaired.",
            body="Somebody else must look at the repair and give the name.",
        )
    done = must(said(action, "action"))
    data = {
        "station": out.disposition.station,
        "n": out.disposition.n,
        "panel": walk.mark,
        "action": done,
    }
    says = f"{literal(walk.mark)}: repair of {literal(out.name)} looked at"
    return Act(kind="close-nonconformance", by=name, data=data, says=says)


def close_needs(walk: Walk) -> tuple[str, ...]:
    """What is still missing before a panel may be closed, failures first.

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
    return (*failed, *owed, *level_faults(walk))


def _unsaid(section: SectionView) -> bool:
    """True where a section after the pour still has to be said to be complete."""
    ends_by_itself = section.hold or section.covered_by or section.id == "close"
    return not ends_by_itself and section.complete is None


@refusable
def close_panel(walk: Walk, by: str, confirmed: str = "") -> Act | Refusal:
    """Close a panel: everything is answered, and from now on it is what its record says.

    `confirmed`: the digest (`odd_digest`) of the list of what is odd that the one who closes has gone
    through; "" where nothing is odd.
    """
    name = must(actor(walk, by))
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
    odd = oddities(walk)
    stop_if(not_confirmed(walk, odd, confirmed))
    data = {
        "panel": walk.mark,
        "template": walk.template,
        as_computed.KEY: as_computed.sealed(walk.job, walk.plan, walk.setout),
        **({"odd": [one.document() for one in odd]} if odd else {}),
    }
    return Act(kind="close", by=name, data=data, says=f"{mark}: closed, cast")
