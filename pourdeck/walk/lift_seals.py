"""Seals of the engineer's release to lift: what it rests on, part by part, and the panel laid bare."""

from collections.abc import Collection, Iterable, Sequence
from decimal import Decimal
from typing import Any

from attrs import frozen

from pourdeck.plan.amounts import as_meant, format_amount
from pourdeck.plan.messages import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.holds import digest_of
from pourdeck.walk.out_of_tolerance import is_engineer
from pourdeck.walk.strength import Result, last_below
from pourdeck.walk.words import folded, number_of

# The panel that a lift has laid bare: what is looked at, and what of that keeps it down.

EXPOSED = "exposed_by"
"""Where a note of what was seen of a panel laid bare names the one that was lifted off it."""

SEEN = "seen"
"""Where such a note has what was seen, by the keys of EXPOSED_CHECKS."""

EXPOSED_CHECKS = {
    "recesses": "Recesses and lifters",
    "residue": "Residue of bond breaker",
    "face": "Face and edges",
}
"""List what is looked at on a panel once the one above is off, by what an answer is kept under."""

NOT_CLEAN, DAMAGED = "not clean", "damaged"
"""Answers that keep a panel down: until it was looked at again, until the engineer has released it since."""


def looks_of(record: PanelState, above: PanelState) -> tuple[Entry, ...]:
    """List what was written of a panel since the one above was lifted off it, oldest first.

    What was seen before a lift that was taken back is of another day.
    """
    if above.lifted is None:
        return ()
    since = above.lifted.order
    return tuple(
        one for one in record.notes if one.data.get(EXPOSED) == above.mark and one.order > since
    )


def looks_missing(looks: Sequence[Entry], bared_by: str | None) -> tuple[str, ...]:
    """List what of looking at a panel laid bare is still missing, in words."""
    if bared_by is None:
        return ()
    if not looks:
        return (
            f"not looked at since {literal(bared_by)} was lifted off it: recesses, residue, face",
        )
    seen = looks[-1].data.get(SEEN)
    if isinstance(seen, dict) and seen.get("recesses") == NOT_CLEAN:
        return ("its recesses were seen not clean: clean them and look again",)
    return ()


def damage_after(looks: Sequence[Entry], release: Entry) -> str | None:
    """Give what of a panel laid bare was seen damaged after its release to lift; None where nothing was."""
    for look in looks:
        seen = look.data.get(SEEN)
        if look.order < release.order or not isinstance(seen, dict):
            continue
        for key, what in EXPOSED_CHECKS.items():
            if seen.get(key) == DAMAGED:
                return what.casefold()
    return None


# What the engineer's release to lift rests on, sealed part by part: a part that changes makes it lapse.

CHECK_AGAIN = "the lifting design must be checked again"


def needed_by_job(job: Job) -> Decimal | None:
    """The strength at lift that the job asks for, MPa, as the office meant it in the units of the job."""
    limit = job.limits.lift.strength
    return None if limit is None else as_meant(limit, "MPa", job.units)


def lifted_setout_digest(setout: SetOut) -> str:
    """SHA-256 over all of a set-out that the lifting design rests on: the panel by itself, not its stack."""
    panel, amounts = setout.panel, setout.quantities
    return digest_of([
        panel.mark,
        panel.rev,
        panel.face_up,
        panel.mirrored,
        *(plain(one) for one in (panel.width, panel.height, panel.thickness, setout.chamfer)),
        [
            [one.name, *(plain(size) for size in (one.x, one.y, one.width, one.height))]
            for one in setout.openings
        ],
        [
            [one.name, one.kind, one.edge]
            + [None if at is None else plain(at) for at in (one.x, one.y, one.at)]
            for one in setout.castins
        ],
        None if amounts.mass is None else plain(amounts.mass),
    ])  # fmt: skip


def as_cast_digest(record: PanelState) -> str:
    """SHA-256 over every size of the panel as it was measured last."""
    return digest_of([[key, plain(record.measured[key])] for key in sorted(record.measured)])


def result_data(result: Result) -> dict[str, Any]:
    """One test as a release names it."""
    return {
        "specimen": result.name,
        "strength": plain(result.strength),
        "time": result.at.isoformat(timespec="seconds"),
        "station": result.entry.station,
        "n": result.entry.n,
    }


@frozen(kw_only=True, repr=False)
class Asked:
    """Hold what the plan asks of a lift: strength, MPa, None where it gives none; digest of the set-out."""

    strength: Decimal | None
    setout: str


