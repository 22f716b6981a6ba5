"""Acts of the day of the lift: the engineer's release, the lift, what was seen of the panel laid bare."""

from collections.abc import Mapping
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.messages import Refusal, literal, must, refusable, stop_if
from pourdeck.plan.numbers import plain
from pourdeck.walk.authority import Word, said, word_for
from pourdeck.walk.lift_seals import (
    EXPOSED,
    EXPOSED_CHECKS,
    SEEN,
    as_cast_digest,
    lifted_setout_digest,
    needed_by_job,
    result_data,
)
from pourdeck.walk.lifting import NO_LIMIT, LiftView, shows, strength_missing
from pourdeck.walk.quantities import QUANTITIES, number_read
from pourdeck.walk.records import Act
from pourdeck.walk.words import name_of, who


@frozen(kw_only=True)
class Given:
    """The strength that was needed, as typed, and the document it is from: where the job gives none."""

    strength: str = ""
    document: str = ""


NOTHING_GIVEN = Given()


def not_to_be_released(view: LiftView) -> Refusal | None:
    """Why nobody may release a panel to lift now: asked before a name is typed for nothing."""
    mark = literal(view.mark)
    if view.lifted is not None:
        return Refusal(title=f"{mark} is lifted.", body="It is off the stack.")
    if view.released and view.release is not None:
        return Refusal(
            title=f"{mark} is released to lift.", body=f"{literal(view.release.by)} released it."
        )
    missing = list(view.owed)
    needed = needed_by_job(view.job)
    if not missing and needed is not None and view.result is None:
        missing.append(strength_missing(view.mark, needed, view.shown, view.job.units))
    if not missing and not view.shown:
        missing.append(f"no field-cured result of {mark} yet")
    if missing:
        return Refusal(
            title=f"{mark} cannot be released to lift yet.",
            body=f"Still missing: {'; '.join(missing)}.",
        )
    return None


@refusable
def release_to_lift(
    view: LiftView,
    by: str,
    role: str,
    seen: str,
    given: Given = NOTHING_GIVEN,
    *,
    word: Word | None = None,
) -> Act | Refusal:
    """The engineer's release: by name, as an engineer, with what was seen. `role` where the job names nobody.

    `word`: whose word it is and how it was given, `by` then being who is signed in; None: that of `by`, here.
    It seals what it rests on: the set-out of the panel, its as-cast record, the result that shows its
    strength. It is never undone.
    """
    mark = literal(view.mark)
    stop_if(not_to_be_released(view))
    shown = max((one.at for one in view.shown), default=None)
    since = None if shown is None else ("the last test of it", shown)
    found = must(word_for("lift-release", by, seen, view.job, role=role, word=word, since=since))
    needed, document = needed_by_job(view.job), view.job.limits.sources.get("lift", "")
    if needed is None:
        needed = must(_strength_of(view, given.strength))
        document = must(said(given.document, "document the strength is from"))
    result = shows(view.shown, needed)
    if result is None:
        return Refusal(
            title=f"{mark} cannot be released to lift yet.",
            body=f"{_capital(strength_missing(view.mark, needed, view.shown, view.job.units))}.",
        )
    data = {
        "panel": view.mark,
        "role": found.role,
        "seen": found.reason,
        "strength": plain(needed),
        "document": document,
        "result": result_data(result),
        "setout": lifted_setout_digest(view.setout),
        "as_cast": as_cast_digest(view.record),
        **found.data,
    }
    says = f"{mark}: released to lift by {literal(found.name)}"
    return Act(kind="lift-release", by=found.name, data=data, says=says)


def _strength_of(view: LiftView, typed: str) -> Decimal | Refusal:
    if not typed.strip():
        return Refusal(title="No strength given.", body=f"{_capital(NO_LIMIT)}.")
    return number_read(QUANTITIES["strength"].in_job(view.job.units), typed)


def _actor(view: LiftView, by: str) -> str | Refusal:
    found = who(view.job, by)
    return found if isinstance(found, Refusal) else name_of(found)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def not_to_be_lifted(view: LiftView) -> Refusal | None:
    """Why no lift of a panel may be recorded now: asked before anybody gives a name for nothing."""
    mark = literal(view.mark)
    if view.lifted is not None:
        return Refusal(title=f"{mark} is lifted.", body="It is off the stack.")
    if not view.fit or view.release is None or view.result is None:
        return Refusal(
            title=f"{mark} is not fit to lift.", body=f"Missing: {'; '.join(view.missing)}."
        )
    return None


@refusable
def lifted(view: LiftView, by: str) -> Act | Refusal:
    """Record that a panel was lifted off its stack. Refused with all that is missing, where it is not fit."""
    name, mark = must(_actor(view, by)), literal(view.mark)
    stop_if(not_to_be_lifted(view))
    assert view.release is not None
    assert view.result is not None
    data = {
        "panel": view.mark,
        "release": {"station": view.release.station, "n": view.release.n},
        "result": result_data(view.result),
    }
    return Act(kind="lifted", by=name, data=data, says=f"{mark}: lifted")


@refusable
def look_at_exposed(
    view: LiftView, seen: Mapping[str, str], by: str, more: str = ""
) -> Act | Refusal:
    """Write down, as a note of the panel laid bare, what was seen of it: by the keys of EXPOSED_CHECKS."""
    name, mark = must(_actor(view, by)), literal(view.mark)
    if view.bared_by is None or view.lifted is not None:
        return Refusal(
            title=f"{mark} was not laid bare by a lift.",
            body="This is asked of the panel that has come to lie on top.",
        )
    found = {
        key: must(said(seen.get(key, ""), what.casefold())) for key, what in EXPOSED_CHECKS.items()
    }
    parts = [f"{what}: {found[key]}" for key, what in EXPOSED_CHECKS.items()]
    if view.result is not None:
        parts.append(f"Own strength: {plain(view.result.strength)} MPa, {view.result.name}")
    else:
        parts.append("Own strength: not shown yet")
    if more.strip():
        parts.append(more.strip())
    data = {
        "panel": view.mark,
        "item": None,
        "text": "; ".join(parts),
        SEEN: found,
        EXPOSED: view.bared_by,
    }
    return Act(kind="note", by=name, data=data, says=f"{mark}: written down what was seen of it")
