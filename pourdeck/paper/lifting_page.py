"""The lift of a panel as a page: what is missing, where its mass is, what shows its strength."""

from rich.console import Console

from pourdeck.paper.console import findings_page, flow, pieces, say, title
from pourdeck.plan.messages import literal
from pourdeck.walk.lift_words import CAUTIONS, lift_rows, state_words
from pourdeck.walk.lifting import LiftView

LEAD = 13
"""Cells of the names at the left."""


def lifting_page(console: Console, view: LiftView) -> None:
    """For the engineer, the crane crew and the crew: cautions last, where the eye rests."""
    mark = literal(view.mark)
    place = f"lift {view.lift}" if view.lift is not None else "no lift number"
    say(
        console,
        f"{literal(view.job.name)}: {mark}, panel {view.number} of {view.of}, stack {literal(view.stack)}, "
        f"{place}",
        "bold",
    )
    say(console, state_words(view), "bold")
    for name, words in lift_rows(view):
        if name != "finding":
            flow(console, f"{name:<{LEAD}}", pieces(words))
    if view.findings:
        title(console, "Findings")
        findings_page(console, view.findings)
    title(console, "Cautions")
    for caution in CAUTIONS:
        say(console, caution)
