"""What the measurements of a cast panel say of each other, in sentences."""

from collections.abc import Sequence
from decimal import Decimal

from pourdeck.plan.ascast import DIAGONALS, OUTS, SIZES
from pourdeck.plan.lengths import format_length
from pourdeck.plan.records import Units
from pourdeck.plan.refusal import Refusal
from pourdeck.setout.adjust import DISTANCES, Adjusted, Checked
from pourdeck.walk.cast_sheet import CastLine, CastSheet
from pourdeck.walk.words import count_of

CANNOT_TELL = "cannot tell: no other measurement checks it"


def cast_name(key: str) -> str:
    """`width base`, `diagonal bl-hr`, `RL bl`, `out base at bl`."""
    what, *places = key.split("_")
    if what == "out" and len(places) == 2:
        return f"out {places[0]} at {places[1]}"
    return " ".join(("RL" if what == "rl" else what, "-".join(places))).strip()


def mm_text(mm: float, units: Units) -> str:
    """A length that was computed, without its sign."""
    return format_length(abs(Decimal(f"{mm:.1f}")), units)


def signed_text(mm: float, units: Units) -> str:
    """With its sign, also where it is more: `+1.5 mm`; nothing has none."""
    value = Decimal(f"{mm:.1f}")
    sign = "+" if value > 0 else "−" if value < 0 else ""
    return f"{sign}{format_length(abs(value), units)}"


def slip_text(checked: Checked, units: Units) -> str:
    """`24.1 mm too long`; of an offset mark `too far out` or `too far in`."""
    long, short = ("long", "short") if checked.distance else ("far out", "far in")
    slip = checked.slip or 0.0
    return f"{mm_text(slip, units)} too {long if slip > 0 else short}"


def state_words(sheet: CastSheet) -> list[str]:
    """About the whole: how much is measured, whether it fits, what is suspect, what would not show."""
    said = [*_not_yet(sheet), _how_many(sheet)]
    if isinstance(sheet.adjusted, Refusal):
        return [*said, f"{sheet.adjusted.title} {sheet.adjusted.body}"]
    if sheet.adjusted is not None:
        said += _fit(sheet, sheet.adjusted)
    return [*said, *_unseen(sheet)]


def _not_yet(sheet: CastSheet) -> list[str]:
    found = sheet.not_yet
    return [f"{found.title} {found.body} Here is what will be measured."] if found else []


def _how_many(sheet: CastSheet) -> str:
    taped, marked = len(sheet.taped), len(sheet.marked)
    if not taped and not marked:
        return "Nothing is taped yet: the corners are taken as planned."
    rest = f" and {count_of(marked, 'offset')} from marks" if marked else ""
    return f"{taped} of {len(DISTANCES)} tapes{rest} measured."


def _fit(sheet: CastSheet, adjusted: Adjusted) -> list[str]:
    units = sheet.walk.job.units
    told = [one for one in adjusted.checked if one.standardised is not None]
    if not told:
        return ["No measurement checks another yet: cannot tell whether they fit together."]
    if sheet.suspects:
        return _do_not_fit(sheet, units)
    worst = max(told, key=lambda one: (round(one.standardised or 0.0, 3), -(one.shows or 0.0)))
    said = ["They fit together: " + misclosure_text(worst, units) + "."]
    unseen = [one.key for one in adjusted.checked if one.standardised is None]
    if unseen:
        names = ", ".join(cast_name(key) for key in unseen)
        said.append(f"Nothing checks {names}: cannot tell.")
    return said


def misclosure_text(checked: Checked, units: Units) -> str:
    """How far a measurement is from what the others make it, beside what would be taken for a slip."""
    name = cast_name(checked.key)
    if checked.slip is None or checked.shows is None:
        return f"{name}: {CANNOT_TELL}"
    limit = f"a slip shows above {mm_text(checked.shows, units)}"
    if round(checked.slip, 1) == 0:
        return f"{name} is what the others make it; {limit}"
    more, less = ("longer", "shorter") if checked.distance else ("further out", "further in")
    off = f"{mm_text(checked.slip, units)} {more if checked.slip > 0 else less}"
    return f"{name} is {off} than the others make it; {limit}"


def _do_not_fit(sheet: CastSheet, units: Units) -> list[str]:
    listed = [
        f"{cast_name(line.key)} {slip_text(line.checked, units)}"
        for line in sheet.suspects
        if line.checked is not None
    ]
    if len(listed) == 1:
        return [f"They do not fit together. Measure again: {listed[0]}."]
    alike = "each of these is as suspect as the others"
    return [
        f"They do not fit together, and {alike}. One of them would have to be off: "
        f"{'; or '.join(listed)}. Measure these again."
    ]


def _unseen(sheet: CastSheet) -> list[str]:
    """What would not show, of the tapes: all six measured, and the offsets that there are."""
    units = sheet.walk.job.units
    parts = [
        part
        for name, keys in (
            ("a width", SIZES[:2]), ("a height", SIZES[2:]), ("a diagonal", DIAGONALS),
        )
        if (part := _under(name, [sheet.line(key) for key in keys], units))
    ]  # fmt: skip
    if not parts:
        return []
    all_six = len(sheet.taped) == len(DISTANCES)
    when = "" if all_six else "With all six tapes "
    head = f"{when}a slip under " if when else "A slip under "
    words = f"{head}{' or '.join((', '.join(parts[:-1]), parts[-1]))} will not show"
    if all_six or any(line.found is not None for line in sheet.lines if line.key in OUTS):
        return [f"{words}."]
    return [f"{words}; with fewer no slip shows at all."]


def _under(name: str, lines: Sequence[CastLine], units: Units) -> str:
    """The largest slip that can hide in one of a kind."""
    hidden = [line.shows for line in lines]
    if any(one is None for one in hidden):
        return ""
    return f"{mm_text(max(one or 0.0 for one in hidden), units)} in {name}"
