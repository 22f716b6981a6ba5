"""A size change as a page for people: before and after, what is wrong then, and the ways out."""

from collections.abc import Sequence

from rich.console import Console

from pourdeck.paper.console import findings_page, flow, pieces, say, table, title
from pourdeck.paper.resize_moves import in_the_way, moves
from pourdeck.plan.lengths import format_bare, format_length
from pourdeck.plan.messages import Finding
from pourdeck.plan.records import SIDES, Align, Job, Panel, Stack, Units
from pourdeck.setout.record import SetOut
from pourdeck.setout.resize import Level, Option, Resize
from pourdeck.walk.acts import Cancel

Cells = tuple[str, ...]


def size_text(panel: Panel, units: Units) -> str:
    return " × ".join(
        format_length(value, units) for value in (panel.width, panel.height, panel.thickness)
    )


def resize_page(
    console: Console,
    resize: Resize,
    cancels: Sequence[Cancel],
    applied: bool,
    job: Job,
    stack: Stack,
) -> None:
    """Nothing but what moves is written out for the panels above. `stack` as it is in force."""
    units = job.units
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
    _moves(console, resize, units)
    _counts(console, resize)
    _findings(console, resize)
    if cancels:
        title(console, "Releases it cancels" if not applied else "Releases it cancelled")
    for one in cancels:
        say(console, f"{one.mark}, panel {one.panel}: {one.name}, released by {one.by}", "yellow")
    _options(console, resize.options, resize.after.align, units, in_the_way(resize, job, stack))
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
    """Print how many brackets and extra anchors the panels want together, before and after."""
    poured = resize.below is not None and resize.below.poured
    counts = {"brackets": [0, 0], "extra anchors": [0, 0]}
    for level in resize.levels:
        on_poured = poured and level.number == resize.number
        for when, setout in enumerate((level.before, level.after)):
            counts["brackets"][when] += len(setout.all_brackets())
            counts["extra anchors"][when] += _wanted(setout, on_poured)
    console.print()
    say(console, "In all panels from here up")
    for name, (before, after) in counts.items():
        say(console, f"{name}: {_changed(str(before), str(after))}")


def _moves(console: Console, resize: Resize, units: Units) -> None:
    """Print what else moves, panel by panel."""
    said = [(level, moves(level, units)) for level in resize.levels]
    if any(sentences for _, sentences in said):
        title(console, "What else moves")
    for level, sentences in said:
        for sentence in sentences:
            flow(console, f"{level.number} {level.mark}  ", pieces(sentence))


def _findings(console: Console, resize: Resize) -> None:
    """Those that the change brings, and those that were there before it."""
    known = {
        (one.code, one.mark, one.side, one.message)
        for level in resize.levels
        for one in level.before.findings
    }
    brought: list[Finding] = []
    stay: list[Finding] = []
    for one in resize.findings:
        old = (one.code, one.mark, one.side, one.message) in known
        (stay if old else brought).append(one)
    for words, these in (("Findings that it brings", brought), ("There before and after", stay)):
        if these:
            title(console, words)
            findings_page(console, these)


def _changed(before: str, after: str) -> str:
    return f"{after}, {'as before' if before == after else f'before {before}'}"


def _wanted(setout: SetOut, on_poured: bool) -> int:
    """Anchors beside the holes that a panel wants in the one below, to be cast in or fixed later."""
    if on_poured:
        return sum(len(along) for along in setout.missing.values())
    return sum(bracket.extra for bracket in setout.all_brackets())


def _options(
    console: Console,
    options: Sequence[Option],
    now: Align,
    units: Units,
    blocked: Sequence[tuple[str, str]],
) -> None:
    """Those that work as a table, best first; the others by what is in their way."""
    works = [option for option in options if option.feasible]
    title(console, "Alignments that work, best first" if works else "No alignment works")
    for lead, words in blocked:
        flow(console, lead, pieces(words))
    table(
        console,
        (
            "alignment",
            ">extra\nanchors",
            ">brackets off\nthe first bolt",
            ">largest\noffset",
            "",
            "",
        ),
        [
            (
                option.align,
                option.extra_anchors,
                option.moved_bolts,
                format_length(option.largest_offset, units),
                "this one" if option.align == now else "",
                f"{option.to_fix} to fix afterwards" if option.to_fix else "",
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
