"""The order of the lift: of the whole job, and the panel on top of each stack."""

from collections.abc import Iterable

from attrs import frozen

from pourdeck.walk.lifting import LiftView


@frozen(kw_only=True)
class TopLift:
    """The panel on top of what is left of a stack: whether it may go, in a few words."""

    stack: str
    number: int
    mark: str
    lift: int | None
    fit: bool
    missing: tuple[str, ...]


def top_lift(view: LiftView) -> TopLift:
    return TopLift(
        stack=view.stack,
        number=view.number,
        mark=view.mark,
        lift=view.lift,
        fit=view.fit,
        missing=view.missing,
    )


def in_lift_order(views: Iterable[LiftView]) -> tuple[LiftView, ...]:
    """As they go: those that lie there still by their lift numbers, without one after them; then the lifted.

    Of two in one stack the upper goes first, whatever their numbers say.
    """
    every = tuple(views)
    there = [one for one in every if one.lifted is None]
    gone = [one for one in every if one.lifted is not None]
    waiting = {
        (one.stack, one.number): one
        for one in sorted(there, key=lambda one: (one.lift is None, one.lift or 0, one.stack))
    }
    found: list[LiftView] = []
    while waiting:
        top = next(
            one
            for one in waiting.values()
            if not any(key[0] == one.stack and key[1] > one.number for key in waiting)
        )
        found.append(waiting.pop((top.stack, top.number)))
    gone.sort(key=lambda one: one.lifted.order if one.lifted else 0)
    return (*found, *gone)


def goes_before(view: LiftView, every: Iterable[LiftView]) -> tuple[LiftView, ...]:
    """Panels of other stacks that lie there still and have a place before it in the erection order."""
    return tuple(
        one
        for one in in_lift_order(every)
        if one.stack != view.stack
        and one.lifted is None
        and one.lift is not None
        and (view.lift is None or one.lift < view.lift)
    )
