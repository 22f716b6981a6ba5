"""Instances of a step: one for every bracket, side, corner or feature it is about.

Sides go in the order of the walk round the panel; along a side positions rise.
"""

from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import TypeVar

from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import CORNERS, SIDES, Corner, Side
from pourdeck.setout.record import PlacedCastIn, PlacedOpening
from pourdeck.walk.records import Place
from pourdeck.walk.steps import Context, Instance
from pourdeck.walk.words import CORNER_NAMES, START_OF, count_of

# One item for each opening and cast-in, by name and position as cast.

Thing = TypeVar("Thing", PlacedOpening, PlacedCastIn)


def _across(context: Context, at: Decimal) -> str:
    """Where a tape on the surface reads the same place: from the arris, a chamfer less."""
    arris = format_length(at - context.setout.chamfer, context.job.units, decimals=1)
    return f"from the arris {arris}"


def opening_place(context: Context) -> Iterable[Instance]:
    """All four edges of each opening, running from the panel's own corner: its place and its size."""
    panel = context.panel
    for name, opening in _named(context.setout.openings):
        size = " × ".join(
            format_length(one, context.job.units) for one in (opening.width, opening.height)
        )
        for suffix, edge, start, at, end in (
            ("x", "left edge", "left", opening.x, panel.width),
            ("right", "right edge", "left", opening.x + opening.width, panel.width),
            ("y", "base edge", "base", opening.y, panel.height),
            ("head", "head edge", "base", opening.y + opening.height, panel.height),
        ):
            # An edge that the opening breaks has no form to measure to.
            if 0 < at < end:
                yield Instance(
                    suffix=f"{name}-{suffix}",
                    label=f"{literal(opening.name)}, {edge}",
                    group="openings",
                    place=Place(x=opening.x, y=opening.y, name=opening.name),
                    value=at,
                    note=f"from the {start}; {_across(context, at)}; opening {size}",
                )


def cast_in_place(context: Context) -> Iterable[Instance]:
    for name, item in _named(context.setout.castins):
        label = f"{literal(item.name)} {item.kind}"
        if item.edge is not None and item.at is not None:
            yield Instance(
                suffix=name, label=label, group="cast-ins",
                place=Place(side=item.edge, at=item.at, name=item.name),
                value=item.at, where=item.edge,
                note=f"in the {item.edge} edge, from the {START_OF[item.edge]}; "
                f"{_across(context, item.at)}",
            )  # fmt: skip
        elif item.x is not None and item.y is not None:
            for axis, start, at in (("x", "left", item.x), ("y", "base", item.y)):
                yield Instance(
                    suffix=f"{name}-{axis}", label=f"{label}, {start}", group="cast-ins",
                    place=Place(x=item.x, y=item.y, name=item.name), value=at,
                    note=f"from the {start}; {_across(context, at)}",
                )  # fmt: skip


def cast_in_kind(context: Context) -> Iterable[Instance]:
    kinds = sorted({item.kind for item in context.setout.castins})
    for kind in kinds:
        names = [literal(item.name) for item in context.setout.castins if item.kind == kind]
        yield Instance(
            suffix=kind,
            label=f"{kind}s" if kind != "other" else "other cast-ins",
            group="cast-ins",
            note=f"{count_of(len(names), 'piece')}: {', '.join(names)}",
        )


def first_opening(context: Context) -> Iterable[Instance]:
    openings = context.setout.openings
    if openings:
        first = min(openings, key=lambda one: (one.x, one.y))
        yield Instance(
            suffix="left",
            label=literal(first.name),
            place=Place(x=first.x, y=first.y, name=first.name),
            value=first.x,
            note=f"from the left, as it lies; {_across(context, first.x)}",
        )


def _named(things: Iterable[Thing]) -> Iterable[tuple[str, Thing]]:
    """Each thing with its name as it stands in keys: the second of a name gets a number."""
    seen: dict[str, int] = {}
    for thing in things:
        seen[thing.name] = number = seen.get(thing.name, 0) + 1
        yield (thing.name if number == 1 else f"{thing.name}~{number}"), thing


# One item for each thing that is measured: what `each` of the template stands for.

DIAGONALS: tuple[tuple[Corner, Corner], ...] = (("bl", "hr"), ("br", "hl"))


def _pinned(*numbers: Decimal) -> str:
    return ",".join(plain(number) for number in numbers)


def _side_group(side: Side) -> str:
    return f"{side} side"


def _one(context: Context) -> Iterable[Instance]:
    yield Instance()


def _side(context: Context, sides: Iterable[Side] = SIDES) -> Iterable[Instance]:
    for side in sides:
        yield Instance(suffix=side, label=f"{side} side", place=Place(side=side))


def _corner(context: Context) -> Iterable[Instance]:
    for corner in CORNERS:
        yield Instance(suffix=corner, label=CORNER_NAMES[corner], place=Place(corner=corner))


