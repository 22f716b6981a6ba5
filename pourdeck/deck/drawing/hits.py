"""What a click on a drawing means: rectangles of cells, the last one on top."""

from typing import Generic, TypeVar

from attrs import define, field, frozen

What = TypeVar("What")


@frozen(eq=False, repr=False)
class Hit(Generic[What]):
    """A rectangle of cells, and what it stands for."""

    x: int
    y: int
    width: int
    height: int
    what: What

    def holds(self, x: int, y: int) -> bool:
        return self.x <= x < self.x + self.width and self.y <= y < self.y + self.height


@define(eq=False, repr=False)
class Hits(Generic[What]):
    """All of a drawing's."""

    found: list[Hit[What]] = field(factory=list)

    def add(self, x: int, y: int, width: int, height: int, what: What) -> None:
        self.found.append(Hit(x, y, width, height, what))

    def at(self, x: int, y: int) -> What | None:
        """What stands at a cell, None where nothing does."""
        return next((hit.what for hit in reversed(self.found) if hit.holds(x, y)), None)
