"""Where the buttons of a keypad stand: as large as the room allows, the one that takes apart.

In cells. Buttons are three rows by five columns where they fit, for gloves, and one row otherwise;
the button that takes is at least twelve columns wide and two columns or a row away.
"""

from collections.abc import Callable

from attrs import evolve, frozen

GAP = 2
TAKE = 12
_FIGURES = ("7", "8", "9", "4", "5", "6", "1", "2", "3", "0")


@frozen
class Button:
    """`key` as on a keyboard, `short` a label of one cell for tight rooms; then the region."""

    key: str
    label: str
    short: str = ""
    x: int = 0
    y: int = 0
    width: int = 0
    height: int = 0

    def covers(self, x: int, y: int) -> bool:
        return self.x <= x < self.x + self.width and self.y <= y < self.y + self.height


Layout = tuple[Button, ...]


def lay_out(keys: Layout, take: Button, width: int, height: int) -> Layout:
    """All buttons, placed; the smallest arrangement where even that has not enough room."""
    tries: tuple[Callable[[], Layout | None], ...] = (
        lambda: _calculator(keys, take, width),
        lambda: _beside(keys, take, width, 5, 3),
        lambda: _above(keys, take, width, 5, 3),
        lambda: _beside(keys, take, width, 5, 1),
        lambda: _beside(keys, take, width, 3, 1),
    )
    for arrange in tries:
        placed = arrange()
        if placed is not None and rows_of(placed) <= height:
            return placed
    return _above(keys, take, width, 3, 1)


def rows_of(layout: Layout) -> int:
    return max((button.y + button.height for button in layout), default=0)


def _calculator(keys: Layout, take: Button, width: int) -> Layout | None:
    """Figures as on a calculator, the mark and Del beside the nought, the rest to the right."""
    by_key = {button.key: button for button in keys}
    block = [by_key[key] for key in (*_FIGURES, ".", ":", "backspace") if key in by_key]
    if len(block) < 12:
        return None
    others = [button for button in keys if button not in block]
    columns = 3 + -(-len(others) // 4)
    if columns * 5 + GAP + TAKE > width:
        return None
    placed = [_at(button, 5 * (n % 3), 3 * (n // 3), 5, 3) for n, button in enumerate(block)]
    placed += [_at(b, 15 + 5 * (n // 4), 3 * (n % 4), 5, 3) for n, b in enumerate(others)]
    return (*placed, _at(take, columns * 5 + GAP, 0, TAKE, 12))


def _beside(keys: Layout, take: Button, width: int, wide: int, tall: int) -> Layout | None:
    most = (width - TAKE - GAP) // wide
    if most < 5:
        return None
    columns = max(5, _even(len(keys), most))
    placed = _flow(keys, columns, wide, tall)
    return (*placed, _at(take, columns * wide + GAP, 0, TAKE, rows_of(placed)))


def _above(keys: Layout, take: Button, width: int, wide: int, tall: int) -> Layout:
    columns = min(len(keys), max(1, width // wide))
    placed = _flow(keys, columns, wide, tall)
    return (*placed, _at(take, 0, rows_of(placed) + 1, max(TAKE, min(width, 24)), tall))


def _even(count: int, most: int) -> int:
    """Columns, so that the fewest rows that hold `count` are filled alike."""
    rows = -(-count // most)
    return -(-count // rows)


def _flow(keys: Layout, columns: int, wide: int, tall: int) -> Layout:
    return tuple(
        _at(button, n % columns * wide, n // columns * tall, wide, tall)
        for n, button in enumerate(keys)
    )


def _at(button: Button, x: int, y: int, width: int, height: int) -> Button:
    return evolve(button, x=x, y=y, width=width, height=height)
