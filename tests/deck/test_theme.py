"""Check what can be read in a site shed and in the sun, in truecolour and in 256 colours.

Contrast is the ratio of WCAG 2.2, 1.4.3, with its relative luminance; 4.5 and 7 are its levels AA and
AAA. 15 for daylight, and dark on white there, because light that falls on a screen is added to both sides.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from rich.color import Color, ColorSystem
from rich.color_triplet import ColorTriplet
from textual.app import App

from pourdeck.deck.app import DeckApp
from pourdeck.deck.paint import DAYLIGHT, LOOKS, PLAIN, SHED, Look, textual_theme
from tests.deck import driver
from tests.deck.kit import HOSTILE_JOB, make_deck, segments, worked_deck

LEVELS = {0x00, 0x5F, 0x87, 0xAF, 0xD7, 0xFF}
GREYS = {8 + 10 * step for step in range(24)}
LEAST = {SHED.name: 7.0, DAYLIGHT.name: 15.0}
COLOURED = (SHED, DAYLIGHT)


def luminance(colour: ColorTriplet) -> float:
    def linear(part: int) -> float:
        share = part / 255
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    return (
        0.2126 * linear(colour.red) + 0.7152 * linear(colour.green) + 0.0722 * linear(colour.blue)
    )


def contrast(first: ColorTriplet, second: ColorTriplet) -> float:
    low, high = sorted((luminance(first), luminance(second)))
    return (high + 0.05) / (low + 0.05)


def triplet(colour: str) -> ColorTriplet:
    return ColorTriplet(*(int(colour[at : at + 2], 16) for at in (1, 3, 5)))


def test_the_ratio_itself() -> None:
    """Black on white is 21:1, and #767676 on white is just above 4.5:1 (WCAG 2.2, understanding 1.4.3)."""
    white = triplet("#ffffff")

    assert contrast(triplet("#000000"), white) == pytest.approx(21)
    assert 4.5 < contrast(triplet("#767676"), white) < 4.6


def exact(colour: str) -> bool:
    """Whether xterm's 256 colours hold it: the cube, or the grey ramp."""
    parts = triplet(colour)
    return set(parts) <= LEVELS or (len(set(parts)) == 1 and parts.red in GREYS)


@pytest.mark.parametrize("look", COLOURED, ids=lambda look: look.name)
def test_every_colour_is_one_of_the_256(look: Look) -> None:
    inks = [colour for ink in look.inks.values() for colour in (ink.fg, ink.bg) if colour]

    assert all(exact(colour) for colour in (*inks, look.ground or "", look.rule or ""))


@pytest.mark.parametrize("look", COLOURED, ids=lambda look: look.name)
def test_every_ink_can_be_read(look: Look) -> None:
    assert look.ground is not None
    for name, ink in look.inks.items():
        ratio = contrast(
            triplet(ink.fg or look.inks["text"].fg or ""), triplet(ink.bg or look.ground)
        )
        least = 3.0 if name == "rule" else LEAST[look.name]
        assert ratio >= least, f"{name}: {ratio:.2f}"


def test_daylight_is_dark_on_light_throughout() -> None:
    for name, ink in DAYLIGHT.inks.items():
        assert luminance(triplet(ink.fg or "")) < 0.05, name
        assert luminance(triplet(ink.bg or "#ffffff")) > 0.7, name


def test_daylight_holds_in_the_sun() -> None:
    """4 % diffuse reflection, 300 cd/m² white, 10 000 lux: (L + E·ρ/π) on both sides, at least 3:1.

    The reflection adds the same luminance to both (Kelley, Lindfors, Penczek 2006); the numbers are ours.
    """
    added = 10_000 * 0.04 / 3.141592653589793
    for name in ("value", "text", "done", "failed", "cursor", "button-on"):
        ink = DAYLIGHT.inks[name]
        dark = 300 * luminance(triplet(ink.fg or "")) + added
        light = 300 * luminance(triplet(ink.bg or "#ffffff")) + added
        assert light / dark >= 3, name


def test_all_looks_have_the_same_inks() -> None:
    assert len({frozenset(look.inks) for look in LOOKS.values()}) == 1


