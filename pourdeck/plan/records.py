"""The job as the office wrote it, and what the site changed of it: frozen records, one a table.

Lengths are exact decimals in millimetres, heights on the site datum exact decimals in metres,
so that a size which was typed as 7200.1 is 7200.1 and nothing near it.
"""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Generic, Literal, TypeVar

from attrs import evolve, field, frozen

# The four sides and four corners of a panel, and a record that holds one thing for each side.
#
# Look down on the stack with the wall's bottom edge nearest you: base is nearest, head furthest.

Side = Literal["base", "right", "head", "left"]
Corner = Literal["bl", "br", "hr", "hl"]

SIDES: tuple[Side, ...] = ("base", "right", "head", "left")
"""In the order of the walk round the panel, counter-clockwise seen from above."""

CORNERS: tuple[Corner, ...] = ("bl", "br", "hr", "hl")

T = TypeVar("T")
U = TypeVar("U")


@frozen(repr=False)
class Sides(Generic[T]):
    """One thing for each of the four sides."""

    base: T
    right: T
    head: T
    left: T

    def __getitem__(self, side: Side) -> T:
        return getattr(self, side)  # type: ignore[no-any-return]

    def items(self) -> Iterator[tuple[Side, T]]:
        """Side and thing, in the order of the walk round the panel."""
        yield "base", self.base
        yield "right", self.right
        yield "head", self.head
        yield "left", self.left

    def values(self) -> tuple[T, T, T, T]:
        return self.base, self.right, self.head, self.left

    def map(self, change: Callable[[T], U]) -> "Sides[U]":
        return Sides(change(self.base), change(self.right), change(self.head), change(self.left))

    @classmethod
    def of(cls, make: Callable[[Side], T]) -> "Sides[T]":
        """Build from a function of the side."""
        return cls(make("base"), make("right"), make("head"), make("left"))


# The job as the office wrote it: frozen records, one for each table of job.toml.

Units = Literal["metric", "imperial"]
Face = Literal["inside", "outside"]
Align = Literal[
    "base-left", "base-centre", "base-right",
    "centre-left", "centre", "centre-right",
    "head-left", "head-centre", "head-right",
]  # fmt: skip
CastInKind = Literal["lifter", "brace", "ferrule", "plate", "dowel", "conduit", "other"]
Role = Literal["foreman", "hand", "engineer", "supervisor", "surveyor", "tester"]

Way = Literal["here", "writing", "phone"]
ShownBy = Literal["test", "estimate"]

ALIGNMENTS: tuple[Align, ...] = (
    "base-left", "base-centre", "base-right",
    "centre-left", "centre", "centre-right",
    "head-left", "head-centre", "head-right",
)  # fmt: skip
CAST_IN_KINDS: tuple[CastInKind, ...] = (
    "lifter", "brace", "ferrule", "plate", "dowel", "conduit", "other",
)  # fmt: skip
SHOWN_BY: tuple[ShownBy, ...] = ("test", "estimate")
ROLES: tuple[Role, ...] = ("foreman", "hand", "engineer", "supervisor", "surveyor", "tester")
WAYS: tuple[Way, ...] = ("here", "writing", "phone")


@frozen(kw_only=True, repr=False)
class Benchmark:
    """A temporary benchmark off the stack. `rl` in m."""

    name: str
    rl: Decimal


@frozen(kw_only=True, repr=False)
class Site:
    """`zone` is an IANA time zone name, or None for the computer's own."""

    zone: str | None = None
    benchmark: Benchmark | None = None


@frozen(kw_only=True, repr=False)
class Pin:
    """A PIN as the log keeps it: salt and hash in hexadecimal, and the parameters of scrypt (RFC 7914)."""

    salt: str
    hash: str
    n: int
    r: int
    p: int


@frozen(kw_only=True, repr=False)
class Person:
    """Somebody of the job. `pin` is the one the log has, None where there is none."""

    name: str
    role: Role
    pin: Pin | None = field(default=None, repr=False)


@frozen(kw_only=True, repr=False)
class Holes:
    """Anchor holes along a run of forms, from the corner the run starts at: first + n·pitch, mm."""

    first: Decimal
    pitch: Decimal


@frozen(kw_only=True, repr=False)
class AnchorRules:
    """Where an anchor may stand and how far brackets may be apart, mm."""

    end_min: Decimal
    end_max: Decimal
    gap_max: Decimal
    clear: Decimal


@frozen(kw_only=True, repr=False)
class Overrun:
    """Hold how far a run of forms may pass the far corner, mm."""

    min: Decimal
    max: Decimal


@frozen(kw_only=True, repr=False)
class Stock:
    """Forms of one length held by the crew. `depth` None: so many at every depth of the kit."""

    length: Decimal
    count: int
    depth: Decimal | None = None


@frozen(kw_only=True, repr=False)
class Bolt:
    """One bolt position of the brackets and the band of offsets it is good for, ends included, mm."""

    name: str
    reach: tuple[Decimal, Decimal]


