"""A size change as a page for people: before and after, what is wrong then, and the ways out."""

from collections.abc import Sequence

from rich.console import Console

from pourdeck.paper.console import findings_page, table, words
from pourdeck.plan.lengths import format_bare, format_length
from pourdeck.plan.records import Panel, Units
from pourdeck.plan.sides import SIDES
from pourdeck.setout.record import SetOut
from pourdeck.setout.resize import Resize
from pourdeck.walk.acts import Cancel


def size_text(panel: Panel, units: Units) -> str:
    return " × ".join(
        format_length(value, units) for value in (panel.width, panel.height, panel.thickness)
    )


def seat_text(setout: SetOut, units: Units) -> str:
    """The four offsets, each with its bolt."""
    if setout.offsets is None or setout.bolts is None:
        return "on the bed"
    return "  ".join(
        f"{side} {format_bare(setout.offsets[side], units)} {setout.bolts[side] or 'none'}"
        for side in SIDES
    )


def resize_page(
    console: Console, resize: Resize, cancels: Sequence[Cancel], applied: bool, units: Units
) -> None:
    console.print(
        words(
            f"{resize.mark}, panel {resize.number} of stack {resize.stack}: "
            f"{size_text(resize.before, units)} → {size_text(resize.after, units)}, "
            f"{resize.after.align}",
            "bold",
        )
    )
    table(
        console,
        "In from the panel below, with the bolt",
        ("panel", "", "offsets"),
        [
            (
                f"{level.number} {level.mark}" if when == "before" else "",
                when,
                seat_text(one, units),
            )
            for level in resize.levels
            for when, one in (("before", level.before), ("after", level.after))
        ],
    )
    findings_page(console, resize.findings)
    for cancel in cancels:
        console.print(
            words(f"cancels {cancel.name} of {cancel.mark}, released by {cancel.by}", "yellow"),
            soft_wrap=True,
        )
    table(
        console,
        "Ways out, best first",
        ("alignment", "", ">extra anchors", ">on another bolt", ">largest offset", ""),
        [
            (
                option.align,
                "works" if option.feasible else "no",
                option.extra_anchors,
                option.moved_bolts,
                format_length(option.largest_offset, units),
                option.fault or "",
            )
            for option in resize.options
        ],
    )
    console.print(words("Recorded." if applied else "Nothing is recorded."))