def test_without_colours_no_ink_has_one() -> None:
    assert all(ink.fg is None and ink.bg is None for ink in PLAIN.inks.values())
    for name in ("cursor", "highlight", "tab-on", "button-on"):
        assert PLAIN.inks[name].reverse


def test_an_ink_that_is_not_known_is_plain_text() -> None:
    assert SHED.style("no such ink") == SHED.style("text")


@pytest.mark.parametrize("look", LOOKS.values(), ids=lambda look: look.name)
def test_the_toolkit_takes_it(look: Look) -> None:
    app: App[None] = App()
    app.register_theme(textual_theme(look))
    app.theme = look.name

    assert app.get_css_variables()["deck-ground"] == (look.ground or "ansi_default")


# The walk over everything that is on screen.


def runs(app: DeckApp) -> Iterator[tuple[str, ColorTriplet, ColorTriplet]]:
    """Every run of text with the colours it is painted in."""
    for row in segments(app):
        for segment in row:
            if not segment.text.strip():
                continue
            style = segment.style
            assert style is not None, segment
            assert style.color is not None, segment
            assert style.bgcolor is not None, segment
            assert not style.dim, segment
            ink, ground = style.color.get_truecolor(), style.bgcolor.get_truecolor()
            yield (segment.text, ground, ink) if style.reverse else (segment.text, ink, ground)


def in_256(colour: ColorTriplet) -> ColorTriplet:
    """As a terminal with 256 colours gets it: greys may move by one step of their ramp on the way."""
    return Color.from_triplet(colour).downgrade(ColorSystem.EIGHT_BIT).get_truecolor()


def poor(app: DeckApp) -> list[str]:
    """The runs that are too faint, in truecolour or in 256 colours."""
    found = []
    for text, ink, ground in runs(app):
        least = LEAST[app.look.name] if any(char.isalnum() for char in text) else 3.0
        pairs = ((ink, ground), (in_256(ink), in_256(ground)))
        ratio = min(contrast(*pair) for pair in pairs)
        if ratio < least:
            found.append(f"{app.look.name}: {text!r} {ink.hex} on {ground.hex}: {ratio:.2f}")
    return found


ROUTE = (
    ("f2",), ("tab",), ("p",), ("down", "enter"), ("f7",), ("escape",), ("f9",), ("down",), ("escape",),
    ("f1",), ("tab",), ("escape",), ("f3",), ("down",), ("d",), ("tab",), ("escape",), ("h",), ("escape",),
    ("f4",), ("down",), ("f8",), ("escape",), ("f5",), ("f6",), ("v",), ("escape",), ("f",), ("escape",),
)  # fmt: skip
"""Keys that lead over every screen and most dialogs."""


@pytest.mark.parametrize("look", COLOURED, ids=lambda look: look.name)
async def test_everything_on_every_screen_can_be_read(tmp_path: Path, look: Look) -> None:
    app = worked_deck(tmp_path, look=look.name)
    async with app.run_test(size=(120, 40)):
        for keys in ROUTE:
            await driver.press(app, *keys)
            assert poor(app) == []


async def test_the_look_changes_with_a_key_and_is_kept(tmp_path: Path) -> None:
    app = make_deck(tmp_path, HOSTILE_JOB)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "l")
        assert app.look.name == DAYLIGHT.name
        assert {ground.hex for _, _, ground in runs(app)} <= {
            ink.bg or DAYLIGHT.ground for ink in DAYLIGHT.inks.values()
        }
        assert app.kept.here.look == DAYLIGHT.name
        await driver.press(app, "l")
        assert app.look.name == SHED.name
        assert poor(app) == []


async def test_no_color_means_no_colour(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        for key in ("tab", "f9", "escape", "p", "escape", "f3", "f4", "f5", "f6"):
            await driver.press(app, key)
            for row in segments(app):
                for segment in row:
                    style = segment.style
                    for colour in (style.color, style.bgcolor) if style else ():
                        assert colour is None or colour.is_default, segment


async def test_an_empty_no_color_asks_for_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "")
    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        assert app.look.name == SHED.name
        assert any(ink.hex == "#ffd75f" or ground.hex == "#ffd75f" for _, ink, ground in runs(app))
