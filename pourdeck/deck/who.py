"""Who a typed name or initials mean."""

from collections.abc import Sequence

from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import Person
from pourdeck.walk.people import folded


def initials(name: str) -> str:
    """`AB` for `Ada Bell`; hyphens part words too."""
    return "".join(word[0] for word in name.replace("-", " ").split()).upper()


def _plain(name: str) -> str:
    """A name for comparing: neither case nor spaces nor full stops count."""
    return folded(name.replace(".", " "))


def who(typed: str, people: Sequence[Person]) -> Person | Refusal:
    """The one person of the job with that name, or those initials; letter case does not count."""
    wanted = _plain(typed)
    if not wanted:
        return Refusal(title="No name", body="Type your name or your initials.")
    named = [person for person in people if _plain(person.name) == wanted]
    if named:
        return named[0]
    short = wanted.replace(".", "").replace(" ", "").upper()
    found = [person for person in people if initials(person.name) == short]
    if len(found) == 1:
        return found[0]
    if found:
        names = " and ".join(person.name for person in found)
        return Refusal(
            title=f"{typed}: more than one",
            body=f"{names} have these initials: type the whole name.",
        )
    from difflib import get_close_matches

    known = {_plain(person.name): person.name for person in people}
    near = get_close_matches(wanted, list(known), n=1)
    hint = f"Did you mean {known[near[0]]}? " if near else ""
    listed = ", ".join(f"{person.name} ({initials(person.name)})" for person in people)
    return Refusal(title=f"{typed}: not on this job", body=f"{hint}Known here: {listed}.")


def name_fault(typed: str, people: Sequence[Person]) -> str | None:
    """What is wrong with a name or initials, None: nothing. Without people any name will do."""
    found = who(typed, people) if people else None
    return f"{found.title}. {found.body}" if isinstance(found, Refusal) else None


def full_name(typed: str, people: Sequence[Person]) -> str:
    """The name of the person that was typed by name or initials; as typed where there is none."""
    found = who(typed, people) if people else None
    return found.name if isinstance(found, Person) else typed
