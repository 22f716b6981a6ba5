"""The drift of a stack: the planned lines of its faces as plumb lines, and each face as cast beside them.

What is cast is solid between its two faces, so that a stack that leans or grows looks it; how much is drawn
as many times as wide as there is room for, and stands beside each face in figures.
"""

from attrs import frozen

from pourdeck.deck.drawing.canvas import ASPECT, Canvas, Hits
from pourdeck.deck.drawing.drift_words import (
    BAND,
    CAST,
    FORETOLD,
    PAST,
    PLANNED,
    drift_words,
    figure,
    legend,
    times_words,
)
from pourdeck.deck.drawing.pile import short
from pourdeck.deck.paint import Spans, cells, cut, wrap
from pourdeck.plan.records import Units
from pourdeck.setout.elevation import (
    DriftPicture,
    Elevation,
    FaceMark,
    Layer,
    exaggeration,
    strip_cells,
    to_the_right,
)

BODY = 5
"""Fewest cells between the strips of two faces: the concrete."""

MOST_BODY = 20
STRIPS = 8
"""Fewest cells that both strips of an elevation are worth drawing in."""

GAP = 2


@frozen(kw_only=True, eq=False, repr=False)
class DriftDrawing:
    """The drawing, the panel that a click in it means, and how many times as wide as it is it was drawn."""

    canvas: Canvas
    hits: Hits[int]
    exaggeration: int


@frozen(kw_only=True, eq=False, repr=False)
class _Frame:
    """`prefix`: cells for number and mark. `figures`: cells for a figure. `cell`: mm in one. Rows of a block:
    `captions`, then `fits` layers from index `low` up, then the bed.
    """

    canvas: Canvas
    hits: Hits[int]
    units: Units
    prefix: int
    figures: int
    ends: bool
    across: int
    by: int
    cell: float
    captions: int
    low: int
    fits: int
    selected: int | None
    sign: str


