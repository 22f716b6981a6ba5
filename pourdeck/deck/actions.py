"""List what can be done on each screen, once for keys, bar, palette and help."""

from collections.abc import Iterator

from attrs import frozen
from textual.binding import Binding

__all__ = [
    "ACTIONS",
    "BARS",
    "DRAWINGS",
    "EVERYWHERE",
    "LISTS",
    "SCREENS",
    "Action",
    "actions_for",
    "bindings",
    "five_keys",
    "key_name",
    "on_screen",
]


# One thing that can be done, and where.

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


@frozen(kw_only=True, repr=False)
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
    """Write a key as a screen shows it: `F3`, `Enter`, `Ctrl+P`, `d`."""
    if key in _NAMES:
        return _NAMES[key]
    if key.startswith("ctrl+"):
        return f"Ctrl+{key_name(key[5:]).upper()}"
    return key.upper() if len(key) > 1 and key[0] == "f" and key[1:].isdigit() else key


# All that can be done, in the order of the help, and what of it stands in the bar of each screen.
#
# Keys are letters, F1 to F10, Enter, Esc, arrows, Tab, PageUp and PageDown, Home and End, so that no
# terminal, multiplexer or browser takes them away. Letters do nothing while a text field has the
# focus; what must work there too has a function key.


def _go(screen: str, key: str, first: int = 0) -> Action:
    name = SCREENS[screen]
    return Action(
        id=f"go-{screen}",
        keys=(key,),
        label=name,
        help=f"Go to the {name} screen.",
        where=(EVERYWHERE,),
        first=first,
    )


_EVERYWHERE: tuple[Action, ...] = (
    Action(
        id="help", keys=("f1", "question_mark"), label="Help", where=(EVERYWHERE,),
        help="Show this help.", first=5,
    ),
    _go("board", "f2"),
    _go("walk", "f3", first=3),
    _go("pour", "t"),
    _go("setout", "f4"),
    _go("levels", "i"),
    _go("ascast", "c"),
    _go("strength", "e"),
    _go("resize", "f5"),
    _go("lift", "k"),
    _go("log", "f6"),
    Action(
        id="owed", keys=("f7",), label="Owed", where=(EVERYWHERE,),
        help="List what is in conflict or damaged, what is deferred, failed, or passed without release.",
    ),
    Action(
        id="stations", keys=("j",), label="Stations", where=(EVERYWHERE,),
        help="Show who writes to this job, how far each has seen the others, and whether clocks agree.",
    ),
    Action(
        id="palette", keys=("f9", "ctrl+p"), label="Find", where=(EVERYWHERE,),
        help="Find anything that can be done by typing part of its name.",
    ),
    Action(
        id="leave", keys=("f10", "ctrl+q"), label="Leave", where=(EVERYWHERE,),
        help="Leave the deck: nothing is lost, the next start comes back to this place.",
    ),
    Action(
        id="person", keys=("p",), label="Sign in", where=(EVERYWHERE,),
        help="Say who is signed in: the name that is written with what is recorded.",
    ),
    Action(
        id="time", keys=("q",), label="Confirm time", where=(EVERYWHERE,),
        help="Confirm the time after this computer's clock has jumped: gates that count hours wait for it.",
    ),
    Action(
        id="undo", keys=("u",), label="Undo", where=(EVERYWHERE,), first=4,
        help="Undo the last act, and the one before it, and so on. The log keeps both.",
    ),
    Action(
        id="redo", keys=("r",), label="Redo", where=(EVERYWHERE,),
        help="Do again what was just undone.",
    ),
    Action(
        id="look", keys=("l",), label="Light", where=(EVERYWHERE,),
        help="Change between the dark look and the one for daylight.",
    ),
)  # fmt: skip

