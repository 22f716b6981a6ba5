"""The level book of a panel as the crew sees it: what was read, what is to be read, and what comes of it."""

from collections.abc import Iterator
from decimal import Decimal

from attrs import field, frozen

from pourdeck.plan.lengths import format_length
from pourdeck.plan.messages import literal
from pourdeck.plan.records import CORNERS, Band, Benchmark, Corner, band_for
from pourdeck.setout.levels import Book, CornerHeights, Run, SetUp, SightKind
from pourdeck.setout.panel import MM_PER_M, staff_reading
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.levels import (
    BELOW,
    BENCHMARK,
    FIRST,
    FORM_TOP,
    ITEM_OF,
    STAFF,
    SURFACE,
    Reading,
    book_of,
    point_name,
    readings,
    setup_in_hand,
)
from pourdeck.walk.records import Verdict, Walk, within
from pourdeck.walk.words import number_of

Point = tuple[SightKind, str]
"""A sight that is to be read, and on what."""

BY_PLAN = "planned"
BY_STAFF = "read before the pour"


@frozen(kw_only=True)
class Line:
    """A line of the book: a reading with its height, or with None for `reading` one that is to be read.

    Heights and readings m. `wanted` is the height that the point should have, `should` what the staff
    then reads, `off` how far the point is above it, mm, `low` and `high` the limits of that, mm, None
    where there is none. `again`: what was recorded with this reading no longer follows from it.
    """

    setup: int
    kind: SightKind
    point: str
    name: str
    reading: Decimal | None
    rl: Decimal | None
    wanted: Decimal | None
    low: Decimal | None
    high: Decimal | None
    source: str | None
    should: Decimal | None
    item: str | None
    again: bool = False
    entry: Entry | None = field(default=None, repr=False)

    @property
    def key(self) -> str:
        return f"{self.setup}.{self.kind}.{self.point}"

    @property
    def off(self) -> Decimal | None:
        if self.rl is None or self.wanted is None or self.kind == "back":
            return None
        return (self.rl - self.wanted) * MM_PER_M

    @property
    def verdict(self) -> Verdict | None:
        """None where nothing was read, or nothing is aimed at."""
        return None if self.off is None else within(self.off, self.low, self.high)


@frozen(kw_only=True)
class SetUpPage:
    """One set-up with its lines, the backsight first. `view` None: it is to be begun."""

    number: int
    view: SetUp | None
    lines: tuple[Line, ...]


@frozen(kw_only=True)
class LevelPage:
    """`setups` in order, the one in hand last. `next_mark`: the panel that will stand on this one."""

    benchmark: Benchmark
    setups: tuple[SetUpPage, ...]
    runs: tuple[Run, ...]
    misclose: Decimal
    corners: tuple[CornerHeights, ...]
    level: Band | None
    source: str | None
    next_mark: str | None
    next_planned: Decimal | None
    next_expected: Decimal | None

    @property
    def lines(self) -> tuple[Line, ...]:
        return tuple(line for setup in self.setups for line in setup.lines)

    def find(self, key: str | None) -> Line | None:
        return next((line for line in self.lines if line.key == key), None)

    def closes(self, run: Run) -> bool | None:
        """Whether a run comes back to a known height within what the job allows; None: it ends nowhere."""
        return None if run.misclose is None else abs(run.misclose) <= self.misclose


