"""Every key of a field shows or is refused; what is taken is what was shown."""

import random
from decimal import Decimal
from enum import Enum
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual import events
from textual._xterm_parser import XTermParser

from pourdeck.deck.widgets.field import BOUNCE, STEP_DOWN, STEP_UP, Field
from pourdeck.plan.lengths import NotALength, parse_length
from pourdeck.plan.records import Units
from pourdeck.walk.quantities import QUANTITIES, Kind, Quantity
from tests.campaign import share

_TYPED = "0123456789.,-+e_ '\""
LATER = BOUNCE * 2


class Did(Enum):
    PASSED = "passed"
    NOTHING = "nothing"
    SHOWN = "shown"
    TAKEN = "taken"


class Trial(Field):
    """A field without a screen, that keeps what it took."""

    def __init__(self, quantity: Quantity, text: str = "", **more: Any) -> None:
        self.time = 0.0
        self.took: list[Field.Taken] = []
        super().__init__(quantity, text, clock=lambda: self.time, **more)

    def post_message(self, message: Any) -> bool:
        if isinstance(message, Field.Taken):
            self.took.append(message)
        return True

    @property
    def number(self) -> Decimal | None:
        return self.found if isinstance(self.found, Decimal) else None

    @property
    def typed(self) -> str:
        typed = self.took[-1].typed
        assert typed is not None
        return typed.text


def length(units: Units = "metric", text: str = "", **more: Any) -> Trial:
    return Trial(QUANTITIES["mm"].in_job(units, **{"least": None, "most": None, **more}), text)


def state(entry: Trial) -> tuple[object, ...]:
    return entry.text, entry.typing, entry.reason, entry.selection


def press(entry: Trial, *keys: str, at: float = 0.0) -> Did:
    did = Did.NOTHING
    for key in keys:
        entry.time, count, before = at, len(entry.took), state(entry)
        mine = entry.press(key, key if len(key) == 1 else None)
        did = Did.NOTHING if state(entry) == before else Did.SHOWN
        if len(entry.took) > count:
            did = Did.TAKEN
        elif not mine:
            did = Did.PASSED
    return did


def write(entry: Trial, text: str) -> Trial:
    press(entry, *text)
    return entry


# No key is swallowed


def _check_shown_is_taken(text: str, units: Units) -> None:
    entry = write(length(units), text)
    assert entry.text == text
    try:
        expected = parse_length(text, units)
    except NotALength:
        assert entry.number is None
        assert press(entry, "enter") is not Did.TAKEN
        assert press(entry, "enter", at=LATER) is not Did.TAKEN
        assert entry.reason
        assert entry.taken == ""
        return
    assert entry.number == expected
    if press(entry, "enter") is not Did.TAKEN:
        assert entry.asked
        assert press(entry, "enter", at=LATER) is Did.TAKEN
    assert entry.typed == text
    assert entry.number == expected


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_each_short_string_is_shown_whole_and_taken_or_refused(units: Units) -> None:
    for count in range(1, 4):
        for keys in product(_TYPED, repeat=count):
            _check_shown_is_taken("".join(keys), units)


@given(
    st.text(st.sampled_from(_TYPED + "/m"), min_size=4, max_size=6),
    st.sampled_from(["metric", "imperial"]),
)
def test_longer_strings_too(text: str, units: Units) -> None:
    _check_shown_is_taken(text, units)


@given(st.characters(), st.sampled_from(["length", "number", "rl", "text"]))
def test_any_character_shows_or_is_refused(character: str, kind: Kind) -> None:
    entry = Trial(Quantity(kind=kind))
    key = "x" if character == "x" else "some_key"
    entry.press(key, character)
    control = ord(character) < 0x20 or 0x7F <= ord(character) < 0xA0
    assert entry.text in (character, " ") or entry.notice or control


