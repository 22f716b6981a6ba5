"""Short ways to write kits, panels and jobs in these tests."""

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from attrs import evolve

from pourdeck.plan.records import (
    AnchorRules,
    Bolt,
    CastIn,
    Holes,
    Job,
    Kit,
    Limits,
    Mix,
    Opening,
    Overrun,
    Panel,
    Stack,
    Stock,
)
from pourdeck.setout.joints import seats
from pourdeck.setout.place import Point

Number = int | str | Decimal


def mm(value: Number) -> Decimal:
    return Decimal(value)


def opening(name: str, x: Number, y: Number, width: Number, height: Number) -> Opening:
    return Opening(name=name, x=mm(x), y=mm(y), width=mm(width), height=mm(height))


def in_edge(name: str, edge: Any, at: Number) -> CastIn:
    return CastIn(name=name, kind="lifter", edge=edge, at=mm(at))


def panel(
    width: Number = 7200, height: Number = 8700, thickness: Number = 150, **more: Any
) -> Panel:
    more.setdefault("mark", "P")
    if "shift" in more:
        more["shift"] = tuple(mm(value) for value in more["shift"])
    return Panel(width=mm(width), height=mm(height), thickness=mm(thickness), **more)


def bolts(*bands: tuple[str, Number, Number]) -> tuple[Bolt, ...]:
    return tuple(Bolt(name=name, reach=(mm(low), mm(high))) for name, low, high in bands)


def stock(*pieces: tuple[Number, int] | tuple[Number, int, Number]) -> tuple[Stock, ...]:
    return tuple(
        Stock(length=mm(piece[0]), count=piece[1], depth=mm(piece[2]) if len(piece) == 3 else None)
        for piece in pieces
    )


KIT = Kit(
    depths=tuple(Decimal(depth) for depth in (125, 150, 175, 200)),
    chamfer=Decimal(15),
    holes=Holes(first=Decimal(500), pitch=Decimal(1000)),
    anchors=AnchorRules(
        end_min=Decimal(150), end_max=Decimal(1000), gap_max=Decimal(1500), clear=Decimal(150)
    ),
    overrun=Overrun(min=Decimal(0), max=Decimal(1000)),
    stock=stock((1000, 8), (3000, 12, 150), (3000, 12, 175), (3000, 12, 200), (3000, 12, 125)),
    bolts=bolts(("outer", 0, 160), ("inner", 140, 300)),
    brackets=60,
)
"""A usual kit, with long forms at every depth."""


def kit(**more: Any) -> Kit:
    """KIT with some of it changed; first, pitch, end_min … stand for their tables' keys."""
    holes = {key: mm(more.pop(key)) for key in ("first", "pitch") if key in more}
    rules = {
        key: mm(more.pop(key)) for key in ("end_min", "end_max", "gap_max", "clear") if key in more
    }
    return evolve(
        KIT, holes=evolve(KIT.holes, **holes), anchors=evolve(KIT.anchors, **rules), **more
    )


def pile(*panels: Panel, stack_id: str = "A", bed_rl: Number = "42.655") -> Stack:
    """A stack; panels marked P, the builder's default, become P1, P2 … from the bed up."""
    named = tuple(
        evolve(one, mark=f"P{number}") if one.mark == "P" else one
        for number, one in enumerate(panels, start=1)
    )
    return Stack(id=stack_id, bed_rl=mm(bed_rl), panels=named)


def positions(stack: Stack) -> tuple[Point, ...]:
    """Where each panel of a stack is."""
    return tuple(one.position for one in seats(job(stack), stack, {}))


def job(stacks: Stack | Sequence[Stack], kit: Kit = KIT, *, lap: Number = 3, **more: Any) -> Job:
    return Job(
        folder=Path("jobs/test"),
        name="Test",
        number="T1",
        kit=kit,
        mix=Mix(density=Decimal(2400)),
        limits=more.pop("limits", Limits(lap=mm(lap))),
        stacks=(stacks,) if isinstance(stacks, Stack) else tuple(stacks),
        **more,
    )
