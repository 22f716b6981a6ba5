"""Random panels on random panels with openings at edges, cast-ins in edges, mirrored, half-millimetres."""

import random
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.records import SIDES, Job, Kit, Panel, Poured, Sides

from .builders import in_edge, job, kit, opening, panel, pile


@frozen(kw_only=True)
class Case:
    job: Job
    below: Panel
    new: Panel
    poured: Poured | None

    @property
    def log(self) -> dict[str, Poured]:
        return {} if self.poured is None else {self.poured.mark: self.poured}


def length(rng: random.Random, low: int, high: int) -> Decimal:
    """On a coarse raster, so that things often just meet; now and then beside it."""
    return Decimal(rng.randint(low // 50, high // 50) * 50) + Decimal(
        rng.choice(["0", "0", "0", "0", "0", "0.5", "12.5", "7"])
    )


def random_kit(rng: random.Random) -> Kit:
    return kit(
        first=rng.choice(["150", "250", "500", "500", "750", "312.5"]),
        pitch=rng.choice(["600", "1000", "1000", "1200", "2000", "937.5"]),
        end_min=rng.choice([0, 100, 150, 150, 150, 200]),
        end_max=rng.choice([400, 600, 800, 1000, 1000, 1000]),
        gap_max=rng.choice([800, 1000, 1200, 1500, 1500, 1500]),
        clear=rng.choice([0, 100, 150, 150]),
    )


def random_panel(rng: random.Random, width: Decimal, height: Decimal) -> Panel:
    openings = []
    for number in range(rng.choice([0, 1, 1, 2, 3])):
        across = min(length(rng, 200, 3000), width - 100)
        up = min(length(rng, 200, 2500), height - 100)
        x = min(length(rng, 0, int(width - across)), width - across)
        y = min(length(rng, 0, int(height - up)), height - up)
        edge = rng.choice(["base", "head", "left", "right", "corner", "none"])
        if edge in ("base", "corner"):
            y = Decimal(0)
        if edge == "head":
            y = height - up
        if edge in ("left", "corner"):
            x = Decimal(0)
        if edge == "right":
            x = width - across
        openings.append(opening(f"O{number}", x, y, across, up))
    castins = []
    for number in range(rng.choice([0, 0, 1, 2, 4, 8])):
        side = rng.choice(SIDES)
        reach = width if side in ("base", "head") else height
        castins.append(in_edge(f"C{number}", side, min(length(rng, 0, int(reach)), reach)))
    return panel(
        width,
        height,
        openings=tuple(openings),
        castins=tuple(castins),
        drawn_from=rng.choice(["inside", "outside"]),
        align=rng.choice(["base-left", "centre", "head-right", "base-centre", "centre-right"]),
        shift=rng.choice([(0, 0), (0, 0), (0, 0), ("12.5", -50), (50, "0.5")]),
    )


def random_pour(rng: random.Random, below: Panel) -> Poured:
    """Anchors as somebody wrote them down, wherever they are."""

    def recorded(reach: Decimal, most: int) -> tuple[Decimal, ...]:
        found = {min(length(rng, 0, int(reach)), reach) for _ in range(rng.randint(0, most))}
        return tuple(sorted(found))

    holes = Sides.of(lambda side: recorded(below.side_length(side), 6))
    extra = Sides.of(lambda side: recorded(below.side_length(side), rng.choice([0, 0, 2])))
    return Poured(mark=below.mark, anchors=holes, extra_anchors=extra)


def random_case(seed: int, shortest: int) -> Case:
    """`shortest`: least side of the lower panel, mm."""
    rng = random.Random(seed)
    width, height = length(rng, shortest, 9000), length(rng, shortest, 9000)
    lower = random_panel(rng, width, height)
    steps = ["0", "0", "50", "300", "2.5", "600", "100.5"]
    least = Decimal(shortest) / 2
    upper = random_panel(
        rng,
        max(width - Decimal(rng.choice(steps)), least),
        max(height - Decimal(rng.choice(steps)), least),
    )
    stack = pile(lower, upper)
    below, new = stack.panels
    return Case(
        job=job(stack, random_kit(rng)),
        below=below,
        new=new,
        poured=random_pour(rng, below) if rng.random() < 0.3 else None,
    )