@pytest.mark.parametrize(
    ("data", "text"),
    [
        ("1\x1b[57409u2", "1.2"),  # keypad decimal without text
        ("1\x1b[57409;;44u2", "1,2"),  # the same key where it types a comma
        ("1\x1b[57416u2", "1,2"),  # keypad separator
        ("\x1b[57400u\x1b[57401u", "12"),  # keypad figures
        ("\x1bOq\x1bOr\x1bOn\x1bOs", "12.3"),  # keypad in application mode
        ("\x1b[57412u1", "-1"),  # keypad minus
        ("\x1b[57413u1", "+1"),
        ("1\x1b[57410u2", "1/2"),
        ("12\x7f3", "13"),
        ("12\x1b[D\x1b[3~3", "13"),
        ("12\x1b[57417u\x1b[57426u3", "13"),  # keypad left, keypad delete
        ("12\x1b[H3", "312"),
        ("12\x1b[H\x1b[F3", "123"),
        ("12\x1b[57427~", "12"),  # keypad 5 without NumLock: said, nothing typed
    ],
)
def test_what_terminals_send(data: str, text: str) -> None:
    entry = length(signed=True)
    for event in XTermParser().feed(data):
        assert isinstance(event, events.Key)
        entry.press(event.key, event.character)
    assert entry.text == text
    assert bool(entry.notice) == ("57427" in data)


@pytest.mark.parametrize("data", ["\r", "\x1b[57414u", "\x1bOM", "\x1b[13u"])
def test_every_enter_is_enter(data: str) -> None:
    entry = write(length(), "12")
    (event,) = XTermParser().feed(data)
    assert isinstance(event, events.Key)
    entry.press(event.key, event.character)
    assert entry.typed == "12"


@pytest.mark.parametrize(
    ("key", "text"),
    [("kp_7", "7"), ("kp_decimal", "."), ("kp_separator", ","), ("kp_subtract", "-"),
     ("kp_add", "+"), ("decimal", "."), ("separator", ","), ("subtract", "-"), ("add", "+")],
)  # fmt: skip
def test_keypad_names(key: str, text: str) -> None:
    entry = length()
    entry.press(key, None)
    assert entry.text == text


def test_a_line_break_sent_as_a_key_does_not_join_two_numbers() -> None:
    entry = write(length(), "12")
    entry.press("ctrl+j", "\n")
    write(entry, "13")
    assert entry.text == "12\u240a13"
    assert entry.problem
    assert press(entry, "enter") is Did.SHOWN


def test_a_number_is_not_longer_than_can_be_read() -> None:
    entry = write(length(), "1" * 41)
    assert entry.text == "1" * 40
    assert "40 characters" in entry.notice


# Filled fields


@pytest.mark.parametrize("key", ["5", ".", "-", "x", " ", "backspace", "delete", "decimal"])
def test_a_filled_field_is_not_overwritten(key: str) -> None:
    entry = length(text="300")
    press(entry, key)
    assert (entry.text, entry.number, entry.dirty) == ("300", Decimal(300), False)
    assert "Enter to change" in entry.notice


def test_a_filled_field_is_opened_and_typed_over() -> None:
    """Else a value that is put right is added to: 3.8 and 3.4 come to 3.83.4."""
    entry = length(text="300")
    press(entry, "enter")
    assert entry.whole
    press(entry, "4", "5")
    assert entry.text == "45"
    press(entry, "escape")
    assert entry.text == "300"
    press(entry, "enter", "4", "5", at=LATER)
    assert press(entry, "enter", at=LATER) is Did.TAKEN
    assert entry.taken == "45"


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        (("end", "5"), "3005"),
        (("home", "5"), "5300"),
        (("left", "5"), "3050"),
        (("backspace", "5"), "305"),
        ((STEP_UP, "5"), "3015"),
    ],
)
def test_a_part_of_a_filled_field_is_changed_once_the_cursor_was_moved(
    keys: tuple[str, ...], text: str
) -> None:
    entry = length(text="300")
    press(entry, "enter", *keys)
    assert entry.text == text


def test_what_was_refused_is_typed_over_and_a_draft_added_to() -> None:
    entry = length(text="300")
    entry.load_draft("72000", whole=True)
    press(entry, "7")
    assert entry.text == "7"
    entry.load_draft("72")
    press(entry, "0")
    assert entry.text == "720"


def test_keys_that_are_not_the_fields_go_on() -> None:
    entry = length(text="300")
    for key in ("up", "down", "left", "escape", "f5", "tab", "ctrl+p"):
        assert press(entry, key) is Did.PASSED
    press(entry, "enter")
    for key in ("f2", "f5", "tab", "ctrl+p", "shift+tab"):
        assert press(entry, key) is Did.PASSED
    assert not entry.press("alt+a", "a")
    assert entry.text == "300"


