"""From words to what the toolkit paints: pieces of lines, looks, and painting only what changed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from attrs import field, frozen
from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.containers import Horizontal, Vertical
from textual.geometry import Region, Size
from textual.reactive import Reactive
from textual.strip import Strip
from textual.theme import Theme
from textual.widget import Widget

from pourdeck.deck.inks import Ink, daylight_inks, plain_inks, shed_inks
from pourdeck.plan.messages import literal

if TYPE_CHECKING:
    from rich.text import Text


# The one way from what people typed to a widget: shown as it stands, never read as markup.


def text(value: str, style: str = "") -> Text:
    """A Rich text that shows `value` literally, for what takes Rich renderables."""
    from rich.text import Text

    return Text(literal(value), style=style, end="")


# Lines made of pieces of text, each with the name of its ink: what every list and drawing is made of.
#
# A piece is made harmless when it is made (`say`), and again when it is painted, so that no text that
# people typed can move the cursor or be read as markup. Widths are in terminal cells.

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
    """Count the cells that a line takes."""
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


# The looks of the deck: dark for the shed, for daylight, without colour; and what the toolkit takes.


@frozen(kw_only=True, eq=False, repr=False)
class Look:
    """All inks of a theme by name. `ground` and `rule` are None in a theme without colours."""

    name: str
    title: str
    dark: bool
    ground: str | None
    rule: str | None
    inks: Mapping[str, Ink]
    ascii_only: bool = False
    _styles: dict[str, Style] = field(factory=dict, init=False, eq=False, repr=False)

    def ink(self, name: str) -> Ink:
        """An ink by its name; one that is not known is plain text."""
        return self.inks.get(name, self.inks["text"])

    def style(self, name: str) -> Style:
        """The Rich style of an ink, its background always set where the theme has colours."""
        known = self._styles.get(name)
        if known is None:
            ink = self.ink(name)
            known = self._styles[name] = Style(
                color=ink.fg or self.inks["text"].fg,
                bgcolor=ink.bg or self.ground,
                bold=ink.bold or None,
                underline=ink.underline or None,
                reverse=ink.reverse or None,
            )
        return known

    def variables(self) -> dict[str, str]:
        """Name the colours of the theme for the style sheets of the deck."""
        text = self.inks["text"].fg or "ansi_default"
        ground = self.ground or "ansi_default"
        bar = self.inks["bar"]
        return {
            "deck-ground": ground,
            "deck-text": text,
            "deck-rule": self.rule or "ansi_default",
            "deck-bar": bar.bg or "ansi_default",
            "deck-bar-text": bar.fg or "ansi_default",
            "deck-field": self.inks["field"].bg or "ansi_default",
            "deck-field-text": self.inks["field"].fg or "ansi_default",
        }


SHED = Look(
    name="shed", title="Shed (dark)", dark=True, ground="#121212", rule="#808080", inks=shed_inks()
)
DAYLIGHT = Look(
    name="daylight",
    title="Daylight (dark on white)",
    dark=False,
    ground="#ffffff",
    rule="#444444",
    inks=daylight_inks(),
)
PLAIN = Look(name="plain", title="No colour", dark=True, ground=None, rule=None, inks=plain_inks())

LOOKS: dict[str, Look] = {look.name: look for look in (SHED, DAYLIGHT, PLAIN)}


def textual_theme(look: Look) -> Theme:
    """The theme for the toolkit: its own shades are all replaced by exact colours of ours."""
    if look.ground is None:
        return Theme(
            name=look.name,
            primary="ansi_default",
            foreground="ansi_default",
            background="ansi_default",
            surface="ansi_default",
            panel="ansi_default",
            boost="ansi_default",
            ansi=True,
            dark=look.dark,
            variables=look.variables() | _stock_variables(look),
        )
    text = look.inks["text"].fg or "#eeeeee"
    key = look.inks["key"].fg
    return Theme(
        name=look.name,
        primary=key or text,
        secondary=text,
        accent=key,
        warning=look.inks["warning"].fg,
        error=look.inks["error"].fg,
        success=look.inks["done"].fg,
        foreground=text,
        background=look.ground,
        surface=look.ground,
        panel=look.ground,
        boost=look.ground,
        dark=look.dark,
        luminosity_spread=0.0,
        text_alpha=1.0,
        variables=look.variables() | _stock_variables(look),
    )


def _stock_variables(look: Look) -> dict[str, str]:
    """Colours of the few stock widgets in use: text fields, and what the toolkit draws by itself."""
    text = look.inks["text"].fg or "ansi_default"
    ground = look.ground or "ansi_default"
    field_ink, cursor = look.inks["field"], look.inks["cursor"]
    field_bg, field_fg = field_ink.bg or "ansi_default", field_ink.fg or "ansi_default"
    cursor_bg, cursor_fg = cursor.bg or "ansi_default", cursor.fg or "ansi_default"
    reverse = look.ground is None
    named = {
        f"text-{name}": look.inks[ink].fg or "ansi_default"
        for name, ink in (
            ("primary", "key"), ("secondary", "text"), ("accent", "key"),
            ("warning", "warning"), ("error", "error"), ("success", "done"),
        )
    }  # fmt: skip
    return named | {
        "ansi-background": ground,
        "ansi-foreground": text,
        "text": text,
        "text-muted": text,
        "text-disabled": text,
        "foreground-muted": text,
        "foreground-disabled": text,
        "input-cursor-background": field_fg,
        "input-cursor-foreground": field_bg,
        "input-cursor-text-style": "reverse" if reverse else "none",
        "input-selection-background": cursor_bg,
        "input-selection-foreground": cursor_fg,
        "screen-selection-background": cursor_bg,
        "screen-selection-foreground": cursor_fg,
        "border": text,
        "border-blurred": look.rule or "ansi_default",
        "scrollbar": look.rule or "ansi_default",
        "scrollbar-hover": text,
        "scrollbar-active": text,
        "scrollbar-background": ground,
        "scrollbar-background-hover": ground,
        "scrollbar-background-active": ground,
        "scrollbar-corner-color": ground,
    }


# Which look a widget is to be painted in.


def look_of(widget: Widget) -> Look:
    """The look of the app the widget is in; of another app, the one that has no colours or the dark one."""
    app = widget.app
    look = getattr(app, "look", None)
    if isinstance(look, Look):
        return look
    return PLAIN if app.native_ansi_color else SHED


# From lines of pieces to what the toolkit paints.

_ASCII = str.maketrans(
    {
        **dict.fromkeys("─═╌━┄", "-"),
        **dict.fromkeys("│║┊┃╎", "|"),
        **dict.fromkeys("┌┐└┘├┤┬┴┼╪╫╬┏┓┗┛", "+"),
        **dict.fromkeys("▒▓", "%"),
        **dict.fromkeys("▔▁", "="),
        **dict.fromkeys("▸►→›", ">"),
        **dict.fromkeys("◂◄←‹", "<"),
        **dict.fromkeys("·•", "."),
        **dict.fromkeys("–−", "-"),
        "█": "#", "░": ":", "╱": "/", "▲": "^", "△": "^", "↑": "^", "▼": "v", "↓": "v",
        "●": "@", "○": "o", "◊": "v", "■": "#", "□": "n", "▪": "#", "≈": "~", "✓": "+", "✗": "x",
        "»": ">", "…": "~", "×": "x", "²": "2", "³": "3", "°": "o", "⌀": "d", "¦": "|", "µ": "u",
    }
)  # fmt: skip


def strip(
    spans: Spans, look: Look, width: int, *, base: str = "text", over: str | None = None
) -> Strip:
    """A line of exactly `width` cells. `over`: one ink for all of it, as for the row of the cursor."""
    pieces: list[tuple[str, str]] = []
    for text, ink in fit(spans, width, base):
        shown = over if over is not None else ink
        if pieces and pieces[-1][1] == shown:
            # Fewer changes of ink are fewer bytes over a bad line.
            pieces[-1] = (pieces[-1][0] + text, shown)
        elif text:
            pieces.append((text, shown))
    return Strip([Segment(_shown(text, look), look.style(ink)) for text, ink in pieces], width)


def _shown(text: str, look: Look) -> str:
    safe = literal(text)
    return safe.translate(_ASCII) if look.ascii_only else safe


# Painting only what changed, and once: over a bad line every row counts.


class Steady(Widget):
    """A widget that scrolls by itself or not at all.

    The toolkit lays a screen out and paints it twice where a widget gets another size, in case it has to
    scroll; this one is painted once.
    """

    virtual_size: Reactive[Size] = Reactive(Size(0, 0), layout=False, repaint=False)


class SteadyRow(Horizontal):
    """Widgets side by side, painted once; see `Steady`."""

    virtual_size: Reactive[Size] = Reactive(Size(0, 0), layout=False, repaint=False)


class SteadyColumn(Vertical):
    """Widgets one below the other, painted once; see `Steady`."""

    virtual_size: Reactive[Size] = Reactive(Size(0, 0), layout=False, repaint=False)


def repaint_rows(widget: Widget, rows: Iterable[int]) -> None:
    """Paint these rows of a widget's content anew, and no others."""
    gutter = widget.gutter
    width, height = widget.content_size
    regions = [
        Region(gutter.left, gutter.top + row, width, 1)
        for row in sorted(set(rows))
        if 0 <= row < height
    ]
    if regions:
        widget.refresh(*regions)


def changed_rows(before: Sequence[Spans], after: Sequence[Spans]) -> list[int]:
    """The rows that differ between two pictures of the same height."""
    return [row for row, (old, new) in enumerate(zip(before, after, strict=True)) if old != new]
