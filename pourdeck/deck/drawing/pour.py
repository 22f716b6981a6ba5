"""Drawings of a pour: how full it is, and how fast its face dries."""

from collections.abc import Sequence
from datetime import datetime
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from itertools import pairwise

from attrs import frozen

from pourdeck.deck.paint import Spans, line
from pourdeck.plan.amounts import number_read, unit_read
from pourdeck.plan.records import EvaporationLimit, Units
from pourdeck.pour.fresh import FORMULA
from pourdeck.walk.pour_findings import WeatherReading

# How full a panel is, drawn in characters: placed, going in, coming, and what is left.

PLACED, GOING, COMING, EMPTY = "█", "▓", "▒", "·"


def gauge(
    placed: Decimal, coming: Decimal, volume: Decimal, width: int, going: Decimal = Decimal(0)
) -> Spans:
    """`[██████▓▓▓▒▒▒▒····]` in `width` cells, ends included. Volumes in one unit, whatever it is.

    It is drawn full only where nothing is left, and empty only where nothing is placed. `going`: what of
    `placed` is still going in.
    """
    room = max(1, width - 2)
    full = _cells(placed, volume, room)
    if placed > 0:
        full = max(1, full)
    if placed < volume:
        full = min(full, room - 1)
    with_coming = placed + coming
    waits = min(room, int((with_coming / volume * room).to_integral_value(ROUND_HALF_UP))) - full
    waits = max(1 if full < room else 0, waits) if coming > 0 else 0
    left = room - full - waits
    goes = min(full, max(1, full - _cells(placed - going, volume, room))) if going > 0 else 0
    return line(
        ("[", "rule"),
        (PLACED * (full - goes), "done"),
        (GOING * goes, "done"),
        (COMING * waits, "deferred"),
        (EMPTY * left, "quiet"),
        ("]", "rule"),
    )


def _cells(part: Decimal, whole: Decimal, room: int) -> int:
    return min(room, int((part / whole * room).to_integral_value(ROUND_FLOOR)))


# How fast the face dries, reading by reading: a small chart with the limits of the job in it.

POINT, PATH, LIMIT = "●", "·", "╌"
LABEL = 13
LEAST = 4
"""Lines with which a chart says something."""

UNIT = "kg/m²/h"


@frozen(kw_only=True, eq=False, repr=False)
class _Scale:
    """`edges`: a rate, kg/m²/h, and its line from the top, falling; straight between them.

    Each limit has a line of its own, and no reading beside it is drawn on it: on which side of a limit a
    reading is must be seen however few lines there are.
    """

    rows: int
    columns: int
    edges: tuple[tuple[float, int], ...]
    start: datetime
    seconds: float

    def row(self, rate: float) -> int:
        for (high, top), (low, bottom) in pairwise(self.edges):
            if rate >= high:
                return top
            if rate > low:
                inside = range(top + 1, bottom) if bottom < self.rows else range(top + 1, self.rows)
                if not inside:
                    return bottom if bottom < self.rows else self.rows - 1
                part = (high - rate) / (high - low)
                return inside[min(len(inside) - 1, int(part * len(inside)))]
        return self.rows - 1

    def column(self, at: datetime) -> int:
        if self.seconds <= 0:
            return 0
        part = (at - self.start).total_seconds() / self.seconds
        return min(self.columns - 1, max(0, round(part * (self.columns - 1))))


def drying_chart(
    readings: Sequence[WeatherReading],
    limit: EvaporationLimit,
    units: Units,
    width: int,
    height: int,
) -> list[Spans]:
    """At most `height` lines of `width` cells; none where nothing was read or there is no room."""
    if not readings or height < LEAST or width < LABEL + 12:
        return []
    scale = _scale(readings, limit, width - LABEL - 1, height - 1)
    cells = [[" "] * scale.columns for _ in range(scale.rows)]
    marks = {
        scale.row(float(value)): (name, value)
        for name, value in (("caution", limit.caution), ("act", limit.act))
        if value is not None
    }
    for row in marks:
        cells[row] = [LIMIT] * scale.columns
    _draw_path(cells, readings, scale)
    rows = [
        line(
            (_label(marks.get(number), units, number, scale), "quiet"),
            ("│", "rule"),
            ("".join(row), "value"),
        )
        for number, row in enumerate(cells)
    ]
    return [*rows, _axis(readings, scale, units)]


def _scale(
    readings: Sequence[WeatherReading], limit: EvaporationLimit, columns: int, rows: int
) -> _Scale:
    most = max(one.rate for one in readings)
    limits = sorted(
        {float(one) for one in (limit.caution, limit.act) if one is not None and one > 0},
        reverse=True,
    )
    top = max([most * 1.1, *(one * 1.25 for one in limits), 0.1])
    # A line for each limit, and what is left shared by the bands over, between and under them.
    bands = len(limits) + 1
    each, spare = divmod(rows - len(limits), bands)
    edges: list[tuple[float, int]] = [(top, -1)]
    at = -1
    for number, value in enumerate(limits):
        at += each + (number < spare) + 1
        edges.append((value, at))
    edges.append((0.0, rows))
    times = [one.even for one in readings]
    return _Scale(
        rows=rows,
        columns=columns,
        edges=tuple(edges),
        start=min(times),
        seconds=(max(times) - min(times)).total_seconds(),
    )


def _draw_path(cells: list[list[str]], readings: Sequence[WeatherReading], scale: _Scale) -> None:
    places = sorted((scale.column(one.even), one.rate) for one in readings)
    for (x, rate), (next_x, next_rate) in pairwise(places):
        for column in range(x + 1, next_x):
            part = (column - x) / (next_x - x)
            row = scale.row(rate + part * (next_rate - rate))
            if cells[row][column] == " ":
                cells[row][column] = PATH
    for x, rate in places:
        cells[scale.row(rate)][x] = POINT


def _label(mark: tuple[str, Decimal] | None, units: Units, row: int, scale: _Scale) -> str:
    """The limit of a line, else nothing; without any limit the top line says how high the chart goes."""
    if mark is not None:
        name, value = mark
        return f"{f'{name} {_number(value, units)}':>{LABEL - 1}} "
    if row == 0 and len(scale.edges) == 2:
        return f"{_number(Decimal(repr(scale.edges[0][0])), units):>{LABEL - 1}} "
    return " " * LABEL


def _number(value: Decimal, units: Units) -> str:
    decimals = 2 if units == "metric" else 3
    return f"{number_read(value, UNIT, units):.{decimals}f}"


def _axis(readings: Sequence[WeatherReading], scale: _Scale, units: Units) -> Spans:
    first = min(readings, key=lambda one: one.even).at
    last = max(readings, key=lambda one: one.even).at
    unit = unit_read(UNIT, units)
    # The formula stands between the times where they leave room for it.
    width = scale.columns - 10
    named = f" by {FORMULA} " if len(FORMULA) + 5 <= width else ""
    times = f"{first:%H:%M}{named}".rstrip()
    if scale.seconds > 0:
        times = f"{first:%H:%M}{named:─^{max(0, width)}}{last:%H:%M}"
    return line((f"{unit:>{LABEL - 1}} ", "quiet"), ("└", "rule"), (times, "quiet"))
