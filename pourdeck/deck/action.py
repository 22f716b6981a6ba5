"""One thing that can be done, and where."""

from attrs import frozen

EVERYWHERE = "everywhere"
LISTS = "lists"
DRAWINGS = "piles"

SCREENS: dict[str, str] = {
    "board": "Board",
    "walk": "Walk",
    "pour": "Pour",
    "setout": "Set-out",
    "levels": "Levels",
    "ascast": "As-cast",
    "strength": "Strength",
    "resize": "Size change",
    "lift": "Lift",
    "log": "Log",
}
"""The screens by id, in the order of their tabs."""


@frozen(kw_only=True)
class Action:
    """One thing that can be done.

    `keys` as the toolkit calls them, the first is the one that is shown. `label` at most 12 characters, for
    the action bar; `help` one sentence. `where`: screens, or `everywhere`, `lists`, `piles`. `first`: place
    among the five keys that the help begins with, 0 for the rest. `run` is what the toolkit runs: on the
    screen, or on the app for what works everywhere.
    """

    id: str
    keys: tuple[str, ...]
    label: str
    help: str
    where: tuple[str, ...]
    first: int = 0
    shown_as: str = ""

    @property
    def method(self) -> str:
        return self.id.replace("-", "_")

    @property
    def run(self) -> str:
        return f"app.{self.method}" if self.where == (EVERYWHERE,) else self.method

    @property
    def key_text(self) -> str:
        """The key as it is written on screen."""
        return self.shown_as or key_name(self.keys[0])


_NAMES = {
    "enter": "Enter", "escape": "Esc", "tab": "Tab", "shift+tab": "Shift+Tab", "up": "↑", "down": "↓",
    "left": "←", "right": "→", "pageup": "PgUp", "pagedown": "PgDn", "home": "Home", "end": "End",
    "question_mark": "?", "slash": "/", "plus": "+", "minus": "-",
}  # fmt: skip


def key_name(key: str) -> str:
    """How a key is written on screen: `F3`, `Enter`, `Ctrl+P`, `d`."""
    if key in _NAMES:
        return _NAMES[key]
    if key.startswith("ctrl+"):
        return f"Ctrl+{key_name(key[5:]).upper()}"
    return key.upper() if len(key) > 1 and key[0] == "f" and key[1:].isdigit() else key
