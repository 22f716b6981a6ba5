"""Where the crew is: which screen, stack, panel and item, and who is on deck."""

from attrs import frozen


@frozen(kw_only=True)
class Here:
    """`panel` counts from 1 on the bed. `item` is the key of an item of the walk."""

    screen: str = "board"
    stack: str | None = None
    panel: int | None = None
    item: str | None = None
    by: str | None = None
    look: str | None = None
