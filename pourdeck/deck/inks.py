"""The inks of the deck: one dark theme, one for daylight, and one without any colour.

Every colour is a member of the 256-colour palette of xterm (levels 00 5f 87 af d7 ff, or its grey ramp), so
that a terminal that knows no more shows the very same. `daylight` is dark on white throughout: light that
falls on a screen is added to both sides, and takes least from dark on white. State is in words and signs;
an ink only helps to find it again.
"""

from attrs import frozen


@frozen(eq=False, repr=False)
class Ink:
    """Colour of the text and of what is behind it; None: the terminal's own, or the ground."""

    fg: str | None = None
    bg: str | None = None
    bold: bool = False
    underline: bool = False
    reverse: bool = False


def shed_inks() -> dict[str, Ink]:
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
        "followed-up": Ink(amber, bold=True),
        "not-measured": Ink(amber),
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


def daylight_inks() -> dict[str, Ink]:
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
        "followed-up": Ink(black, pale, bold=True),
        "not-measured": Ink(black, pale),
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


def plain_inks() -> dict[str, Ink]:
    """No colours at all: bold, underlining and reverse carry what signs and words do not."""
    bold, reverse = Ink(bold=True), Ink(reverse=True, bold=True)
    names = {name: Ink() for name in shed_inks()}
    strong = (
        "strong value heading bar-strong key failed void error refused field-bad offset mark hand"
    )
    names |= dict.fromkeys(strong.split(), bold)
    names |= dict.fromkeys(["tab-on", "cursor", "button-on", "highlight"], reverse)
    names |= dict.fromkeys(["cursor-off", "field"], Ink(underline=True))
    return names
