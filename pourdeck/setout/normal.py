"""Normal equations of a small least-squares problem, solved by Cholesky's method.

Written out because a library of matrices takes longer to load than all panels of a job to adjust.
"""

from collections.abc import Sequence
from math import sqrt
from operator import mul


class Normal:
    """Of observations in `size` unknowns: add each, then solve.

    `misfit`: the sum of the squares of what was wanted, each over its sigma.
    """

    def __init__(self, size: int) -> None:
        self.misfit = 0.0
        self._size = size
        self._matrix = [[0.0] * size for _ in range(size)]
        self._right = [0.0] * size
        self._root: list[list[float]] | None = None

    def add(self, row: Sequence[tuple[int, float]], wanted: float, sigma: float) -> None:
        """An observation: the sum of factor times unknown is `wanted`, give or take `sigma`.

        `row` holds the unknowns by number with their factors; the others have none.
        """
        self._root = None
        weight = 1 / (sigma * sigma)
        self.misfit += weight * wanted * wanted
        for i, factor in row:
            pull = factor * weight
            self._right[i] += pull * wanted
            into = self._matrix[i]
            for j, other in row:
                into[j] += pull * other

    def solve(self) -> list[float]:
        """The unknowns that fit best. Raises ValueError where they cannot be told apart."""
        return self._back(self._forward(self._right))

    def variance(self, row: Sequence[tuple[int, float]]) -> float:
        """Variance of the sum of factor times unknown after the adjustment."""
        right = [0.0] * self._size
        for i, factor in row:
            right[i] += factor
        found = self._forward(right)
        return float(sum(map(mul, found, found)))

    def _lower(self) -> list[list[float]]:
        """L of the matrix LLᵀ; each row ends on the diagonal."""
        if self._root is None:
            root: list[list[float]] = []
            for given in self._matrix:
                row: list[float] = []
                for left, above in zip(given, root, strict=False):
                    # What the row has so far is what both have in common.
                    row.append((left - sum(map(mul, row, above))) / above[-1])
                left = given[len(row)] - sum(map(mul, row, row))
                if left <= 0:
                    raise ValueError("the observations do not fix every unknown")
                row.append(sqrt(left))
                root.append(row)
            self._root = root
        return self._root

    def _forward(self, right: Sequence[float]) -> list[float]:
        found: list[float] = []
        for row, value in zip(self._lower(), right, strict=True):
            found.append((value - sum(map(mul, row, found))) / row[-1])
        return found

    def _back(self, right: Sequence[float]) -> list[float]:
        left = list(right)
        lower = self._lower()
        for i in reversed(range(self._size)):
            row = lower[i]
            left[i] /= row[i]
            for j in range(i):
                left[j] -= row[j] * left[i]
        return left
