"""The best way to make up several runs from one stock: fewest pieces, then least length.

Best-first search over the stock lengths, one run at a time. What is still to come is never overrated:
each run by itself can do no better than its own best from the lengths left, and all together no better
than the longest pieces that are left. So the first finished make-up taken from the queue is the optimum.
Runs with the same need are the same to the search, whichever of them is the longer. Whole numbers
throughout; the caller scales.
"""

import heapq
from functools import cache, lru_cache
from itertools import count
from math import gcd

Need = tuple[int, int]
"""Least and greatest length of a run."""

Cost = tuple[int, int]
"""Pieces, then total length."""

State = tuple[int, int, int, tuple[int, ...]]
"""Stock length and run being decided, pieces of that length left, length of each run so far."""


def odd_ones_first(lengths: tuple[int, ...]) -> tuple[int, ...]:
    """The order to decide lengths in: those that share least with the others first, then the longer.

    What an odd length alone can make up is found out, or found impossible, before the rest multiply.
    """

    def shared(place: int) -> int:
        return sum(gcd(lengths[place], other) for n, other in enumerate(lengths) if n != place)

    return tuple(sorted(range(len(lengths)), key=lambda place: (shared(place), -lengths[place])))


MOST_WORK = 4_000_000
"""Steps after which a search is given up: some seconds. No kit of real forms comes near it."""

FINEST = 100_000
"""Units that a total length is split into at most, so that odd lengths do not take all memory."""


class TooManyWaysError(Exception):
    """A stock of so many odd lengths that its best runs were not found within `MOST_WORK`."""


