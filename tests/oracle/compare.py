"""Where the program's documents differ from the reading: lines of text, none where they agree."""

from collections import Counter
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Any

from . import edges
from .compare_fill import fill
from .faults import Found
from .numbers import differs, exact, shown
from .plan import SIDES
from .reading import Reading

PLAIN = (
    "job", "stack", "panel", "of", "mark", "rev", "width", "height", "thickness", "form_depth",
    "mirrored", "position", "offsets", "bolts", "diagonal", "anchors", "openings", "quantities",
)  # fmt: skip


def codes(findings: Iterable[dict[str, Any]]) -> set[Found]:
    found = set()
    for one in findings:
        where = one["where"]
        place = (where.get("stack"), where.get("panel"), where.get("side"))
        found.add(Found(one["code"], one["severity"], *place))
    return found


def findings(mine: set[Found], theirs: list[dict[str, Any]], place: str) -> Iterator[str]:
    got = codes(theirs)
    for one in sorted(mine - got, key=str):
        yield f"{place}: {tuple(one)} is not found by the program"
    for one in sorted(got - mine, key=str):
        yield f"{place}: {tuple(one)} is found by the program only"


def setout(reading: Reading, number: int, theirs: dict[str, Any]) -> Iterator[str]:
    mine = reading.setout(number)
    place = f"setout {reading.stack.id} {number}"
    yield from differs({key: mine[key] for key in PLAIN}, theirs, place)
    yield from differs(mine["rl"], theirs["rl"], f"{place} rl")
    yield from differs(mine["castins"], theirs["castins"], f"{place} castins")
    yield from runs(reading, mine["run"], number, theirs["runs"], f"{place} runs")
    yield from fill(reading, number, mine["fill"], theirs["fill"], f"{place} fill")
    yield from findings(reading.findings(number), theirs["findings"], f"{place} findings")


def levels_of_extra(reading: Reading, docs: list[dict[str, Any]]) -> Iterator[str]:
    """Brackets of each panel against the anchors and extra anchors of the one below."""
    for number in range(1, len(docs) + 1):
        place = f"setout {reading.stack.id} {number}"
        doc = docs[number - 1]
        if number == 1:
            yield from differs({}, doc["brackets"], f"{place} brackets")
            if doc["brackets"] != {} and any(doc["brackets"].values()):
                yield f"{place}: brackets on the first panel"
        else:
            yield from _brackets(reading, number, docs[number - 2], doc, place)
    for side, extra in docs[-1]["extra_anchors"].items():
        if extra and reading.panel(len(docs)).mark not in reading.poured:
            yield f"setout {reading.stack.id} top: extra anchors {side} {extra}"


def _brackets(
    reading: Reading, number: int, below: dict[str, Any], doc: dict[str, Any], place: str
) -> Iterator[str]:
    poured = reading.panel(number - 1).mark in reading.poured
    offsets, bolts = reading.offsets(number), reading.bolts(number)
    for side in SIDES:
        at = f"{place} {side}"
        one = reading.side(number, side)
        extra = [exact(found) for found in below["extra_anchors"][side]]
        if extra != sorted(extra):
            yield f"{at}: extra anchors do not rise: {below['extra_anchors'][side]}"
        added = [] if poured else extra
        if poured:
            kept = [anchor for _, anchor, is_extra in one.stand if is_extra]
            missing = [exact(found) for found in doc["missing_anchors"][side]]
            if not set(kept) <= set(extra):
                yield f"{at}: recorded extra anchors {shown(kept)} are not all in {shown(extra)}"
        else:
            missing = extra
            if doc["missing_anchors"][side]:
                yield f"{at}: missing {doc['missing_anchors'][side]} though nothing is poured"
        yield from _added(reading, number, one, missing, side, at)
        want = sorted([*one.stand, *((anchor + one.shift, anchor, True) for anchor in added)])
        mine = [
            {
                "at": along,
                "anchor": anchor,
                "extra": is_extra,
                "offset": offsets[side],
                "bolt": bolts[side],
            }
            for along, anchor, is_extra in want
        ]
        yield from differs(mine, doc["brackets"][side], f"{at} brackets")


