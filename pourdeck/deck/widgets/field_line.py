"""The line of a field: `▸[ 300      ] mm` with the cursor in it, whatever the width.

Text that does not print takes one cell as a stand-in. What does not fit scrolls with the cursor,
and `‹` or `›` in place of a character shows that more stands there.
"""

from attrs import frozen
from rich.cells import cell_len

_STAND_IN = "\ufffd"
_FRAME = 5  # the arrow, both brackets, a space, and the mark


@frozen(kw_only=True)
class Look:
    """`cursor` None: not being edited. `room` cells at most for the text, None: all there is.

    `whole`: what is typed takes the place of all of it.
    """

    text: str
    cursor: int | None
    focused: bool
    mark: str
    unit: str
    room: int | None
    whole: bool = False


def line_parts(look: Look, width: int) -> list[tuple[str, str]]:
    """Style and text of each part from left to right: frame, text, cursor, text, frame."""
    room = _room(look, width)
    start, end = _window(look, room)
    glyphs = _glyphs(look.text)
    inside = [
        glyphs[at] if at == look.cursor else _as_shown(glyphs, at, start, end)
        for at in range(start, end)
    ]
    cursor = None if look.cursor is None else look.cursor - start
    left = "".join(inside if cursor is None else inside[:cursor])
    parts = [("frame", f"{'▸' if look.focused else ' '}[ "), ("text", left)]
    used = sum(map(cell_len, inside))
    if look.whole:
        parts = [parts[0], ("cursor", "".join(inside))]
    elif cursor is not None:
        parts.append(("cursor", inside[cursor] if cursor < len(inside) else " "))
        parts.append(("text", "".join(inside[cursor + 1 :])))
        used += cursor >= len(inside)
    closing = f"{' ' * max(0, room - used)}{look.mark}]"
    return [*parts, ("frame", f"{closing} {look.unit}".rstrip(" "))]


def text_fits(look: Look, width: int) -> bool:
    """True where the whole text is in sight."""
    return _window(look, _room(look, width)) == (0, len(look.text))


def place_at(look: Look, width: int, x: int) -> int:
    """Where in the text the cursor goes for a click in column `x`."""
    start, end = _window(look, _room(look, width))
    glyphs = _glyphs(look.text)
    column = 3
    for at in range(start, end):
        column += cell_len(glyphs[at])
        if x < column:
            return at
    return end


def _room(look: Look, width: int) -> int:
    free = max(2, width - _FRAME - (len(look.unit) + 1 if look.unit else 0))
    return free if look.room is None else min(free, max(2, look.room))


def _glyphs(text: str) -> list[str]:
    return [c if c.isprintable() else _STAND_IN for c in text]


def _as_shown(glyphs: list[str], at: int, start: int, end: int) -> str:
    more_left = at == start and start > 0
    more_right = at == end - 1 and end < len(glyphs)
    cells = cell_len(glyphs[at])
    if not (more_left or more_right) or end - start < 3 or not cells:
        return glyphs[at]
    return ("‹" if more_left else "›").ljust(cells)


def _window(look: Look, room: int) -> tuple[int, int]:
    """The stretch of text in sight, with the cursor in it and room for the signs where there is."""
    cells = [cell_len(glyph) for glyph in _glyphs(look.text)]
    count = len(cells)
    at_end = look.cursor == count
    if sum(cells) + at_end <= room:
        return 0, count
    cursor = look.cursor or 0
    start = cursor
    left = room - (cells[cursor] if cursor < count else 1)
    if cursor < count - 1:
        left -= cells[cursor + 1]
    while start > 0 and cells[start - 1] <= left:
        start -= 1
        left -= cells[start]
    end, used = start, int(at_end)
    while end < count and used + cells[end] <= room:
        used += cells[end]
        end += 1
    # A sign stands in for a base character, not for an accent on it.
    while start < cursor and not cells[start]:
        start += 1
    while end < count and end > start + 1 and not cells[end - 1]:
        end -= 1
    return start, end
