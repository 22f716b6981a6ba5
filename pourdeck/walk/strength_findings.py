"""What is wrong with the strength of a panel: errors first, then what its estimate does not know."""

from datetime import tzinfo
from typing import NamedTuple

from pourdeck.plan.findings import Finding, Severity, Spot
from pourdeck.plan.records import Job
from pourdeck.pour.maturity import COLDEST, HOTTEST
from pourdeck.walk.strength import COLD, Strength
from pourdeck.walk.strength_words import celsius, doubts, frost_words, low_words, moment_text, mpa
from pourdeck.walk.temperature_gaps import gap_codes, gap_words, gaps_of


class Trouble(NamedTuple):
    code: str
    severity: Severity
    words: str


def strength_findings(job: Job, spot: Spot, found: Strength) -> tuple[Finding, ...]:
    """Everything that is wrong, as findings of the panel at `spot`."""
    every = (*troubles(job, found, found.at.tzinfo), *missed(found, found.at.tzinfo))
    return tuple(
        spot.error(one.code, one.words)
        if one.severity == "error"
        else spot.warning(one.code, one.words)
        for one in every
    )


HARM = frozenset({"test-below", "frost", "temperature-range", "cold"})
"""Codes of what is wrong with the concrete itself, whatever its estimate knows."""


def harm(job: Job, spot: Spot, found: Strength) -> tuple[Finding, ...]:
    """What is wrong with the concrete of a panel, for the findings of the job."""
    return tuple(one for one in strength_findings(job, spot, found) if one.code in HARM)


def troubles(job: Job, found: Strength, zone: tzinfo | None) -> tuple[Trouble, ...]:
    """Results below their limit, temperatures that harm or that the formula does not hold for, doubts."""
    said = []
    for name, need, needed in (
        ("strip", found.strip, found.needed_strip),
        ("climb", found.climb, found.needed_climb),
    ):
        if need.low is not None and needed is not None:
            words = low_words(job, need.low, f"{mpa(job, needed)}, the limit for the {name}", zone)
            said.append(
                Trouble(
                    "test-below",
                    "error",
                    f"{words}. No estimate and no earlier result counts: test another field-cured specimen.",
                )
            )
    if found.frost:
        said.append(
            Trouble(
                "frost",
                "error",
                f"Frost: {frost_words(job, found, zone)}. Its estimate opens no climb: a field-cured test "
                "must show the strength. Tell the engineer.",
            )
        )
    if found.out_of_range is not None:
        low, high = (celsius(job, one) for one in found.out_of_range)
        least, most = (celsius(job, one) for one in (COLDEST, HOTTEST))
        said.append(
            Trouble(
                "temperature-range",
                "error",
                f"Concrete from {low} to {high}: the formula holds from {least} to {most}. Time outside that "
                "counts as no age. The engineer decides what it means.",
            )
        )
    if found.cold:
        worst = min(found.cold, key=lambda one: one.temperature)
        said.append(
            Trouble(
                "cold",
                "warning",
                f"Fresh concrete at {celsius(job, worst.temperature)} on {moment_text(worst.at, zone)}, "
                f"below {celsius(job, COLD)}: keep it warm.",
            )
        )
    return (*said, *(Trouble("below-estimate", "warning", one) for one in doubts(job, found)))


def missed(found: Strength, zone: tzinfo | None) -> tuple[Trouble, ...]:
    """What was not measured under the estimate."""
    gone = gaps_of(found)
    words = gap_words(gone, zone, found.gap)
    return tuple(
        Trouble(code, "warning", said) for code, said in zip(gap_codes(gone), words, strict=True)
    )