def asked_now(job: Job, setout: SetOut) -> Asked:
    """Give what the plan in force asks of a lift."""
    return Asked(strength=needed_by_job(job), setout=lifted_setout_digest(setout))


def no_engineer(release: Entry, job: Job) -> str | None:
    """Why a release is not one by the engineer, or None. Where the job names people, it names that one so."""
    by = literal(release.by)
    if not is_engineer(release.data.get("role")):
        return f"{by} did not give it as an engineer"
    word = release.data.get("word")
    if isinstance(word, dict):
        # Loaded where a release has a word: no first screen needs the table.
        from pourdeck.plan.authority import rule_of

        if word.get("way") not in rule_of(job, "lift-release").ways:
            return "it was given in a way that is not enough for a lift"
        if folded(str(word.get("of"))) != folded(release.by):
            return f"it is said to be of {by}, and its word is of {literal(str(word.get('of')))}"
    if not job.people:
        return None
    person = job.person(release.by)
    if person is None:
        return f"{by} is not among the people of this job"
    if not is_engineer(person.role):
        return f"{by} is {literal(person.role)} of this job, and no engineer"
    return None


def release_lapse(
    release: Entry,
    asked: Asked,
    record: PanelState,
    revisions: Iterable[Entry],
    under: Collection[str],
    shown: Sequence[Result],
    looks: Sequence[Entry],
    job: Job,
    since: Sequence[Entry],
) -> str | None:
    """Why a release to lift does not stand, or None.

    `under`: marks of the panel and of those below it. `shown`: what of the panel may show its strength.
    `looks`: what was seen of it since it was laid bare. `since`: the results written down after the
    release; a low one that was taken back has made it lapse all the same.
    """
    data = release.data
    unfit = no_engineer(release, job) or _resized(release, record.mark, revisions, under)
    if unfit is not None:
        return unfit
    if data.get("setout") != asked.setout:
        return (
            f"its drawing, size, openings, cast-ins or mass are not what they were; {CHECK_AGAIN}"
        )
    if data.get("as_cast") != as_cast_digest(record):
        return f"its as-cast record is not what it was; {CHECK_AGAIN}"
    needed = number_of(data.get("strength"))
    if needed is None or needed <= 0:
        return f"it names no strength; {CHECK_AGAIN}"
    was = format_amount(needed, "MPa", job.units)
    if asked.strength is not None and needed != asked.strength:
        now = format_amount(asked.strength, "MPa", job.units)
        return f"it was given for {was} and the limit is now {now}; {CHECK_AGAIN}"
    result = release.target(data.get("result"))
    rests_on = next((one for one in shown if one.entry.key == result), None)
    if rests_on is None or rests_on.strength < needed:
        return f"the result it rests on is not what it was; {CHECK_AGAIN}"
    if rests_on.entry.order > release.order:
        return f"the result it rests on was written down after it; {CHECK_AGAIN}"
    for entry in since:
        value = number_of(entry.data.get("strength"))
        if value is not None and value < needed:
            name = literal(str(entry.data.get("specimen")))
            return f"after it {name} came out below {was}; {CHECK_AGAIN}"
    later = last_below(shown, needed)
    if later is not None and later.at >= rests_on.at:
        return f"{literal(later.name)}, tested no earlier, is below {was}; {CHECK_AGAIN}"
    damaged = damage_after(looks, release)
    if damaged is not None:
        return f"after it its {damaged} were seen damaged; {CHECK_AGAIN}"
    return None


def tests_since(release: Entry, state: SiteState) -> tuple[Entry, ...]:
    """Results of field-cured specimens of its panel written after a release, those taken back too."""
    found = []
    for entry in reversed(state.entries):
        if entry.order <= release.order:
            break
        if entry.kind == "test" and entry.panel == release.panel:
            found.append(entry)
    return tuple(one for one in reversed(found) if one.data.get("cured") == "field")


def _resized(
    release: Entry, mark: str, revisions: Iterable[Entry], under: Collection[str]
) -> str | None:
    """A size that was changed after the release, of the panel or of one it lies on."""
    for revision in revisions:
        if revision.panel in under and revision.order > release.order:
            by = literal(revision.by)
            whose = (
                "its size"
                if revision.panel == mark
                else f"the size of {literal(revision.panel or '')} below"
            )
            return f"{whose} was changed on {revision.at:%d %b} by {by}; {CHECK_AGAIN}"
    return None
