"""Targets and tolerances: what an item expects, and how far off a value may be.

Lengths mm, heights and staff readings m. A target says nothing of how far off a value may be: that is
in `TOLERANCES`. What is too fine to be read is rounded, lengths and heights as they are shown, so that the
number in the log is the one that was judged by and the one its sum gives.
"""

from collections.abc import Callable
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.amounts import as_read
from pourdeck.plan.lengths import format_length, format_rl, rounded
from pourdeck.plan.records import Band, Side, band_for
from pourdeck.setout import sums
from pourdeck.setout.panel import staff_reading
from pourdeck.setout.place import faces, footprint
from pourdeck.setout.record import Bracket, Sum
from pourdeck.walk.levels import FIRST, STAFF, instrument, setup_of, setup_of_forms
from pourdeck.walk.steps import Context, Instance
from pourdeck.walk.words import CORNER_NAMES

# What an item expects, worked out from the set-out, the job and what was answered before.

FIRST_THE_BENCHMARK = "read the benchmark first"
MM_DECIMALS = 3
RL_DECIMALS = 4
"""In metres: finer than any staff is read."""


@frozen(kw_only=True, eq=False, repr=False)
class Target:
    """A number or a word, None where it cannot be told yet; `opens` gives the sum behind it."""

    value: Decimal | str | None
    note: str = ""
    opens: Callable[[], Sum | None] | None = None


def _side(instance: Instance) -> Side:
    return instance.place.side or "base"


def _length(context: Context, value: Decimal) -> str:
    return format_length(value, context.job.units, decimals=1)


def _mark(context: Context, instance: Instance) -> Target:
    return Target(value=context.panel.mark)


def _rev(context: Context, instance: Instance) -> Target:
    return Target(value=context.panel.rev)


def _face_up(context: Context, instance: Instance) -> Target:
    return Target(value=context.panel.face_up)


def _mirrored(context: Context, instance: Instance) -> Target:
    drawn, up = context.panel.drawn_from, context.panel.face_up
    value = "mirrored left to right" if context.panel.mirrored else "as drawn"
    return Target(value=value, note=f"drawn from the {drawn}, {up} face up")


def _size(name: str) -> Callable[[Context, Instance], Target]:
    def target(context: Context, instance: Instance) -> Target:
        return Target(value=getattr(context.panel, name))

    return target


def _nil(context: Context, instance: Instance) -> Target:
    return Target(value=Decimal(0))


def _place(context: Context, instance: Instance) -> Target:
    return Target(value=instance.value)


def _side_length(context: Context, instance: Instance) -> Target:
    length = context.panel.side_length(_side(instance))
    arris = _length(context, length - 2 * context.setout.chamfer)
    return Target(value=length, note=f"arris to arris {arris}")


def _diagonal(context: Context, instance: Instance) -> Target:
    arris = _length(context, context.setout.diagonal.arris)
    return Target(
        value=rounded(context.setout.diagonal.face, MM_DECIMALS),
        note=f"arris to arris {arris}",
        opens=lambda: sums.diagonal_sum(context.setout),
    )


def _from_origin(context: Context, instance: Instance) -> Target:
    side = _side(instance)
    value = faces(footprint(context.panel, context.setout.position))[side]
    line = "base" if side in ("base", "head") else "left"
    return Target(value=value, note=f"from the {line} line on the bed")


def _bracket(context: Context, instance: Instance) -> Bracket:
    """The bracket an item is about."""
    side = _side(instance)
    return next(one for one in context.setout.brackets[side] if one.label == instance.place.bracket)


def _offset(context: Context, instance: Instance) -> Target:
    bracket = _bracket(context, instance)
    arris = _length(context, bracket.offset - context.setout.chamfer)
    beside = ""
    if context.setout.cast_below is not None:
        beside = f"; planned {_length(context, bracket.planned)}"
    return Target(
        value=rounded(bracket.offset, 1),
        note=f"from the arris {arris}; bolt {bracket.bolt or 'none'}{beside}",
        opens=lambda: sums.bracket_offset_sum(context.setout, bracket),
    )


def _bolt(context: Context, instance: Instance) -> Target:
    bracket = _bracket(context, instance)
    return Target(
        value=bracket.bolt,
        note=f"for {_length(context, bracket.offset)} in from the panel below",
        opens=lambda: sums.bracket_bolt_sum(context.setout, bracket, context.job),
    )