@pytest.mark.campaign
def test_esc_puts_back_after_any_edit() -> None:
    chance = random.Random(1)
    keys = [*_TYPED, "/", "m", "backspace", "delete", "left", "right", "home", "end"]
    keys += ["up", "down", "pageup", "pagedown", "ctrl+j", "decimal"]
    for _ in range(share(1000)):
        before = chance.choice(["", "300", "7200.5"])
        entry = length(text=before)
        entry.open()
        press(entry, *chance.choices(keys, k=chance.randrange(20)))
        if chance.random() < 0.3:
            entry.paste(chance.choice(["12", "a\nb", "12 mm\n"]))
        press(entry, "escape")
        assert (entry.text, entry.typing, entry.reason) == (before, False, "")


def test_a_draft_is_taken_up_and_can_be_put_back() -> None:
    entry = length(text="300")
    entry.load_draft("29")
    assert (entry.dirty, entry.typing, entry.number) == (True, True, Decimal(29))
    press(entry, "escape")
    assert entry.text == "300"


# Taking


def test_enter_twice_is_once() -> None:
    entry = write(length(), "300")
    assert press(entry, "enter", at=10.0) is Did.TAKEN
    assert press(entry, "enter", at=10.05) is Did.NOTHING
    assert press(entry, "enter", at=10.2) is Did.NOTHING
    assert press(entry, "enter", at=10.6) is Did.SHOWN
    assert entry.typing


def test_enter_after_other_keys_is_no_bounce() -> None:
    entry = length(text="300")
    press(entry, "enter", "backspace", "5")
    assert press(entry, "enter") is Did.TAKEN
    assert entry.text == "305"


@pytest.mark.parametrize(
    ("units", "text", "words", "value"),
    [
        ("metric", "1.2m", ("1.2m", "1200 mm"), "1200"),
        ("metric", "5'", ("5'", "1524 mm"), "1524"),
        ("imperial", "1524 mm", ("1524 mm", "5' 0\""), "1524"),
        ("imperial", "1.5 m", ("1.5 m", "~4' 11-1/16\""), "1500"),
    ],
)
def test_another_unit_is_shown_before_it_is_taken(
    units: Units, text: str, words: tuple[str, ...], value: str
) -> None:
    entry = write(length(units), text)
    assert press(entry, "enter") is Did.SHOWN
    for word in (*words, "Enter again"):
        assert word in entry.asked
    assert press(entry, "enter", at=BOUNCE / 2) is Did.NOTHING
    assert press(entry, "enter", at=BOUNCE * 2) is Did.TAKEN
    assert entry.typed == text
    assert entry.number == Decimal(value)


def test_the_own_unit_is_not_asked_about() -> None:
    assert press(write(length(), "1200 mm"), "enter") is Did.TAKEN
    assert press(write(length("imperial"), "5' 0\""), "enter") is Did.TAKEN


def test_a_slip_is_asked_about() -> None:
    entry = write(length(expected=Decimal(120), plus=Decimal(2), minus=Decimal(2)), "1200")
    assert press(entry, "enter") is Did.SHOWN
    for words in ("mean 120 mm", "typed 1200 mm", "keep 1200"):
        assert words in entry.asked
    assert press(entry, "enter", at=LATER) is Did.TAKEN
    assert entry.number == 1200


def test_another_key_takes_the_question_back() -> None:
    entry = write(length(), "1.2m")
    press(entry, "enter")
    press(entry, "end")
    assert not entry.asked
    assert press(entry, "enter", at=LATER) is Did.SHOWN
    assert entry.asked


def test_beyond_the_hard_limits_nothing_is_taken() -> None:
    entry = write(length(least=Decimal(10), most=Decimal(500)), "501")
    press(entry, "enter")
    press(entry, "enter", at=LATER)
    assert "above 500 mm" in entry.reason
    assert entry.taken == ""


@pytest.mark.parametrize(
    ("rules", "typed", "rests_on", "value"),
    [
        (Quantity(kind="length"), "7200,50", "7200.5", "7200.5"),
        (Quantity(kind="length", units="imperial"), "283.5", "23' 7-1/2\"", "7200.9"),
        (Quantity(kind="length", units="imperial"), "1/64", '1/64"', "0.396875"),
        (Quantity(kind="number", decimals=1, unit="MPa"), "12,5", "12.5", "12.5"),
        (Quantity(kind="number", decimals=0), "007", "7", "7"),
        (Quantity(kind="number", signed=True), "-1.2340", "-1.2340", "-1.234"),
        (Quantity(kind="rl"), "42,955", "42.955", "42.955"),
        (Quantity(kind="rl", units="imperial"), "140.928", "140.928", "42.9548544"),
    ],
)
def test_it_rests_on_a_text_that_says_the_same(
    rules: Quantity, typed: str, rests_on: str, value: str
) -> None:
    entry = write(Trial(rules), typed)
    assert press(entry, "enter") is Did.TAKEN
    assert (entry.text, entry.number) == (rests_on, Decimal(value))
    assert not entry.dirty


