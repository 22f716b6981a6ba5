"""Rules 1, 2, 6 and 7: places, offsets, bolts, anchors, brackets, what is missing and what props."""

import itertools
from dataclasses import dataclass
from fractions import Fraction

from .plan import Box, Kit, Pair, Panel

FAR = Fraction(10**9)


def places(panels: tuple[Panel, ...]) -> list[Pair]:
    """Where each panel's `bl` stands in the stack."""
    found: list[Pair] = []
    for number, panel in enumerate(panels):
        if number == 0:
            found.append((Fraction(0), Fraction(0)))
            continue
        below, (bx, by) = panels[number - 1], found[-1]
        words = panel.align.split("-") if "-" in panel.align else ["centre", "centre"]
        part = {"base": Fraction(0), "left": Fraction(0), "centre": Fraction(1, 2)}
        across = part.get(words[1], Fraction(1)) * (below.width - panel.width)
        along = part.get(words[0], Fraction(1)) * (below.height - panel.height)
        found.append((bx + across + panel.shift[0], by + along + panel.shift[1]))
    return found


def offsets(new: Panel, at: Pair, below: Panel, under: Pair) -> dict[str, Fraction]:
    return {
        "base": at[1] - under[1],
        "right": under[0] + below.width - at[0] - new.width,
        "head": under[1] + below.height - at[1] - new.height,
        "left": at[0] - under[0],
    }


def bolt(kit: Kit, lap: Fraction, offset: Fraction) -> str | None:
    """The bolt that holds an offset. An overhang beyond the lap is on none, whatever a band says."""
    if offset < -lap:
        return None
    offset = max(offset, Fraction(0))
    for name, least, most in kit.bolts:
        if least <= offset <= most:
            return name
    return None


def breaks(panel: Panel, box: Box, side: str) -> bool:
    """Whether an opening breaks the edge of that side."""
    return {
        "base": box.y0 <= 0,
        "left": box.x0 <= 0,
        "right": box.x1 >= panel.width,
        "head": box.y1 >= panel.height,
    }[side]


def obstacles(kit: Kit, panel: Panel, side: str) -> list[Pair]:
    """Open intervals along a side in which no anchor may stand."""
    spans = [box.span(side) for box in panel.openings if breaks(panel, box, side)]
    spans += [(spot.at, spot.at) for spot in panel.castins if spot.edge == side]
    return [(low - kit.clear, high + kit.clear) for low, high in spans]


def holes(kit: Kit, panel: Panel, side: str) -> list[Fraction]:
    """Rule 6 for one side of a panel that has another above it."""
    long, blocked = panel.length(side), obstacles(kit, panel, side)
    found, run = [], kit.first
    while run <= long:
        at = run if side in ("base", "right") else long - run
        ends = kit.end_min <= at <= long - kit.end_min
        if ends and not any(low < at < high for low, high in blocked):
            found.append(at)
        run += kit.pitch
    return sorted(found)


@dataclass(frozen=True)
class Cover:
    """`props`: stretches along the new side; `missing`: fewest further positions; None: cannot be."""

    props: list[Pair]
    parts: list[Pair]
    missing: int | None
    forbidden: list[Pair]


def moved(side: str, at: Pair, under: Pair) -> Fraction:
    """Give what to add to a place along the side below to get the place along the new side."""
    axis = 0 if side in ("base", "head") else 1
    return under[axis] - at[axis]


def closed(kit: Kit, new: Panel, below: Panel, side: str, shift: Fraction) -> list[Pair]:
    """Joined open intervals along the new side where no anchor may stand; FAR beyond corners."""
    long, low = new.length(side), shift
    high = shift + below.length(side)
    spans = [
        (-FAR, kit.end_min),
        (long - kit.end_min, FAR),
        (-FAR, low + kit.end_min),
        (high - kit.end_min, FAR),
        *((a + shift, b + shift) for a, b in obstacles(kit, below, side)),
    ]
    joined: list[Pair] = []
    for a, b in sorted(spans):
        if joined and a < joined[-1][1]:
            joined[-1] = (joined[-1][0], max(b, joined[-1][1]))
        else:
            joined.append((a, b))
    return joined


def cover(kit: Kit, long: Fraction, forbidden: list[Pair], stand: list[Fraction]) -> Cover:
    """Rule 7 along a side of length `long` with brackets standing at `stand`.

    A side where no anchor may stand at all is propped, however short it is: no bracket holds it.
    """
    props = []
    for a, b in forbidden:
        low, high = max(a, Fraction(0)), min(b, long)
        most = kit.end_max if low == 0 or high == long else kit.gap_max
        if high - low > most or (low, high) == (0, long):
            props.append((low, high))
    parts, start = [], Fraction(0)
    for low, high in props:
        if low > start:
            parts.append((start, low))
        start = high
    if start < long:
        parts.append((start, long))
    missing: int | None = 0
    for low, high in parts:
        more = _fewest(kit, low, high, forbidden, [at for at in stand if low <= at <= high])
        missing = None if more is None or missing is None else missing + more
    return Cover(props, parts, missing, forbidden)


def holds(kit: Kit, low: Fraction, high: Fraction, stand: list[Fraction]) -> bool:
    """Whether brackets at `stand` give cover from low to high."""
    inside = sorted(at for at in stand if low <= at <= high)
    if not inside or inside[0] - low > kit.end_max or high - inside[-1] > kit.end_max:
        return False
    return all(b - a <= kit.gap_max for a, b in itertools.pairwise(inside))


def _fewest(
    kit: Kit, low: Fraction, high: Fraction, forbidden: list[Pair], stand: list[Fraction]
) -> int | None:
    """Each stretch between standing brackets by itself, from the far end back, as far as may be."""
    marks = [low, *sorted(set(stand)), high]
    total = 0
    for number in range(len(marks) - 1):
        first, last = number == 0, number == len(marks) - 2
        more = _between(kit, (marks[number], first), (marks[number + 1], last), forbidden)
        if more is None:
            return None
        total += more
    return total


def _between(
    kit: Kit, low: tuple[Fraction, bool], high: tuple[Fraction, bool], forbidden: list[Pair]
) -> int | None:
    end, from_corner = low
    now, is_corner = high
    count = 0
    while True:
        step = kit.end_max if is_corner else kit.gap_max
        if is_corner and from_corner:
            enough = Fraction(-1)  # no bracket stands yet
        else:
            enough = kit.end_max if is_corner or from_corner else kit.gap_max
        if now - end <= enough:
            return count
        then = _lowest(max(now - step, end), forbidden)
        if then >= now and not (is_corner and then == now):
            return None
        now, is_corner, count = then, False, count + 1


def _lowest(at: Fraction, forbidden: list[Pair]) -> Fraction:
    """The first place from `at` up where an anchor may stand."""
    for low, high in forbidden:
        if low < at < high:
            at = high
    return at