def drift_drawing(
    picture: DriftPicture,
    units: Units,
    width: int,
    height: int,
    selected: int | None = None,
    *,
    focused: bool = True,
) -> DriftDrawing:
    """The stack in `width` by `height` cells: two elevations side by side, else one below the other, else
    the one that has more to say; round the selected panel where not all fit.
    """
    canvas, hits = Canvas(width, height), Hits[int]()
    sign = "▸" if focused else "›"
    count = len(picture.elevations[0].layers)
    words = drift_words(picture, units, selected)
    prefix = _prefix(picture, width)
    every = picture.elevations
    half, alone = (width - prefix - GAP) // 2, width - prefix
    across = _room(picture, units, half)
    foot = 3 if height >= 12 else 2 if height >= 9 else 1 if height >= 7 else 0
    # From where it is seen has a row of its own as long as that costs no panel its row.
    captions = 2 if height - foot - 4 >= count else 1
    # One below the other where every panel has its row in both, and the faces are drawn the wider for it.
    whole = height - foot - 1 >= 2 * (count + 2)
    if across is not None and whole and _by(picture, half, across) < _by(picture, alone, across):
        across = None
    beside = across is not None
    stacked = not beside and height - foot - 1 >= 2 * (min(count, 5) + 2)
    if across is None:
        across = _room(picture, units, alone) or _room(picture, units, alone, least=2) or (0, False)
        captions = 1
    shown = every if beside or stacked else (_worst(picture),)
    figures, ends = across
    room = half if beside else alone
    by = _by(picture, room, across)
    blocks = 2 if stacked else 1
    fits = max(1, min(count, (height - 1 - foot - blocks * (captions + 1)) // blocks))
    frame = _Frame(
        canvas=canvas,
        hits=hits,
        units=units,
        prefix=prefix,
        figures=figures,
        ends=ends,
        across=room,
        by=by,
        cell=picture.deep / ASPECT / by,
        captions=captions,
        low=max(0, min((selected or count) - 1 - fits // 2, count - fits)),
        fits=fits,
        selected=selected,
        sign=sign,
    )
    _heading(frame, picture)
    block = captions + fits + 1
    for index, elevation in enumerate(shown):
        y = 1 + (index * block if stacked else 0)
        x = prefix + (index * (frame.across + GAP) if beside else 0)
        if index == 0 or stacked:
            _numbers(frame, elevation, y)
        _elevation(frame, elevation, x, y)
    _foot(frame, picture, words, 1 + blocks * block)
    return DriftDrawing(canvas=canvas, hits=hits, exaggeration=by)


def _prefix(picture: DriftPicture, width: int) -> int:
    """Cells for the mark of the row, the number, the mark of the panel and a gap."""
    marks = [cells(((short(layer.mark, 8), ""),)) for layer in picture.elevations[0].layers]
    return 4 + min(max(marks, default=1), 8 if width >= 70 else 4) + 1


def _room(
    picture: DriftPicture, units: Units, across: int, least: int = STRIPS
) -> tuple[int, bool] | None:
    """Cells for a figure in an elevation of `across`, and whether both ends are in it; None: too narrow."""
    faces = [
        face
        for elevation in picture.elevations
        for layer in elevation.layers
        for face in layer.faces
        if face is not None
    ]
    for ends in (True, False):
        figures = max((len(figure(face, units, ends=ends)) for face in faces), default=1) + 1
        if across - 2 * figures - BODY >= least:
            return figures, ends
    return None


def _by(picture: DriftPicture, across: int, figures: tuple[int, bool]) -> int:
    """Work out the horizontal exaggeration of the faces, in an elevation `across` cells wide; 1: none."""
    strips = max(2, across - 2 * figures[0] - BODY)
    return exaggeration(picture.elevations, picture.deep, strips, ASPECT) or 1


def _worst(picture: DriftPicture) -> Elevation:
    """The elevation that has more to say: what passes something first, else what is further out."""
    for one in sorted(picture.passes, key=lambda one: one.number):
        for elevation in picture.elevations:
            if one.course.what in (elevation.name, *elevation.sides):
                return elevation
    return max(picture.elevations, key=lambda one: max(*one.reaches(0), *one.reaches(1)))


def _heading(frame: _Frame, picture: DriftPicture) -> None:
    canvas = frame.canvas
    name = short(f"Stack {picture.stack}", max(8, canvas.width // 3))
    canvas.text(0, 0, frame.sign if frame.selected else " ", "key")
    at = 2 + canvas.text(2, 0, name, "heading", canvas.width - 2) + 2
    told = times_words(frame.by, frame.units) if picture.measured else ""
    for words in (f"out from the planned lines, {told}", told, f"{frame.by} times as wide"):
        if picture.measured and at + len(words) < canvas.width:
            canvas.text(canvas.width - len(words) - 1, 0, words, "quiet")
            return


def _numbers(frame: _Frame, elevation: Elevation, y: int) -> None:
    """The panels by number and mark, and how many are out of sight."""
    canvas, count = frame.canvas, len(elevation.layers)
    above = count - frame.low - frame.fits
    bed = y + frame.captions + frame.fits
    if above > 0:
        canvas.text(1, bed - frame.fits - 1, f"▲ {above}", "quiet", frame.prefix - 1)
    if frame.low > 0:
        canvas.text(1, bed, f"▼ {frame.low}", "quiet", frame.prefix - 1)
    else:
        canvas.text(1, bed, "bed", "quiet", frame.prefix - 1)
    for index in range(frame.fits):
        layer, row = elevation.layers[frame.low + index], bed - 1 - index
        chosen = layer.number == frame.selected
        if chosen:
            canvas.text(0, row, frame.sign, "key")
        ink = "cursor" if chosen else "text"
        canvas.text(1, row, f"{layer.number:>2}", ink)
        most = frame.prefix - 5
        canvas.text(4, row, short(layer.mark, most), "cursor" if chosen else "mark", most)
        frame.hits.add(0, row, canvas.width, 1, layer.number)


def _elevation(frame: _Frame, elevation: Elevation, x: int, y: int) -> None:
    canvas = frame.canvas
    strips = [strip_cells(elevation, side, frame.cell) for side in (0, 1)]
    used = sum(left + right + 1 for left, right in strips)
    body = max(1, min(MOST_BODY, frame.across - 2 * frame.figures - used))
    spare = max(0, frame.across - 2 * frame.figures - used - body) // 2
    first = x + spare + frame.figures + strips[0][0]
    second = first + strips[0][1] + body + strips[1][0] + 1
    bed = y + frame.captions + frame.fits
    middle = (first + second) // 2
    for plumb, side in zip((first, second), elevation.sides, strict=True):
        canvas.text(plumb - len(side) // 2, bed - frame.fits - 1, side, "strong")
    if frame.captions > 1:
        canvas.text(max(x, middle - len(elevation.looking) // 2), y, elevation.looking, "quiet")
    elif second - first - 6 > len(elevation.looking):
        canvas.text(
            middle - len(elevation.looking) // 2, bed - frame.fits - 1, elevation.looking, "quiet"
        )
    if frame.low == 0:
        canvas.fill(first - 1, bed, second - first + 3, 1, "▔", "bed")
    edges = (x, x + frame.across - 1)
    for index in range(frame.fits):
        layer = elevation.layers[frame.low + index]
        _layer(frame, layer, (first, second), strips, edges, bed - 1 - index)


def _layer(
    frame: _Frame,
    layer: Layer,
    plumbs: tuple[int, int],
    strips: list[tuple[int, int]],
    edges: tuple[int, int],
    y: int,
) -> None:
    """One panel: its concrete, the planned lines, the edges of the band, its faces and their figures."""
    canvas = frame.canvas
    at = [
        _columns(frame, face, side, plumbs[side], edges) if face else None
        for side, face in enumerate(layer.faces)
    ]
    if layer.standing == "measured":
        start = at[0][1] + 1 if at[0] else plumbs[0] + 1
        end = at[1][0] if at[1] else plumbs[1]
        canvas.fill(start, y, end - start, 1, "▒", "concrete")
    for side, plumb in enumerate(plumbs):
        canvas.put(plumb, y, PLANNED, "edge")
        _band(frame, layer, side, plumb, strips[side], y)
        face, columns = layer.faces[side], at[side]
        if face is None or columns is None:
            if layer.standing == "measured":
                canvas.put(plumb, y, "?", "quiet")
            continue
        sign = FORETOLD if face.foretold else PAST if face.beyond else CAST
        ink = "quiet" if face.foretold else "error" if face.beyond else "hand"
        canvas.fill(columns[0], y, columns[1] - columns[0] + 1, 1, sign, ink)
        shown = figure(face, frame.units, ends=frame.ends)
        ink = "error" if face.beyond else "quiet" if face.foretold else "offset"
        left, right = strips[side]
        where = plumb + right + 2 if side else plumb - left - 1 - len(shown)
        canvas.text(where, y, shown, ink)
    if layer.standing != "measured" and not all(layer.faces):
        _between(canvas, layer.standing, plumbs, strips, y)


def _columns(
    frame: _Frame, face: FaceMark, side: int, plumb: int, edges: tuple[int, int]
) -> tuple[int, int]:
    """First and last cell of a face: from one end to the other; held inside its elevation."""
    outs = face.ends or (face.out,)
    found = [plumb + round(to_the_right(side, float(out)) / frame.cell) for out in outs]
    first, last = min(found), max(found)
    return max(edges[0], min(first, edges[1])), max(edges[0], min(last, edges[1]))


def _band(
    frame: _Frame, layer: Layer, side: int, plumb: int, strip: tuple[int, int], y: int
) -> None:
    """The edges of the band as far as they are within the strip."""
    band = layer.bands[side]
    if band is None:
        return
    for out in (float(band.band.plus), -float(band.band.minus)):
        there = round(to_the_right(side, out) / frame.cell)
        if there and -strip[0] <= there <= strip[1]:
            frame.canvas.put(plumb + there, y, BAND, "quiet")


def _between(
    canvas: Canvas, words: str, plumbs: tuple[int, int], strips: list[tuple[int, int]], y: int
) -> None:
    """Why nothing is drawn, in the clear between the two strips."""
    first, last = plumbs[0] + strips[0][1] + 1, plumbs[1] - strips[1][0] - 1
    room = last - first + 1
    for shown in (words, "no tape" if words == "not measured" else "…", "?"):
        if len(shown) <= room:
            canvas.text(first + (room - len(shown)) // 2, y, shown, "quiet")
            return


def _foot(frame: _Frame, picture: DriftPicture, words: list[Spans], y: int) -> None:
    """Draw what is passed, what is not foretold, and what the signs mean, as far as there is room."""
    canvas = frame.canvas
    room = canvas.height - y
    wide = canvas.width - 1
    signs = wrap(legend(picture), wide)[:1] if picture.measured and room > 1 else []
    room -= len(signs)
    rows = [row for one in words for row in wrap(one, wide, 2)]
    if len(rows) > room:
        rows = [cut(one, wide) for one in words[:room]]
    for index, row in enumerate((*rows, *signs)):
        x = 1
        for text, ink in row:
            x += canvas.text(x, y + index, text, ink)
