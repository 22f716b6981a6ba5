"""Normal equations of a small least-squares problem, solved by Cholesky's method.

Written out because a library of matrices takes longer to load than all panels of a job to adjust.
"""

from collections.abc import Sequence
from math import sqrt


class Normal:
    """Of observations in `size` unknowns: add each, then solve."""

    def __init__(self, size: int) -> None:
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
        for i, factor in row:
            self._right[i] += factor * weight * wanted
            for j, other in row:
                self._matrix[i][j] += factor * weight * other

    def solve(self) -> list[float]:
        """The unknowns that fit best. Raises ValueError where they cannot be told apart."""
        return self._back(self._forward(self._right))

    def variance(self, row: Sequence[tuple[int, float]]) -> float:
        """Variance of the sum of factor times unknown after the adjustment."""
        right = [0.0] * self._size
        for i, factor in row:
            right[i] += factor
        return sum(value * value for value in self._forward(right))

    def _lower(self) -> list[list[float]]:
        """L of the matrix LLᵀ."""
        if self._root is None:
            root: list[list[float]] = []
            for i in range(self._size):
                row: list[float] = []
                for j in range(i):
                    known = sum(a * b for a, b in zip(row, root[j], strict=False))
                    row.append((self._matrix[i][j] - known) / root[j][j])
                left = self._matrix[i][i] - sum(value * value for value in row)
                if left <= 0:
                    raise ValueError("the observations do not fix every unknown")
                root.append([*row, sqrt(left)])
            self._root = root
        return self._root

    def _forward(self, right: Sequence[float]) -> list[float]:
        found: list[float] = []
        for row, value in zip(self._lower(), right, strict=True):
            known = sum(a * b for a, b in zip(row, found, strict=False))
            found.append((value - known) / row[len(found)])
        return found

    def _back(self, right: Sequence[float]) -> list[float]:
        lower = self._lower()
        found = [0.0] * self._size
        for i in reversed(range(self._size)):
            known = sum(lower[j][i] * found[j] for j in range(i + 1, self._size))
            found[i] = (right[i] - known) / lower[i][i]
        return found
