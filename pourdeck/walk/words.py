"""Values, times and names: as the log holds them, as people say them, and who they mean."""

from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from typing import TYPE_CHECKING

from attrs import evolve

from pourdeck.plan.amounts import bare_amount, format_amount
from pourdeck.plan.lengths import format_read, format_rl, format_together
from pourdeck.plan.messages import Refusal, literal
from pourdeck.plan.numbers import number_in, plain
from pourdeck.plan.records import SIDES, Corner, Job, Person, Side, Units
from pourdeck.sitelog.entries import Entry, moment_of
from pourdeck.sitelog.state import SiteState

if TYPE_CHECKING:
    from pourdeck.walk.records import ItemView
    from pourdeck.walk.steps import Step, Template


# Who acts: names compared whatever the case and the spaces, and known where the job lists people.
#
# People added on site count as people of the job. They are hands and testers: the office names the others.

ASK_AFTER = timedelta(hours=4)
"""Without an act for so long, somebody else may be at the deck."""


def initials(name: str) -> str:
    """`AB` for `Ada Bell`; hyphens part words too."""
    return "".join(word[0] for word in name.replace("-", " ").split()).upper()


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


# Values, times and names: as the log holds them, and as the walk writes them in its sentences.

# Values as the entries of the log hold them.


def number_of(value: object) -> Decimal | None:
    """An exact number of the log, None where it is none, or larger than any can be."""
    return number_in(value)


def canonical(value: Decimal | str | None) -> str | None:
    """A value as the log holds it."""
    return plain(value) if isinstance(value, Decimal) else value


def not_measured_in(entry: Entry) -> str | None:
    """Why an answer has no value: the reason it gives; None where it has one."""
    if entry.kind != "answer" or entry.data.get("value") is not None:
        return None
    reason = entry.data.get("not_measured")
    return reason if isinstance(reason, str) and reason else None


# Values, times and names as the walk writes them in its sentences.

LENGTHS = ("mm", "mm/form")
"""Units of items that are lengths in mm; mm/form is over the depth of the form."""

CORNER_NAMES: dict[Corner, str] = {
    "bl": "base left", "br": "base right", "hr": "head right", "hl": "head left",
}  # fmt: skip

START_OF: dict[Side, str] = {"base": "left", "head": "left", "left": "base", "right": "base"}
"""The end of a side its positions are measured from."""


def value_text(value: Decimal | str | None, unit: str, units: Units, decimals: int = 0) -> str:
    """A value with its unit as people of the job read it. Metric lengths are rounded to 0.1 mm."""
    if value is None:
        return ""
    if isinstance(value, str):
        return literal(value)
    if unit in LENGTHS:
        return _of_form(format_read(value, units), unit)
    if unit == "m":
        return format_rl(value, units)
    return literal(format_amount(value, unit, units, decimals))


def logged_text(value: object, unit: object, units: Units) -> str:
    """A value of the log as people of the job read it; a metric length whole, and what is no number too.

    `unit` is what the entry holds of it, which may be anything.
    """
    number = number_of(value) if isinstance(unit, str) and unit else None
    whole = units == "metric" and unit in (*LENGTHS, "m")
    if number is None or whole or not isinstance(unit, str):
        return f"{value} {unit or ''}".rstrip()
    return value_text(number, unit, units)


def _of_form(text: str, unit: str) -> str:
    return f"{text} in the form depth" if unit == "mm/form" else text


def limit_texts(item: "ItemView", units: Units) -> tuple[str, str, str]:
    """The low limit, what is expected and the high limit, each "" where there is none.

    Lengths that differ look different, however near each other they are.
    """
    expected = item.expected if isinstance(item.expected, Decimal) else None
    given = (item.low, expected, item.high)
    there = [one for one in given if one is not None]
    if item.unit in LENGTHS:
        texts = iter([_of_form(text, item.unit) for text in format_together(there, units)])
    else:
        texts = iter([_shown(item, one, units) for one in there])
    low, middle, high = ("" if one is None else next(texts) for one in given)
    return low, middle, high


def expected_text(item: "ItemView", units: Units) -> str:
    """`300 mm ± 2 mm`, `at least 10 MPa`, or the choices that pass; "" where nothing is expected."""
    if item.kind == "choice" and not isinstance(item.expected, Decimal):
        return " or ".join(literal(choice) for choice in item.good)
    if not isinstance(item.expected, Decimal):
        return _range_text(item, units) if item.expected is None else literal(item.expected)
    if item.plus is None and item.minus == 0:
        return f"at least {limit_texts(item, units)[1]}"
    text = limit_texts(item, units)[1]
    margin = _margin_text(item, units)
    return f"{text} {margin}" if margin else text


def _range_text(item: "ItemView", units: Units) -> str:
    if item.low is None or item.high is None:
        return ""
    low, _, high = limit_texts(item, units)
    if item.unit not in (*LENGTHS, "m"):
        low = literal(bare_amount(item.low, item.unit, units, item.decimals))
    return f"{low} to {high}"


