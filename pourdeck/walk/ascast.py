"""As-cast measurements: recorded at once, judged one by one, checked by the others, and in words."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from attrs import frozen

from pourdeck.plan.ascast import (
    AS_CAST_KEYS,
    DIAGONALS,
    HEIGHTS,
    OUTS,
    SIZES,
    THICKNESSES,
    is_height,
    is_signed,
)
from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import Refusal, WhyNeeded, literal, must, refusable, stop_if
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Corner, Side, Units
from pourdeck.setout.adjust import (
    BEARING,
    DISTANCES,
    OUTWARDS,
    Adjusted,
    Checked,
    Corners,
    adjust,
    what_shows,
)
from pourdeck.setout.place import footprint
from pourdeck.setout.record import SetOut
from pourdeck.walk.answers import asks_twice, judge, once_only, together
from pourdeck.walk.authority import actor
from pourdeck.walk.conflicts import settling_of
from pourdeck.walk.quantities import QUANTITIES
from pourdeck.walk.records import Act, ItemView, Place, Verdict, Walk
from pourdeck.walk.words import count_of, logged_text

# Recording several as-cast measurements of a poured panel at once, as the tape and the level give them.


@refusable
def as_cast(
    walk: Walk,
    values: Mapping[str, Decimal],
    by: str,
    reason: str = "",
    twice: Mapping[str, tuple[Decimal, Decimal]] | None = None,
) -> Act | Refusal:
    """Record measurements by their as-cast keys: mm, heights m.

    One that replaces another that stands names it, and says why: `reason`. `twice`: both readings of
    what was measured twice; what is recorded is their mean, with both beside it.
    """
    name = must(actor(walk, by))
    mark = literal(walk.mark)
    stop_if(not_yet(walk))
    readings = twice or {}
    for key in values:
        if key not in readings and asks_twice(walk.job, key):
            return once_only(key)
    both_agree = {key: must(together(walk.job, key, *both)) for key, both in readings.items()}
    values = {**values, **both_agree}
    if not values:
        return Refusal(title="Nothing measured.", body="Give at least one measurement.")
    for key, value in values.items():
        if key not in AS_CAST_KEYS:
            return Refusal(
                title=f"{literal(key)} is no as-cast measurement.",
                body=f"They are {', '.join(AS_CAST_KEYS)}.",
            )
        if value <= 0 and not is_signed(key) and not is_height(key):
            shown = _shown(key, value, walk.job.units)
            return Refusal(title=f"{key} cannot be {shown}.", body="Measure it again.")
        face = QUANTITIES["face"].in_job(walk.job.units)
        if is_signed(key) and (out := face.out_of_range(value)):
            return Refusal(title=f"{key}: {out.title}", body=out.body)
    data: dict[str, Any] = {
        "panel": walk.mark,
        "values": {key: plain(value) for key, value in values.items()},
    }
    if readings:
        data["readings"] = {key: [plain(one) for one in both] for key, both in readings.items()}
    data |= settling_of(walk.record, *(("as-cast", key) for key in values))
    measured = walk.record.measured
    changed = [key for key, value in values.items() if measured.get(key, value) != value]
    if changed:
        if not reason.strip():
            was = ", ".join(
                f"{key} {_shown(key, measured[key], walk.job.units)}" for key in changed
            )
            return WhyNeeded(
                title=f"{mark} has been measured there: {was}.",
                body="The old values stay in the record. Say why they change.",
            )
        data |= {"why": reason.strip(), **_replaced(walk, changed)}
    return Act(kind="as-cast", by=name, data=data, says=f"{mark}: {', '.join(values)} recorded")


def not_yet(walk: Walk) -> Refusal | None:
    """Why nothing can be measured of a panel yet."""
    if walk.record.pour_end is not None:
        return None
    return Refusal(
        title=f"{literal(walk.mark)} is not poured.",
        body="As-cast measurements are of a panel whose pour has ended.",
    )


def _shown(key: str, value: Decimal, units: Units) -> str:
    return logged_text(plain(value), "m" if is_height(key) else "mm", units)


def _replaced(walk: Walk, keys: Sequence[str]) -> dict[str, Any]:
    """The last entry that measured one of these keys."""
    for entry in reversed(walk.record.as_cast):
        if any(key in entry.data["values"] for key in keys):
            return {"replaces": entry.n, "replaces_station": entry.station}
    return {}


def judged_as_cast(walk: Walk) -> tuple[ItemView, ...]:
    """The measured items of a walk that are as-cast values and have an answer."""
    return tuple(item for item in walk.items() if item.cast_key and item.found is not None)


# A panel as cast, measurement by measurement: what was expected, found, judged, and checked by the others.
#
# What is typed and not yet recorded can be tried: all of it is then worked out as if it were recorded.

GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("width", SIZES[:2]),
    ("height", SIZES[2:]),
    ("diagonals", DIAGONALS),
    ("surface RL", HEIGHTS),
    ("thickness", THICKNESSES),
    ("out of the planned line", OUTS),
)
"""The measurements in the order of the walk round the panel, under what they are of."""

MM_PER_M = Decimal(1000)

_SIDES: dict[str, Side] = {"base": "base", "head": "head", "left": "left", "right": "right"}
_CORNERS: dict[str, Corner] = {"bl": "bl", "br": "br", "hr": "hr", "hl": "hl"}


@frozen(kw_only=True, eq=False, repr=False)
class CastLine:
    """One measurement. Lengths mm, heights m.

    `item` is the one of the walk that asks for it, None where none does. `found` is what stands, or with
    `tried` what is typed. `off` is how far that is from what is expected, mm also of a height. `checked`:
    how it fits the others, None where it is not measured or bears on no corner. `shows`: the least slip in
    it that would show, mm, beside what is measured and all six tapes; None: it could not be told.
    """

    key: str
    item: ItemView | None
    expected: Decimal | None
    found: Decimal | None
    tried: bool
    verdict: Verdict | None
    checked: Checked | None
    suspect: bool
    shows: float | None

    @property
    def off(self) -> Decimal | None:
        if self.found is None or self.expected is None:
            return None
        return (self.found - self.expected) * (MM_PER_M if is_height(self.key) else 1)

    @property
    def place(self) -> Place:
        return self.item.place if self.item else cast_place(self.key)


@frozen(kw_only=True, eq=False, repr=False)
class CastSheet:
    """All lines of a panel in the order of their keys.

    `adjusted` is None where nothing measured bears on the corners, a Refusal where no panel has the lengths.
    `not_yet` says why nothing can be measured.
    """

    walk: Walk
    lines: tuple[CastLine, ...]
    adjusted: Adjusted | Refusal | None
    not_yet: Refusal | None

    def line(self, key: str) -> CastLine:
        return next(line for line in self.lines if line.key == key)

    @property
    def suspects(self) -> tuple[CastLine, ...]:
        return tuple(line for line in self.lines if line.suspect)

    @property
    def taped(self) -> tuple[CastLine, ...]:
        """The tapes that there are: distances between corners."""
        return self._measured(tuple(DISTANCES))

    @property
    def marked(self) -> tuple[CastLine, ...]:
        """Give what was measured from marks outside the panel."""
        return self._measured(OUTS)

    def _measured(self, keys: tuple[str, ...]) -> tuple[CastLine, ...]:
        return tuple(one for one in self.lines if one.key in keys and one.found is not None)

    @property
    def apart(self) -> Decimal | None:
        """The difference of the two diagonals, mm; None where they are not both there."""
        first, second = (self.line(key).found for key in DIAGONALS)
        return None if first is None or second is None else abs(first - second)


def cast_sheet(walk: Walk, tried: tuple[str, Decimal] | None = None) -> CastSheet:
    """The sheet of a panel, with `tried`, an as-cast key and its value, as if it were recorded."""
    items = {item.cast_key: item for item in walk.items() if item.cast_key}
    measured: dict[str, Decimal] = dict(walk.record.measured)
    if tried is not None:
        measured[tried[0]] = tried[1]
    found = _adjusted(walk, measured)
    checked = {one.key: one for one in found.checked} if isinstance(found, Adjusted) else {}
    suspects = {one.key for one in found.suspects} if isinstance(found, Adjusted) else set()
    bearing = {*DISTANCES, *(key for key in measured if key in OUTS)}
    shows = {one: slip for key in OUTS for one, slip in _shows(walk, bearing | {key}, key)}
    shows |= dict(_shows(walk, bearing))
    lines = tuple(
        CastLine(
            key=key,
            item=items.get(key),
            expected=_expected(walk, key, items.get(key)),
            found=measured.get(key),
            tried=tried is not None and tried[0] == key,
            verdict=_verdict(key, items.get(key), measured),
            checked=checked.get(key),
            suspect=key in suspects,
            shows=shows.get(key),
        )
        for _, keys in GROUPS
        for key in keys
    )
    return CastSheet(walk=walk, lines=lines, adjusted=found, not_yet=not_yet(walk))


def planned_corners(setout: SetOut) -> Corners:
    """Where the corners were to be, in stack coordinates, mm."""
    rect = footprint(setout.panel, setout.position)
    x0, y0, x1, y1 = (float(edge) for edge in (rect.x0, rect.y0, rect.x1, rect.y1))
    return {"bl": (x0, y0), "br": (x1, y0), "hr": (x1, y1), "hl": (x0, y1)}


def _adjusted(walk: Walk, measured: dict[str, Decimal]) -> Adjusted | Refusal | None:
    bearing = {key: value for key, value in measured.items() if key in BEARING}
    if not bearing:
        return None
    planned = planned_corners(walk.setout)
    return adjust(planned, bearing, walk.job.limits.tape, walk.job.units)


def _shows(walk: Walk, keys: set[str], only: str | None = None) -> list[tuple[str, float | None]]:
    panel = walk.setout.panel
    found = what_shows(panel.width, panel.height, keys, walk.job.limits.tape)
    return [(one.key, one.shows) for one in found if only in (None, one.key)]


def _expected(walk: Walk, key: str, item: ItemView | None) -> Decimal | None:
    if item is not None:
        return item.expected if isinstance(item.expected, Decimal) else None
    setout = walk.setout
    if key in SIZES:
        return setout.panel.width if key.startswith("width") else setout.panel.height
    if key in DIAGONALS:
        return setout.diagonal.face
    if key in HEIGHTS:
        return setout.heights.expected_top or setout.heights.top
    return setout.panel.thickness if key in THICKNESSES else Decimal(0)


def _verdict(key: str, item: ItemView | None, measured: dict[str, Decimal]) -> Verdict | None:
    """By the limits of its item; of two diagonals by their difference, and then of both alike."""
    value = measured.get(key)
    if value is None:
        return None
    if item is None:
        return "recorded"
    if not item.pair:
        return judge(item, value)
    other = measured.get(next(one for one in DIAGONALS if one != key))
    if other is None or item.plus is None:
        return "recorded"
    return "pass" if abs(value - other) <= item.plus else "fail"


def cast_place(key: str) -> Place:
    """Where on the panel a measurement is taken, from its key alone."""
    what, *places = key.split("_")
    if key not in AS_CAST_KEYS or what == "diagonal":
        return Place()
    if what == "out":
        corner = OUTWARDS[key][0]
        return Place(side=_SIDES[places[0]], corner=corner)
    return Place(side=_SIDES.get(places[0]), corner=_CORNERS.get(places[0]))


# What the measurements of a cast panel say of each other, in sentences.

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
    """Say how far a measurement is from what the others make it, and how large a slip would show."""
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
    """Say what slip would not show, of the tapes: all six measured, and the offsets that there are."""
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
