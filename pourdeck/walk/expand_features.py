"""One item for each opening and cast-in, by name and position as cast."""

from collections.abc import Iterable
from decimal import Decimal
from typing import TypeVar

from pourdeck.plan.lengths import format_length
from pourdeck.plan.literal import literal
from pourdeck.setout.record import PlacedCastIn, PlacedOpening
from pourdeck.walk.context import Context, Instance
from pourdeck.walk.records import Place
from pourdeck.walk.words import START_OF, count_of

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
