"""What the drawing of the piles is made from."""

from decimal import Decimal

from attrs import frozen

from pourdeck.walk.records import PanelPhase


@frozen(kw_only=True, eq=False, repr=False)
class PilePanel:
    """One panel in its pile. `x`, `width` in the stack's coordinates, mm. `tail`: words after the state.

    `flag` is the sign of the worst finding, empty where there is none. `rejected`: for how it came out.
    """

    number: int
    mark: str
    x: Decimal
    width: Decimal
    state: PanelPhase
    lift: int | None
    in_hand: bool = False
    flag: str = ""
    tail: str = ""
    rejected: bool = False


@frozen(kw_only=True, eq=False, repr=False)
class PileStack:
    """One stack, its panels from the bed up. `bed` is the height of the bed in words."""

    id: str
    bed: str
    panels: tuple[PilePanel, ...]


STATE_SIGNS: dict[PanelPhase, str] = {
    "waiting": "·",
    "ready": "○",
    "forming": "□",
    "released": "►",
    "pouring": "▼",
    "curing": "≈",
    "cast": "■",
    "lifted": "↑",
}

STATE_INKS: dict[PanelPhase, str] = {
    "waiting": "quiet",
    "ready": "text",
    "forming": "hand",
    "released": "done",
    "pouring": "hand",
    "curing": "text",
    "cast": "done",
    "lifted": "quiet",
}

POURED: frozenset[PanelPhase] = frozenset({"pouring", "curing", "cast"})
