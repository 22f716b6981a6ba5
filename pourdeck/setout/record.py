"""The set-out of one panel as one record, and the record of a sum, as all who show them read it.

All lengths are exact millimetres to the face line, heights metres on the site datum.
"""

from decimal import Decimal

from attrs import frozen

from pourdeck.plan.lengths import rounded
from pourdeck.plan.messages import Finding
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import CastInKind, Panel, Side, Sides, Stack
from pourdeck.setout.adjust import Adjusted

# A number with the sum behind it, and what goes into many of them.

Value = Decimal | str

PLAN = "plan in force"
"""The source of what the drawing gives, size changes of the log applied."""


@frozen(kw_only=True, repr=False)
class Input:
    """One thing that went into a sum. `unit` mm, m, m², m³, kg, kg/m³ or "" where it is a word."""

    name: str
    value: Value
    unit: str
    source: str


@frozen(kw_only=True, repr=False)
class Sum:
    """A result with the sum behind it. `rounding` says how it is shown, "" where it is exact.

    `worked` is the formula with its numbers in, "" where the formula says it all.
    """

    title: str
    formula: str
    inputs: tuple[Input, ...]
    result: Value
    unit: str
    rounding: str = ""
    worked: str = ""


def mm(name: str, value: Decimal, source: str) -> Input:
    return Input(name=name, value=value, unit="mm", source=source)


def size_input(panel: Panel, name: str) -> Input:
    value: Decimal = getattr(panel, name)
    return mm(f"{name} of {panel.mark}", value, PLAN)


def position_input(mark: str, axis: str, value: Decimal) -> Input:
    return mm(f"{axis} of {mark}", value, "position in the stack")


def chamfer_input(chamfer: Decimal) -> Input:
    return mm("chamfer c", chamfer, "the kit: chamfer")


def bed_input(stack: Stack) -> Input:
    source = f"stack {stack.id}: bed RL"
    return Input(name="bed RL", value=stack.bed_rl, unit="m", source=source)


def start_of(side: Side) -> str:
    """The end of a side its positions are measured from."""
    return "left" if side in ("base", "head") else "base"


def in_sum(value: Decimal) -> str:
    """A number inside a worked sum: no unit, no exponent, negatives in brackets."""
    exponent = value.as_tuple().exponent
    too_fine = isinstance(exponent, int) and exponent < -3
    text = plain(rounded(value, 1) if too_fine else value)
    return f"({text})" if value < 0 else text


# The set-out of one panel as one record: the same for screen, JSON and panel record.


@frozen(kw_only=True, repr=False)
class Bracket:
    """One climbing bracket. `at` along the new side, `anchor` along the side of the panel below.

    `offset` is how far the form stands in from the panel below here: from its line as cast, where that was
    measured, else the `planned` one. `bolt` None: none reaches.
    """

    side: Side
    number: int
    at: Decimal
    anchor: Decimal
    extra: bool
    offset: Decimal
    planned: Decimal
    bolt: str | None

    @property
    def label(self) -> str:
        """`R4` for the fourth bracket on the right, counted as positions rise."""
        return f"{self.side[0].upper()}{self.number}"


@frozen(kw_only=True, repr=False)
class Run:
    """The forms of one side: stock lengths, longest first, and how far they pass the far corner."""

    pieces: tuple[Decimal, ...]
    length: Decimal
    overrun: Decimal


@frozen(kw_only=True, repr=False)
class Fill:
    """A rectangle to close under the new panel: in its own coordinates, and in the stack's.

    `opening` and `mark` name the opening of the panel right below. `depth` down to what carries it.
    """

    x: Decimal
    y: Decimal
    width: Decimal
    height: Decimal
    depth: Decimal
    x_stack: Decimal
    y_stack: Decimal
    opening: str
    mark: str


@frozen(kw_only=True, repr=False)
class PlacedOpening:
    """In the panel's own coordinates as cast, from its bl corner."""

    name: str
    x: Decimal
    y: Decimal
    width: Decimal
    height: Decimal


@frozen(kw_only=True, repr=False)
class PlacedCastIn:
    """As cast. In the face: x, y from the face lines. In an edge: `edge` and `at` along it."""

    name: str
    kind: CastInKind
    x: Decimal | None
    y: Decimal | None
    edge: Side | None
    at: Decimal | None


@frozen(kw_only=True, repr=False)
class Diagonal:
    """At the face line, and arris to arris on the upper or lower surface. mm."""

    face: Decimal
    arris: Decimal


@frozen(kw_only=True, repr=False)
class Heights:
    """m. `measured_below` and `expected_top` where the surface below was measured, else None."""

    below: Decimal
    top: Decimal
    measured_below: Decimal | None
    expected_top: Decimal | None

    @property
    def top_to_set(self) -> Decimal:
        """Give the height form tops and surface should have: over what was measured below, else the plan."""
        return self.top if self.expected_top is None else self.expected_top


@frozen(kw_only=True, repr=False)
class Quantities:
    """area m², volume m³, mass kg (None: no density given), centroid mm from the panel's own bl."""

    area: Decimal
    volume: Decimal
    mass: Decimal | None
    centroid: tuple[Decimal, Decimal] | None


@frozen(kw_only=True, repr=False)
class Prop:
    """A stretch of form that no anchor can hold, along the new side, mm."""

    side: Side
    start: Decimal
    end: Decimal


@frozen(kw_only=True, repr=False)
class SetOut:
    """Everything the crew sets out for panel `number` of `of` in a stack.

    On the first panel `offsets`, `bolts` are None and the lists of brackets are empty.
    `runs` holds None for a side that could not be made up; `form_depth` None: no form of that depth.
    `missing`: the fewest positions to fix afterwards where the poured panel below lacks anchors,
    along the side of the panel below. `poured`: this panel's pour has begun. `cast`, `cast_below`: where
    the corners of this panel and of the one below came to be, None where nothing was measured of them.
    """

    stack: str
    number: int
    of: int
    panel: Panel
    below: Panel | None
    poured: bool
    chamfer: Decimal
    form_depth: Decimal | None
    position: tuple[Decimal, Decimal]
    position_below: tuple[Decimal, Decimal] | None
    offsets: Sides[Decimal] | None
    bolts: Sides[str | None] | None
    diagonal: Diagonal
    heights: Heights
    brackets: Sides[tuple[Bracket, ...]]
    anchors: Sides[tuple[Decimal, ...]]
    extra_anchors: Sides[tuple[Decimal, ...]]
    missing: Sides[tuple[Decimal, ...]]
    props: tuple[Prop, ...]
    runs: Sides[Run | None]
    fill: tuple[Fill, ...]
    openings: tuple[PlacedOpening, ...]
    castins: tuple[PlacedCastIn, ...]
    quantities: Quantities
    cast: Adjusted | None
    cast_below: Adjusted | None
    findings: tuple[Finding, ...]

    @property
    def mark(self) -> str:
        return self.panel.mark

    @property
    def mirrored(self) -> bool:
        return self.panel.mirrored

    def all_brackets(self) -> tuple[Bracket, ...]:
        return tuple(bracket for side in self.brackets.values() for bracket in side)
