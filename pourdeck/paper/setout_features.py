"""Print what is in and under a panel, on its page for people: anchors, fill, openings, cast-ins."""

from collections.abc import Iterable
from decimal import Decimal

from rich.console import Console

from pourdeck.paper.console import Lengths, flow, table, title
from pourdeck.plan.records import Side
from pourdeck.setout.record import PlacedCastIn, SetOut


def anchors(console: Console, setout: SetOut, lengths: Lengths) -> None:
    _along(console, setout, lengths, "Anchors to cast in, at the holes", setout.anchors.items())
    extra = setout.extra_anchors.items()
    _along(console, setout, lengths, "Extra anchors to cast in", extra)
    missing = setout.missing.items()
    below = setout.below.mark if setout.below else ""
    _along(console, setout, lengths, f"Anchors that {below} lacks, to fix afterwards", missing)


def _along(
    console: Console,
    setout: SetOut,
    lengths: Lengths,
    name: str,
    sides: Iterable[tuple[Side, tuple[Decimal, ...]]],
) -> None:
    there = [(side, along) for side, along in sides if along]
    if there:
        unit = ", mm" if lengths.units == "metric" else ""
        title(console, f"{name}{unit}")
    for side, along in there:
        flow(console, f"{side:<6} ", [lengths.bare(at) for at in along], joint=", ")


def fill(console: Console, setout: SetOut, lengths: Lengths) -> None:
    if not setout.fill:
        return
    title(console, "To fill below, from this panel's face lines at bl")
    table(
        console,
        ("opening below", f">x{lengths.mm}", f">y{lengths.mm}", f">width{lengths.mm}",
         f">height{lengths.mm}", f">depth{lengths.mm}"),
        [
            (
                f"{one.opening} of {one.mark}",
                *map(lengths.bare, (one.x, one.y, one.width, one.height, one.depth)),
            )
            for one in setout.fill
        ],
    )  # fmt: skip


def openings(console: Console, setout: SetOut, lengths: Lengths) -> None:
    if not setout.openings:
        return
    title(console, "Openings as cast, from the face lines at bl")
    table(
        console,
        ("name", f">x{lengths.mm}", f">y{lengths.mm}", f">width{lengths.mm}",
         f">height{lengths.mm}"),
        [
            (one.name, *map(lengths.bare, (one.x, one.y, one.width, one.height)))
            for one in setout.openings
        ],
    )  # fmt: skip


def castins(
    console: Console, placed: tuple[PlacedCastIn, ...], chamfer: Decimal, lengths: Lengths
) -> None:
    upper = [
        (one.name, one.kind, *map(lengths.bare, (one.x, one.y, one.x - chamfer, one.y - chamfer)))
        for one in placed
        if one.x is not None and one.y is not None
    ]
    if upper:
        title(console, "Cast-ins as cast, from the face lines and from the arrises at bl")
        table(
            console,
            ("name", "kind", f">x{lengths.mm}", f">y{lengths.mm}", f">x from arris{lengths.mm}",
             f">y from arris{lengths.mm}"),
            upper,
        )  # fmt: skip
    edges = [
        (one.name, one.kind, one.edge, lengths.bare(one.at), lengths.bare(one.at - chamfer))
        for one in placed
        if one.edge is not None and one.at is not None
    ]
    if edges:
        title(console, "Cast into the edges, along the side as cast")
        table(
            console,
            ("name", "kind", "edge", f">at{lengths.mm}", f">from arris{lengths.mm}"),
            edges,
        )