def _added(
    reading: Reading, number: int, one: Any, extra: list[Fraction], side: str, at: str
) -> Iterator[str]:
    """Extra anchors: as few as can be, where they may stand, and enough."""
    cover, long = one.cover, reading.panel(number).length(side)
    if len(extra) != (cover.missing or 0):
        yield f"{at}: {cover.missing} extra anchors wanted but the program has {shown(extra)}"
        return
    along = [anchor + one.shift for anchor in extra]
    for place in along:
        if not 0 <= place <= long or any(a < place < b for a, b in cover.forbidden):
            yield f"{at}: an extra anchor may not stand at {float(place)} of the new side"
    if cover.missing is None:
        return
    stand = [place for place, _, _ in one.stand] + along
    for low, high in cover.parts:
        if not edges.holds(reading.job.kit, low, high, stand):
            yield f"{at}: no cover from {float(low)} to {float(high)} with {shown(extra)}"


def props(reading: Reading, number: int, theirs: list[dict[str, Any]]) -> Iterator[str]:
    """The stretches to prop, which the program adds under `props`."""
    mine = (
        []
        if number == 1
        else [
            (side, float(low), float(high))
            for side in SIDES
            for low, high in reading.side(number, side).cover.props
        ]
    )
    got = [(one["side"], one["from"], one["to"]) for one in theirs]
    if sorted(mine) != sorted(got):
        yield f"setout {reading.stack.id} {number}: props {mine} but the program has {got}"


def runs(
    reading: Reading, mine: tuple[int, Fraction] | None, number: int, theirs: Any, place: str
) -> Iterator[str]:
    panel, kit = reading.panel(number), reading.job.kit
    made = [theirs.get(side) or {} for side in SIDES]
    if mine is None:
        if any(made):
            yield f"{place}: impossible, but the program has {theirs}"
        return
    if not all(made):
        yield f"{place}: {mine[0]} pieces do, but the program has {theirs}"
        return
    stock: Counter[Fraction] = Counter()
    for length, count, depth in kit.stock:
        if depth in (None, panel.thickness):
            stock[length] += count
    used: Counter[Fraction] = Counter()
    over = Fraction(0)
    for side, run in zip(SIDES, made, strict=True):
        pieces = [exact(one) for one in run["pieces"]]
        used.update(pieces)
        long = sum(pieces, Fraction(0))
        past = long - panel.length(side)
        over += past
        if not kit.overrun[0] <= past <= kit.overrun[1]:
            yield f"{place}: {side} passes the corner by {float(past)}"
        yield from differs({"length": long, "overrun": past}, run, f"{place} {side}")
    if any(used[length] > stock[length] for length in used):
        yield f"{place}: more pieces than held: {dict(used)} of {dict(stock)}"
    got = (sum(used.values()), over)
    if got != mine:
        yield f"{place}: best is {mine[0]}, {float(mine[1])} but the program has {got[0]}, {float(over)}"


def shrink(mine: dict[str, Any], theirs: dict[str, Any], place: str) -> Iterator[str]:
    plain = [
        {key: level[key] for key in ("panel", "mark", "before", "after")}
        for level in mine["levels"]
    ]
    yield from differs(plain, theirs["levels"], f"{place} levels")
    for one, two in zip(mine["levels"], theirs["levels"], strict=False):
        yield from findings(one["findings"], two["findings"], f"{place} level {one['panel']}")
    got = {one["align"]: one for one in theirs["options"]}
    for one in mine["options"]:
        yield from differs(one, got.get(one["align"], {}), f"{place} option {one['align']}")
    order = [one["align"] for one in mine["options"]], [one["align"] for one in theirs["options"]]
    if order[0] != order[1]:
        yield f"{place} order: {order[0]} but the program has {order[1]}"