def _margin_text(item: "ItemView", units: Units) -> str:
    plus, minus = item.plus, item.minus
    if plus is None or minus is None or plus == minus == 0:
        return ""
    above, below = (apart_text(one, item.unit, units, item.decimals) for one in (plus, minus))
    return f"± {above}" if plus == minus else f"+ {above} − {below}"


def apart_text(apart: Decimal, unit: str, units: Units, decimals: int = 0) -> str:
    """Say how far off a value may be, never as nothing where it is more; of a height too that is a length."""
    if unit in (*LENGTHS, "m"):
        mm = apart * 1000 if unit == "m" else apart
        return _of_form(format_together((Decimal(0), mm), units)[1], unit)
    return literal(format_amount(apart, unit, units, decimals, apart=True))


def found_text(item: "ItemView", units: Units) -> str:
    """Say what was found, with its unit, or that it was not measured and why; "" where nothing was."""
    if item.not_measured is not None:
        return unmeasured_text(item.not_measured)
    if item.kind == "time" and isinstance(item.found, str):
        moment = moment_of(item.found)
        return moment.strftime("%d %b %H:%M") if moment else literal(item.found)
    return _shown(item, item.found, units)


def unmeasured_text(reason: str) -> str:
    return f"not measured: {literal(reason)}"


def _shown(item: "ItemView", value: Decimal | str | None, units: Units) -> str:
    return value_text(value, item.unit, units, item.decimals)


def clock_text(moment: datetime, today: date) -> str:
    """`13:10`, with the day in front where it is another."""
    if moment.date() == today:
        return moment.strftime("%H:%M")
    return moment.strftime("%a %d %b %H:%M")


def item_name(item: "ItemView") -> str:
    """`right side, R4: offset` in words: where it is and what it asks."""
    where = ", ".join(part for part in (item.group, item.label) if part)
    return f"{where}: {item.prompt}" if where else item.prompt


def due_words(before: str | None) -> str:
    """Before what a deferred item must be settled: a hold by its id, or the lift."""
    return {"lift": "the lift", "as-cast-below": "as-cast of the panel below"}.get(
        before or "", before or ""
    )


def fast_words(number: int) -> str:
    """Say that so many items were answered faster than anybody looks at them."""
    return f"{number} answered faster than {'it' if number == 1 else 'they'} can be looked at"


def count_of(number: int, one: str, many: str | None = None) -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"


def zone_of(job: Job, otherwise: tzinfo | None) -> tzinfo | None:
    """The time zone of the site; `otherwise` where the job names none."""
    if job.site.zone is None:
        return otherwise
    from zoneinfo import ZoneInfo

    return ZoneInfo(job.site.zone)


# Keys of items and of what is measured as cast, in words.

OWN = "own-"
"""Mark the id of a job's own item, at its beginning."""

OPENING_EDGES = {"x": "left edge", "right": "right edge", "y": "base edge", "head": "head edge"}
CAST_IN_AXES = {"x": "from the left", "y": "from the base"}
MEASURED = {
    "width": "width", "height": "height", "diagonal": "diagonal", "rl": "RL",
    "thickness": "thickness", "out": "out",
}  # fmt: skip
"""Name what an as-cast key measures, by its first part."""


def item_words(key: str, template: "Template") -> str:
    """Read the key of an item: `offsets, right side R6` for `forms.offset/right-6`."""
    step = template.step(key)
    name, _, suffix = key.partition("/")
    if step is None:
        section, point, own_id = name.partition(".")
        if not (section and point and own_id):
            return key
        said, place = own_id.removeprefix(OWN).replace("-", " "), suffix
    else:
        said, place = step.name, _place(step, suffix)
    return f"{said}, {place}" if place else said


def measured_name(key: str) -> str:
    """`diagonal, base left to head right` for `diagonal_bl_hr`; a key that is not known as it is."""
    what, *places = key.split("_")
    named = [_side_or_corner(place) for place in places]
    if what not in MEASURED or not named or None in named:
        return key
    joint = " to " if what == "diagonal" else " near "
    return f"{MEASURED[what]}, {joint.join(one or '' for one in named)}"


def _side_or_corner(word: str) -> str | None:
    if word in SIDES:
        return f"{word} side"
    return next((name for corner, name in CORNER_NAMES.items() if corner == word), None)


def _place(step: "Step", suffix: str) -> str:
    """Where an item asks, from the end of its key."""
    first, _, rest = suffix.partition("-")
    name, _, last = suffix.rpartition("-")
    match step.each:
        case "bracket" if rest:
            return f"{first} side {first[:1].upper()}{rest}"
        case "extra-anchor" | "missing-anchor" if rest:
            return f"{first} side {first[:1].upper()}+{rest}"
        case "prop" if rest:
            return f"{first} side no. {rest}"
        case "diagonal":
            return f"{_side_or_corner(first) or first} to {_side_or_corner(rest) or rest}"
        case "opening-place" if name and last in OPENING_EDGES:
            return f"{name}, {OPENING_EDGES[last]}"
        case "cast-in-place" if name and last in CAST_IN_AXES:
            return f"{name}, {CAST_IN_AXES[last]}"
        case "fill":
            return f"no. {suffix}"
        case "first-opening":
            return ""
        case _:
            return _side_or_corner(suffix) or suffix
