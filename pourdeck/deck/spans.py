"""Lines made of pieces of text, each with the name of its ink: what every list and drawing is made of.

A piece is made harmless when it is made (`say`), and again when it is painted, so that no text that people
typed can move the cursor or be read as markup. Widths are in terminal cells.
"""

import re
from collections.abc import Iterable

from rich.cells import cell_len, set_cell_size

from pourdeck.plan.messages import literal

Span = tuple[str, str]
"""Text and the name of its ink."""

Spans = tuple[Span, ...]

ELLIPSIS = "…"


def say(text: str, ink: str = "text") -> Span:
    """A piece of text, made harmless."""
    return literal(text), ink


def line(*pieces: Span | str) -> Spans:
    """A line of pieces; a bare string has the ink of plain text."""
    return tuple(say(piece) if isinstance(piece, str) else say(*piece) for piece in pieces)


def plain(spans: Iterable[Span]) -> str:
    """The words of a line, without their inks."""
    return "".join(text for text, _ in spans)


def cells(spans: Iterable[Span]) -> int:
    """How many cells a line takes."""
    return sum(cell_len(text) for text, _ in spans)


def cut(spans: Spans, width: int) -> Spans:
    """The line in at most `width` cells, `…` at its end where something had to go."""
    if cells(spans) <= width:
        return spans
    if width <= 0:
        return ()
    kept: list[Span] = []
    room = width - 1
    for text, ink in spans:
        size = cell_len(text)
        if size > room:
            kept.append((set_cell_size(text, room).rstrip(" ") + ELLIPSIS, ink))
            break
        kept.append((text, ink))
        room -= size
    return tuple(kept)


def fit(spans: Spans, width: int, ink: str = "text") -> Spans:
    """The line in exactly `width` cells: cut, or filled up with spaces of `ink`."""
    short = cut(spans, width)
    missing = width - cells(short)
    return (*short, (" " * missing, ink)) if missing > 0 else short


def justify(left: Spans, right: Spans, width: int, ink: str = "text") -> Spans:
    """`left` at the left and `right` at the right of `width` cells; the left one gives way."""
    right = cut(right, width)
    taken = cells(right)
    if not taken:
        return fit(left, width, ink)
    room = width - taken - 1
    if room <= 0:
        return ((" " * (width - taken), ink), *right) if taken < width else right
    return (*fit(left, room, ink), (" ", ink), *right)


_GLUED = re.compile(
    r"(?<=[0-9]) (?=(?:mm|m|ft|m[²³]|ft²|yd³|kg|lb|MPa|psi|km/h|mph|h)\b|°[CF])|(?<=[0-9]') (?=[0-9])"
)
"""Gaps inside a value: between a number and its unit, between feet and inches."""

_GLUE = "\u2007"


def wrap(spans: Spans, width: int, indent: int = 0) -> list[Spans]:
    """The line broken at spaces into lines of at most `width` cells, all but the first indented.

    A value is broken only where it is too long for a line by itself: half of one reads as another.
    """
    indent = max(0, min(indent, width - 8))
    done: list[Spans] = []
    row: list[Span] = []
    used = 0

    def turn() -> None:
        nonlocal row, used
        done.append(_trimmed(row))
        row = [(" " * indent, "text")] if indent else []
        used = indent

    for word, ink in _words(spans):
        size = cell_len(word)
        start = indent if done else 0
        gap = word[0] == " "
        if used + size > width and used > start and not gap:
            turn()
        if gap and used <= (indent if done else 0) and done:
            continue
        while size > width - used > 0 and not gap:
            head = _head(word, width - used)
            if not head:
                break
            row.append((head, ink))
            word = word[len(head) :]
            size = cell_len(word)
            turn()
        if word:
            row.append((word, ink))
            used += size
    done.append(_trimmed(row))
    return done


def _words(spans: Spans) -> Iterable[Span]:
    """Words and gaps, in turn."""
    for text, ink in spans:
        word = ""
        for char in _GLUED.sub(_GLUE, text):
            if word and (char == " ") != (word[-1] == " "):
                yield word, ink
                word = ""
            word += char
        if word:
            yield word, ink


def _head(word: str, width: int) -> str:
    """As much of the start of a word as fits."""
    size = 0
    for index, char in enumerate(word):
        size += cell_len(char)
        if size > width:
            return word[:index]
    return word


def _trimmed(row: list[Span]) -> Spans:
    while row and not row[-1][0].strip(" "):
        row = row[:-1]
    return tuple((text.replace(_GLUE, " "), ink) for text, ink in row)
