"""Where every stack stands, and what today needs."""

from datetime import datetime
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.findings import Finding
from pourdeck.walk.records import NextAct, NonConformance, PanelPhase


@frozen(kw_only=True)
class BoardPanel:
    """One panel in its pile. Sizes and `position` in stack coordinates, mm.

    `findings` counts errors and warnings, `errors` the errors. `growth` is how much wider and higher
    it was measured than planned, mm, None where it was not. `answered` of `total`: the panel in hand.
    """

    number: int
    mark: str
    width: Decimal
    height: Decimal
    thickness: Decimal
    position: tuple[Decimal, Decimal]
    state: PanelPhase
    lift: int | None
    findings: int
    errors: int
    mirrored: bool
    in_hand: bool
    growth: tuple[Decimal | None, Decimal | None]
    answered: int | None = None
    total: int | None = None


@frozen(kw_only=True)
class BoardStack:
    """One pile, panels from the bed up. `bed_rl` m."""

    id: str
    bed_rl: Decimal
    panels: tuple[BoardPanel, ...]
    in_hand: int


@frozen(kw_only=True)
class Owed:
    """A deferred or failed item. `before` is a hold's id or `lift`; None where it failed."""

    stack: str
    number: int
    mark: str
    key: str
    text: str
    reason: str
    owner: str | None
    before: str | None
    by: str
    at: datetime


@frozen(kw_only=True)
class Board:
    """`next` holds one act for each stack, and a second where the panel above waits for the clock."""

    stacks: tuple[BoardStack, ...]
    next: tuple[NextAct, ...]
    deferred: tuple[Owed, ...]
    failed: tuple[Owed, ...]
    nonconformances: tuple[NonConformance, ...]
    findings: tuple[Finding, ...]