_LISTS: tuple[Action, ...] = (
    Action(
        id="row-up", keys=("up",), label="Up", where=(LISTS,), first=1, shown_as="↑↓",
        help="Move to the row above or below.",
    ),
    Action(
        id="row-down", keys=("down",), label="Down", where=(LISTS,),
        help="Move to the row below.",
    ),
    Action(
        id="page-up", keys=("pageup",), label="Page up", where=(LISTS,),
        help="Move up by as many rows as there is room for.",
    ),
    Action(
        id="page-down", keys=("pagedown",), label="Page down", where=(LISTS,),
        help="Move down by as many rows as there is room for.",
    ),
    Action(
        id="row-first", keys=("home",), label="First", where=(LISTS,),
        help="Move to the first row.",
    ),
    Action(
        id="row-last", keys=("end",), label="Last", where=(LISTS,),
        help="Move to the last row.",
    ),
    Action(
        id="row-take", keys=("enter",), label="Choose", where=(LISTS,), first=2,
        help="Open or choose the row under the mark; a click marks a row, a click on the mark chooses it.",
    ),
)  # fmt: skip

_PILES: tuple[Action, ...] = (
    Action(
        id="stack-left", keys=("left",), label="Stack", where=(DRAWINGS,), shown_as="←→",
        help="Move to the stack on the left or on the right.",
    ),
    Action(
        id="stack-right", keys=("right",), label="Stack", where=(DRAWINGS,),
        help="Move to the stack on the right.",
    ),
    Action(
        id="panel-up", keys=("up",), label="Panel", where=(DRAWINGS,), shown_as="↑↓",
        help="Move to the panel above or below.",
    ),
    Action(
        id="panel-down", keys=("down",), label="Panel", where=(DRAWINGS,),
        help="Move to the panel below.",
    ),
    Action(
        id="panel-take", keys=("enter",), label="Open", where=(DRAWINGS,),
        help="Open the marked panel in the Walk.",
    ),
)  # fmt: skip

_BACK_UP = Action(
    id="back-up", keys=("b",), label="Back up", where=("board", "log"),
    help="Copy plan, log and records to a stick or a share, and read the copy back.",
)  # fmt: skip

_BOARD: tuple[Action, ...] = (
    Action(
        id="open-panel", keys=("o",), label="Open", where=("board",), shown_as="Enter",
        help="Open the panel in hand, or the one marked, in the Walk.",
    ),
    Action(
        id="show-setout", keys=("s",), label="Set-out", where=("board",),
        help="Show the set-out of the marked panel.",
    ),
    Action(
        id="show-resize", keys=("z",), label="Size change", where=("board",),
        help="Change the size of the marked panel and see what moves.",
    ),
    Action(
        id="show-drift", keys=("d",), label="Drift", where=("board", "setout"),
        help="Show how far the stack has grown or leaned from its planned lines; again: back.",
    ),
    Action(
        id="hide-drift", keys=("escape",), label="Back", where=("board", "setout"),
        help="Put back what the drift was shown in the place of: the piles, or the plan.",
    ),
)  # fmt: skip

_LOG: tuple[Action, ...] = (
    Action(
        id="filter-panel", keys=("f",), label="Panel", where=("log",),
        help="Show the entries of one panel only.",
    ),
    Action(
        id="filter-none", keys=("a",), label="All", where=("log",),
        help="Show the entries of all panels again.",
    ),
    Action(
        id="log-faults", keys=("v",), label="Faults", where=("log",),
        help="List what is wrong with the files of the log, if anything is.",
    ),
    Action(
        id="hold-out", keys=("w",), label="Write out", where=("log",),
        help="Write what this deck holds of its log to a file again, where the file was taken away.",
    ),
)  # fmt: skip

