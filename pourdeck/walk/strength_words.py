"""What is said of the strength of a panel: what the estimate is, what is missing, when it is expected."""

from datetime import date, datetime, tzinfo
from decimal import Decimal

from pourdeck.plan.amounts import format_amount, format_computed
from pourdeck.plan.literal import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job
from pourdeck.pour.maturity import PLANNED
from pourdeck.walk.strength import UNRECORDED, Need, Strength
from pourdeck.walk.strength_log import Cured, Result

CURED: dict[Cured, str] = {"field": "field-cured", "standard": "standard-cured"}
"""Where a specimen was kept: beside its panel, or in the laboratory."""

NO_LIMIT = "no limit given"
ASSUMED = Decimal(int(PLANNED))
UNKNOWN = "its specimen is not in the log, or of another day"

ONLY_AN_ESTIMATE = "an estimate for planning, never a release"


def mpa(job: Job, value: Decimal | float | None) -> str:
    """A strength in the unit of the job; what was computed to a tenth of a MPa, rounded down.

    9.98 is not shown as the 10.0 that it is still short of.
    """
    if value is None:
        return "not known"
    if isinstance(value, Decimal):
        return literal(format_amount(value, "MPa", job.units))
    down = Decimal(repr(int(value * 10) / 10))
    return literal(format_computed(down, "MPa", job.units, 1))


def celsius(job: Job, value: Decimal | float) -> str:
    """A temperature in the unit of the job."""
    if isinstance(value, Decimal):
        return literal(format_amount(value, "°C", job.units, 1))
    return literal(format_computed(Decimal(repr(value)), "°C", job.units, 1))


def age_text(hours: float | None) -> str:
    """`31.5 h`, from two days on `6 d 4 h`."""
    if hours is None:
        return "not poured"
    if hours < 48:
        return f"{int(hours * 10) / 10} h"
    days, rest = divmod(int(hours), 24)
    return f"{days} d {rest} h"


def assumed(job: Job) -> str:
    """The temperature that is taken where none was measured, in the unit of the job."""
    return literal(format_amount(ASSUMED, "°C", job.units))


def assumed_words(job: Job, found: Strength) -> str:
    """What an estimate rests on where nothing was measured; "" where something was."""
    if found.basis != UNRECORDED:
        return ""
    return f"on an assumed {assumed(job)}: nothing measured"


def estimate_words(job: Job, found: Strength) -> str:
    """What the estimate is, in a line: never more than an estimate."""
    if found.poured is None:
        return "no pour has ended"
    if found.gain is None:
        return "no estimate: the mix gives no strength or no cement class"
    rough = "rough: under 3 days the standard asks for tests; " if found.rough else ""
    basis = assumed_words(job, found)
    return f"{rough}{f'{basis}; ' if basis else ''}{ONLY_AN_ESTIMATE}"


def when(need: Need, day: date, zone: tzinfo | None) -> str:
    """When a limit is expected to be there, with its date: who reads it may have another day than `day`."""
    if need.expected is None:
        return "not to be told"
    there = need.expected.astimezone(zone)
    return there.strftime("%a %d %b %H:%M" if there.year == day.year else "%a %d %b %Y %H:%M")


def climb_missing(job: Job, found: Strength, zone: tzinfo | None) -> tuple[str, ...]:
    """What is still missing before brackets are hung on the panel's anchors, each in a sentence."""
    need, day = found.climb, found.at.astimezone(zone).date()
    if need.met is None:
        return (f"{NO_LIMIT}.",)
    if found.poured is None:
        return ("The end of its pour is not recorded.",)
    said = []
    if need.hours is not None and not need.aged:
        said.append(f"{plain(need.hours)} h since the pour: it is {age_text(found.hours)} old.")
    if found.needed_climb is not None and need.by is None:
        short = f"{mpa(job, found.needed_climb)}: the estimate is {mpa(job, found.estimate)}"
        if found.gain is None:
            short = f"{mpa(job, found.needed_climb)}, by a test"
        said.append(f"{short}.")
    if said and need.expected is not None:
        said.append(f"Expected {when(need, day, zone)}.")
    elif said and found.gain is not None and found.needed_climb is not None:
        said.append("The estimate never comes to it: by a test only.")
    return tuple(said)


def lift_missing(job: Job, found: Strength, zone: tzinfo | None) -> tuple[str, ...]:
    """What of strength is still missing before the panel is lifted; the rest is for the engineer."""
    need, day = found.lift, found.at.astimezone(zone).date()
    if need.met is None:
        return (f"{NO_LIMIT}: the engineer must give one.",)
    if need.met:
        return ()
    said = [f"A test of a field-cured specimen of this panel at {mpa(job, found.needed_lift)}."]
    if found.poured is None and found.results:
        said.append("The end of its pour is not recorded: no result counts before.")
    enough = [one for one in found.results if found.reaches(one, found.needed_lift)]
    standard = [one for one in enough if one.cured != "field"]
    if standard:
        names = ", ".join(literal(one.name) for one in standard)
        said.append(f"{names}: standard-cured, shows nothing of the panel itself.")
    unknown = [one for one in enough if one.cured == "field" and not found.of_panel(one)]
    if unknown:
        names = ", ".join(literal(one.name) for one in unknown)
        said.append(f"{names}: {UNKNOWN}, shows nothing of the panel itself. Record the specimen.")
    if need.expected is not None:
        said.append(f"Worth testing from {when(need, day, zone)}, by the estimate.")
    return tuple(said)


def met_words(job: Job, need: Need, found: Strength) -> str:
    """`met by test`, `not met`, or that no limit is given; of an estimate, that nothing was measured."""
    if need.met is None:
        return NO_LIMIT
    if not need.met:
        return "not met"
    basis = assumed_words(job, found)
    estimate = f"met by the estimate{f', {basis}' if basis else ''}"
    return {"test": "met by test", "estimate": estimate, None: "met"}[need.by]


def asks(job: Job, need: Need, needed: Decimal | None) -> str:
    """`10 MPa and 18 h`, what a limit asks for; "" where it asks nothing."""
    parts = [mpa(job, needed)] if needed is not None else []
    parts += [f"{plain(need.hours)} h"] if need.hours is not None else []
    return " and ".join(parts)


def result_verdicts(found: Strength, one: Result) -> tuple[tuple[str, bool | None], ...]:
    """A result against each limit: its name, and whether it shows it."""
    return (
        ("climb", found.reaches(one, found.needed_climb)),
        ("lift", found.shows_lift(one)),
    )


def verdict_word(found: Strength, limit: str, one: Result, shown: bool | None) -> str:
    """Of a result that shows nothing of the panel itself it is not said that it is too low."""
    if shown is None:
        return NO_LIMIT
    if shown:
        return "shows it"
    if not found.counts(one):
        return "before pour end" if found.poured else "no pour end"
    if limit == "lift" and not found.of_panel(one):
        return "not field-cured" if one.cured != "field" else "specimen not known"
    return "below"


def doubts(job: Job, found: Strength) -> tuple[str, ...]:
    """Results that are below what was estimated for their time: the estimate is then not to be believed."""
    said = []
    for one in found.results:
        estimate = found.estimate_at(one.at)
        if estimate is not None and float(one.strength) < estimate - 0.05:
            said.append(
                f"{literal(one.name)} has {mpa(job, one.strength)} where the estimate was "
                f"{mpa(job, estimate)}: do not plan by the estimate, ask the engineer."
            )
    return tuple(said)


def moment_text(at: datetime, zone: tzinfo | None) -> str:
    """`26 Nov 07:00` in the zone of the site."""
    return at.astimezone(zone).strftime("%d %b %H:%M")
