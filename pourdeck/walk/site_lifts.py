"""The lifts of a job: whether each panel may be lifted now, and whether those of the log might."""

from typing import TYPE_CHECKING

from pourdeck.plan.findings import Finding
from pourdeck.sitelog.entries import Key
from pourdeck.walk.lift_ground import lost_ground
from pourdeck.walk.lift_history import Then, as_lifted, unfit_findings
from pourdeck.walk.lift_missing import mark_missing, owed_before_lift
from pourdeck.walk.lift_order import in_lift_order
from pourdeck.walk.lift_seals import Asked
from pourdeck.walk.lifting import LiftView, lift_view
from pourdeck.walk.nonconformances import nonconformances
from pourdeck.walk.tolerance_words import need_words

if TYPE_CHECKING:
    from pourdeck.walk.site import Site


class SiteLifts:
    """What follows for the lift from all of a site; how each lift of the log was judged is kept."""

    def __init__(self, site: "Site") -> None:
        self._site = site
        self._then: dict[Key, Then] = {}

    def view(self, stack_id: str, number: int, asked: Asked | None = None) -> LiftView:
        """Whether panel `number`, from 1, may be lifted now, and all that is missing.

        `asked`: what another plan than that of today asked of it, to judge a lift of the past.
        """
        site = self._site
        setout = site.set_out(stack_id, number)
        record = site.state.panel(setout.mark)
        owed: tuple[str, ...] = owed_before_lift(record, (), ())
        if record.closed is not None:
            owed = owed_before_lift(
                record,
                site.items_owing(stack_id, number),
                nonconformances(record, site.template, stack_id, number),
                [
                    need_words(one, site.job.units)
                    for one in site.out_of_tolerance(stack_id, number)
                    if not one.settled
                ],
            )
        faults: tuple[Finding, ...] = ()
        if asked is None and record.lifted is not None:
            faults = tuple(one for one in self.findings() if one.mark == setout.mark)
        return lift_view(
            site.job,
            site.stack(stack_id),
            setout,
            site.state,
            (*mark_missing(setout.mark, site.places), *owed),
            site.now(),
            asked=asked,
            faults=faults,
        )

    def findings(self) -> tuple[Finding, ...]:
        """What is wrong with the lifts of the log: not fit when recorded, or what they rest on is gone."""
        site = self._site
        lifted = {one.lifted.key for one in site.state.panels.values() if one.lifted}
        if not lifted:
            return ()
        fresh = lifted - self._then.keys()
        if fresh:
            self._then |= as_lifted(site.plan, site.state, fresh)
        unfit = unfit_findings(site.job, site.state, self._then)
        lost = lost_ground(site.job, site.state)
        return (*unfit, *(one.finding() for one in lost))

    def in_order(self) -> tuple[LiftView, ...]:
        """Every panel of the job in the order of the lift."""
        site = self._site
        return in_lift_order(
            self.view(stack.id, number)
            for stack in site.job.stacks
            for number in range(1, len(stack.panels) + 1)
        )
