"""Who acts: names compared whatever the case and the spaces, and known where the job lists people.

People added on site count as people of the job. They are hands and testers: the office names the others.
"""

from datetime import datetime, timedelta

from attrs import evolve

from pourdeck.plan.messages import Refusal, literal
from pourdeck.plan.records import Job, Person
from pourdeck.sitelog.state import SiteState

ASK_AFTER = timedelta(hours=4)
"""Without an act for so long, somebody else may be at the deck."""


def folded(name: str) -> str:
    """A name for comparing: case and spaces do not count."""
    return " ".join(name.split()).casefold()


def who(job: Job, name: str) -> Person | str | Refusal:
    """The person of that name; the tidied name where the job lists nobody; or why it is nobody."""
    tidy = " ".join(name.split())
    if not tidy:
        return Refusal(title="No name given.", body="Say who does this.")
    if not job.people:
        return tidy
    person = job.person(tidy)
    if person is not None:
        return person
    nearest = _nearest(job, tidy)
    hint = f"Did you mean {literal(nearest)}?" if nearest else f"They are {_listed(job)}."
    return Refusal(
        title=f"{literal(tidy)} is not among the people of this job.",
        body=f"{hint} Hands and testers are added on the deck, others by the office in job.toml.",
    )


def name_of(someone: Person | str) -> str:
    return someone if isinstance(someone, str) else someone.name


def _nearest(job: Job, name: str) -> str | None:
    from difflib import get_close_matches

    by_folded = {folded(person.name): person.name for person in job.people}
    near = get_close_matches(folded(name), by_folded, n=1, cutoff=0.6)
    return by_folded[near[0]] if near else None


def _listed(job: Job) -> str:
    names = [literal(person.name) for person in job.people]
    return ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")


def with_people(job: Job, state: SiteState) -> Job:
    """The job with the people added on site, and everybody's PIN. job.toml comes first."""
    if not job.people or not (state.people or state.pins):
        return job
    everyone: dict[str, Person] = {}
    for person in (*job.people, *state.people):
        everyone.setdefault(folded(person.name), person)
    for name, pin in state.pins.items():
        if folded(name) in everyone:
            everyone[folded(name)] = evolve(everyone[folded(name)], pin=pin)
    return evolve(job, people=tuple(everyone.values()))


def ask_again(last_act_at: datetime | None, now: datetime) -> bool:
    """True where the deck asks who is there before the next act: after four hours, or on another day.

    Both with their offsets; the day is that of the zone of `now`. A clock that was set back asks too.
    """
    if last_act_at is None or now < last_act_at or now - last_act_at >= ASK_AFTER:
        return True
    return last_act_at.astimezone(now.tzinfo).date() != now.date()
