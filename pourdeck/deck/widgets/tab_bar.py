"""The names of the screens, the one that is open in brackets, and what is owed at the right."""

from pourdeck.deck.actions import ACTIONS, SCREENS
from pourdeck.deck.spans import Spans, cells, line
from pourdeck.deck.widgets.bar import Bar, Chip, Laid, lay

_KEYS = {action.id: action.key_text for action in ACTIONS}
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
        """All tabs fit, the shorter the names the narrower the bar."""
        right = cells(self.right(width)) + 1
        for keys, short in ((True, False), (False, False), (False, True)):
            laid = lay(self._chips(keys=keys, short=short), width - right)
            if len(laid) == len(SCREENS) + 1:
                return laid
        return lay(self._chips(keys=False, short=True), width)

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

    def right(self, width: int) -> Spans:
        pieces: list[tuple[str, str]] = []
        for word, count, _ in self.counts:
            if count:
                pieces.append((f"{word} {count}", "bar-strong"))
                pieces.append(("  ", "bar"))
        return line(*pieces[:-1], (" ", "bar")) if pieces else ()
