"""Who acts: names compared whatever the case and the spaces, and known where the job lists people."""

from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job, Person
from pourdeck.plan.refusal import Refusal


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
        body=f"{hint} The office adds people in job.toml.",
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
