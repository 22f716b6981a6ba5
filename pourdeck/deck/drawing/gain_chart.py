"""The gain of a panel's strength in characters: the curve, the limits, now, the tests; its warmth under it.

What is past is drawn with `*` and what is expected with `·`, so that no colour is needed; the limits are
dashed and carry their names, now is a line with its name over it. Time runs from the end of the pour.
"""

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal

from attrs import frozen

from pourdeck.deck.drawing.canvas import Canvas
from pourdeck.plan.amounts import number_read, unit_read
from pourdeck.plan.records import Job
from pourdeck.pour.maturity import Gain, Reading, adjusted_days, temperature_at
from pourdeck.walk.strength import Strength

PAST, AHEAD = "*", "·"
SIGN = {"field": "F", "standard": "S"}
"""A test by where its specimen was cured."""

NOW_WORD = "now"
STEPS = (1, 2, 5)
WARM_ROWS = 3
LOWEST_WITH_WARMTH = 11
"""Rows of the whole, from which the temperatures have a part of their own."""

LEAST = timedelta(hours=36)
MOST = timedelta(days=28)


@frozen(kw_only=True, eq=False, repr=False)
class _Frame:
    """`left`: the column of the upright axis; the plot is right of it and above `foot`, from row `head`."""

    canvas: Canvas
    left: int
    head: int
    foot: int
    start: datetime
    span: timedelta
    top: float

    @property
    def wide(self) -> int:
        return self.canvas.width - self.left - 2

    def x(self, at: datetime) -> int:
        return self.left + 1 + round((at - self.start) / self.span * (self.wide - 1))

    def at(self, x: int) -> datetime:
        return self.start + self.span * ((x - self.left - 1) / max(1, self.wide - 1))

    def y(self, value: float) -> int:
        return self.foot - round(value / self.top * (self.foot - self.head))

    def inside(self, x: int) -> bool:
        return self.left < x < self.canvas.width - 1


def gain_chart(found: Strength, job: Job, width: int, height: int) -> Canvas:
    """A drawing of `width` by `height` cells; blank before the pour has ended."""
    canvas = Canvas(width, height)
    if found.poured is None or width < 24 or height < 6:
        return canvas
    warmth = height >= LOWEST_WITH_WARMTH and bool(found.readings)
    foot = height - 2 - (WARM_ROWS + 1 if warmth else 0)
    top = _top(found)
    unit = unit_read("MPa", job.units)
    labels = {value: _figure(value, job) for value in _ticks(top, foot - 1)}
    left = max(len(text) for text in (unit, *labels.values()))
    frame = _Frame(
        canvas=canvas, left=left, head=1, foot=foot, start=found.poured, span=_span(found), top=top
    )
    canvas.text(0, 0, unit, "quiet")
    canvas.down(left, 1, foot, "rule")
    canvas.across(left, width - 2, foot, "rule")
    for value, text in labels.items():
        canvas.text(left - len(text), frame.y(value), text, "quiet")
    _limits(frame, found)
    if found.gain is not None:
        _curve(frame, found, found.gain)
    _now(frame, found.at)
    _limit_names(frame, found, job)
    _tests(frame, found)
    _times(frame, foot + 1)
    if warmth:
        _warmth(frame, found.readings, found.at, job, foot + 2)
    return canvas


def _span(found: Strength) -> timedelta:
    """From the pour to what is still to come, with a little to spare."""
    assert found.poured is not None
    ends = [found.at, found.strip.expected, found.climb.expected, found.lift.expected]
    latest = max(one - found.poured for one in ends if one is not None)
    aged = found.at - found.poured
    return max(LEAST, min(latest * 1.1, max(MOST, aged * 1.1)), aged * 1.05)


def _top(found: Strength) -> float:
    """The upper end of the upright axis, MPa: above both limits, the tests and the estimate."""
    assert found.poured is not None
    values = [float(one.strength) for one in found.results]
    values += [float(needed) for _, needed in _needed(found)]
    values.append(found.estimate_at(found.poured + _span(found)) or 0.0)
    return max(5.0, max(values) * 1.08)


