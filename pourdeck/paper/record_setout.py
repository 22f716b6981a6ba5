"""The set-out of a panel in its record: what was computed, a line for each side, bracket and feature."""

from decimal import Decimal

from pourdeck.paper.documents import Document
from pourdeck.paper.record_values import about, exact, height, positions
from pourdeck.plan.records import SIDES, Side
from pourdeck.setout.record import PlacedCastIn, SetOut

MM_DECIMALS = 2
"""Of a length that is a root or a quotient: a hundredth of what any tape reads."""


def setout_part(setout: SetOut) -> Document:
    """Lengths mm to the face line, heights m. Along a side positions are from the left or the base."""
    return {
        "x": exact(setout.position[0]),
        "y": exact(setout.position[1]),
        "form_depth": None if setout.form_depth is None else exact(setout.form_depth),
        "chamfer": exact(setout.chamfer),
        "diagonal_face": about(setout.diagonal.face, MM_DECIMALS),
        "diagonal_arris": about(setout.diagonal.arris, MM_DECIMALS),
        **_heights(setout),
        **_quantities(setout),
        "sides": [_side(setout, side) for side in SIDES],
        "forms": [_forms(setout, side) for side in SIDES],
        "brackets": _brackets(setout),
        "anchors": [
            {"side": side, "holes": positions(setout.anchors[side])}
            for side in SIDES
            if setout.anchors[side]
        ],
        "extra_anchors": [
            {"side": side, "at": positions(setout.extra_anchors[side])}
            for side in SIDES
            if setout.extra_anchors[side]
        ],
        "missing_anchors": [
            {"side": side, "at": positions(setout.missing[side])}
            for side in SIDES
            if setout.missing[side]
        ],
        "props": [
            {"side": one.side, "from": exact(one.start), "to": exact(one.end)}
            for one in setout.props
        ],
        "openings": [
            {
                "name": one.name,
                "x": exact(one.x),
                "y": exact(one.y),
                "width": exact(one.width),
                "height": exact(one.height),
            }
            for one in setout.openings
        ],
        "castins": [_castin(one) for one in setout.castins],
        "fill": _fill(setout),
        "findings": [
            {"severity": one.severity, "code": one.code, "message": one.message}
            for one in setout.findings
        ],
    }


def _heights(setout: SetOut) -> Document:
    heights = setout.heights
    return {
        "rl_below": height(heights.below),
        "rl_top": height(heights.top),
        "rl_below_measured": _height_or_none(heights.measured_below),
        "rl_top_expected": _height_or_none(heights.expected_top),
    }


def _height_or_none(metres: Decimal | None) -> Decimal | None:
    return None if metres is None else height(metres)


def _quantities(setout: SetOut) -> Document:
    found = setout.quantities
    centroid = found.centroid or (None, None)
    return {
        "area": about(found.area, 3),
        "volume": about(found.volume, 3),
        "mass": None if found.mass is None else about(found.mass, 0),
        "centroid_x": None if centroid[0] is None else about(centroid[0], 1),
        "centroid_y": None if centroid[1] is None else about(centroid[1], 1),
    }


def _side(setout: SetOut, side: Side) -> Document:
    found: Document = {"side": side, "length": exact(setout.panel.side_length(side))}
    if setout.offsets is not None and setout.bolts is not None:
        found |= {"offset": exact(setout.offsets[side]), "bolt": setout.bolts[side] or "none"}
    return found


def _forms(setout: SetOut, side: Side) -> Document:
    run = setout.runs[side]
    if run is None:
        return {"side": side, "pieces": "cannot be made up"}
    return {"side": side, "pieces": positions(run.pieces), "overrun": exact(run.overrun)}


def _brackets(setout: SetOut) -> list[Document]:
    return [
        {
            "no": one.label,
            "at": exact(one.at),
            "anchor": exact(one.anchor),
            "offset": about(one.offset, 1) if one.offset != one.planned else exact(one.offset),
            "planned": exact(one.planned) if one.offset != one.planned else None,
            "bolt": one.bolt or "none",
            "extra": True if one.extra else None,
        }
        for one in setout.all_brackets()
    ]


def _castin(one: PlacedCastIn) -> Document:
    return {
        "name": one.name,
        "kind": one.kind,
        "x": None if one.x is None else exact(one.x),
        "y": None if one.y is None else exact(one.y),
        "edge": one.edge,
        "at": None if one.at is None else exact(one.at),
    }


def _fill(setout: SetOut) -> list[Document]:
    return [
        {
            "below": f"{one.opening} of {one.mark}",
            "x": exact(one.x),
            "y": exact(one.y),
            "width": exact(one.width),
            "height": exact(one.height),
            "depth": exact(one.depth),
        }
        for one in setout.fill
    ]
