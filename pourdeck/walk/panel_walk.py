"""The walk of one panel as it stands: sections, items, holds, and what locks what."""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from datetime import datetime

from attrs import evolve

from pourdeck.plan.refusal import Refusal
from pourdeck.sitelog.panels import PanelState
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.conditions import holds as conditions_hold
from pourdeck.walk.context import Context
from pourdeck.walk.doers import doers, ordinary_work
from pourdeck.walk.gates import gate, panel_state
from pourdeck.walk.holds import NOTHING_BELOW, CastBelow, Facts, hold_lock, hold_view
from pourdeck.walk.items import section_items
from pourdeck.walk.next_act import next_act
from pourdeck.walk.nonconformances import nonconformances
from pourdeck.walk.offers import with_offers
from pourdeck.walk.out_of_tolerance import out_of_tolerance
from pourdeck.walk.records import Gate, HoldView, ItemView, SectionState, SectionView, Walk
from pourdeck.walk.steps import Section, Template
from pourdeck.walk.words import item_name


def build_walk(
    context: Context,
    template: Template,
    state: SiteState,
    now: datetime,
    cast_below: CastBelow = NOTHING_BELOW,
) -> Walk:
    """The walk of a panel at `now`. `template` has the job's own items in it already.

    `cast_below`: how the panel below came out.
    """
    job, stack, setout, record = context.job, context.stack, context.setout, context.record
    below = state.panel(setout.below.mark) if setout.below else None
    above = stack.panels[setout.number] if setout.number < len(stack.panels) else None
    facts = Facts(
        template=template,
        setout=setout,
        record=record,
        work=ordinary_work(record, template),
        below=below,
        revisions=state.revisions,
        units=job.units,
        limits=job.limits,
        cast_below=cast_below,
    )
    barrier = gate(job, stack, setout.number, state, now)
    sections = _sections(context, facts, barrier)
    every = [item for section in sections for item in section.items]
    holds = [section.hold for section in sections if section.hold]
    released = any(hold.id == "pour" and hold.state == "released" for hold in holds)
    states = Counter(item.own_state for item in every)
    walk = Walk(
        stack=stack.id,
        number=setout.number,
        of=setout.of,
        mark=setout.mark,
        rev=setout.panel.rev,
        mirrored=setout.mirrored,
        panel_state=panel_state(record, gate_open=barrier.refusal is None, released=released),
        sections=sections,
        answered=sum(item.answered for item in every),
        total=len(every),
        open=states["open"] + states["void"],
        failed=states["failed"],
        deferred=states["deferred"],
        nonconformances=nonconformances(record, template, stack.id, setout.number),
        out_of_tolerance=(
            out_of_tolerance(every, record, stack.id, setout.number)
            if record.as_cast or record.dispositions
            else ()
        ),
        gate=barrier.refusal,
        gate_until=barrier.until,
        next=next_act(stack.id, setout, sections, record, barrier),
        template=template.digest,
        job=job,
        plan=stack,
        setout=setout,
        record=record,
        below=below,
        above=state.panels.get(above.mark) if above else None,
    )
    return with_offers(walk, context)


def build_items(
    context: Context, template: Template, keys: Collection[str]
) -> tuple[ItemView, ...]:
    """The items of these keys alone, as the walk has them but for what locks them."""
    work = ordinary_work(context.record, template)
    steps = {key.partition("/")[0] for key in keys}
    found: list[ItemView] = []
    for section in template.sections:
        wanted = tuple(step for step in section.steps if step.key in steps)
        if wanted and conditions_hold(section.when, context):
            part = evolve(section, steps=wanted)
            found += section_items(part, context, doers(work, [section.id]))
    return tuple(item for item in found if item.key in keys)


def build_cast_items(context: Context, template: Template) -> tuple[ItemView, ...]:
    """The items that are as-cast values alone, as the walk has them but for what locks them."""
    found: list[ItemView] = []
    for section in template.sections:
        measured = tuple(step for step in section.steps if step.as_cast)
        if measured and conditions_hold(section.when, context):
            found += section_items(evolve(section, steps=measured), context, ())
    return tuple(found)


def _sections(context: Context, facts: Facts, barrier: Gate) -> tuple[SectionView, ...]:
    """Each section with what locks it: the gate, then the first hold before it that lets nothing pass."""
    covered_by = {section: hold.id for hold in facts.template.holds for section in hold.covers}
    views: list[SectionView] = []
    lock = barrier.refusal
    for section in facts.template.sections:
        if not conditions_hold(section.when, context):
            continue
        locked_by = _lock(section, lock, facts.record)
        who = doers(facts.work, [section.id])
        items = section_items(section, context, who, locked_by)
        facts.items[section.id] = items
        hold = hold_view(section.hold, facts, locked_by) if section.hold else None
        views.append(_section_view(section, items, hold, locked_by, facts, covered_by))
        if hold and not hold.lets_pass and lock is None:
            lock = hold_lock(hold, section)
    return tuple(_ended(view, views, facts.record) for view in views)


def _lock(section: Section, lock: Refusal | None, record: PanelState) -> Refusal | None:
    """What is done is done: once the pour has begun, only what comes after it can be locked."""
    if record.pour_start is None:
        if lock is not None:
            return lock
        if section.after:
            return Refusal(
                title=f"Section {section.number} waits for the pour.",
                body="Record the time the first concrete was in the form.",
            )
    elif section.after == "pour-end" and record.pour_end is None:
        return Refusal(
            title=f"Section {section.number} waits for the end of the pour.",
            body="Record the time the last concrete was in the form.",
        )
    return None


def _section_view(
    section: Section,
    items: tuple[ItemView, ...],
    hold: HoldView | None,
    locked_by: Refusal | None,
    facts: Facts,
    covered_by: dict[str, str],
) -> SectionView:
    complete = facts.record.completed.get(section.id)
    if section.id == "close":
        complete = facts.record.closed
    return SectionView(
        id=section.id,
        number=section.number,
        name=section.name,
        place=(section.place_first if facts.first else None) or section.place,
        mode=section.mode,
        state="locked" if locked_by else "open",
        items=_one_at_a_time(items) if section.mode == "read-do" and not locked_by else items,
        answered=sum(item.answered for item in items),
        total=len(items),
        locked_by=locked_by,
        hold=hold,
        covered_by=covered_by.get(section.id),
        complete=complete,
        cautions=section.cautions,
        dropped=section.dropped,
    )


def _ended(view: SectionView, views: Sequence[SectionView], record: PanelState) -> SectionView:
    """A section is done when nothing in it is open and it was said to be, by hold or by name."""
    if view.state == "locked":
        return view
    hold = view.hold or next(
        (one.hold for one in views if one.hold and one.hold.id == view.covered_by), None
    )
    said = view.complete is not None and view.hold is None
    said = said or (hold is not None and hold.lets_pass)
    state: SectionState = "done" if said and view.open == 0 else "open"
    return evolve(view, state=state)


def _one_at_a_time(items: Iterable[ItemView]) -> tuple[ItemView, ...]:
    """The items of a read-do section, each locked by the first one without an answer before it."""
    found: list[ItemView] = []
    lock: Refusal | None = None
    for item in items:
        if item.answered:
            found.append(item)
        elif lock is None:
            found.append(item)
            lock = Refusal(
                title="This section goes one item at a time.",
                body=f"First answer or defer: {item_name(item)}.",
            )
        else:
            found.append(evolve(item, state="locked", locked_by=lock))
    return tuple(found)
