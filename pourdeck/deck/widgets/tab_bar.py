"""The names of the screens, the one that is open in brackets, and what is owed at the right."""

from collections.abc import Callable, Iterator
from functools import partial

from pourdeck.deck.actions import ACTIONS, SCREENS
from pourdeck.deck.spans import cells, line
from pourdeck.deck.widgets.bar import Bar, Chip, Laid, lay

_KEYS = {action.id: action.key_text for action in ACTIONS}
LEAST_WIDTH = 12
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
        """The same with short names; help is in the bar at the foot too."""
        tabs = self._chips(keys=True, short=True)
        return [_padded(chip) for chip in tabs if chip.action != "help"]

    def _fingers(self) -> list[Chip]:
        """The same, as wide as a bare finger: all of them are worth more than a glove's width of some."""
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
            Chip(line((f" {word} {count} ", "bar-strong")), "owed")
            for word, count, _ in self.counts
            if count
        ]


def _without(build: Build, gone: frozenset[str]) -> list[Chip]:
    return [chip for chip in build() if chip.action not in gone]


def _padded(chip: Chip, least: int = LEAST_WIDTH) -> Chip:
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
