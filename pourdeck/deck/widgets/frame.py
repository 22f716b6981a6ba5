"""The frame of every screen: first line, tabs, what was said, and the cover of a window too small."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Literal

from attrs import frozen
from textual import events
from textual.strip import Strip
from textual.widget import Widget

from pourdeck.deck.actions import ACTIONS, SCREENS
from pourdeck.deck.paint import Spans, Steady, cells, cut, fit, justify, line, look_of, strip, wrap
from pourdeck.deck.widgets.bar import Bar, Chip, Laid, lay
from pourdeck.walk.words import initials

# The first line of a screen: what is open at the left, the time and who is signed in at the right.

PERSON = "person"
"""The action that a click on the name runs."""

OWED = "owed"
"""The action that lists what counts and marks stand for."""

TITLE_WIDTH = 12


class TitleLine(Bar):
    """`words` from the most to the least important; from the end they give way to what is at the right.

    The name, or that nobody is signed in, is a place to click.
    """

    DEFAULT_CSS = "TitleLine { width: 1fr; height: 1; }"

    def __init__(self) -> None:
        super().__init__()
        self.words: Spans = ()
        self.time = ""
        self.who = ""

    def show(self, words: Spans, time: str, who: str) -> None:
        if (words, time, who) != (self.words, self.time, self.who):
            self.words, self.time, self.who = words, time, who
            self.refresh()

    def laid(self, width: int) -> tuple[Laid, ...]:
        time, name = self._right(width)
        at = max(0, width - cells(time) - cells(name))
        words = Chip(fit(line((" ", "bar"), *self.words), at, "bar"))
        return (
            Laid(words, 0, at),
            Laid(Chip(time), at, at + cells(time)),
            Laid(Chip(name, PERSON), width - cells(name), width),
        )

    def _right(self, width: int) -> tuple[Spans, Spans]:
        """Time and name, as much of them as the words leave room for; of the name the initials at least."""
        clock = self.time.rpartition(" ")[2]
        name = self.who or "nobody signed in"
        least = initials(self.who) if self.who else "nobody"
        left = cells(line((" ", "bar"), *self.words))
        for time, who in ((self.time, name), (clock, name), (clock, least)):
            lead = line((f"{time} · ", "bar"))
            chip = line((f"{who} ".rjust(TITLE_WIDTH) if who == name else f"{who} ", "tab"))
            if left + cells(lead) + cells(chip) + 1 <= width:
                break
        return lead, chip


# The names of the screens, the one that is open in brackets, and what is owed at the right.

_KEYS = {action.id: action.key_text for action in ACTIONS}
TABS_WIDTH = 12
FINGER = 8
GLOVED = 100
"""Columns from which a tab that can be hit with a glove is worth more than one tab more."""

Build = Callable[[], list[Chip]]
_SHORT = {"resize": "Size", "setout": "Set-out"}


class TabBar(Bar):
    """`current` is the id of the open screen. Counts that are not zero stand at the right."""

    DEFAULT_CSS = "TabBar { dock: none; }"

    def __init__(self, current: str) -> None:
        super().__init__()
        self.current = current
        self.counts: tuple[tuple[str, int, str], ...] = ()

    def show_counts(self, *, deferred: int, failed: int, passed: int) -> None:
        """Say how many items are deferred and failed, and how many holds were passed unreleased."""
        counts = (
            ("deferred", deferred, "deferred"),
            ("failed", failed, "failed"),
            ("unreleased", passed, "failed"),
        )
        if counts != self.counts:
            self.counts = counts
            self.refresh()

    def laid(self, width: int) -> tuple[Laid, ...]:
        """The shorter and fewer the tabs the narrower the bar; the counts at the right open what is owed."""
        counts = self._counts()
        start = width - sum(cells(chip.spans) for chip in counts)
        each = (self._wide, self._gloved, self._fingers, *self._fewer(self._gloved))
        gloved = each if width >= GLOVED else ()
        rest = (self._full, self._bare, self._short, *self._fewer(self._short), self._open)
        builds = (*gloved, *rest)
        for build in builds:
            chips = build()
            laid = lay(chips, start)
            if len(laid) == len(chips):
                break
        else:
            return lay(self._open(), width)
        placed = []
        for chip in counts:
            placed.append(Laid(chip, start, start + cells(chip.spans)))
            start = placed[-1].end
        return (*laid, *placed)

    def _wide(self) -> list[Chip]:
        """Each as wide as a gloved finger."""
        return [_padded(chip) for chip in self._full()]

    def _gloved(self) -> list[Chip]:
        """Make tabs as wide as a gloved finger, with short names; help is in the bar at the foot too."""
        tabs = self._chips(keys=True, short=True)
        return [_padded(chip) for chip in tabs if chip.action != "help"]

    def _fingers(self) -> list[Chip]:
        """Make tabs as wide as a bare finger: all of them are worth more than a glove's width of some."""
        tabs = self._chips(keys=True, short=True)
        return [_padded(chip, FINGER) for chip in tabs if chip.action != "help"]

    def _full(self) -> list[Chip]:
        return self._chips(keys=True, short=False)

    def _bare(self) -> list[Chip]:
        return self._chips(keys=False, short=False)

    def _short(self) -> list[Chip]:
        return self._chips(keys=False, short=True)

    def _fewer(self, build: Build) -> Iterator[Build]:
        """Those without a function key give way first, one after the other from the last."""
        spare = [
            f"go-{screen}"
            for screen in SCREENS
            if len(_KEYS[f"go-{screen}"]) == 1 and screen != self.current
        ]
        for kept in range(len(spare) - 1, -1, -1):
            yield partial(_without, build, frozenset(spare[kept:]))

    def _open(self) -> list[Chip]:
        kept = (f"go-{self.current}", "help")
        return [chip for chip in self._short() if chip.action in kept]

    def _chips(self, *, keys: bool, short: bool) -> list[Chip]:
        chips = []
        for screen, name in SCREENS.items():
            words = _SHORT.get(screen, name) if short else name
            key = f"{_KEYS[f'go-{screen}']} " if keys else ""
            if screen == self.current:
                spans = line((f"[{key}{words}]", "tab-on"))
            else:
                spans = line((f" {key}", "bar-quiet"), (f"{words} ", "tab"))
            chips.append(Chip(spans, f"go-{screen}"))
        chips.append(Chip(line((" F1 " if keys else " ", "bar-quiet"), ("? ", "tab")), "help"))
        return chips

    def _counts(self) -> list[Chip]:
        return [
            Chip(line((f" {word} {count} ", "bar-strong")), OWED)
            for word, count, _ in self.counts
            if count
        ]


