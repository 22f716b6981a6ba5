"""What the items of one panel are worked out from."""

from decimal import Decimal
from typing import Any

from attrs import field, frozen

from pourdeck.plan.records import Job, Panel, Stack
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Key
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.records import NOWHERE, ItemView, Place


@frozen(kw_only=True, eq=False, repr=False)
class Context:
    """One panel: the job it is judged by, its set-out, and what the log says of it.

    `below`: what it says of the panel below, None on the bed and once this one is closed. The other three
    hold what was worked out: whoever makes another context of the same job, stack and set-out hands them on,
    since they cost more than all the rest. `blanks`: the items without their answers, by step. `from_log`:
    those whose target reads the log, with the entries it may have read. `orders`: the concrete to order, by
    the width, height and thickness that were measured.
    """

    job: Job
    stack: Stack
    setout: SetOut
    record: PanelState
    below: PanelState | None = None
    blanks: dict[str, tuple["Blank", ...]] = field(factory=dict)
    from_log: dict[str, tuple[tuple[Key, ...], tuple["Blank", ...]]] = field(factory=dict)
    orders: dict[tuple[Decimal | None, ...], "Offer"] = field(factory=dict)

    @property
    def panel(self) -> Panel:
        return self.setout.panel

    @property
    def first(self) -> bool:
        return self.setout.number == 1

    @property
    def last(self) -> bool:
        return self.setout.number == self.setout.of


@frozen(kw_only=True, eq=False, repr=False)
class Instance:
    """One of what a step asks about. `suffix` ends its key, "" where there is just one.

    `where` pins down what a number in the suffix stands for, so that an answer for a bracket that has
    moved is not taken for its successor's. `value` is what the instance itself expects.
    """

    suffix: str = ""
    label: str = ""
    group: str = ""
    place: Place = NOWHERE
    where: str | None = None
    value: Decimal | None = None
    note: str = ""


class Blank:
    """An item before anything was answered: the values it is made of by name, and how it is shown then.

    An answered item is made of `values` and what the log adds to them.
    """

    __slots__ = ("_view", "values")

    def __init__(self, values: dict[str, Any]) -> None:
        self.values = values
        self._view: ItemView | None = None

    @property
    def view(self) -> ItemView:
        if self._view is None:
            self._view = ItemView(**self.values)
        return self._view


@frozen(kw_only=True, eq=False, repr=False)
class Offer:
    """An answer that is offered: a value in the unit of the item, and what it is from."""

    value: Decimal | str
    note: str
