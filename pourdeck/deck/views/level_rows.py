"""The level book as rows of a list: set-ups with their readings, and what each point should read."""

from decimal import Decimal

from pourdeck.deck.paint import Spans, cells, fit, justify, line
from pourdeck.deck.widgets.row_list import Row
from pourdeck.paper.levels_page import off_text, setup_words
from pourdeck.plan.lengths import format_read, format_rl
from pourdeck.plan.messages import literal
from pourdeck.plan.records import Units
from pourdeck.setout.levels import KINDS, Run
from pourdeck.walk.level_page import LevelPage, Line
from pourdeck.walk.words import CORNER_NAMES

WIDE = 74
"""Cells in which the height of each point has a column beside what was read."""

NUMBER = 10
OFF = 15
NARROW_OFF = 12

STATES = {"pass": "done", "fail": "failed", "recorded": "done", None: "open"}
SHORT = {"back": "BS", "inter": "IS", "fore": "FS"}
"""As a printed level book heads its columns."""


def level_rows(page: LevelPage, units: Units, width: int) -> tuple[Row, ...]:
    """Each set-up under its heading; a line has the key of its sight."""
    rows: list[Row] = [Row(left=_heads(units, width))]
    for setup in page.setups:
        rows.append(Row(left=line((setup_words(setup, units), "heading"))))
        rows += [Row(key=one.key, left=_line(one, units, width)) for one in setup.lines]
        run = next((run for run in page.runs if run.setups[-1].number == setup.number), None)
        if run is not None and run.end is not None:
            rows.append(Row(left=line("  ", *run_piece(page, run, units))))
    return tuple(rows)


def run_piece(page: LevelPage, run: Run, units: Units) -> Spans:
    """Whether a run closes, and by how much it does not."""
    name = literal(page.benchmark.name)
    if run.misclose is None:
        return line((f"not closed on {name}", "quiet"))
    off = off_text(run.misclose, units)
    allowed = format_read(page.misclose, units)
    if page.closes(run):
        return line(
            ("✓ ", "done"), f"closes on {name}, misclose {off}", (f", ± {allowed}", "quiet")
        )
    return line(
        ("✗ ", "failed"), (f"does not close on {name}: misclose {off}", "failed"),
        (f", ± {allowed}", "quiet"),
    )  # fmt: skip


def _heads(units: Units, width: int) -> Spans:
    unit = "m" if units == "metric" else "ft"
    heads = [
        f"should, {unit}",
        f"reads, {unit}",
        *((f"RL, {unit}",) if width >= WIDE else ()),
        "off",
    ]
    return _columns(line(("point", "quiet")), [line((head, "quiet")) for head in heads], width)


def _columns(left: Spans, numbers: list[Spans], width: int) -> Spans:
    """Words at the left, numbers in columns at the right; the last one is the widest."""
    right: Spans = ()
    for index, number in enumerate(numbers):
        last = index == len(numbers) - 1
        room = NUMBER if not last else OFF if width >= WIDE else NARROW_OFF
        right = (*right, (" " * max(1, room - cells(number)), "text"), *number)
    return justify(left, right, width)


def _line(one: Line, units: Units, width: int) -> Spans:
    verdict = one.verdict
    sign = "»" if one.again else {"pass": "✓", "fail": "✗", "recorded": "✓"}.get(verdict or "", "·")
    if one.reading is not None and verdict is None:
        sign = "✓"
    ink = STATES[verdict] if one.reading is not None else "open"
    name = one.name if width >= WIDE else one.name.removeprefix("surface ")
    left = line((f"{sign} ", ink), (f"{SHORT[one.kind]} ", "quiet"), name)
    off = ""
    if one.again:
        off = "record again"
    elif one.off is not None:
        off = off_text(one.off, units) + (" FAIL" if verdict == "fail" else "")
    numbers = [line(_bare(one.should, units)), line((_bare(one.reading, units), "value"))]
    if width >= WIDE:
        numbers.append(line(_bare(one.rl, units) if one.reading is not None else ""))
    numbers.append(line((off, ink if verdict == "fail" or one.again else "text")))
    return _columns(left, numbers, width)


def _bare(value: Decimal | None, units: Units) -> str:
    return "" if value is None else format_rl(value, units).rpartition(" ")[0]


def asked_words(one: Line, units: Units) -> Spans:
    """Say what is to be read: `Foresight on TBM 1: should read 1.943 m, for RL 42.180 m`."""
    kind = KINDS[one.kind].capitalize()
    said = line((f"{kind}, {one.name}", "strong"))
    if one.should is not None and one.wanted is not None:
        wanted = (
            f": should read {format_rl(one.should, units)}, for RL {format_rl(one.wanted, units)}"
        )
        return (*said, *line(wanted))
    if one.kind == "back":
        return (*said, *line(": the reading that begins the set-up"))
    return (*said, *line((": below zero with the staff upside down", "quiet")))


def corner_rows(page: LevelPage, units: Units, width: int) -> list[Spans]:
    """Both ways to the form tops beside each other, and the thickness between two surfaces."""
    heads = ("by staff", "by gauge", "differ", "thick")
    column = 11 if width >= 62 else 9
    rows = [_cells("form tops", [(head, "quiet") for head in heads], column, "quiet")]
    for one in page.corners:
        differs = (
            one.difference is not None
            and page.level is not None
            and not (-page.level.minus <= one.difference <= page.level.plus)
        )
        texts = [
            (_bare(one.form_top, units), "text"),
            (_bare(one.by_gauge, units), "text"),
            ("" if one.difference is None else off_text(one.difference, units)
             + ("!" if differs else ""), "warning" if differs else "text"),
            ("" if one.thickness is None else format_read(one.thickness, units), "text"),
        ]  # fmt: skip
        rows.append(_cells(CORNER_NAMES[one.corner], texts, column))
    return [fit(row, width) for row in rows]


def _cells(name: str, texts: list[tuple[str, str]], column: int, ink: str = "text") -> Spans:
    return line((f"{name:<11}", ink), *((f"{text:>{column}}", ink) for text, ink in texts))


def next_words(page: LevelPage, units: Units) -> Spans:
    """Where the form tops of the panel above will stand, planned and expected."""
    if page.next_mark is None or page.next_planned is None:
        return ()
    said = f"form tops of {literal(page.next_mark)}: planned {format_rl(page.next_planned, units)}"
    if page.next_expected is not None:
        said += f", expected {format_rl(page.next_expected, units)}"
    return line((said, "quiet"))