@frozen(kw_only=True, repr=False)
class Kit:
    """The crew's edge-form kit. `brackets` None: the number held was not given."""

    depths: tuple[Decimal, ...]
    chamfer: Decimal
    holes: Holes
    anchors: AnchorRules
    overrun: Overrun
    stock: tuple[Stock, ...]
    bolts: tuple[Bolt, ...]
    brackets: int | None = None

    @property
    def longest_bolt(self) -> Bolt:
        """The bolt position that reaches furthest in."""
        return max(self.bolts, key=lambda bolt: bolt.reach[1])


@frozen(kw_only=True, repr=False)
class Slump:
    """mm."""

    target: Decimal
    plus: Decimal
    minus: Decimal


@frozen(kw_only=True, repr=False)
class Mix:
    """strength MPa at 28 d, density kg/m³, truck, order_step and least_load m³."""

    name: str | None = None
    strength: Decimal | None = None
    cement: Literal["R", "N", "S"] | None = None
    density: Decimal | None = None
    slump: Slump | None = None
    truck: Decimal | None = None
    waste: Decimal | None = None
    discharge_minutes: Decimal | None = None
    order_step: Decimal = Decimal("0.2")
    least_load: Decimal = Decimal("1.0")


@frozen(kw_only=True, repr=False)
class ClimbLimit:
    """Strength, MPa, and hours since the end of the pour. `by`: what may show the strength."""

    strength: Decimal | None = None
    hours: Decimal | None = None
    by: ShownBy = "test"

    @property
    def given(self) -> bool:
        """Whether the job gives a limit here at all."""
        return self.strength is not None or self.hours is not None


@frozen(kw_only=True, repr=False)
class LiftLimit:
    """Hold what the lifting design gives: strength MPa; how far off the centre of gravity the centre of the
    lifters may be along either edge, mm; the factor on the mass for suction and jolts.
    """

    strength: Decimal | None = None
    eccentricity: Decimal | None = None
    factor: Decimal | None = None


@frozen(kw_only=True, repr=False)
class EvaporationLimit:
    """kg/m²/h."""

    caution: Decimal | None = None
    act: Decimal | None = None

    @property
    def given(self) -> bool:
        return self.caution is not None or self.act is not None


@frozen(kw_only=True, repr=False)
class Limits:
    """Hold what the job judges by. None: no limit given, so nothing is judged.

    lap, tape, level_misclose, stack_height mm; concrete_temperature °C; gap_minutes min; temperature_gap h.
    `climb`: before brackets are hung on a panel's anchors; `strip`: before its forms come off.
    `sources` names the document behind a limit, by the limit's key.
    """

    lap: Decimal = Decimal(3)
    tape: Decimal = Decimal(1)
    level_misclose: Decimal = Decimal(3)
    stack_height: Decimal | None = None
    climb: ClimbLimit = ClimbLimit()
    strip: ClimbLimit = ClimbLimit()
    lift: LiftLimit = LiftLimit()
    concrete_temperature: tuple[Decimal, Decimal] | None = None
    evaporation: EvaporationLimit = EvaporationLimit()
    gap_minutes: Decimal | None = None
    temperature_gap: Decimal = Decimal(2)
    sources: dict[str, str] = field(factory=dict)


@frozen(kw_only=True, repr=False)
class Band:
    """A tolerance for nominal sizes up to and including `upto`, None: any size. mm."""

    upto: Decimal | None = None
    plus: Decimal
    minus: Decimal


@frozen(kw_only=True, repr=False)
class Tolerance:
    """Bands by what they judge. No band: the value is recorded and not judged.

    `offset`, `position`, `level` and `plumb` judge single readings and take one band without `upto`
    as a rule: a bracket's offset, a cast-in's or opening's place, a form top's height, all in mm,
    and the lean of a form face in mm per form depth. `twice`: what is measured twice as cast, any of
    `width`, `height`, `diagonals` and `thickness`.
    """

    source: str | None = None
    width: tuple[Band, ...] = ()
    height: tuple[Band, ...] = ()
    thickness: tuple[Band, ...] = ()
    diagonals: tuple[Band, ...] = ()
    offset: tuple[Band, ...] = ()
    position: tuple[Band, ...] = ()
    level: tuple[Band, ...] = ()
    plumb: tuple[Band, ...] = ()
    twice: tuple[str, ...] = ()


@frozen(kw_only=True, repr=False)
class Opening:
    """As drawn: x, y of its own bottom-left corner from the drawing's bottom-left, mm."""

    name: str
    x: Decimal
    y: Decimal
    width: Decimal
    height: Decimal


@frozen(kw_only=True, repr=False)
class CastIn:
    """Either in the face, x and y of its centre as drawn, or in an edge, `at` along it as cast. mm."""

    name: str
    kind: CastInKind
    x: Decimal | None = None
    y: Decimal | None = None
    edge: Side | None = None
    at: Decimal | None = None


