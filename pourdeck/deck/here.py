"""Where the crew is: which screen, stack, panel and item, and who is signed in."""

from attrs import frozen


@frozen(kw_only=True)
class Here:
    """`panel` counts from 1 on the bed. `item` is the key of an item of the walk. `drift`: the screens, with
    a space between them, that show the drift of the stack in place of their own picture. `by_at` is when the
    person signed in, RFC 3339.
    """

    screen: str = "board"
    stack: str | None = None
    panel: int | None = None
    item: str | None = None
    by: str | None = None
    by_at: str | None = None
    look: str | None = None
    drift: str | None = None

    def drifting(self, screen: str) -> bool:
        return screen in (self.drift or "").split()

    def turned(self, screen: str) -> str:
        """What `drift` is with one screen the other way round."""
        shown = set((self.drift or "").split()) ^ {screen}
        return " ".join(sorted(shown))