def _ticks(top: float, rows: int) -> list[float]:
    """Figures for the upright axis, MPa: a few even ones."""
    step = _even(top / max(2, rows // 3))
    return [step * n for n in range(1, int(top / step) + 1)]


def _even(least: float) -> float:
    """The next number of the row 1, 2, 5, 10, 20 …"""
    scale = 1.0
    while scale * 5 < least:
        scale *= 10
    return next((scale * one for one in STEPS if scale * one >= least), scale * 10)


def _figure(value: float, job: Job) -> str:
    """A strength on the axis in the unit of the job, whole."""
    return str(round(number_read(Decimal(repr(value)), "MPa", job.units)))


def _needed(found: Strength) -> list[tuple[str, Decimal]]:
    limits = (
        ("strip", found.needed_strip),
        ("climb", found.needed_climb),
        ("lift", found.needed_lift),
    )
    return [(name, needed) for name, needed in limits if needed is not None]


def _limits(frame: _Frame, found: Strength) -> None:
    """A dashed line for each limit."""
    for _, needed in _needed(found):
        for x in range(frame.left + 1, frame.canvas.width - 1, 2):
            frame.canvas.put(x, frame.y(float(needed)), "-", "warning")


def _limit_names(frame: _Frame, found: Strength, job: Job) -> None:
    """The name and the figure of each limit on its line, at the right end; over the line of now."""
    for name, needed in _needed(found):
        words = f" {name} {number_read(needed, 'MPa', job.units):.0f}"
        begin = frame.canvas.width - 1 - len(words)
        frame.canvas.text(begin, frame.y(float(needed)), words, "warning")


def _curve(frame: _Frame, found: Strength, gain: Gain) -> None:
    """The estimate in every column, worked out once from left to right."""
    assert found.poured is not None
    days, before = 0.0, found.poured
    for x in range(frame.left + 1, frame.canvas.width - 1):
        at = frame.at(x)
        days += adjusted_days(found.readings, before, at)
        before = at
        past = at <= found.at
        sign, ink = (PAST, "value") if past else (AHEAD, "quiet")
        frame.canvas.put(x, max(frame.head, frame.y(gain.estimate(days))), sign, ink)


def _now(frame: _Frame, now: datetime) -> None:
    x = frame.x(now)
    if not frame.inside(x):
        return
    for y in range(frame.head, frame.foot):
        if frame.canvas.char(x, y) in " -":
            frame.canvas.put(x, y, "│", "hand")
    at = min(max(frame.left + 1, x - 1), frame.canvas.width - 1 - len(NOW_WORD))
    frame.canvas.text(at, 0, NOW_WORD, "hand")


def _tests(frame: _Frame, found: Strength) -> None:
    for one in found.results:
        x = frame.x(one.at)
        if frame.inside(x):
            y = max(frame.head, frame.y(float(one.strength)))
            frame.canvas.put(x, y, SIGN[one.cured], "done")


def _times(frame: _Frame, row: int) -> None:
    """Hours or days along the foot, with their unit at the end."""
    days = frame.span > timedelta(days=4)
    unit = timedelta(days=1) if days else timedelta(hours=1)
    word = "days" if days else "h"
    whole = frame.span / unit
    step = _even(whole / max(2, frame.wide // 8))
    free = frame.canvas.width - len(word)
    value = 0.0
    while value <= whole:
        x, text = frame.x(frame.start + unit * value), f"{value:.0f}"
        begin = x - len(text) // 2
        if begin + len(text) < free and begin >= 0:
            frame.canvas.text(begin, row, text, "quiet")
        value += step
    frame.canvas.text(free, row, word, "quiet")


def _warmth(
    frame: _Frame, readings: tuple[Reading, ...], now: datetime, job: Job, row: int
) -> None:
    """The temperatures over the same time, with the coldest and the warmest at the left."""
    warm = [one.temperature for one in readings]
    low, high = min(warm), max(warm)
    read: Callable[[float], str] = lambda value: str(  # noqa: E731 - said once, used twice
        round(number_read(Decimal(repr(value)), "°C", job.units))
    )
    rows = WARM_ROWS
    top, bottom = row, row + rows - 1
    unit = unit_read("°C", job.units)
    last = min(readings[-1].at, now)
    for x in range(frame.left + 1, frame.canvas.width - 1):
        at = frame.at(x)
        value = temperature_at(readings, at)
        part = 0.5 if high == low else (value - low) / (high - low)
        sign = PAST if readings[0].at <= at <= last else AHEAD
        frame.canvas.put(x, bottom - round(part * (rows - 1)), sign, "text")
    frame.canvas.down(frame.left, top, bottom, "rule")
    _label(frame, read(high), top)
    if high != low:
        _label(frame, read(low), bottom)
    frame.canvas.text(max(0, frame.left - len(unit)), top + 1, unit, "quiet")


def _label(frame: _Frame, text: str, row: int) -> None:
    frame.canvas.text(max(0, frame.left - len(text)), row, text[: frame.left], "quiet")