def level_page(
    walk: Walk, below: PanelState | None, wanted: Point | None = None
) -> LevelPage | None:
    """The level book of a panel; None where the job has no benchmark. `below`: the log of the one below.

    `wanted`: a sight that is to be read next, which a backsight begins a set-up with.
    """
    benchmark = walk.job.site.benchmark
    if benchmark is None:
        return None
    book, read = book_of(walk.record, benchmark), readings(walk.record)
    maker = _Maker(walk=walk, benchmark=benchmark, below=below, book=book, read=read, wanted=wanted)
    above = walk.plan.panels[walk.number] if walk.number < walk.of else None
    surface = [one for key, one in walk.record.measured.items() if key.startswith("rl_")]
    mean = sum(surface, Decimal(0)) / len(surface) if surface else None
    depth = above.thickness / MM_PER_M if above else None
    return LevelPage(
        benchmark=benchmark,
        setups=tuple(maker.setups()),
        runs=book.runs,
        misclose=walk.job.limits.level_misclose,
        corners=tuple(maker.corner(corner) for corner in CORNERS),
        level=maker.level,
        source=walk.job.tolerance.source,
        next_mark=above.mark if above else None,
        next_planned=None if depth is None else walk.setout.heights.top + depth,
        next_expected=None if depth is None or mean is None else mean + depth,
    )


