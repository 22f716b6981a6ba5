"""A panel as cast, measurement by measurement: what was expected, found, judged, and checked by the others.

What is typed and not yet recorded can be tried: all of it is then worked out as if it were recorded.
"""

from decimal import Decimal

from attrs import frozen

from pourdeck.plan.ascast import (
    AS_CAST_KEYS,
    DIAGONALS,
    HEIGHTS,
    OUTS,
    SIZES,
    THICKNESSES,
    is_height,
)
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.sides import Corner, Side
from pourdeck.setout.adjust import BEARING, DISTANCES, OUTWARDS, Adjusted, Checked, Corners, adjust
from pourdeck.setout.place import footprint
from pourdeck.setout.record import SetOut
from pourdeck.setout.what_shows import what_shows
from pourdeck.walk.answers import judge
from pourdeck.walk.ascast import not_yet
from pourdeck.walk.records import ItemView, Place, Verdict, Walk

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
        """What was measured from marks outside the panel."""
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