class Stockroom:
    """One stock: lengths and how many are held of each, kept in the order they are decided in."""

    def __init__(self, lengths: tuple[int, ...], counts: tuple[int, ...]) -> None:
        self._order = odd_ones_first(lengths)
        self.lengths = tuple(lengths[place] for place in self._order)
        self.counts = tuple(counts[place] for place in self._order)
        kinds = range(len(lengths))
        self._longest_left = tuple(max(self.lengths[kind + 1 :], default=0) for kind in kinds)
        self._falling = tuple(sorted(kinds, key=lambda kind: -self.lengths[kind]))
        self.work = 0
        self._best = cache(self._find_best)
        self._shortest = cache(self._find_shortest)

    def as_given(self, used: tuple[int, ...]) -> tuple[int, ...]:
        """Pieces of each length in the order the lengths were given in."""
        given = [0] * len(used)
        for place, number in zip(self._order, used, strict=True):
            given[place] = number
        return tuple(given)

    def spend(self, steps: int) -> None:
        """Count what a search has cost. Raises TooManyWaysError."""
        self.work += steps
        if self.work > MOST_WORK:
            raise TooManyWaysError

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
        after = self._longest_left[kind]
        best: Cost | None = None
        most = min(self.counts[kind], high // length)
        self.spend(most + 1)
        for number in range(most, -1, -1):
            left = low - number * length
            if best is not None and left > 0:
                at_least = number + (-(-left // after) if after else 1)
                if at_least > best[0]:
                    if after <= length:
                        break
                    continue
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
        most = min(self.counts[kind], high // length)
        self.spend(most + 1)
        for number in range(most, -1, -1):
            rest = self.shortest(kind + 1, low - number * length, high - number * length)
            if rest is not None:
                found = number * length + rest
                best = found if best is None else min(best, found)
                if best == low:
                    break
        return best

    def pieces(self, low: int, high: int) -> tuple[int, ...] | None:
        """Give how many of each length make up the best run by itself; None: impossible."""
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

    def most_for(self, kind: int, here: int, total: int) -> int:
        """Pieces that can go into a total length at most, with `here` left of length `kind`."""
        left = here + sum(self.counts[kind + 1 :])
        return min(left, total // min(self.lengths[kind:])) if left else 0

    def fewest_for(self, kind: int, here: int, total: int) -> int | None:
        """Pieces it takes at least to reach a total length, with `here` left of length `kind`."""
        taken = 0
        for index in self._falling:
            if total <= 0:
                break
            if index < kind:
                continue
            held = here if index == kind else self.counts[index]
            wanted = -(-total // self.lengths[index])
            used = min(held, wanted)
            taken += used
            total -= used * self.lengths[index]
        return taken if total <= 0 else None


class Totals:
    """The total lengths that so many pieces of what is left of a stock can have, up to `most`.

    A total is a bit of a whole number, in units of the greatest length that divides all others; where
    that would be too fine, in coarser ones, and what is said of a total is then rather too little.
    """

    def __init__(self, room: Stockroom, most: int) -> None:
        exact = gcd(*room.lengths)
        self._unit = max(exact, -(-most // FINEST))
        self._exact = self._unit == exact
        self._room = room
        self._lengths = tuple(length // self._unit for length in room.lengths)
        self._counts = room.counts
        self._mask = (1 << (most // self._unit + 1)) - 1
        self._reach = cache(self._find_reach)

    def _find_reach(self, kind: int, here: int, pieces: int) -> int:
        if kind == len(self._lengths):
            return 1 if pieces == 0 else 0
        after = self._counts[kind + 1] if kind + 1 < len(self._counts) else 0
        found = 0
        self._room.spend(20 * (min(here, pieces) + 1))
        for number in range(min(here, pieces) + 1):
            found |= self._reach(kind + 1, after, pieces - number) << number * self._lengths[kind]
        return found & self._mask

    def least(self, kind: int, here: int, pieces: int, total: int) -> int | None:
        """Give the least total of exactly so many pieces from `total` up; None: there is none."""
        # Each piece may be up to a unit longer than counted.
        first = -(-total // self._unit) if self._exact else max(0, total // self._unit - pieces)
        above = self._reach(kind, here, pieces) >> first
        if not above:
            return None
        return max(total, (first + (above & -above).bit_length() - 1) * self._unit)


@lru_cache(maxsize=64)
def stockroom(lengths: tuple[int, ...], counts: tuple[int, ...]) -> Stockroom:
    """One stockroom for one stock, so that what it has found out serves every panel."""
    return Stockroom(lengths, counts)


def _bound(room: Stockroom, totals: Totals, state: State, needs: tuple[Need, ...]) -> Cost | None:
    """Pieces and length still to come at the very least; None: this make-up cannot be finished."""
    kind, run, here, so_far = state
    pieces = length = shortest = longest = 0
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
        longest += space
    together = room.fewest_for(kind, here, shortest)
    if together is None:
        return None
    for number in range(max(pieces, together), room.most_for(kind, here, longest) + 1):
        # With just the fewest pieces every run is its own best, and no shorter.
        floor = length if number == pieces else shortest
        total = totals.least(kind, here, number, floor)
        if total is not None and total <= longest:
            return number, total
    return None


def best_runs(room: Stockroom, needs: tuple[Need, ...]) -> tuple[tuple[int, ...], ...] | None:
    """Give how many of each length go into each run, for the fewest pieces in all, then the least length.

    In the order the lengths were given in. None: the stock cannot make up all of the runs. Raises
    TooManyWaysError where that was not found out within `MOST_WORK`.
    """
    room.work = 0
    alone = {need: room.pieces(*need) for need in set(needs)}
    chosen = [run for need in needs if (run := alone[need]) is not None]
    if len(chosen) < len(needs):
        return None
    used = [sum(pieces) for pieces in zip(*chosen, strict=True)]
    if any(wanted > held for wanted, held in zip(used, room.counts, strict=True)):
        found = _search(room, needs)
        if found is None:
            return None
        chosen = list(found)
    return tuple(room.as_given(run) for run in chosen)


Step = tuple[State, int, tuple[int, ...]]
"""Where a state came from, how many pieces were taken, and which run each of its runs was there."""


def _search(room: Stockroom, needs: tuple[Need, ...]) -> tuple[tuple[int, ...], ...] | None:
    start: State = (0, 0, room.counts[0], (0,) * len(needs))
    totals = Totals(room, sum(high for _, high in needs))
    bound = _bound(room, totals, start, needs)
    if bound is None:
        return None
    alike = _alike(needs)
    ticket = count()
    queue: list[tuple[Cost, int, int, State, Cost]] = [(bound, 0, next(ticket), start, (0, 0))]
    came_from: dict[State, Step | None] = {start: None}
    paid: dict[State, Cost] = {start: (0, 0)}
    while queue:
        _, _, _, state, cost = heapq.heappop(queue)
        if cost > paid[state]:
            continue
        if state[0] == len(room.lengths):
            return _read_back(state, came_from, len(room.lengths), len(needs))
        for raw, taken, longer in _choices(room, state, needs):
            following, turned = _in_order(raw, alike)
            so_far = (cost[0] + taken, cost[1] + longer)
            if following in paid and paid[following] <= so_far:
                continue
            room.spend(50)
            to_come = _bound(room, totals, following, needs)
            if to_come is None:
                continue
            paid[following] = so_far
            came_from[following] = (state, taken, turned)
            total = (so_far[0] + to_come[0], so_far[1] + to_come[1])
            heapq.heappush(queue, (total, -following[0], next(ticket), following, so_far))
    return None


def _alike(needs: tuple[Need, ...]) -> list[list[int]]:
    """Runs that have the same need, by their places."""
    groups: dict[Need, list[int]] = {}
    for place, need in enumerate(needs):
        groups.setdefault(need, []).append(place)
    return list(groups.values())


def _in_order(state: State, alike: list[list[int]]) -> tuple[State, tuple[int, ...]]:
    """The state with the longer of alike runs first, between two lengths; and where each run was."""
    kind, run, here, so_far = state
    turned = list(range(len(so_far)))
    if run:
        return state, tuple(turned)
    for places in alike:
        falling = sorted(places, key=lambda place: -so_far[place])
        for place, was in zip(places, falling, strict=True):
            turned[place] = was
    return (kind, run, here, tuple(so_far[was] for was in turned)), tuple(turned)


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
    state: State, came_from: dict[State, Step | None], kinds: int, runs: int
) -> tuple[tuple[int, ...], ...]:
    """Pieces of each length in each run, from the last state back to the first."""
    used = [[0] * kinds for _ in range(runs)]
    ends_as = list(range(runs))
    step = came_from[state]
    while step is not None:
        before, taken, turned = step
        earlier = list(ends_as)
        for place, was in enumerate(turned):
            earlier[was] = ends_as[place]
        ends_as = earlier
        used[ends_as[before[1]]][before[0]] = taken
        step = came_from[before]
    return tuple(tuple(run) for run in used)
