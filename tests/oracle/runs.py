"""Rule 5 by scipy's integer program."""

from fractions import Fraction
from functools import cache
from math import lcm

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from .plan import Kit, Panel


def best(kit: Kit, panel: Panel) -> tuple[int, Fraction] | None:
    """Fewest pieces of all four runs together, and the least total overrun with so many."""
    stock: dict[Fraction, int] = {}
    for length, count, depth in kit.stock:
        if depth is None or depth == panel.thickness:
            stock[length] = stock.get(length, 0) + count
    sizes = tuple(sorted(stock.items()))
    return _solve(sizes, panel.width, panel.height, *kit.overrun)


@cache
def _solve(
    stock: tuple[tuple[Fraction, int], ...],
    width: Fraction,
    height: Fraction,
    least: Fraction,
    most: Fraction,
) -> tuple[int, Fraction] | None:
    sides = [width, height, width, height]
    if not stock:
        return None
    numbers = [*(length for length, _ in stock), width, height, least, most]
    scale = lcm(*(one.denominator for one in numbers))
    lengths = np.array([int(length * scale) for length, _ in stock], dtype=float)
    kinds = len(stock)
    rows, low, high = [], [], []
    for run, side in enumerate(sides):
        row = np.zeros(4 * kinds)
        row[run * kinds : (run + 1) * kinds] = lengths
        rows.append(row)
        low.append(float((side + least) * scale))
        high.append(float((side + most) * scale))
    for kind, (_, count) in enumerate(stock):
        row = np.zeros(4 * kinds)
        row[kind::kinds] = 1
        rows.append(row)
        low.append(0.0)
        high.append(float(count))
    held = LinearConstraint(np.array(rows), low, high)
    bounds = Bounds(0, [float(count) for _, count in stock] * 4)
    pieces = _least(np.ones(4 * kinds), [held], bounds)
    if pieces is None:
        return None
    few = LinearConstraint(np.ones((1, 4 * kinds)), 0, round(pieces.sum()))
    shortest = _least(np.tile(lengths, 4), [held, few], bounds)
    assert shortest is not None
    total = sum(
        length * int(shortest[run * kinds + kind])
        for run in range(4)
        for kind, (length, _) in enumerate(stock)
    )
    return round(pieces.sum()), total - sum(sides)


def _least(cost: np.ndarray, rows: list[LinearConstraint], bounds: Bounds) -> np.ndarray | None:
    for presolve in (True, False):  # the solver's own shortening of a program has failed it before
        found = milp(
            cost,
            constraints=rows,
            bounds=bounds,
            integrality=np.ones(len(cost)),
            options={"mip_rel_gap": 0, "presolve": presolve},
        )
        if found.status == 2:
            return None
        if found.status == 0:
            return np.round(found.x)
    raise ArithmeticError(found.message)
