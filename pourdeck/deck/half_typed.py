"""What must come back after a kill but is not yet recorded: the place on screen and half-typed text."""

from typing import Any, Protocol

from attrs import asdict, evolve, fields, frozen

# Where the crew is: which screen, stack, panel and item, and who is signed in.


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


# What must come back after a kill but is not yet recorded: the place on screen and half-typed text.

MOST_TEXTS = 200
MOST_CHARACTERS = 4000


class Store(Protocol):
    """Where it is kept: one draft of JSON values. `message` says what went wrong last, if anything."""

    message: str | None

    def load(self) -> dict[str, Any]: ...

    def save(self, draft: dict[str, Any]) -> bool: ...


class Kept:
    """The place and the half-typed texts; without a store they live in memory only.

    Nothing is written before `flush`; `changed` says that there is something to write. What a store gives
    back is only a hint: whatever in it has not the right shape is passed over.
    """

    def __init__(self, store: Store | None = None, *, write: bool = True) -> None:
        """`write` False: what the store holds is another's, and is only read."""
        self._store = store
        self._write = write
        self.here = Here()
        self.texts: dict[str, str] = {}
        self.changed = False
        if store is not None:
            self._read(store.load())

    @property
    def message(self) -> str | None:
        return self._store.message if self._store else None

    def go(self, **changes: Any) -> Here:
        """Keep a new place."""
        here = evolve(self.here, **changes)
        if here != self.here:
            self.here = here
            self.changed = True
        return here

    def keep(self, key: str, text: str) -> None:
        """Keep a half-typed text under a key; an empty one is dropped."""
        text = text[:MOST_CHARACTERS]
        if self.texts.get(key, "") == text:
            return
        self.texts.pop(key, None)
        if text:
            self.texts[key] = text
            while len(self.texts) > MOST_TEXTS:
                del self.texts[next(iter(self.texts))]
        self.changed = True

    def text(self, key: str) -> str:
        """The half-typed text kept under a key, or an empty one."""
        return self.texts.get(key, "")

    def flush(self) -> bool:
        """Write what changed. False where that was not possible: the next flush tries again."""
        if self._store is None or not self._write or not self.changed:
            return True
        done = self._store.save({"here": asdict(self.here), "texts": self.texts})
        self.changed = not done
        return done

    def _read(self, draft: dict[str, Any]) -> None:
        here = draft.get("here")
        if isinstance(here, dict):
            self.here = _here(here)
        texts = draft.get("texts")
        if isinstance(texts, dict):
            self.texts = {
                key: text[:MOST_CHARACTERS]
                for key, text in list(texts.items())[-MOST_TEXTS:]
                if isinstance(text, str)
            }


def _here(data: dict[str, Any]) -> Here:
    kept: dict[str, Any] = {}
    for one in fields(Here):
        value = data.get(one.name)
        if type(value) is int if one.name == "panel" else isinstance(value, str):
            kept[one.name] = value
    return Here(**kept)
