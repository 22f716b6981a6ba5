"""What judges an item: the job's bands and limits by the name the template gives them.

The program ships no limit: what the job does not give is recorded and not judged.
"""

from collections.abc import Callable
from decimal import Decimal

from attrs import frozen

from pourdeck.plan.bands import band_for
from pourdeck.plan.records import Band
from pourdeck.walk.context import Context, Instance

MM_PER_M = Decimal(1000)

READABLE = {"metric": Decimal(0), "imperial": Decimal("25.4") / 32}
"""How far a length read off a drawing may be from the plan, mm: drawings in feet go to 1/16 inch."""


@frozen(kw_only=True, eq=False, repr=False)
class Margin:
    """How far a value may be off, and the document that says so; or its limits where nothing is aimed at.

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


def _side_length(context: Context, instance: Instance, unit: str) -> Margin:
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


def _climb_strength(context: Context, instance: Instance, unit: str) -> Margin:
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
    "side-length": _side_length,
    "diagonals": _diagonals,
    "offset": _reading("offset"),
    "position": _reading("position"),
    "level": _reading("level"),
    "plumb": _reading("plumb"),
    "exact": _exact,
    "level_misclose": _level_misclose,
    "climb-strength": _climb_strength,
    "concrete_temperature": _concrete_temperature,
}
