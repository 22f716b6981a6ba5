"""The inks of the deck: one dark theme, one for daylight, and one without any colour.

Every colour is a member of the 256-colour palette of xterm (levels 00 5f 87 af d7 ff, or its grey ramp), so
that a terminal that knows no more shows the very same. `daylight` is dark on white throughout: light that
falls on a screen is added to both sides, and takes least from dark on white. State is in words and signs;
an ink only helps to find it again.
"""

from collections.abc import Mapping

from attrs import field, frozen
from rich.style import Style
from textual.theme import Theme


@frozen
class Ink:
    """Colour of the text and of what is behind it; None: the terminal's own, or the ground."""

    fg: str | None = None
    bg: str | None = None
    bold: bool = False
    underline: bool = False
    reverse: bool = False


@frozen(kw_only=True)
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
        """What the style sheets of the deck know of the theme."""
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


def _shed() -> dict[str, Ink]:
    white, text, quiet = "#ffffff", "#eeeeee", "#bcbcbc"
    amber, green, red, blue = "#ffd75f", "#87d787", "#ffafaf", "#87d7ff"
    bar, deep = "#262626", "#005f87"
    return {
        "text": Ink(text),
        "strong": Ink(white, bold=True),
        "quiet": Ink(quiet),
        "value": Ink(white, bold=True),
        "heading": Ink(blue, bold=True),
        "rule": Ink("#808080"),
        "bar": Ink(text, bar),
        "bar-quiet": Ink(quiet, bar),
        "bar-strong": Ink(white, bar, bold=True),
        "tab": Ink(text, bar),
        "tab-on": Ink("#121212", amber, bold=True),
        "key": Ink(amber, bold=True),
        "label": Ink(text),
        "cursor": Ink(white, deep, bold=True),
        "cursor-off": Ink(white, "#3a3a3a"),
        "open": Ink(text),
        "done": Ink(green),
        "failed": Ink(red, bold=True),
        "deferred": Ink(amber),
        "n/a": Ink(quiet),
        "locked": Ink(quiet),
        "void": Ink("#ffaf5f", bold=True),
        "error": Ink(red, bold=True),
        "warning": Ink(amber),
        "saved": Ink(green, bar),
        "refused": Ink(red, bar, bold=True),
        "note": Ink(text, bar),
        "button": Ink(text, bar),
        "button-on": Ink("#121212", amber, bold=True),
        "field": Ink(white, bar),
        "field-bad": Ink(red, bar, bold=True),
        "edge": Ink(text),
        "below": Ink(quiet),
        "fill": Ink("#ffaf5f"),
        "opening": Ink(blue),
        "castin": Ink(green),
        "anchor": Ink("#d7afff"),
        "bracket": Ink(amber),
        "offset": Ink(white, bold=True),
        "highlight": Ink("#121212", amber, bold=True),
        "hand": Ink(amber, bold=True),
        "concrete": Ink(quiet),
        "future": Ink(text),
        "mark": Ink(white, bold=True),
        "bed": Ink(quiet),
    }


def _daylight() -> dict[str, Ink]:
    """Black and navy on white and on grounds nearly as light: rose or sand would be too dark in the sun."""
    black, navy = "#000000", "#00005f"
    strong, pale, mint, sky, bar = "#ffff5f", "#ffffd7", "#d7ffd7", "#d7ffff", "#eeeeee"
    plain, bold = Ink(black), Ink(black, bold=True)
    alarm = Ink(black, bold=True, underline=True)
    focus = Ink(black, strong, bold=True)
    return {
        "text": plain,
        "strong": bold,
        "quiet": plain,
        "value": bold,
        "heading": Ink(navy, bold=True, underline=True),
        "rule": plain,
        "bar": Ink(black, bar),
        "bar-quiet": Ink(black, bar),
        "bar-strong": Ink(black, bar, bold=True),
        "tab": Ink(black, bar),
        "tab-on": focus,
        "key": Ink(navy, bold=True),
        "label": plain,
        "cursor": focus,
        "cursor-off": Ink(black, pale),
        "open": plain,
        "done": Ink(black, mint),
        "failed": alarm,
        "deferred": Ink(black, pale),
        "n/a": plain,
        "locked": plain,
        "void": alarm,
        "error": alarm,
        "warning": Ink(black, pale),
        "saved": Ink(black, mint),
        "refused": Ink(black, pale, bold=True),
        "note": Ink(black, bar),
        "button": Ink(black, bar),
        "button-on": focus,
        "field": Ink(black, sky),
        "field-bad": Ink(black, pale, bold=True, underline=True),
        "edge": bold,
        "below": plain,
        "fill": Ink(black, pale),
        "opening": Ink(navy),
        "castin": Ink(black, mint),
        "anchor": Ink(navy, bold=True),
        "bracket": bold,
        "offset": bold,
        "highlight": focus,
        "hand": bold,
        "concrete": plain,
        "future": plain,
        "mark": bold,
        "bed": plain,
    }


def _plain() -> dict[str, Ink]:
    """No colours at all: bold, underlining and reverse carry what signs and words do not."""
    bold, reverse = Ink(bold=True), Ink(reverse=True, bold=True)
    names = {name: Ink() for name in _shed()}
    strong = (
        "strong value heading bar-strong key failed void error refused field-bad offset mark hand"
    )
    names |= dict.fromkeys(strong.split(), bold)
    names |= dict.fromkeys(["tab-on", "cursor", "button-on", "highlight"], reverse)
    names |= dict.fromkeys(["cursor-off", "field"], Ink(underline=True))
    return names


SHED = Look(
    name="shed", title="Shed (dark)", dark=True, ground="#121212", rule="#808080", inks=_shed()
)
DAYLIGHT = Look(
    name="daylight",
    title="Daylight (dark on white)",
    dark=False,
    ground="#ffffff",
    rule="#444444",
    inks=_daylight(),
)
PLAIN = Look(name="plain", title="No colour", dark=True, ground=None, rule=None, inks=_plain())

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
