"""The best way to make up several runs from one stock: fewest pieces, then least length.

Best-first search over the stock lengths, longest first, one run at a time. What is still to come is
never overrated: each run by itself can do no better than its own best from the lengths left, and all
together no better than the longest pieces that are left. So the first finished make-up taken from the
queue is the optimum. Whole numbers throughout; the caller scales.
"""

import heapq
from functools import cache, lru_cache
from itertools import count

Need = tuple[int, int]
"""Least and greatest length of a run."""

Cost = tuple[int, int]
"""Pieces, then total length."""

State = tuple[int, int, int, tuple[int, ...]]
"""Stock length and run being decided, pieces of that length left, length of each run so far."""


class Stockroom:
    """One stock: lengths falling, and how many are held of each."""

    def __init__(self, lengths: tuple[int, ...], counts: tuple[int, ...]) -> None:
        self.lengths = lengths
        self.counts = counts
        self._best = cache(self._find_best)
        self._shortest = cache(self._find_shortest)

    def best(self, kind: int, low: int, high: int) -> Cost | None:
        """Fewest pieces, then least length, for one run from lengths `kind` on; None: impossible."""
        if low <= 0:
            return (0, 0) if high >= 0 else None
        return self._best(kind, low, high)

    def shortest(self, kind: int, low: int, high: int) -> int | None:
        """The least length one run can have, however many pieces it takes; None: impossible."""
        if low <= 0:
            return 0 if high >= 0 else None
        return self._shortest(kind, low, high)

    def _find_best(self, kind: int, low: int, high: int) -> Cost | None:
        if kind == len(self.lengths):
            return None
        length = self.lengths[kind]
        after = self.lengths[kind + 1] if kind + 1 < len(self.lengths) else 0
        best: Cost | None = None
        for number in range(min(self.counts[kind], high // length), -1, -1):
            left = low - number * length
            if best is not None and left > 0:
                at_least = number + (-(-left // after) if after else 1)
                if at_least > best[0]:
                    break
            rest = self.best(kind + 1, left, high - number * length)
            if rest is not None:
                found = (number + rest[0], number * length + rest[1])
                best = found if best is None else min(best, found)
        return best

    def _find_shortest(self, kind: int, low: int, high: int) -> int | None:
        if kind == len(self.lengths):
            return None
        length = self.lengths[kind]
        best: int | None = None
        for number in range(min(self.counts[kind], high // length), -1, -1):
            rest = self.shortest(kind + 1, low - number * length, high - number * length)
            if rest is not None:
                found = number * length + rest
                best = found if best is None else min(best, found)
                if best == low:
                    break
        return best

    def pieces(self, low: int, high: int) -> tuple[int, ...] | None:
        """How many of each length make up the best run by itself; None: impossible."""
        chosen = []
        for kind, length in enumerate(self.lengths):
            target = self.best(kind, low, high)
            if target is None:
                return None
            for number in range(min(self.counts[kind], max(high, 0) // length), -1, -1):
                left, room = low - number * length, high - number * length
                rest = self.best(kind + 1, left, room)
                if rest and (number + rest[0], number * length + rest[1]) == target:
                    chosen.append(number)
                    low, high = left, room
                    break
        return tuple(chosen) if low <= 0 <= high else None

    def fewest_for(self, kind: int, here: int, total: int) -> int | None:
        """Pieces it takes at least to reach a total length, with `here` left of length `kind`."""
        taken = 0
        for index in range(kind, len(self.lengths)):
            if total <= 0:
                break
            held = here if index == kind else self.counts[index]
            wanted = -(-total // self.lengths[index])
            used = min(held, wanted)
            taken += used
            total -= used * self.lengths[index]
        return taken if total <= 0 else None


@lru_cache(maxsize=64)
def stockroom(lengths: tuple[int, ...], counts: tuple[int, ...]) -> Stockroom:
    """One stockroom for one stock, so that what it has found out serves every panel."""
    return Stockroom(lengths, counts)


def _bound(room: Stockroom, state: State, needs: tuple[Need, ...]) -> Cost | None:
    """Pieces and length still to come at the very least; None: this make-up cannot be finished."""
    kind, run, here, so_far = state
    pieces = length = shortest = 0
    for index, (low, high) in enumerate(needs):
        first = kind + 1 if index < run else kind
        left, space = low - so_far[index], high - so_far[index]
        alone = room.best(first, left, space)
        least = room.shortest(first, left, space)
        if alone is None or least is None:
            return None
        pieces += alone[0]
        length += alone[1]
        shortest += least
    together = room.fewest_for(kind, here, shortest)
    if together is None:
        return None
    return (pieces, length) if pieces >= together else (together, shortest)


def best_runs(room: Stockroom, needs: tuple[Need, ...]) -> tuple[tuple[int, ...], ...] | None:
    """How many of each length go into each run, for the fewest pieces in all, then the least length.

    None: the stock cannot make up all of them.
    """
    alone = [room.pieces(low, high) for low, high in needs]
    if any(run is None for run in alone):
        return None
    chosen = [run for run in alone if run is not None]
    if all(
        sum(used) <= held for used, held in zip(zip(*chosen, strict=True), room.counts, strict=True)
    ):
        return tuple(chosen)
    return _search(room, needs)


def _search(room: Stockroom, needs: tuple[Need, ...]) -> tuple[tuple[int, ...], ...] | None:
    start: State = (0, 0, room.counts[0], (0,) * len(needs))
    bound = _bound(room, start, needs)
    if bound is None:
        return None
    ticket = count()
    queue: list[tuple[Cost, int, int, State, Cost]] = [(bound, 0, next(ticket), start, (0, 0))]
    came_from: dict[State, tuple[State, int] | None] = {start: None}
    paid: dict[State, Cost] = {start: (0, 0)}
    while queue:
        _, _, _, state, cost = heapq.heappop(queue)
        if cost > paid[state]:
            continue
        if state[0] == len(room.lengths):
            return _read_back(state, came_from, len(room.lengths), len(needs))
        for following, taken, longer in _choices(room, state, needs):
            so_far = (cost[0] + taken, cost[1] + longer)
            if following in paid and paid[following] <= so_far:
                continue
            to_come = _bound(room, following, needs)
            if to_come is None:
                continue
            paid[following] = so_far
            came_from[following] = (state, taken)
            total = (so_far[0] + to_come[0], so_far[1] + to_come[1])
            heapq.heappush(queue, (total, -following[0], next(ticket), following, so_far))
    return None


def _choices(
    room: Stockroom, state: State, needs: tuple[Need, ...]
) -> list[tuple[State, int, int]]:
    """Every number of pieces of the length in hand that the run in hand can take."""
    kind, run, here, so_far = state
    length = room.lengths[kind]
    space = needs[run][1] - so_far[run]
    found = []
    for number in range(min(here, space // length), -1, -1):
        grown = (*so_far[:run], so_far[run] + number * length, *so_far[run + 1 :])
        if run + 1 < len(needs):
            following: State = (kind, run + 1, here - number, grown)
        else:
            held = room.counts[kind + 1] if kind + 1 < len(room.counts) else 0
            following = (kind + 1, 0, held, grown)
        found.append((following, number, number * length))
    return found


def _read_back(
    state: State, came_from: dict[State, tuple[State, int] | None], kinds: int, runs: int
) -> tuple[tuple[int, ...], ...]:
    used = [[0] * kinds for _ in range(runs)]
    step = came_from[state]
    while step is not None:
        before, taken = step
        used[before[1]][before[0]] = taken
        step = came_from[before]
    return tuple(tuple(run) for run in used)
