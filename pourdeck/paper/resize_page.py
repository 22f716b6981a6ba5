"""A size change as a page for people: before and after, what is wrong then, and the ways out."""

from collections.abc import Sequence

from rich.console import Console

from pourdeck.paper.console import findings_page, flow, pieces, say, table, title
from pourdeck.plan.amounts import format_computed
from pourdeck.plan.lengths import format_bare, format_length
from pourdeck.plan.records import Align, Panel, Units
from pourdeck.plan.sides import SIDES
from pourdeck.setout.record import SetOut
from pourdeck.setout.resize import Level, Option, Resize
from pourdeck.walk.acts import Cancel

Cells = tuple[str, ...]


def size_text(panel: Panel, units: Units) -> str:
    return " × ".join(
        format_length(value, units) for value in (panel.width, panel.height, panel.thickness)
    )


def resize_page(
    console: Console, resize: Resize, cancels: Sequence[Cancel], applied: bool, units: Units
) -> None:
    """Nothing but what moves is written out for the panels above."""
    say(console, f"{resize.mark}, panel {resize.number} of stack {resize.stack}", "bold")
    console.print()
    table(
        console,
        ("", "", ""),
        [
            (when, size_text(panel, units), panel.align)
            for when, panel in (("before", resize.before), ("after", resize.after))
        ],
    )
    _seats(console, resize, units)
    _counts(console, resize)
    _amounts(console, resize, units)
    if resize.findings:
        title(console, "Findings after the change")
        findings_page(console, resize.findings)
    if cancels:
        title(console, "Releases it cancels" if not applied else "Releases it cancelled")
    for one in cancels:
        say(console, f"{one.mark}, panel {one.panel}: {one.name}, released by {one.by}", "yellow")
    _options(console, resize.options, resize.after.align, units)
    console.print()
    say(console, "Recorded in the site log." if applied else "Nothing is recorded.")


def _seats(console: Console, resize: Resize, units: Units) -> None:
    unit = ", mm" if units == "metric" else ""
    title(console, f"In from the panel below{unit}, with the bolt")
    rows: list[Sequence[object] | None] = []
    for level in resize.levels:
        rows += _level(level, units)
    table(console, ("panel", "", *SIDES), rows)


def _level(level: Level, units: Units) -> list[Sequence[object] | None]:
    name = f"{level.number} {level.mark}"
    before, after = seat(level.before, units), seat(level.after, units)
    if before == after:
        return [(name, "as before", *before)]
    moved = (new if new != old else "same" for old, new in zip(before, after, strict=True))
    return [(name, "before", *before), ("", "after", *moved)]


def seat(setout: SetOut, units: Units) -> Cells:
    """The offset of each side with its bolt."""
    if setout.offsets is None or setout.bolts is None:
        return ("on the bed", *("" for _ in SIDES[1:]))
    return tuple(
        f"{format_bare(setout.offsets[side], units)} {setout.bolts[side] or 'NO BOLT'}"
        for side in SIDES
    )


def _counts(console: Console, resize: Resize) -> None:
    """How many brackets and extra anchors the panels want together, before and after."""
    poured = resize.below is not None and resize.below.poured
    counts = {"brackets": [0, 0], "extra anchors": [0, 0]}
    for level in resize.levels:
        on_poured = poured and level.number == resize.number
        for when, setout in enumerate((level.before, level.after)):
            counts["brackets"][when] += len(setout.all_brackets())
            counts["extra anchors"][when] += _wanted(setout, on_poured)
    console.print()
    for name, (before, after) in counts.items():
        say(console, f"{name}: {_changed(str(before), str(after))}")


def _amounts(console: Console, resize: Resize, units: Units) -> None:
    """Volume and mass of the changed panel, before and after."""
    before, after = (one.quantities for one in (resize.levels[0].before, resize.levels[0].after))
    texts = [format_computed(one.volume, "m³", units, 2) for one in (before, after)]
    say(console, f"volume: {_changed(*texts)}")
    if before.mass is not None and after.mass is not None:
        texts = [format_computed(mass, "kg", units, 0) for mass in (before.mass, after.mass)]
        say(console, f"mass: {_changed(*texts)}, for information")


def _changed(before: str, after: str) -> str:
    return f"{after}, {'as before' if before == after else f'before {before}'}"


def _wanted(setout: SetOut, on_poured: bool) -> int:
    """Anchors beside the holes that a panel wants in the one below, to be cast in or fixed later."""
    if on_poured:
        return sum(len(along) for along in setout.missing.values())
    return sum(bracket.extra for bracket in setout.all_brackets())


def _options(console: Console, options: Sequence[Option], now: Align, units: Units) -> None:
    """Those that work as a table, best first; the others by what is in their way."""
    works = [option for option in options if option.feasible]
    title(console, "Alignments that work, best first" if works else "No alignment works")
    table(
        console,
        ("alignment", ">extra\nanchors", ">brackets on\nanother bolt", ">largest\noffset", ""),
        [
            (
                option.align,
                option.extra_anchors,
                option.moved_bolts,
                format_length(option.largest_offset, units),
                "this one" if option.align == now else "",
            )
            for option in works
        ],
    )
    in_the_way: dict[str, list[str]] = {}
    for option in options:
        if not option.feasible:
            in_the_way.setdefault(option.fault or "", []).append(option.align)
    if works and in_the_way:
        title(console, "Alignments that do not")
    for fault, aligns in in_the_way.items():
        say(console, ", ".join(aligns))
        flow(console, "  ", pieces(fault))
