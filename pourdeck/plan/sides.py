"""The four sides and four corners of a panel, and a record that holds one thing for each side.

Look down on the stack with the wall's bottom edge nearest you: base is nearest, head furthest.
"""

from collections.abc import Callable, Iterator
from typing import Generic, Literal, TypeVar

from attrs import frozen

Side = Literal["base", "right", "head", "left"]
Corner = Literal["bl", "br", "hr", "hl"]

SIDES: tuple[Side, ...] = ("base", "right", "head", "left")
"""In the order of the walk round the panel, counter-clockwise seen from above."""

CORNERS: tuple[Corner, ...] = ("bl", "br", "hr", "hl")

T = TypeVar("T")
U = TypeVar("U")


@frozen
class Sides(Generic[T]):
    """One thing for each of the four sides."""

    base: T
    right: T
    head: T
    left: T

    def __getitem__(self, side: Side) -> T:
        return getattr(self, side)  # type: ignore[no-any-return]

    def items(self) -> Iterator[tuple[Side, T]]:
        """Side and thing, in the order of the walk round the panel."""
        yield "base", self.base
        yield "right", self.right
        yield "head", self.head
        yield "left", self.left

    def values(self) -> tuple[T, T, T, T]:
        return self.base, self.right, self.head, self.left

    def map(self, change: Callable[[T], U]) -> "Sides[U]":
        return Sides(change(self.base), change(self.right), change(self.head), change(self.left))

    @classmethod
    def of(cls, make: Callable[[Side], T]) -> "Sides[T]":
        """Build from a function of the side."""
        return cls(make("base"), make("right"), make("head"), make("left"))
