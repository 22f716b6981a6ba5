"""Adding somebody on site: a hand or a tester. All others come from the office, in job.toml."""

from unicodedata import normalize

from pourdeck.plan.literal import literal
from pourdeck.plan.records import ROLES, Job
from pourdeck.plan.refusal import Refusal
from pourdeck.sitelog.people import ADDED_ROLES
from pourdeck.walk.people import folded, name_of, who
from pourdeck.walk.records import Act

LONGEST_NAME = 80


def add_person(job: Job, name: str, role: str, by: str) -> Act | Refusal:
    """Add a hand or a tester to the people of the job, by somebody of the job."""
    if not job.people:
        return Refusal(
            title="The job lists no people.", body="Any name is taken, so nobody needs to be added."
        )
    adder = who(job, by)
    if isinstance(adder, Refusal):
        return adder
    tidy, as_what = " ".join(name.split()), folded(role)
    if not _look(tidy) or not tidy.isprintable():
        return Refusal(title="No name given.", body="Write the first letter and the surname.")
    if len(tidy) > LONGEST_NAME:
        return Refusal(
            title=f"{len(tidy)} characters are too many.", body=f"Keep it to {LONGEST_NAME}."
        )
    like = next((one for one in job.people if _look(one.name) == _look(tidy)), None)
    if like is not None:
        return Refusal(
            title=f"{literal(like.name)} is among the people of this job already.",
            body=f"The name looks the same ({like.role}). Add something that tells the two apart.",
        )
    if as_what not in ADDED_ROLES:
        return Refusal(
            title=f"Nobody is added here as {as_what}."
            if as_what in ROLES
            else f"{literal(role) or 'Nothing'} is no role.",
            body="Hands and testers are added here. An engineer, supervisor, foreman or surveyor "
            "comes from the office, in job.toml.",
        )
    data = {"name": tidy, "role": as_what}
    says = f"{literal(tidy)} added as {as_what}"
    return Act(kind="person", by=name_of(adder), data=data, says=says)


def _look(name: str) -> str:
    """A name for telling apart: case, accents, points and spaces do not count."""
    return "".join(sign for sign in normalize("NFKD", name).casefold() if sign.isalnum())
