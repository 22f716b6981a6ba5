"""What is out of tolerance, in words: what was found, by how much, by what limit, and how it stands."""

from collections.abc import Iterable

from pourdeck.plan.findings import Finding, Spot
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Units
from pourdeck.walk.records import OutOfTolerance
from pourdeck.walk.words import apart_text, value_text

DISPOSITION_WORDS = {
    "rework": "rework",
    "repair": "repair",
    "use-as-is": "use as is",
    "reject": "reject",
}


def found_words(one: OutOfTolerance, units: Units) -> str:
    """`7215 mm`; of two diagonals `20 mm apart`."""
    if _pair(one):
        return f"{apart_text(one.found, one.unit, units)} apart"
    return value_text(one.found, one.unit, units)


def limit_words(one: OutOfTolerance, units: Units) -> str:
    """`7190 mm to 7210 mm`, or `at most 13 mm apart`."""
    if _pair(one):
        return f"at most {apart_text(one.high, one.unit, units)} apart" if one.high else ""
    low, high = (
        None if limit is None else value_text(limit, one.unit, units)
        for limit in (one.low, one.high)
    )
    if low and high:
        return f"{low} to {high}"
    return f"at least {low}" if low else f"at most {high}" if high else ""


def over_words(one: OutOfTolerance, units: Units) -> str:
    """`5 mm too much`, `3 mm too little`."""
    apart = apart_text(abs(one.over), one.unit, units)
    if _pair(one):
        return f"{apart} too far"
    return f"{apart} too {'much' if one.over > 0 else 'little'}"


def _pair(one: OutOfTolerance) -> bool:
    return len(one.items) > 1 or one.name == "diagonals"


def full_words(one: OutOfTolerance, units: Units) -> str:
    """`width, base side 7215 mm, 5 mm too much (7190 mm to 7210 mm, project specification)`."""
    limit = ", ".join(part for part in (limit_words(one, units), literal(one.source or "")) if part)
    return f"{short_words(one, units)}" + (f" ({limit})" if limit else "")


def short_words(one: OutOfTolerance, units: Units) -> str:
    """`width, base side 7215 mm, 5 mm too much`."""
    return f"{literal(one.name)} {found_words(one, units)}, {over_words(one, units)}"


def state_words(one: OutOfTolerance) -> str:
    """How it stands and what would settle it."""
    by = literal(one.disposition.by) if one.disposition else ""
    match one.state:
        case "open":
            return "no disposition yet"
        case "rework":
            return f"rework, says {by}: to be measured again in the band"
        case "repair":
            return f"repair, says {by}: to be looked at by somebody else"
        case "repaired":
            return f"repaired, {literal(one.looked.by) if one.looked else ''} looked at it"
        case "use-as-is":
            return f"used as is, says {by}"
        case "rejected":
            return f"rejected by {by}: held for good"
        case "measured again":
            return (
                "measured again, in the band" if one.passed_again else "measured again, out again"
            )


def need_words(one: OutOfTolerance, units: Units) -> str:
    """What holds up a release or a lift: `W04 width, base side 7215 mm, 5 mm too much: rework, …`."""
    return f"{literal(one.mark)} {short_words(one, units)}: {state_words(one)}"


def tolerance_findings(found: Iterable[OutOfTolerance], units: Units) -> list[Finding]:
    """`out-of-tolerance`, an error of the measured panel for each that is not settled."""
    findings = []
    for one in found:
        if one.settled:
            continue
        spot = Spot(stack=one.stack, panel=one.number, mark=one.mark)
        what = f"{full_words(one, units)}: {state_words(one)}."
        remedy = (
            " Measure it again, or say its disposition: rework, repair, use as is by the engineer, reject."
            if one.state == "open"
            else ""
        )
        findings.append(spot.error("out-of-tolerance", what + remedy, one.side))
    return findings