def test_a_height_in_the_other_unit_is_asked_about() -> None:
    entry = write(Trial(Quantity(kind="rl", units="imperial")), "42.955 m")
    assert press(entry, "enter") is Did.SHOWN
    assert "140.928 ft" in entry.asked
    assert press(entry, "enter", at=LATER) is Did.TAKEN
    assert (entry.text, entry.number) == ("42.955 m", Decimal("42.955"))


YARDS = Quantity(kind="number", units="imperial", unit="m³", decimals=2)
FAHRENHEIT = Quantity(kind="number", units="imperial", unit="°C", decimals=1, signed=True)
POUNDS = Quantity(
    kind="number", units="imperial", unit="MPa", decimals=1, expected=Decimal("10.342136")
)


@pytest.mark.parametrize(
    ("rules", "label", "typed", "rests_on", "value"),
    [
        # 1 yd³ = 0.764554857984 m³ from 1 yd = 0.9144 m; °F = 9/5 °C + 32 by definition; 1500 psi
        # = 10.34214 MPa, NIST SP 811 (2008), B.8.
        (YARDS, "yd³", "10.5", "10.5", "8.027826008832"),
        (FAHRENHEIT, "°F", "-4", "-4", "-20"),
        (FAHRENHEIT, "°F", "65", "65", "18.333333333333"),
        (FAHRENHEIT, "°F", "65 F", "65", "18.333333333333"),
        (POUNDS, "psi", "1500", "1500", "10.342135939753"),
    ],
)
def test_an_amount_is_typed_in_the_unit_beside_the_field(
    rules: Quantity, label: str, typed: str, rests_on: str, value: str
) -> None:
    entry = write(Trial(rules), typed)
    assert rules.label == label
    assert press(entry, "enter") is Did.TAKEN
    assert (entry.text, entry.number) == (rests_on, Decimal(value))


@pytest.mark.parametrize(
    ("rules", "typed", "words"),
    [
        (YARDS, "5.2 m3", "5.2 m3 = 6.801 yd³"),
        (FAHRENHEIT, "18 C", "18 C = 64.4 °F"),
        (Quantity(kind="number", unit="°C", decimals=1), "65 °F", "65 °F = 18.3 °C"),
    ],
)
def test_an_amount_in_the_other_unit_is_asked_about(
    rules: Quantity, typed: str, words: str
) -> None:
    entry = write(Trial(rules), typed)
    assert press(entry, "enter") is Did.SHOWN
    assert words in entry.asked
    value = entry.number
    assert press(entry, "enter", at=LATER) is Did.TAKEN
    assert entry.number == value
    assert entry.typed == typed


def test_the_figure_of_the_other_unit_is_doubted() -> None:
    entry = write(Trial(POUNDS), "10")
    press(entry, "enter")
    assert "10 psi is far from 1500 psi" in entry.asked


def test_an_amount_steps_in_the_unit_beside_the_field() -> None:
    warm = Trial(FAHRENHEIT, "65")
    press(warm, STEP_UP)
    assert warm.text == "65.1"
    strong = Trial(POUNDS, "1500")
    press(strong, STEP_UP)
    assert strong.text == "1501"


def test_a_unit_may_be_pasted_with_its_amount() -> None:
    warm = Trial(FAHRENHEIT)
    warm.paste("18 °C")
    assert warm.number == 18
    cold = length()
    cold.paste("18 °C")
    assert (cold.text, bool(cold.notice)) == ("", True)


# Steps


def test_the_pad_steps_what_was_typed_by_the_resolution() -> None:
    entry = length(text="300")
    press(entry, STEP_UP, STEP_UP, STEP_DOWN)
    assert (entry.text, entry.typing, entry.taken) == ("301", True, "300")
    imperial = length("imperial", text='7"')
    press(imperial, STEP_UP)
    assert imperial.text == '7-1/16"'
    height = Trial(Quantity(kind="rl"), "42.955")
    press(height, STEP_UP)
    assert height.text == "42.956"
    strength = Trial(Quantity(kind="number", decimals=1), "9.9")
    press(strength, STEP_UP, STEP_UP)
    assert strength.text == "10.1"