def _diagonal(context: Context) -> Iterable[Instance]:
    for start, end in DIAGONALS:
        yield Instance(
            suffix=f"{start}-{end}",
            label=f"{CORNER_NAMES[start]} to {CORNER_NAMES[end]}",
            group="diagonals",
            place=Place(corner=start),
        )


def _bracket(context: Context) -> Iterable[Instance]:
    units = context.job.units
    for bracket in context.setout.all_brackets():
        side = bracket.side
        up = format_length(bracket.at, units, decimals=1)
        extra = ", extra anchor" if bracket.extra else ""
        yield Instance(
            suffix=f"{side}-{bracket.number}",
            label=bracket.label,
            group=_side_group(side),
            place=Place(side=side, at=bracket.at, bracket=bracket.label),
            where=plain(bracket.anchor),
            note=f"{up} from the {START_OF[side]}{extra}",
        )


def _run(context: Context) -> Iterable[Instance]:
    for side, run in context.setout.runs.items():
        if run is None:
            yield Instance(suffix=side, label=f"{side} side", place=Place(side=side))
            continue
        units = context.job.units
        pieces = " + ".join(format_length(piece, units) for piece in run.pieces)
        past = format_length(run.overrun, units, decimals=1)
        yield Instance(
            suffix=side,
            label=f"{side} side",
            place=Place(side=side),
            where=_pinned(*run.pieces),
            note=f"{pieces}, {past} past the far corner",
        )


def _prop(context: Context) -> Iterable[Instance]:
    units = context.job.units
    for number, prop in enumerate(context.setout.props, 1):
        start, end = (format_length(at, units, decimals=1) for at in (prop.start, prop.end))
        yield Instance(
            suffix=f"{prop.side}-{number}",
            label=f"{start} to {end}",
            group=_side_group(prop.side),
            place=Place(side=prop.side, at=prop.start, end=prop.end),
            where=_pinned(prop.start, prop.end),
            note=f"from the {START_OF[prop.side]}",
        )


def _positions(along: Iterable[tuple[Side, tuple[Decimal, ...]]], of: str) -> Iterable[Instance]:
    for side, positions in along:
        for number, at in enumerate(positions, 1):
            yield Instance(
                suffix=f"{side}-{number}",
                label=f"{side[0].upper()}+{number}",
                group=_side_group(side),
                place=Place(side=side, at=at),
                where=plain(at),
                value=at,
                note=f"from the {START_OF[side]} of {of}",
            )


def _extra_anchor(context: Context) -> Iterable[Instance]:
    return _positions(context.setout.extra_anchors.items(), literal(context.panel.mark))


def _missing_anchor(context: Context) -> Iterable[Instance]:
    under = context.setout.below
    below = literal(under.mark) if under else "the panel below"
    units = context.job.units
    for one in _positions(context.setout.missing.items(), below):
        at = format_length(one.value or Decimal(0), units, decimals=1)
        yield Instance(
            suffix=one.suffix, label=one.label, group=one.group, where=one.where,
            place=Place(side=one.place.side), note=f"{at} {one.note}",
        )  # fmt: skip


def _anchor_side(context: Context) -> Iterable[Instance]:
    units = context.job.units
    for side, positions in context.setout.anchors.items():
        extra = context.setout.extra_anchors[side]
        if positions or extra:
            listed = ", ".join(
                format_length(at, units, decimals=1) for at in sorted((*positions, *extra))
            )
            yield Instance(
                suffix=side,
                label=f"{side} side",
                place=Place(side=side),
                where=_pinned(*sorted((*positions, *extra))),
                note=f"at {listed} from the {START_OF[side]}",
            )


def _fill(context: Context) -> Iterable[Instance]:
    units = context.job.units
    for number, fill in enumerate(context.setout.fill, 1):
        wide, high, deep = (
            format_length(one, units, decimals=1) for one in (fill.width, fill.height, fill.depth)
        )
        yield Instance(
            suffix=f"{number}",
            label=f"{literal(fill.opening)} of {literal(fill.mark)}",
            place=Place(x=fill.x, y=fill.y, name=fill.opening),
            where=_pinned(fill.x, fill.y, fill.width, fill.height, fill.depth),
            note=f"{wide} × {high}, {deep} deep",
        )


EACH: dict[str, Callable[[Context], Iterable[Instance]]] = {
    "one": _one,
    "side": _side,
    "width-side": lambda context: _side(context, ("base", "head")),
    "height-side": lambda context: _side(context, ("left", "right")),
    "corner": _corner,
    "diagonal": _diagonal,
    "bracket": _bracket,
    "run": _run,
    "prop": _prop,
    "extra-anchor": _extra_anchor,
    "missing-anchor": _missing_anchor,
    "anchor-side": _anchor_side,
    "fill": _fill,
    "opening-place": opening_place,
    "cast-in-place": cast_in_place,
    "cast-in-kind": cast_in_kind,
    "first-opening": first_opening,
}
