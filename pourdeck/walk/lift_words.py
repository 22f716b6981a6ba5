"""A panel and its lift in words: where its mass is, which way it lies, what shows its strength."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from pourdeck.plan.amounts import format_amount, format_computed
from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Units
from pourdeck.setout.lifters import shares_differ
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.clock import pour_ended
from pourdeck.walk.lifting import LiftView, TopLift
from pourdeck.walk.strength import HOUR
from pourdeck.walk.strength_words import age_text, moment_text
from pourdeck.walk.words import clock_text, count_of

CAUTIONS = (
    "Lifting, bracing and erection are designed by a competent engineer. Mass and centre of gravity are for "
    "information; nothing here designs a lift.",
    "Suction at lifting off the panel below must be designed for.",
    "No lift before the strength the engineer states is shown by test of this panel, the youngest first.",
    "Rigging and crane work by people with the licence the law requires. Nobody under a panel or in its fall "
    "zone but those the lift needs.",
    "Braces stay until written approval.",
)
"""Say what is to be heeded wherever a lift is prepared."""

SHORT_CAUTIONS = (
    "The engineer designs lift, suction and bracing; mass is for information only.",
    "Strength by test, youngest first. Nobody under a panel. Braces stay on.",
)
"""Say the cautions where there is room for two lines only."""

Rows = list[tuple[str, str]]


def _length(mm: Decimal, units: Units) -> str:
    return format_length(mm, units, decimals=0)


def mass_words(view: LiftView) -> str:
    """`21768 kg, at 2400 kg/m³`."""
    mass, density, units = view.setout.quantities.mass, view.job.mix.density, view.job.units
    if mass is None or density is None:
        return "not known: the mix gives no density"
    by = format_amount(density, "kg/m³", units)
    return f"{format_computed(mass, 'kg', units, 0)}, at {by}"


def factored_words(view: LiftView) -> str:
    """The mass with the factor of the lifting design, "" where it gives none."""
    factor = view.job.limits.lift.factor
    if factor is None or view.factored is None:
        return ""
    source = literal(view.job.limits.sources.get("lift", ""))
    return f"{format_computed(view.factored, 'kg', view.job.units, 0)}, factor {plain(factor)} of {source}"


def centre_words(view: LiftView) -> str:
    """The centre of gravity from two edges that are named, as the panel lies."""
    centroid, units = view.setout.quantities.centroid, view.job.units
    if centroid is None:
        return "not known: openings leave nothing of it"
    x, y = (_length(one, units) for one in centroid)
    return f"{x} from the left edge, {y} from the base edge"


def lifter_words(view: LiftView) -> str:
    """Say how many lifters there are, where their centre is, and which are in an edge."""
    found, units = view.lifters, view.job.units
    edges = ", ".join(f"{number} in the {edge} edge" for edge, number in found.in_edges)
    if found.centre is None:
        return f"none in its face{f'; {edges}' if edges else ''}"
    x, y = (_length(one, units) for one in found.centre)
    text = f"{found.number} in its face, centre {x} from the left, {y} from the base"
    return f"{text}; {edges}" if edges else text


def eccentricity_words(view: LiftView) -> str:
    """Say how far the centre of the lifters is from the centre of gravity, "" without any in the face."""
    off, units = view.lifters.eccentricity, view.job.units
    if off is None:
        return ""
    ways = zip(off, (("right", "left"), ("head", "base")), strict=True)
    parts = [f"{_length(abs(by), units)} towards the {way[by < 0]}" for by, way in ways if by]
    most = view.job.limits.lift.eccentricity
    limit = "no limit given" if most is None else f"at most {_length(most, units)} either way"
    return f"{' and '.join(parts) or 'none'}; {limit}"


def share_words(view: LiftView) -> str:
    share = view.lifters.share
    if share is None:
        return ""
    mass = format_computed(share, "kg", view.job.units, 0)
    over = f"{mass}, the mass over {count_of(view.lifters.number, 'lifter')}"
    if not shares_differ(view.lifters):
        return over
    return f"{over}; the shares are NOT EQUAL, the lifters are off the centre of gravity"


def lies_words(view: LiftView) -> str:
    """Which face is up, and whether the drawing shows the other one."""
    panel = view.setout.panel
    text = f"{panel.face_up} face up"
    return f"{text}; MIRRORED, drawn from {panel.drawn_from}" if view.setout.mirrored else text


def leads_words(view: LiftView) -> str:
    """Which edge comes up first by where the lifters are, "" where the lifting design gives no limit."""
    if view.job.limits.lift.eccentricity is None:
        return ""
    if view.leads is not None:
        end = {"head": " (top of wall)", "base": " (bottom of wall)"}.get(view.leads, "")
        hung = "the lifters in its face" if view.lifters.number else "its lifters"
        return f"{view.leads} edge{end}, hung from {hung}"
    if view.lifters.eccentricity is not None:
        return "none: the lifters are about the centre of gravity, it comes up flat"
    return "not known: see the lifting design"


def strength_words(view: LiftView) -> str:
    """Say what strength is needed, by which document, and what shows it."""
    units, today = view.job.units, view.now.date()
    if view.needed is None:
        return "no limit given"
    text = f"{format_amount(view.needed, 'MPa', units)} needed, {literal(view.source or '')}"
    if view.result is None:
        expected = view.strength().lift.expected
        if expected is None or view.lifted is not None:
            return f"{text}: not shown"
        due = clock_text(expected.astimezone(view.now.tzinfo), today)
        return f"{text}: not shown; by the estimate, which releases no lift, from {due}"
    found, at = view.result, view.result.at.astimezone(view.now.tzinfo)
    shown = format_amount(found.strength, "MPa", units)
    cast = pour_ended(view.record)
    age = "" if cast is None else f" at {age_text((found.at - cast) / HOUR)}"
    return f"{text}: {literal(found.name)}, field-cured, {shown}{age}, {clock_text(at, today)}"


def result_words(view: LiftView) -> str:
    """Every field-cured result, the lowest first: `F2 20 MPa BELOW 26 Nov 07:00, F1 26 MPa 25 Nov 07:00`."""
    units, needed = view.job.units, view.needed
    return ", ".join(
        f"{literal(one.name)} {format_amount(one.strength, 'MPa', units)} "
        f"{'BELOW ' if needed is not None and one.strength < needed else ''}"
        f"{moment_text(one.at, view.now.tzinfo)}"
        for one in sorted(view.shown, key=lambda one: one.strength)
    )


def release_words(view: LiftView) -> str:
    """Who released it to lift and what was seen, or that nobody has."""
    one = view.release
    if one is None:
        return "none"
    at = clock_text(one.at.astimezone(view.now.tzinfo), view.now.date())
    who = f"{literal(one.by)}, {literal(str(one.data.get('role', '')))}, {at}{_in_writing(one)}"
    if view.lapse is not None and view.lifted is None:
        return f"LAPSED, {view.lapse}; it was {who}"
    return f"{who}: {literal(str(one.data.get('seen', '')))}"


def _in_writing(release: Entry) -> str:
    """The document of a release that was not given at the deck, and who took it down."""
    word = release.data.get("word")
    if not isinstance(word, dict) or word.get("way") != "writing":
        return ""
    reference, taken_by = (literal(str(word.get(key, ""))) for key in ("reference", "taken_by"))
    return f", in writing: {reference}, taken down by {taken_by}"


def state_words(view: LiftView) -> str:
    """Where the panel stands in few words: lifted, fit, or how much is missing."""
    if view.lifted is not None:
        if view.faults:
            return "lifted, and it is not in order"
        return "lifted"
    if view.fit:
        return "fit to lift"
    if view.record.closed is None:
        return "not cast yet" if view.record.pour_end is None else "cast, not closed"
    return f"not fit, {len(view.missing)} missing"


def top_words(one: TopLift) -> str:
    """Say what the lift of the panel on top of a stack waits for, the first of it in full."""
    if one.fit:
        return "fit to lift"
    more = f", and {len(one.missing) - 1} more" if len(one.missing) > 1 else ""
    return f"not fit to lift: {one.missing[0]}{more}"


def lift_words(view: LiftView) -> str:
    """Who recorded its lift, and when."""
    one = view.lifted
    if one is None:
        return ""
    return f"recorded by {literal(one.by)}, {clock_text(one.at.astimezone(view.now.tzinfo), view.now.date())}"


def exposed_words(view: LiftView) -> Iterator[str]:
    """Say what was seen of it since the panel above was lifted off."""
    for note in view.exposed:
        at = clock_text(note.at.astimezone(view.now.tzinfo), view.now.date())
        yield f"{literal(str(note.data.get('text', '')))} ({literal(note.by)}, {at})"


def release_rows(view: LiftView) -> Rows:
    """List what the engineer must have read before a release to lift, what has lapsed first."""
    mass, factored = mass_words(view), factored_words(view)
    leads = leads_words(view)
    lies = f"{lies_words(view)}; leads: {leads}" if leads else lies_words(view)
    share = share_words(view)
    rows: Rows = [
        ("lapsed", view.lapse or ""),
        ("strength", strength_words(view)),
        ("results", result_words(view)),
        *(("laid bare", one) for one in exposed_words(view)),
        ("mass", f"{mass}; factored {factored}" if factored else f"{mass}; no factor given"),
        ("lies", lies),
        ("lifters", f"{lifter_words(view)}; each {share}" if share else lifter_words(view)),
        ("off centre", eccentricity_words(view)),
        ("gravity", centre_words(view)),
    ]
    rows += [("!", one.message) for one in view.findings]
    return [(name, words) for name, words in rows if words]


def out_of_order_words(view: LiftView, before: Sequence[LiftView]) -> str:
    """Say that panels of other stacks have a place before it in the erection order, "" where none has."""
    if not before:
        return ""
    named = [
        f"{literal(one.mark)} (stack {literal(one.stack)}, lift {one.lift})" for one in before[:3]
    ]
    more = f" and {len(before) - 3} more" if len(before) > 3 else ""
    go, are = ("goes", "is") if len(before) == 1 else ("go", "are")
    place = "has no lift number" if view.lift is None else f"is lift {view.lift}"
    return (
        f"OUT OF THE ERECTION ORDER: {literal(view.mark)} {place}, and {', '.join(named)}{more} {go} before "
        f"it and {are} not lifted."
    )


def lift_rows(view: LiftView) -> Rows:
    """Name and words of everything about the lift of a panel, what there is of it; what is missing first."""
    rows: Rows = [("missing" if n == 0 else "", one) for n, one in enumerate(view.missing)]
    if view.lifted is not None:
        rows = [("lifted", lift_words(view)), *(("finding", one.message) for one in view.faults)]
    rows += [
        ("mass", mass_words(view)),
        ("factored", factored_words(view) or "no factor given"),
        ("gravity", centre_words(view)),
        ("face", lies_words(view)),
        ("leads", leads_words(view)),
        ("lifters", lifter_words(view)),
        ("off centre", eccentricity_words(view)),
        ("each", share_words(view)),
        ("strength", strength_words(view)),
        ("release", release_words(view)),
        *(("laid bare" if n == 0 else "", one) for n, one in enumerate(exposed_words(view))),
    ]
    rows += [("finding", one.message) for one in view.findings if one not in view.faults]
    return [(name, words) for name, words in rows if words]