_WALK: tuple[Action, ...] = (
    Action(
        id="take", keys=("enter",), label="Answer", where=("walk",),
        help="Begin the answer, record it, release the hold or end the section: what is in hand.",
    ),
    Action(
        id="defer", keys=("d",), label="Defer", where=("walk",),
        help="Put the item off: with the reason, who owns it, and before what it is due.",
    ),
    Action(
        id="not-applicable", keys=("n",), label="Not here", where=("walk",),
        help="Say that the item does not apply here, with the reason.",
    ),
    Action(
        id="not-measured", keys=("y",), label="Not measured", where=("walk", "pour", "ascast"),
        help="Say that a number was not measured, and why: it fails where a limit judges it.",
    ),
    Action(
        id="note", keys=("m",), label="Note", where=("walk", "pour"),
        help="Write a note to the item, or to the panel; at a pour, what held it up.",
    ),
    Action(
        id="more", keys=("tab",), label="More",
        where=("walk", "pour", "setout", "levels", "ascast", "strength", "lift"),
        help="List all that can be done here, to pick with the arrows or a click.",
    ),
    Action(
        id="follow-up", keys=("f",), label="Follow up", where=("walk",),
        help="Say what was done about what failed: of a size out of tolerance its disposition.",
    ),
    Action(
        id="release", keys=("h",), label="Release", where=("walk",),
        help="Release the hold of this section; the one who releases types the name.",
    ),
    Action(
        id="show-sum", keys=("f8",), label="Sum", where=("walk",),
        help="Open the sum behind the number: formula, inputs, and where each came from.",
    ),
    Action(
        id="read-all", keys=("w",), label="Read all", where=("walk", "ascast", "strength", "lift"),
        help="Read all there is about what is in hand: why, limits, cautions, every answer so far.",
    ),
    Action(
        id="next-owed", keys=("g",), label="Next owed", where=("walk",),
        help="Go to the next item, hold or section that owes something and can be worked on.",
    ),
    Action(
        id="pass-unreleased", keys=("x",), label="Pass", where=("walk",),
        help="Pass the hold without a release: recorded as a non-conformance, in sight until closed.",
    ),
)  # fmt: skip

_POUR: tuple[Action, ...] = (
    Action(
        id="write-down", keys=("enter",), label="Write down", where=("pour",),
        help="Write down what is in hand: what comes next of a load is offered by itself.",
    ),
    Action(
        id="new-load", keys=("n",), label="New load", where=("pour",),
        help="A truck is here or on the way: write down what its docket says.",
    ),
    Action(
        id="turn-away", keys=("x",), label="Turn away", where=("pour",),
        help="Turn the load in hand away, with the reason: nothing of it goes into the form.",
    ),
    Action(
        id="weather", keys=("w",), label="Weather", where=("pour",),
        help="Read the weather at the slab: how fast the face dries, and what to do.",
    ),
    Action(
        id="read-pour", keys=("v",), label="Read all", where=("pour",),
        help="Read all there is about the pour: findings, remarks, what to do about drying.",
    ),
)  # fmt: skip

_SETOUT: tuple[Action, ...] = (
    Action(
        id="panel-above", keys=("a", "right"), label="Above", where=("setout",),
        help="Show the panel above.",
    ),
    Action(
        id="panel-below", keys=("b", "left"), label="Below", where=("setout",),
        help="Show the panel below.",
    ),
    Action(
        id="setout-sum", keys=("f8",), label="Sum", where=("setout",),
        help="Open the sum behind the marked number.",
    ),
)  # fmt: skip

_LEVELS: tuple[Action, ...] = (
    Action(
        id="move-instrument", keys=("s",), label="New set-up", where=("levels",),
        help="Move the instrument: the next backsight, on the benchmark or on a point that was levelled.",
    ),
    Action(
        id="another-point", keys=("a",), label="Other point", where=("levels",),
        help="Read the staff on a point of your own, in passing or to move the instrument.",
    ),
)  # fmt: skip

_ASCAST: tuple[Action, ...] = (
    Action(
        id="measure", keys=("enter",), label="Measure", where=("ascast",),
        help="Begin the measurement in hand, or record what is typed for it.",
    ),
)  # fmt: skip

_STRENGTH: tuple[Action, ...] = (
    Action(
        id="add-temperature", keys=("a",), label="Temperature", where=("strength",),
        help="Write down a temperature of the concrete and its time.",
    ),
    Action(
        id="read-logger", keys=("f",), label="Read file", where=("strength",),
        help="Read the temperatures of a logger from its CSV file, or from its lines pasted here.",
    ),
    Action(
        id="add-specimen", keys=("s",), label="Specimen", where=("strength", "pour"),
        help="Write down a specimen: its name, its load, and where it is cured.",
    ),
    Action(
        id="correct-specimen", keys=("d",), label="Put right", where=("strength",),
        help="Put right what is written of the marked specimen, and say why.",
    ),
    Action(
        id="add-result", keys=("n",), label="Result", where=("strength",),
        help="Write down what a specimen was tested to, and when.",
    ),
)  # fmt: skip