def _without(build: Build, gone: frozenset[str]) -> list[Chip]:
    return [chip for chip in build() if chip.action not in gone]


def _padded(chip: Chip, least: int = TABS_WIDTH) -> Chip:
    """A chip of at least so many cells, its words in the middle."""
    missing = max(0, least - cells(chip.spans))
    if not missing:
        return chip
    ink = chip.spans[-1][1]
    before, after = " " * (missing // 2), " " * (missing - missing // 2)
    first, last = chip.spans[0], chip.spans[-1]
    if len(chip.spans) == 1:
        text = first[0]
        return Chip(((f"{text[0]}{before}{text[1:-1]}{after}{text[-1]}", ink),), chip.action)
    return Chip(((before + first[0], first[1]), (last[0] + after, last[1])), chip.action)


# What is wrong with the log, for as long as it is.


class MarkBar(Bar):
    """The marks of damage, and the key that lists what they stand for; no line where nothing is wrong."""

    DEFAULT_CSS = "MarkBar { display: none; }"

    def __init__(self) -> None:
        super().__init__()
        self.marks: tuple[str, ...] = ()

    def show(self, marks: tuple[str, ...]) -> None:
        if marks != self.marks:
            self.marks = marks
            self.display = bool(marks)
            self.refresh()

    def laid(self, width: int) -> tuple[Laid, ...]:
        """All of the marks; the words beside the key give way."""
        marks = Chip(line((f" ✗ {' · '.join(self.marks)} ", "refused")), OWED)
        for words in (f" {_KEYS[OWED]} lists them ", f" {_KEYS[OWED]} "):
            laid = lay((marks, Chip(line((words, "bar-strong")), OWED)), width)
            if len(laid) == 2:
                break
        return laid


# The line that says what was saved, what was refused and why, and where the work was left.

MOST_LINES = 4

Kind = Literal["saved", "refused", "note"]


@frozen(repr=False)
class Said:
    """Something to say: `title` in one line, `body` for what it does not hold."""

    kind: Kind
    title: str
    body: str = ""


_SIGNS: dict[Kind, str] = {"saved": "✓", "refused": "✗", "note": "·"}


class Banner(Steady):
    """Show what was said last, above the bar. It stands over the work and moves nothing of it.

    It grows upwards to as many lines as a reason needs, four at most, and folds to one with the next key or
    click; a click on it unfolds it again.
    """

    ALLOW_SELECT = False
    # The class of the bar's height stands on the screen, outside of the widget itself.
    SCOPED_CSS = False
    DEFAULT_CSS = """
    Banner { width: 1fr; height: 1; layer: foot; dock: bottom; margin-bottom: 1; }
    .-large-bar Banner { margin-bottom: 3; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.said = Said("note", "")
        self.corner = ""
        self.folded = False

    def show(self, said: Said, corner: str = "") -> None:
        """Say something; `corner` stands at the right, as the head of the log does."""
        before = self.said, self.corner, self.folded
        # The same words said once more are to be read once more.
        self.folded = self.folded and said is self.said
        self.said, self.corner = said, corner
        if before != (said, corner, self.folded):
            self._grow()
            self.refresh()

    def lines(self, width: int) -> list[Spans]:
        """The lines of what is said, in `width` cells."""
        said = self.said
        ink = said.kind
        sign = f" {_SIGNS[said.kind]} " if said.title else " "
        body = f" {said.body}" if said.body else ""
        stop = "." if body and not said.title.endswith((".", ":", "?", "!")) else ""
        words = line((f"{sign}{said.title}{stop}{body}", ink))
        corner = line((f"{self.corner} ", ink)) if self.corner else ()
        room = max(10, width - cells(corner) - 1)
        rows = wrap(words, room, 3)
        if self.folded and len(rows) > 1:
            rows = [cut((*rows[0], (" …", ink)), room)]
        if len(rows) > MOST_LINES:
            rows = rows[:MOST_LINES]
            rows[-1] = (*rows[-1], ("…", ink))
        return [justify(rows[0], corner, width, ink), *rows[1:]]

    def on_resize(self) -> None:
        self._grow()

    def _grow(self) -> None:
        width = self.content_size.width
        if width > 0:
            self.styles.height = len(self.lines(width))

    def fold(self, *, folded: bool = True) -> None:
        """Take one line, or all that it needs."""
        if folded != self.folded:
            before = self.lines(self.content_size.width)
            self.folded = folded
            if before != self.lines(self.content_size.width):
                self._grow()
                self.refresh()

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.fold(folded=not self.folded)

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        rows = self.lines(width)
        ink = self.said.kind
        spans = tuple((text, ink) for text, _ in rows[y]) if y < len(rows) else ()
        return strip(spans, look_of(self), width, base=ink)


# What is said while the window is too small to work in.

LEAST_WIDTH = 60
LEAST_HEIGHT = 20


def too_small(width: int, height: int) -> bool:
    return width < LEAST_WIDTH or height < LEAST_HEIGHT


class TooSmall(Widget):
    """Covers the screen below the least size; what is under it keeps its focus and its half-typed text."""

    ALLOW_SELECT = False
    # The classes of its size stand on the screen, outside of the widget itself.
    SCOPED_CSS = False
    DEFAULT_CSS = """
    TooSmall { layer: cover; display: none; width: 100%; height: 100%; background: $deck-ground; }
    .-slim TooSmall { display: block; }
    .-flat TooSmall { display: block; }
    """

    def render_line(self, y: int) -> Strip:
        size = self.app.size
        words = (
            f"Window too small: now {size.width}x{size.height}, "
            f"needs {LEAST_WIDTH}x{LEAST_HEIGHT}. Nothing is lost: make it larger to go on."
        )
        width = self.content_size.width
        rows = wrap(line((words, "strong")), max(1, width - 1))
        spans = rows[y] if y < len(rows) else ()
        return strip(spans, look_of(self), width)
