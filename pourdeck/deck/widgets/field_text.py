"""The text of a field: keys by what they mean, pasted text made one line, and how the line is drawn."""

import re

from attrs import frozen
from rich.cells import cell_len, set_cell_size

from pourdeck.plan.numbers import LENGTH_LETTERS, refuse_characters

# Keys by what they mean, whatever name the terminal gives them.

_KEYPAD_CHARACTERS = {
    "decimal": ".",
    "separator": ",",
    "subtract": "-",
    "add": "+",
    "divide": "/",
    "multiply": "*",
    "equal": "=",
    "comma": ",",
    "period": ".",
    "minus": "-",
    "plus": "+",
    "slash": "/",
    "space": " ",
    "apostrophe": "'",
    "quotation_mark": '"',
}
_SAME = {"return": "enter", "ctrl+m": "enter", "ctrl+h": "backspace", "newline": "ctrl+j"}
_SAME |= {"prior": "pageup", "next": "pagedown", "page_up": "pageup", "page_down": "pagedown"}


def plain_key(key: str, character: str | None) -> tuple[str, str | None]:
    """Name without the keypad's prefix, and the character that the key stands for, if any.

    The character that came with the key goes before its name: on many keyboards the decimal key of
    the keypad types a comma.
    """
    name = key.removeprefix("kp_")
    name = _SAME.get(name, name)
    if character is not None and not is_control(character):
        return name, character
    if len(name) == 1:
        return name, name
    return name, _KEYPAD_CHARACTERS.get(name)


def is_control(character: str) -> bool:
    """C0, delete and C1."""
    return ord(character[0]) < 0x20 or 0x7F <= ord(character[0]) < 0xA0


def has_modifier(key: str) -> bool:
    """Held with Ctrl, Alt or the like; Shift alone is part of the character."""
    return any(f"{held}+" in key for held in ("ctrl", "alt", "super", "hyper", "meta"))


# A sentence in lines of a width, by cells and not by characters.


def wrap(text: str, width: int, most: int | None = None) -> list[str]:
    """Lines no wider than `width` cells; past `most` lines the rest is cut and marked with `…`."""
    if width < 1 or not text:
        return []
    lines = [""]
    for word in text.split(" "):
        lines.extend(_placed(lines.pop(), word, width))
    if most is None or len(lines) <= most:
        return lines
    last = set_cell_size(f"{lines[most - 1]} ", min(width - 1, cell_len(lines[most - 1])))
    return [*lines[: most - 1], f"{last}…"]


def _placed(line: str, word: str, width: int) -> list[str]:
    """The word put after the line, in as many lines as that takes."""
    together = f"{line} {word}" if line else word
    if cell_len(together) <= width:
        return [together]
    done = [line] if line else []
    while cell_len(word) > width:
        taken = len(word)
        while taken > 1 and cell_len(word[:taken]) > width:
            taken -= 1
        done.append(word[:taken])
        word = word[taken:]
    return [*done, word]


# What becomes of pasted text: trimmed, without its control bytes and said so, or refused whole.

_PASTE_MARKS = re.compile(r"\x1b?\[20[01]~")
_LINE_BREAKS = re.compile(r"\r\n|[\r\n\v\f\x85\u2028\u2029]")


@frozen
class Pasted:
    """`text` to put in, None: nothing. `notice` for the person, empty: nothing to say."""

    text: str | None
    notice: str


def into_number(raw: str, letters: str = LENGTH_LETTERS) -> Pasted:
    """One value of figures and of the letters that its units are made of, or a refusal."""
    clean, left_out = _without_controls(raw)
    lines = [line for line in _LINE_BREAKS.split(clean) if line.strip()]
    if len(lines) > 1:
        return Pasted(None, f"{len(lines)} lines pasted; this takes one value. Nothing was put in.")
    if "\t" in clean:
        return Pasted(None, "Several columns pasted; this takes one value. Nothing was put in.")
    if not clean:
        return Pasted(None, "Nothing to put in was pasted." + _said(left_out))
    if fault := refuse_characters(clean, letters=letters):
        return Pasted(None, f"{fault.title}. Nothing was put in.{_said(left_out)}")
    return Pasted(clean, _said(left_out).strip())


def into_text(raw: str) -> Pasted:
    """One line of text: line breaks and tabs as spaces, what does not print left out."""
    clean, left_out = _without_controls(raw)
    one_line = _LINE_BREAKS.sub(" ", clean).replace("\t", " ")
    spaced = "".join(" " if c.isspace() else c for c in one_line)
    text = "".join(c for c in spaced if c.isprintable())
    left_out += len(one_line) - len(text)
    notice = _said(left_out)
    if _LINE_BREAKS.search(clean):
        notice = f"Line breaks were put in as spaces.{notice}"
    if not text:
        return Pasted(None, f"Nothing to put in was pasted.{notice}")
    return Pasted(text, notice.strip())


def _without_controls(raw: str) -> tuple[str, int]:
    unmarked, marks = _PASTE_MARKS.subn("", raw)
    kept = "".join(c for c in unmarked if c in "\t\r\n\v\f\x85" or not _is_control(c))
    return kept.strip(" \t\r\n"), marks + len(unmarked) - len(kept)


def _is_control(character: str) -> bool:
    return ord(character) < 0x20 or 0x7F <= ord(character) < 0xA0


def _said(left_out: int) -> str:
    if not left_out:
        return ""
    return f" {left_out} control character{'s were' if left_out > 1 else ' was'} left out."


# The line of a field: `▸[ 300      ] mm` with the cursor in it, whatever the width.
#
# Text that does not print takes one cell as a stand-in. What does not fit scrolls with the cursor,
# and `‹` or `›` in place of a character shows that more stands there.

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