@frozen(kw_only=True, repr=False)
class Panel:
    """One wall panel. width, height, thickness mm."""

    mark: str
    width: Decimal
    height: Decimal
    thickness: Decimal
    lift: int | None = None
    rev: str | None = None
    align: Align = "base-left"
    shift: tuple[Decimal, Decimal] = (Decimal(0), Decimal(0))
    drawn_from: Face = "inside"
    face_up: Face = "inside"
    openings: tuple[Opening, ...] = ()
    castins: tuple[CastIn, ...] = ()

    @property
    def mirrored(self) -> bool:
        """True where the crew looks at the other face than the drawing shows."""
        return self.drawn_from != self.face_up

    def side_length(self, side: Side) -> Decimal:
        return self.width if side in ("base", "head") else self.height


@frozen(kw_only=True, repr=False)
class Stack:
    """Panels in casting order; the first stands on the bed. `bed_rl` in m."""

    id: str
    bed_rl: Decimal
    panels: tuple[Panel, ...]
    align: Align = "base-left"


@frozen(kw_only=True, repr=False)
class JobStep:
    """An item the job adds to a section of the walk, or (`drop`) a built-in one it leaves out."""

    section: str | None = None
    id: str | None = None
    prompt: str | None = None
    answer: Literal["choice", "measure", "count", "text", "time"] = "choice"
    choices: tuple[str, ...] = ()
    unit: str | None = None
    expected: Decimal | str | None = None
    plus: Decimal | None = None
    minus: Decimal | None = None
    source: str | None = None
    second: bool = False
    drop: str | None = None
    reason: str | None = None


@frozen(kw_only=True, repr=False)
class JobWord:
    """The roles and ways that are enough in this job for an act or a group of acts. None: as built in."""

    act: str
    roles: tuple[Role, ...] | None = None
    ways: tuple[Way, ...] | None = None


@frozen(kw_only=True, repr=False)
class Job:
    """The whole of job.toml. `folder` is where it was read from."""

    folder: Path
    name: str
    number: str
    units: Units = "metric"
    drawings: str | None = None
    site: Site = Site()
    people: tuple[Person, ...] = ()
    kit: Kit
    mix: Mix = Mix()
    limits: Limits = Limits()
    tolerance: Tolerance = Tolerance()
    stacks: tuple[Stack, ...]
    steps: tuple[JobStep, ...] = ()
    words: tuple[JobWord, ...] = ()

    def stack(self, stack_id: str) -> Stack | None:
        return next((stack for stack in self.stacks if stack.id == stack_id), None)

    def person(self, name: str) -> Person | None:
        """The person of that name, whatever the case and the spaces round it."""
        wanted = " ".join(name.split()).casefold()
        return next((p for p in self.people if " ".join(p.name.split()).casefold() == wanted), None)


# Which tolerance band a size falls into.


def band_for(bands: Iterable[Band], nominal: Decimal) -> Band | None:
    """The first band whose `upto` is at least the nominal size, mm; None where none is."""
    return next((band for band in bands if band.upto is None or nominal <= band.upto), None)


# What the log says of a panel that has been poured, as the set-out needs it.


@frozen(kw_only=True, repr=False)
class Poured:
    """A panel whose pour has begun: it cannot be revised, and its anchors are what they are.

    `anchors` and `extra_anchors`: positions along each side in the panel's own coordinates, mm, rising.
    `measured`: as-cast values by their key (mm; `rl_*` in m).
    """

    mark: str
    anchors: Sides[tuple[Decimal, ...]]
    extra_anchors: Sides[tuple[Decimal, ...]]
    measured: dict[str, Decimal] = field(factory=dict)

    @property
    def surface_rl(self) -> Decimal | None:
        """Mean of the finished-surface heights that were read at the corners, m; None if none was."""
        read = [rl for key, rl in self.measured.items() if key.startswith("rl_")]
        return sum(read, Decimal(0)) / len(read) if read else None


# Sizes changed on site: the plan in force is the office's plan with these applied.


@frozen(kw_only=True, eq=False, repr=False)
class Revision:
    """The whole new size of one panel, mm, and where it sits on the panel below."""

    mark: str
    width: Decimal
    height: Decimal
    thickness: Decimal
    align: Align

    def apply(self, panel: Panel) -> Panel:
        return evolve(
            panel,
            width=self.width,
            height=self.height,
            thickness=self.thickness,
            align=self.align,
        )


def revise_stack(stack: Stack, revision: Revision) -> Stack:
    """The stack with one panel changed; a mark it does not hold changes nothing."""
    panels = tuple(
        revision.apply(panel) if panel.mark == revision.mark else panel for panel in stack.panels
    )
    return evolve(stack, panels=panels)


def in_force(job: Job, revisions: Iterable[Revision]) -> Job:
    """The job with every revision applied in order; the last of a panel counts."""
    latest = {revision.mark: revision for revision in revisions}
    if not latest:
        return job
    stacks = []
    for stack in job.stacks:
        for panel in stack.panels:
            if panel.mark in latest:
                stack = revise_stack(stack, latest[panel.mark])
        stacks.append(stack)
    return evolve(job, stacks=tuple(stacks))
