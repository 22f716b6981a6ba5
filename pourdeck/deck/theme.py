"""The looks of the deck: dark for the shed, for daylight, without colour; and what the toolkit takes."""

from collections.abc import Mapping

from attrs import field, frozen
from rich.style import Style
from textual.theme import Theme

from pourdeck.deck.inks import Ink, daylight_inks, plain_inks, shed_inks


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