def _bracket_count(context: Context, instance: Instance) -> Target:
    by_side = ", ".join(f"{side} {len(on)}" for side, on in context.setout.brackets.items())
    return Target(value=Decimal(len(context.setout.all_brackets())), note=by_side)


def _run_pieces(context: Context, instance: Instance) -> Target:
    side = _side(instance)
    run = context.setout.runs[side]
    return Target(
        value=Decimal(len(run.pieces)) if run else None,
        opens=lambda: sums.run_sum(context.setout, side, context.job),
    )


def _cast_in_count(context: Context, instance: Instance) -> Target:
    count = sum(item.kind == instance.suffix for item in context.setout.castins)
    return Target(value=Decimal(count))


def _anchor_count(context: Context, instance: Instance) -> Target:
    side = _side(instance)
    extra = len(context.setout.extra_anchors[side])
    note = f"{extra} of them extra" if extra else ""
    return Target(value=Decimal(len(context.setout.anchors[side]) + extra), note=note)


def _volume(context: Context, instance: Instance) -> Target:
    return Target(
        value=as_read(context.setout.quantities.volume, "m³", context.job.units, 2),
        opens=lambda: sums.volume_sum(context.setout),
    )


def _climb_strength(context: Context, instance: Instance) -> Target:
    note = ""
    if context.below is not None and context.below.pour_end is not None:
        from pourdeck.walk.strength_words import below_words

        note = below_words(context.job, context.below)
    return Target(value=context.job.limits.climb.strength, note=note)


def _top(context: Context) -> Decimal:
    return rounded(context.setout.heights.top_to_set, RL_DECIMALS)


def _rl_top(context: Context, instance: Instance) -> Target:
    heights = context.setout.heights
    note = f"planned {format_rl(heights.top, context.job.units)}"
    return Target(
        value=_top(context),
        note="" if heights.expected_top is None else note,
        opens=lambda: (
            sums.expected_height_sum(context.setout)
            or sums.height_sum(context.setout, context.stack)
        ),
    )


def _closing(context: Context, instance: Instance) -> Target:
    """Give what the benchmark must read from the set-up in hand; in the first one that is its backsight."""
    benchmark = context.job.site.benchmark
    setup = setup_of_forms(context.record)
    height = _instrument(context, setup)
    if benchmark is None or height is None:
        return Target(value=None, note=FIRST_THE_BENCHMARK)
    return Target(value=staff_reading(height, benchmark.rl), note=_of_setup(setup))


def _staff_reading(context: Context, instance: Instance) -> Target:
    record, corner = context.record, instance.place.corner or "bl"
    answer = record.latest.get(f"{STAFF}{corner}")
    here = setup_of_forms(record)
    setup = setup_of(answer) if answer and answer.kind == "answer" else here
    height = _instrument(context, setup)
    if height is None:
        return Target(value=None, note=FIRST_THE_BENCHMARK)
    wanted, units = _top(context), context.job.units
    note = f"height of instrument {format_rl(height, units)}, top {format_rl(wanted, units)}"
    note += "".join(f"; {words}" for words in (_of_setup(setup),) if words)
    heights = context.setout.heights
    if heights.expected_top is not None:
        planned = staff_reading(height, heights.top)
        note += f"; reading for the planned top {format_rl(planned, units)}"
    moved = None if setup == here else _instrument(context, here)
    if moved is not None:
        now = format_rl(staff_reading(moved, wanted), units)
        note += f"; from set-up {here} it should read {now}"
    return Target(
        value=staff_reading(height, wanted),
        note=note,
        opens=lambda: sums.reading_sum(context.panel.mark, height, wanted, CORNER_NAMES[corner]),
    )


def _instrument(context: Context, setup: int) -> Decimal | None:
    benchmark = context.job.site.benchmark
    return None if benchmark is None else instrument(context.record, benchmark, setup)


def _of_setup(setup: int) -> str:
    return "" if setup == FIRST else f"set-up {setup}"