@frozen(kw_only=True, eq=False, repr=False)
class _Maker:
    walk: Walk
    benchmark: Benchmark
    below: PanelState | None
    book: Book
    read: tuple[Reading, ...]
    wanted: Point | None

    @property
    def level(self) -> Band | None:
        return band_for(self.walk.job.tolerance.level, Decimal(0))

    def setups(self) -> Iterator[SetUpPage]:
        here, last = setup_in_hand(self.walk.record), self.book.last
        begin = self.wanted[1] if self.wanted and self.wanted[0] == "back" else None
        if begin is None and (last is None or self._over(last)):
            begin = BENCHMARK
        for setup in self.book.setups:
            lines = [self._line(one) for one in self.read if one.sight.setup == setup.number]
            lines.sort(key=lambda line: line.kind != "back")
            if setup.number == here and begin is None:
                lines += self._to_read(setup.number, {(one.kind, one.point) for one in lines})
            yield SetUpPage(number=setup.number, view=setup, lines=tuple(lines))
        if begin is not None:
            number = FIRST if last is None and not self.walk.record.pour_start else here + 1
            yield SetUpPage(number=number, view=None, lines=(self._made(number, "back", begin),))

    def _over(self, setup: SetUp) -> bool:
        """A set-up of before the pour has nothing to do with the surface that came of it."""
        end = self.walk.record.pour_end
        back = next(
            one for one in self.read if one.sight.setup == setup.number and one.sight.kind == "back"
        )
        return end is not None and back.first < end.order

    def _to_read(self, setup: int, read: set[Point]) -> Iterator[Line]:
        """List what is still to be read from the set-up in hand; brackets last, they are not asked for."""
        poured = self.walk.record.pour_end is not None
        points: list[Point] = [self.wanted] if self.wanted and self.wanted[0] != "back" else []
        if poured:
            points += [("inter", f"{SURFACE}{corner}") for corner in CORNERS]
        else:
            points += [("inter", f"{FORM_TOP}{corner}") for corner in CORNERS]
            points += [("inter", f"{BELOW}{corner}") for corner in CORNERS]
        points.append(("fore", BENCHMARK))
        if not poured:
            brackets = self.walk.setout.all_brackets()
            points += [("inter", f"{FORM_TOP}{one.side}-{one.number}") for one in brackets]
        before = {one.sight.point for one in self.read} if not poured else set()
        for kind, point in points:
            again = (kind, point) == self.wanted or point == BENCHMARK
            if (kind, point) not in read and (again or point not in before):
                yield self._made(setup, kind, point)

    def _line(self, one: Reading) -> Line:
        sight = one.sight
        return self._made(sight.setup, sight.kind, sight.point, one)

    def _made(self, setup: int, kind: SightKind, point: str, one: Reading | None = None) -> Line:
        found = self.book.setup(setup)
        height = found.instrument if found else None
        wanted = self._wanted(point)
        low, high, source = self._limits(kind, point)
        reading = one.sight.reading if one else None
        rl = None if height is None or reading is None else staff_reading(height, reading)
        if kind == "back":
            rl = found.rl if found else wanted
        return Line(
            setup=setup,
            kind=kind,
            point=point,
            name=point_name(self.walk.job, point),
            reading=reading,
            rl=rl,
            wanted=wanted,
            low=low,
            high=high,
            source=source,
            should=None
            if height is None or wanted is None or kind == "back"
            else staff_reading(height, wanted),
            item=ITEM_OF.get((kind, point)),
            again=self._again(point, one, rl),
            entry=one.entry if one else None,
        )

    def _again(self, point: str, one: Reading | None, rl: Decimal | None) -> bool:
        """The height recorded of a corner of the surface was worked out with another backsight."""
        if one is None or not point.startswith(SURFACE) or one.entry.kind != "as-cast":
            return False
        key = f"rl_{point.removeprefix(SURFACE)}"
        recorded = number_of(one.entry.data["values"].get(key))
        return recorded is not None and recorded != rl and self._stands(key, one.entry)

    def _stands(self, key: str, entry: Entry) -> bool:
        given = [one for one in self.walk.record.as_cast if key in one.data["values"]]
        return bool(given) and given[-1] is entry

    def _wanted(self, point: str) -> Decimal | None:
        if point == BENCHMARK:
            return self.benchmark.rl
        if point.startswith((FORM_TOP, SURFACE)):
            return self.walk.setout.heights.top_to_set
        if point.startswith(BELOW):
            corner = point.removeprefix(BELOW)
            return next(
                (self._below(one)[0] for one in CORNERS if one == corner),
                None,
            )
        return None

    def _limits(
        self, kind: SightKind, point: str
    ) -> tuple[Decimal | None, Decimal | None, str | None]:
        if point == BENCHMARK and kind == "fore":
            allowed = self.walk.job.limits.level_misclose
            return -allowed, allowed, self.walk.job.limits.sources.get("level_misclose")
        if point.startswith((FORM_TOP, SURFACE)) and self.level is not None:
            return -self.level.minus, self.level.plus, self.walk.job.tolerance.source
        return None, None, None

    def _below(self, corner: Corner) -> tuple[Decimal | None, str]:
        """The surface below at a corner as it was measured, else as planned."""
        measured = self.below.measured.get(f"rl_{corner}") if self.below else None
        if measured is not None and self.below is not None:
            return measured, f"{literal(self.below.mark)} as cast"
        return self.walk.setout.heights.below, BY_PLAN

    def corner(self, corner: Corner) -> CornerHeights:
        read = self.book.height_of(f"{BELOW}{corner}")
        below, source = (read, BY_STAFF) if read is not None else self._below(corner)
        depth = self.walk.find(f"height.depth/{corner}")
        staff = self.walk.find(f"{STAFF}{corner}")
        found = depth.found if depth and depth.own_state in ("done", "failed") else None
        read_top = staff is not None and staff.own_state in ("done", "failed")
        return CornerHeights(
            corner=corner,
            form_top=self.book.height_of(f"{FORM_TOP}{corner}") if read_top else None,
            below=below,
            below_from=source,
            depth=found if isinstance(found, Decimal) else None,
            surface=self.walk.record.measured.get(f"rl_{corner}"),
        )


def level_faults(walk: Walk) -> tuple[str, ...]:
    """Say what is wrong with the levels of the finished surface: a run not closed, a height of before.

    Only of set-ups since the pour: those before it are items of the walk.
    """
    page = level_page(walk, None) if walk.record.pour_end else None
    if page is None:
        return ()
    surfaces = {one.setup for one in page.lines if one.point.startswith(SURFACE) and one.entry}
    name = literal(page.benchmark.name)
    found: list[str] = []
    for run in page.runs:
        numbers = {setup.number for setup in run.setups}
        if not numbers & surfaces:
            continue
        last = run.setups[-1].number
        if run.misclose is None:
            found.append(f"level book: set-up {last} is not closed on {name}")
        elif not page.closes(run):
            off = format_length(run.misclose, walk.job.units, decimals=1)
            found.append(f"level book: set-up {last} closes {off} off {name}")
    found += [f"level book: {line.name} was recorded before its set-up changed"
              for line in page.lines if line.again]  # fmt: skip
    return tuple(found)
