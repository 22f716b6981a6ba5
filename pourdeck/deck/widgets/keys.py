"""Keys by what they mean, whatever name the terminal gives them."""

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
