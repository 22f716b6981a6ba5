"""The JSON documents that commands print: plain dicts with the keys other programs rely on, not rounded."""

from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from pourdeck.plan.records import SIDES

if TYPE_CHECKING:
    from pourdeck.plan.messages import Finding
    from pourdeck.plan.records import Job, Panel, Sides
    from pourdeck.setout.adjust import Adjusted
    from pourdeck.setout.drift import Drift
    from pourdeck.setout.record import Bracket, Fill, PlacedCastIn, PlacedOpening, Run, SetOut
    from pourdeck.setout.resize import Level, Option, Resize

Document = dict[str, Any]


def number(value: Decimal) -> float:
    """A length, height or quantity as JSON holds it."""
    return float(value)


def maybe(value: Decimal | None) -> float | None:
    """Give a number as JSON holds it; None where there is none."""
    return None if value is None else number(value)


def measure(value: Decimal) -> int | float:
    """A stock length: whole where it is whole."""
    return int(value) if value == value.to_integral_value() else float(value)


def by_side(sides: "Sides[Any] | None", change: Any) -> Document:
    """A document keyed by side; empty where there is nothing, as on the first panel."""
    return {} if sides is None else {side: change(value) for side, value in sides.items()}


def positions(along: Iterable[Decimal]) -> list[float]:
    return [number(at) for at in along]


def finding_document(finding: "Finding") -> Document:
    return {
        "code": finding.code,
        "severity": finding.severity,
        "where": finding.where(),
        "message": finding.message,
    }


def findings_document(findings: "Iterable[Finding]") -> list[Document]:
    return [finding_document(finding) for finding in findings]


def check_document(job_name: str, findings: "Iterable[Finding]") -> Document:
    return {"job": job_name, "findings": findings_document(findings)}


def bracket_document(bracket: "Bracket") -> Document:
    return {
        "at": number(bracket.at),
        "anchor": number(bracket.anchor),
        "extra": bracket.extra,
        "offset": number(bracket.offset),
        "planned": number(bracket.planned),
        "bolt": bracket.bolt,
    }


def run_document(run: "Run | None") -> Document:
    if run is None:
        return {}
    return {
        "pieces": [measure(piece) for piece in run.pieces],
        "length": measure(run.length),
        "overrun": measure(run.overrun),
    }


def fill_document(fill: "Fill") -> Document:
    """x, y in the new panel's own coordinates; x_stack, y_stack in the stack's."""
    return {
        "x": number(fill.x),
        "y": number(fill.y),
        "width": number(fill.width),
        "height": number(fill.height),
        "depth": number(fill.depth),
        "x_stack": number(fill.x_stack),
        "y_stack": number(fill.y_stack),
        "opening": fill.opening,
        "mark": fill.mark,
    }


def opening_document(opening: "PlacedOpening") -> Document:
    return {
        "name": opening.name,
        "x": number(opening.x),
        "y": number(opening.y),
        "width": number(opening.width),
        "height": number(opening.height),
    }


def castin_document(castin: "PlacedCastIn", chamfer: Decimal) -> Document:
    """A cast-in in the face has x and y, one in an edge the side and the place along it."""
    found: Document = {"name": castin.name, "kind": castin.kind}
    if castin.x is not None and castin.y is not None:
        found |= {
            "x": number(castin.x),
            "y": number(castin.y),
            "x_arris": number(castin.x - chamfer),
            "y_arris": number(castin.y - chamfer),
        }
    if castin.edge is not None and castin.at is not None:
        found |= {
            "edge": castin.edge,
            "at": number(castin.at),
            "at_arris": number(castin.at - chamfer),
        }
    return found


def heights_document(setout: "SetOut") -> Document:
    heights = setout.heights
    found: Document = {"below": number(heights.below), "top": number(heights.top)}
    if heights.measured_below is not None and heights.expected_top is not None:
        found["measured_below"] = number(heights.measured_below)
        found["expected_top"] = number(heights.expected_top)
    return found


def quantities_document(setout: "SetOut") -> Document:
    found = setout.quantities
    return {
        "area": number(found.area),
        "volume": number(found.volume),
        "mass": maybe(found.mass),
        "centroid": None if found.centroid is None else positions(found.centroid),
    }