TARGETS: dict[str, Callable[[Context, Instance], Target]] = {
    "mark": _mark,
    "rev": _rev,
    "face-up": _face_up,
    "mirrored": _mirrored,
    "width": _size("width"),
    "height": _size("height"),
    "thickness": _size("thickness"),
    "nil": _nil,
    "place": _place,
    "side-length": _side_length,
    "diagonal": _diagonal,
    "from-origin": _from_origin,
    "offset": _offset,
    "bolt": _bolt,
    "bracket-count": _bracket_count,
    "run-pieces": _run_pieces,
    "cast-in-count": _cast_in_count,
    "anchor-count": _anchor_count,
    "volume": _volume,
    "climb-strength": _climb_strength,
    "rl-top": _rl_top,
    "closing": _closing,
    "staff-reading": _staff_reading,
}

READS_LOG = frozenset({"climb-strength", "closing", "staff-reading"})
"""Targets that hang on what the log says of the panel; all others on plan and set-out alone."""


# What judges an item: the job's bands and limits by the name the template gives them.
#
# The program ships no limit: what the job does not give is recorded and not judged.

MM_PER_M = Decimal(1000)

READABLE = {"metric": Decimal(0), "imperial": Decimal("25.4") / 32}
"""Allow so much between a length read off a drawing and the plan, mm: drawings in feet go to 1/16 inch."""


@frozen(kw_only=True, eq=False, repr=False)
class Margin:
    """Hold how far a value may be off, by which document; or its limits where nothing is aimed at.

    None: no limit on that side.
    """

    plus: Decimal | None = None
    minus: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    source: str | None = None


NOT_JUDGED = Margin()


def _band(context: Context, bands: tuple[Band, ...], nominal: Decimal, unit: str) -> Margin:
    band = band_for(bands, nominal)
    if band is None:
        return NOT_JUDGED
    scale = MM_PER_M if unit == "m" else Decimal(1)
    return Margin(
        plus=band.plus / scale, minus=band.minus / scale, source=context.job.tolerance.source
    )


def _by_size(name: str) -> Callable[[Context, Instance, str], Margin]:
    """Bands of `width`, `height` or `thickness`, by that size of the panel."""

    def margin(context: Context, instance: Instance, unit: str) -> Margin:
        bands: tuple[Band, ...] = getattr(context.job.tolerance, name)
        return _band(context, bands, getattr(context.panel, name), unit)

    return margin


def _side_margin(context: Context, instance: Instance, unit: str) -> Margin:
    name = "width" if instance.place.side in ("base", "head") else "height"
    return _by_size(name)(context, instance, unit)


def _diagonals(context: Context, instance: Instance, unit: str) -> Margin:
    return _band(context, context.job.tolerance.diagonals, context.setout.diagonal.face, unit)


def _reading(name: str) -> Callable[[Context, Instance, str], Margin]:
    """Bands of single readings, by what they read: 0 where that is no size."""

    def margin(context: Context, instance: Instance, unit: str) -> Margin:
        bands: tuple[Band, ...] = getattr(context.job.tolerance, name)
        return _band(context, bands, instance.value or Decimal(0), unit)

    return margin


def _exact(context: Context, instance: Instance, unit: str) -> Margin:
    allowed = READABLE[context.job.units]
    return Margin(plus=allowed, minus=allowed, source="the plan in force")


def _source(context: Context, limit: str) -> str:
    return context.job.limits.sources.get(limit, f"limits of the job: {limit.replace('_', ' ')}")


def _level_misclose(context: Context, instance: Instance, unit: str) -> Margin:
    allowed = context.job.limits.level_misclose / MM_PER_M
    return Margin(plus=allowed, minus=allowed, source=_source(context, "level_misclose"))


def _climb_margin(context: Context, instance: Instance, unit: str) -> Margin:
    return Margin(minus=Decimal(0), source=_source(context, "climb"))


def _concrete_temperature(context: Context, instance: Instance, unit: str) -> Margin:
    limits = context.job.limits.concrete_temperature
    if limits is None:
        return NOT_JUDGED
    return Margin(low=limits[0], high=limits[1], source=_source(context, "concrete_temperature"))


TOLERANCES: dict[str, Callable[[Context, Instance, str], Margin]] = {
    "width": _by_size("width"),
    "height": _by_size("height"),
    "thickness": _by_size("thickness"),
    "side-length": _side_margin,
    "diagonals": _diagonals,
    "offset": _reading("offset"),
    "position": _reading("position"),
    "level": _reading("level"),
    "plumb": _reading("plumb"),
    "exact": _exact,
    "level_misclose": _level_misclose,
    "climb-strength": _climb_margin,
    "concrete_temperature": _concrete_temperature,
}
