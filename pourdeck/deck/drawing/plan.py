"""A panel in plan and to scale: base at the bottom, left at the left, the face line below behind it."""

from collections.abc import Sequence

from attrs import frozen

from pourdeck.deck.drawing.canvas import Canvas
from pourdeck.deck.drawing.hits import Hits
from pourdeck.deck.drawing.plan_body import draw_body
from pourdeck.deck.drawing.plan_frame import (
    Frame,
    Spot,
    bounds_below,
    cells_of,
    own_bounds,
    step_seen,
)
from pourdeck.deck.drawing.plan_marks import draw_marks, draw_spots
from pourdeck.deck.drawing.plan_sketch import LEAST_TRUE_ROWS, draw_sketch, sketch_scale
from pourdeck.deck.drawing.plan_words import (
    caption,
    draw_legend,
    legend_rows,
    offset_words,
    short_offsets,
    side_lines,
)
from pourdeck.deck.drawing.scale import Scale, fit
from pourdeck.deck.spans import cells
from pourdeck.plan.records import Units
from pourdeck.setout.record import SetOut
from pourdeck.walk.records import Place

NOWHERE = Place()

_LABEL = 4
"""Cells for the name of a bracket at the left or the right."""

LEAST_SKETCH = 6
"""Rows of a window that a sketch needs; in fewer there is only the true outline."""

_WIDE = 60
"""From this width on the offsets of left and right stand beside their sides."""


@frozen(kw_only=True)
class PlanDrawing:
    """The drawing, what a click in it means, and its scale; None where there was no room for one."""

    canvas: Canvas
    hits: Hits[Place]
    scale: Scale | None


@frozen
class _Room:
    """Rows and columns kept free round the drawing."""

    left: int
    top: int
    right: int
    bottom: int
    legend: int
    labels: bool
    aside: bool


def plan(
    setout: SetOut,
    width: int,
    height: int,
    place: Place | None = None,
    *,
    units: Units = "metric",
    legend: bool = True,
    spots: Sequence[Spot] = (),
) -> PlanDrawing:
    """The panel in `width` by `height` cells, the `place` in hand marked; `spots` have signs of their own.

    What does not fit is left out, in this order: legend, names of brackets, offsets at the sides; what would
    come out too low to be read is sketched. The words MIRRORED never go.
    """
    canvas = Canvas(width, height)
    hits: Hits[Place] = Hits()
    place = place or NOWHERE
    if width < 12 or height < 5:
        _caption(canvas, setout, place, units)
        return PlanDrawing(canvas=canvas, hits=hits, scale=None)
    room = _room(setout, width, height, units, legend)
    own, below = own_bounds(setout), bounds_below(setout)
    whole = own.joined(below) if below else own
    down = height - room.top - room.bottom - 2
    scale = fit(whole, room.left + 1, room.top + 1, width - room.left - room.right - 2, down)
    sketched = down < LEAST_TRUE_ROWS and height >= LEAST_SKETCH
    if sketched:
        scale = sketch_scale(setout, whole, units, width, height)
    panel = cells_of(scale, own)
    frame = Frame(
        setout=setout,
        place=place,
        units=units,
        canvas=canvas,
        hits=hits,
        scale=scale,
        panel=panel,
        below=step_seen(panel, cells_of(scale, below), setout) if below else None,
    )
    draw_body(frame)
    if sketched:
        draw_sketch(frame)
    else:
        draw_marks(frame, labels=room.labels)
        draw_spots(frame, spots)
        _sides(frame, room)
        if room.legend:
            draw_legend(frame, height - room.legend, room.legend)
    # Last, so that no arm of a bracket stands in it where there is little room.
    _caption(canvas, setout, place, units)
    return PlanDrawing(canvas=canvas, hits=hits, scale=scale)


def _caption(canvas: Canvas, setout: SetOut, place: Place, units: Units) -> None:
    for x, words, ink in caption(setout, place, units, canvas.width):
        canvas.text(x, 0, words, ink)


def _room(setout: SetOut, width: int, height: int, units: Units, legend: bool) -> _Room:
    has = any(setout.brackets.values())
    wide = width >= _WIDE
    labels = has and height >= 13 and width >= 30
    words = max(len(word) for side in ("left", "right") for word in side_lines(setout, side, units))
    margin = (_LABEL + 1 if labels else 0) + (words + 1 if wide else 0)
    rows = 0
    if legend and height >= 12:
        rows = legend_rows(setout, width, 2 if height >= 18 else 1)
    side = 1 if height >= 7 else 0
    names = 1 if labels else 0
    steps = setout.offsets
    return _Room(
        left=margin,
        top=1 + side + names + (names if steps and steps.head > 0 else 0),
        right=margin,
        bottom=side + names + rows + (names if steps and steps.base > 0 else 0),
        legend=rows,
        labels=labels,
        aside=wide,
    )


def _sides(frame: Frame, room: _Room) -> None:
    """Names and offsets of the four sides, in words."""
    canvas, setout, units = frame.canvas, frame.setout, frame.units
    middle = (frame.panel.left + frame.panel.right) // 2
    if canvas.height < 7:
        return
    base_row = canvas.height - room.legend - 1
    head = offset_words(setout, "head", units)
    base = offset_words(setout, "base", units)
    if not room.aside:
        base = short_offsets(setout, units, canvas.width - 2)
    for row, words in ((1, head), (base_row, base)):
        size = cells(words)
        at = max(0, min(middle - size // 2, canvas.width - size))
        for text, ink in words:
            at += canvas.text(at, row, text, ink)
    if room.aside:
        _beside(frame, room)


def _beside(frame: Frame, room: _Room) -> None:
    """The words of left and right, one below the other beside the middle of their sides."""
    canvas = frame.canvas
    middle = (frame.panel.top + frame.panel.bottom) // 2
    for side in ("left", "right"):
        lines = side_lines(frame.setout, side, frame.units)
        inks = ("quiet", "offset", "quiet")
        widest = max(len(words) for words in lines)
        gap = _LABEL + 1 if room.labels else 1
        edge = frame.outside(side)
        x = edge - gap - widest if side == "left" else edge + gap + 1
        for index, words in enumerate(lines):
            canvas.text(max(0, x), middle - 1 + index, words, inks[index])