@pytest.mark.parametrize("key", ["up", "down", "pageup", "pagedown"])
@pytest.mark.parametrize("text", ["", "300"])
def test_arrows_move_and_never_change_a_value(key: str, text: str) -> None:
    """An arrow on a field goes on to the screen, whatever stands in it and whether it is open."""
    entry = length(text=text, expected=Decimal(120))
    assert press(entry, key) is Did.PASSED
    entry.open()
    assert press(entry, key) is Did.PASSED
    press(entry, "2")
    assert press(entry, key) is Did.PASSED
    assert entry.text == "2"


def test_an_empty_field_has_no_value_to_step() -> None:
    entry = length(expected=Decimal(120))
    press(entry, STEP_UP)
    assert (entry.text, entry.typing) == ("", False)
    assert entry.notice == "Nothing to step from: type the figure first."


def test_no_step_below_nothing_unless_signed() -> None:
    entry = length(text="0")
    press(entry, STEP_DOWN)
    assert (entry.text, bool(entry.notice)) == ("0", True)
    signed = length(text="0", signed=True)
    press(signed, STEP_DOWN)
    assert signed.text == "-1"


def test_no_step_from_what_is_no_number() -> None:
    entry = write(length(), "1.2.3")
    press(entry, STEP_UP)
    assert entry.text == "1.2.3"
    assert "decimal mark" in entry.notice


def test_words_are_not_stepped() -> None:
    entry = Trial(Quantity(kind="text"), "wet")
    press(entry, STEP_UP)
    assert (entry.text, entry.notice) == ("wet", "Nothing to step here.")


# An empty field, a refusal, a question


def test_enter_on_an_empty_field_says_what_it_takes_and_how_to_go_on() -> None:
    entry = length(without="d puts it off.")
    for at in (0.0, LATER):
        press(entry, "enter", at=at)
        assert not entry.took
        assert entry.notice == "Nothing recorded. Type a length in mm. d puts it off."
    assert (entry.text, entry.typing) == ("", False)


@pytest.mark.parametrize(
    ("rules", "first", "then"),
    [
        (Quantity(kind="length"), "1.2.3", "301"),
        (Quantity(kind="length", expected=Decimal(720)), "7201", "721"),
        (Quantity(kind="length"), "1.2 m", "1200"),
        (Quantity(kind="text"), "  ", "SM"),
    ],
)
def test_after_a_refusal_or_a_question_the_first_key_replaces_what_stands(
    rules: Quantity, first: str, then: str
) -> None:
    entry = write(Trial(rules), first)
    assert press(entry, "enter") is Did.SHOWN
    assert entry.text == first
    write(entry, then)
    assert entry.text == then


def test_after_a_question_a_part_can_be_changed_once_the_cursor_moved() -> None:
    entry = write(length(expected=Decimal(720)), "7201")
    press(entry, "enter")
    press(entry, "left", "backspace")
    assert entry.text == "721"


def test_what_is_offered_is_replaced_by_the_first_key_and_changed_by_an_editing_key() -> None:
    rules = Quantity(kind="text", offers=lambda: "wrong mix")
    entry = Trial(rules)
    press(entry, "enter")
    write(entry, "wrong mix")
    assert entry.text == "wrong mix"
    entry = Trial(rules)
    press(entry, "enter", "backspace")
    assert entry.text == "wrong mi"


# Free text


def test_text_is_literal() -> None:
    entry = write(Trial(Quantity(kind="text")), "[/x] [A-1] [Foo] [")
    assert press(entry, "enter") is Did.TAKEN
    assert entry.typed == entry.text == "[/x] [A-1] [Foo] ["


def test_spaces_are_no_text() -> None:
    entry = write(Trial(Quantity(kind="text")), "   ")
    assert press(entry, "enter") is Did.SHOWN
    assert "Nothing recorded" in entry.reason


def test_text_has_a_longest_length() -> None:
    entry = write(Trial(Quantity(kind="text", longest=5)), "abcdef")
    assert (entry.text, bool(entry.notice)) == ("abcde", True)


def test_words_are_added_to_when_they_are_opened() -> None:
    entry = Trial(Quantity(kind="text", units="metric"), "wet")
    press(entry, "enter", "!")
    assert entry.text == "wet!"