def cast_document(cast: "Adjusted | None") -> Document | None:
    """Corners in stack coordinates, mm, and what each measurement tells; None where nothing was measured."""
    if cast is None:
        return None
    return {
        "corners": {corner: list(at) for corner, at in cast.corners.items()},
        "measurements": [
            {
                "key": one.key,
                "measured": one.measured,
                "residual": one.residual,
                "redundancy": one.redundancy,
                "standardised": one.standardised,
                "shows": one.shows,
                "slip": one.slip,
            }
            for one in cast.checked
        ],
        "suspects": [one.key for one in cast.suspects],
    }


def out_document(drift: "Drift | None") -> Document:
    """Give how far each side came out, mm, null where nothing tells.

    `out_shared`: the sides whose place was not taped, so that the size across is taken to have grown alike
    on both.
    """
    faces = list(drift.faces.items()) if drift else []
    return {
        "out": {side: drift.out(side) if drift else None for side in SIDES},
        "out_shared": [side for side, face in faces if face and face.shared],
    }


def setout_document(setout: "SetOut", job: "Job") -> Document:
    """The set-out of one panel."""
    from pourdeck.setout.place_sums import drift_of_set_out

    panel = setout.panel
    return {
        "job": job.name,
        "stack": setout.stack,
        "panel": setout.number,
        "of": setout.of,
        "mark": panel.mark,
        "rev": panel.rev,
        "width": number(panel.width),
        "height": number(panel.height),
        "thickness": number(panel.thickness),
        "form_depth": maybe(setout.form_depth),
        "align": panel.align,
        "drawn_from": panel.drawn_from,
        "face_up": panel.face_up,
        "mirrored": setout.mirrored,
        "position": positions(setout.position),
        "offsets": by_side(setout.offsets, number),
        "bolts": by_side(setout.bolts, lambda bolt: bolt),
        "diagonal": {
            "face": number(setout.diagonal.face),
            "arris": number(setout.diagonal.arris),
        },
        "rl": heights_document(setout),
        "brackets": by_side(setout.brackets, lambda side: [bracket_document(one) for one in side]),
        "anchors": by_side(setout.anchors, positions),
        "extra_anchors": by_side(setout.extra_anchors, positions),
        "missing_anchors": by_side(setout.missing, positions),
        "props": [
            {"side": prop.side, "from": number(prop.start), "to": number(prop.end)}
            for prop in setout.props
        ],
        "runs": by_side(setout.runs, run_document),
        "fill": [fill_document(one) for one in setout.fill],
        "openings": [opening_document(one) for one in setout.openings],
        "castins": [castin_document(one, setout.chamfer) for one in setout.castins],
        "quantities": quantities_document(setout),
        "cast": cast_document(setout.cast),
        "cast_below": cast_document(setout.cast_below),
        **out_document(drift_of_set_out(setout, job)),
        "findings": findings_document(setout.findings),
    }


def size_document(panel: "Panel") -> Document:
    return {
        "width": number(panel.width),
        "height": number(panel.height),
        "thickness": number(panel.thickness),
    }


def seat_document(setout: "SetOut") -> Document:
    return {
        "position": positions(setout.position),
        "offsets": by_side(setout.offsets, number),
        "bolts": by_side(setout.bolts, lambda bolt: bolt),
        "extra_anchors": by_side(setout.extra_anchors, positions),
    }


def level_document(level: "Level") -> Document:
    return {
        "panel": level.number,
        "mark": level.mark,
        "before": seat_document(level.before),
        "after": seat_document(level.after),
        "findings": findings_document(level.after.findings),
    }


def option_document(option: "Option") -> Document:
    return {
        "align": option.align,
        "feasible": option.feasible,
        "extra_anchors": option.extra_anchors,
        "to_fix": option.to_fix,
        "moved_bolts": option.moved_bolts,
        "largest_offset": number(option.largest_offset),
        "fault": option.fault,
    }


def resize_document(resize: "Resize", cancels: list[Document], applied: bool) -> Document:
    """Give what a size change does. `cancels`: the releases it takes back."""
    return {
        "stack": resize.stack,
        "panel": resize.number,
        "mark": resize.mark,
        "before": size_document(resize.before),
        "after": size_document(resize.after),
        "align": resize.after.align,
        "levels": [level_document(level) for level in resize.levels],
        "options": [option_document(option) for option in resize.options],
        "cancels": cancels,
        "applied": applied,
    }