_LIFT: tuple[Action, ...] = (
    Action(
        id="lift-release", keys=("h",), label="Release", where=("lift",),
        help="Release the panel to lift: the engineer types the name and what was seen.",
    ),
    Action(
        id="lift-record", keys=("o",), label="Lifted off", where=("lift",),
        help="Record that the panel was lifted off its stack, where it is fit to lift.",
    ),
    Action(
        id="look-exposed", keys=("b",), label="Laid bare", where=("lift",),
        help="Write down what was seen of a panel since the one above was lifted off it.",
    ),
)  # fmt: skip

_RESIZE: tuple[Action, ...] = (
    Action(
        id="record-resize", keys=("f8",), label="Record", where=("resize",),
        help="Record the new size, with a name and a reason.",
    ),
    Action(
        id="put-back", keys=("escape",), label="Put back", where=("resize",),
        help="Go back to the size and the way to lie of the plan: nothing is kept.",
    ),
)  # fmt: skip

ACTIONS: tuple[Action, ...] = (
    *_EVERYWHERE, *_LISTS, *_PILES, *_BOARD, _BACK_UP, *_WALK, *_POUR, *_SETOUT, *_LEVELS, *_ASCAST,
    *_STRENGTH, *_RESIZE, *_LIFT, *_LOG,
)  # fmt: skip

_ALWAYS = ("undo", "person", "help", "palette", "leave")

BARS: dict[str, tuple[str, ...]] = {
    "board": ("open-panel", "show-setout", "show-resize", "show-drift", *_ALWAYS),
    "walk": ("defer", "not-applicable", "note", "undo", "more", "person", "show-sum", "read-all", "help"),
    "pour": (
        "new-load", "turn-away", "not-measured", "add-specimen", "weather", "undo", "person", "note",
        "read-pour", "more", "help",
    ),
    "setout": ("panel-above", "panel-below", "setout-sum", "show-drift", "more", *_ALWAYS),
    "levels": ("move-instrument", "another-point", "more", *_ALWAYS),
    "ascast": ("measure", "not-measured", "read-all", "more", *_ALWAYS),
    "strength": (
        "add-temperature", "read-logger", "add-specimen", "add-result", "more", *_ALWAYS, "read-all",
    ),
    "resize": ("record-resize", "put-back", *_ALWAYS),
    "lift": ("lift-release", "lift-record", "look-exposed", "read-all", "more", *_ALWAYS),
    "log": (
        "filter-panel", "filter-none", "log-faults", "back-up", "hold-out", *_ALWAYS, "stations",
    ),
}  # fmt: skip
"""The ids of what is in the bar of each screen, in their order: from the end they give way, but for Help.

The rest is a key, a box of the card, or a row of More and of Find.
"""


# The one registry that keys, action bar, palette and help are all made from.


def actions_for(where: str) -> tuple[Action, ...]:
    """List the actions of a screen (or of `lists`, `piles`, `everywhere`), in the order of the registry."""
    return tuple(action for action in ACTIONS if where in action.where)


def on_screen(screen: str) -> tuple[Action, ...]:
    """List the actions of a screen first, then those that work everywhere."""
    return (*actions_for(screen), *actions_for(EVERYWHERE))


def bindings(where: str) -> list[Binding]:
    """The key bindings of a screen, of the app (`everywhere`), of lists or of piles."""
    return [binding for action in actions_for(where) for binding in _bindings(action)]


def _bindings(action: Action) -> Iterator[Binding]:
    for index, key in enumerate(action.keys):
        yield Binding(
            key,
            action.method,
            action.label,
            show=False,
            id=action.id if index == 0 else f"{action.id}-{index}",
            priority=action.where == (EVERYWHERE,) and len(key) > 1 and key != "question_mark",
        )


def five_keys() -> tuple[Action, ...]:
    """The keys that matter most, in their order."""
    return tuple(sorted((one for one in ACTIONS if one.first), key=lambda one: one.first))
