"""The conditions under which a section or an item of the walk appears."""

from collections.abc import Callable, Iterable

from pourdeck.walk.context import Context


def _shrinks(context: Context) -> bool:
    """Some side steps in from the panel below."""
    offsets = context.setout.offsets
    return offsets is not None and any(offset > 0 for offset in offsets.values())


CONDITIONS: dict[str, Callable[[Context], bool]] = {
    "first": lambda context: context.first,
    "not-first": lambda context: not context.first,
    "last": lambda context: context.last,
    "not-last": lambda context: not context.last,
    "shrinks": _shrinks,
    "has-openings": lambda context: bool(context.setout.openings),
    "has-cast-ins": lambda context: bool(context.setout.castins),
    "fills": lambda context: bool(context.setout.fill),
    "extra-anchors": lambda context: any(context.setout.extra_anchors.values()),
    "missing-anchors": lambda context: any(context.setout.missing.values()),
    "prop": lambda context: bool(context.setout.props),
    "mirrored": lambda context: context.setout.mirrored,
    "has-benchmark": lambda context: context.job.site.benchmark is not None,
    "climb-strength": lambda context: (
        not context.first and context.job.limits.climb.strength is not None
    ),
}


def holds(when: Iterable[str], context: Context) -> bool:
    """True where all of the conditions hold. Raises KeyError for one that is not known."""
    return all(CONDITIONS[name](context) for name in when)
