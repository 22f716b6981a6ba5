"""The walk of one panel as it stands: gate, sections, items, holds, what comes next, what is offered."""

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Sequence
from datetime import datetime, timedelta
from decimal import Decimal

from attrs import evolve

from pourdeck.plan.amounts import as_read
from pourdeck.plan.messages import Refusal, literal
from pourdeck.plan.numbers import plain
from pourdeck.plan.records import Job, Stack
from pourdeck.pour.fresh import to_order
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.sitelog.state import SiteState
from pourdeck.walk.clock import SURE, Clocks, aged_at, how_to_confirm, pour_ended
from pourdeck.walk.conflicts import undecided
from pourdeck.walk.holds import (
    NOTHING_BELOW,
    CastBelow,
    Facts,
    doers,
    hold_lock,
    hold_view,
    nonconformances,
    ordinary_work,
)
from pourdeck.walk.items import section_items
from pourdeck.walk.loads import LoadLine, load_lines, loads_of, placed
from pourdeck.walk.out_of_tolerance import out_of_tolerance
from pourdeck.walk.pour_page import SIZES, formed, ordered
from pourdeck.walk.records import (
    Gate,
    HoldView,
    ItemView,
    NextAct,
    PanelPhase,
    SectionState,
    SectionView,
    Walk,
)
from pourdeck.walk.steps import Context, Offer, Section, Template
from pourdeck.walk.steps import holds as conditions_hold
from pourdeck.walk.strength import specimens
from pourdeck.walk.words import clock_text, count_of, item_name

# Whether a panel may be started, and the state it is in.

OPEN = Gate()

STRENGTH_BELOW = "brackets.strength"
"""The item that asks for the strength of the panel below."""


def gate(
    job: Job, stack: Stack, number: int, state: SiteState, now: datetime, clocks: Clocks = SURE
) -> Gate:
    """Whether panel `number`, from 1, may be started at `now`; its zone is that of what is said.

    The panel below must be poured, `limits.climb.hours` must have passed since its pour ended, and it must
    have `limits.climb.strength` by a field-cured test or, where the job says so, by what was measured of the
    estimate. Once the item brackets.strength was answered and passed, the strength is shown too, until a test
    of the panel below comes out under the limit or its fresh concrete freezes. Hours that `clocks` are not
    sure of are not counted.
    """
    if number == 1:
        return OPEN
    panel, below = stack.panels[number - 1], stack.panels[number - 2]
    record = state.panel(below.mark)
    mark, under = literal(panel.mark), literal(below.mark)
    above = state.panel(panel.mark)
    if record.conflicts and above.pour_start is None:
        return Gate(refusal=undecided(record, job.units))
    limit = job.limits.climb
    wait = f", and {plain(limit.hours)} h have passed since" if limit.hours else ""
    if record.pour_start is None:
        return Gate(
            refusal=Refusal(
                title=f"{mark} waits for {under}.",
                body=f"It may be formed when {under}, panel {number - 1}, is poured{wait}.",
            )
        )
    ended = pour_ended(record)
    if ended is None:
        return Gate(
            refusal=Refusal(
                title=f"{mark} waits for {under}.",
                body=f"It may be formed when the end of {under}'s pour is recorded{wait}.",
            )
        )
    out = clocks.left_out(record.pour_end)
    if limit.strength is not None and above.pour_start is None:
        from pourdeck.walk.strength_words import strength_gate

        answered = _strength_answered(above)
        waits = strength_gate(job, mark, under, record, now, answered=answered, out=out)
        if waits is not None:
            return waits
    if limit.hours is None:
        return OPEN
    until = aged_at(ended, limit.hours).astimezone(now.tzinfo)
    if now - out >= until:
        return OPEN
    source = job.limits.sources.get("climb")
    body = f"{mark} may be formed from {clock_text(until, now.date())} "
    body += f"({plain(limit.hours)} h after {under}'s pour end"
    body += f"; {literal(source)})." if source else ")."
    body += how_to_confirm(out)
    return Gate(
        refusal=Refusal(title=f"{mark} waits for the hours of {under}.", body=body),
        until=until + out,
    )


def _strength_answered(record: PanelState) -> bool:
    """Whether the strength below was read and passed in the walk of this panel."""
    entry = record.latest.get(STRENGTH_BELOW)
    return entry is not None and entry.kind == "answer" and entry.data.get("verdict") == "pass"


def panel_state(record: PanelState, *, gate_open: bool, released: bool) -> PanelPhase:
    """The state of a panel. `released`: its hold `pour` is released and that stands."""
    if record.lifted:
        return "lifted"
    if record.closed:
        return "cast"
    if record.pour_end:
        return "curing"
    if record.pour_start:
        return "pouring"
    if not gate_open:
        return "waiting"
    if released:
        return "released"
    return "forming" if record.started else "ready"


def midnight_after(now: datetime) -> datetime:
    """When what is said of a time today must name the day, or need no longer."""
    return now.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)


# What comes next on a panel: an item, a hold, the end of a section, or a wait.


def next_act(
    stack: str, setout: SetOut, sections: Sequence[SectionView], record: PanelState, barrier: Gate
) -> NextAct | None:
    """None where the panel is cast and nothing more is to be done in its walk."""
    if record.closed:
        return None
    blank = NextAct(
        stack=stack,
        number=setout.number,
        mark=setout.mark,
        section=None,
        key=None,
        hold=None,
        text="",
        answered=sum(section.answered for section in sections),
        total=sum(section.total for section in sections),
    )
    if barrier.refusal is not None and record.pour_start is None:
        return evolve(blank, text=barrier.refusal.body, until=barrier.until)
    pour = next((one.number for one in sections if one.id == "pour"), 0)
    for section in sections:
        past = record.pour_start is not None and section.number < pour
        if section.state == "done" or past or section.locked_by:
            continue
        found = _in_section(blank, section)
        if found is not None:
            return found
    return None


def _in_section(blank: NextAct, section: SectionView) -> NextAct | None:
    """The first open item, else the first failed one, else the hold or the end of the section."""
    here = f"{section.number} {section.name}"
    item = next((one for one in section.items if one.state in ("open", "void")), None)
    item = item or next((one for one in section.items if one.state == "failed"), None)
    if item:
        verb = ""
        if item.state == "failed":
            disposed = item.cast_key is not None and item.not_measured is None
            verb = "say the disposition: " if disposed else "follow up: "
        text = f"{here}, {verb}{item_name(item)}"
        return evolve(blank, text=text, section=section.number, key=item.key)
    hold = section.hold
    if hold and not hold.lets_pass:
        missing = f": {hold.needs[0]}" if hold.needs else ""
        text = f"{here}, hold {hold.name}{missing}"
        return evolve(blank, text=text, section=section.number, hold=hold.id)
    if hold is None and section.complete is None:
        word = "close the panel" if section.id == "close" else "say it is complete"
        return evolve(blank, text=f"{here}, {word}", section=section.number)
    return None


# What the walk need not ask again: answers that loads and order give, offered to be taken or changed.


def _order(walk: Walk, orders: dict[tuple[Decimal | None, ...], Offer]) -> Offer:
    """The concrete to order; kept by the sizes measured, as plan and set-out are the same."""
    sizes = tuple(walk.mean_measured(keys) for keys in SIZES.values())
    if sizes not in orders:
        orders[sizes] = _to_order(walk)
    return orders[sizes]


def _to_order(walk: Walk) -> Offer:
    units = walk.job.units
    order = to_order(formed(walk).volume, walk.job.mix)
    waste = walk.job.mix.waste
    with_waste = f" with {plain((waste * 100).normalize())} % waste" if waste else ""
    return Offer(value=order, note=f"to order{with_waste}: {ordered(order, units)}")


def _taken(walk: Walk) -> list[LoadLine]:
    if not walk.record.loads:
        return []
    return [one for one in load_lines(loads_of(walk.record), walk.job, None) if one.taken]


def _loads(walk: Walk) -> Offer | None:
    taken = _taken(walk)
    if not taken:
        return None
    note = f"{count_of(len(taken), 'load')} written down as placed"
    return Offer(value=Decimal(len(taken)), note=note)


def _volume(walk: Walk) -> Offer | None:
    taken = _taken(walk)
    if not taken:
        return None
    total = as_read(placed(loads_of(walk.record)), "m³", walk.job.units, 2)
    return Offer(value=total, note=f"the loads come to {ordered(total, walk.job.units)}")


def _samples(walk: Walk) -> Offer | None:
    if not walk.record.specimens:
        return None
    names = [one.name for one in specimens(walk.record)]
    return Offer(value=", ".join(names), note=f"{count_of(len(names), 'specimen')} written down")


def _last_load(walk: Walk) -> Offer | None:
    ends = [one.load.ended for one in _taken(walk) if one.load.ended is not None]
    if not ends:
        return None
    last = f"{max(ends):%H:%M}"
    return Offer(value=last, note=f"the last load was out of its truck at {last}")


ORDER = "ready.ordered"
OFFERS: dict[str, Callable[[Walk], Offer | None]] = {
    "pour.samples": _samples,
    "pour.loads": _loads,
    "pour.volume": _volume,
    "pour.end": _last_load,
}
"""By the key of the item: what loads and specimens give."""


def with_offers(walk: Walk, context: Context) -> Walk:
    """The walk with what is offered in its items that are not answered. `context`: what it was made from."""
    sections = tuple(_section(walk, section, context) for section in walk.sections)
    return evolve(walk, sections=sections)


def _section(walk: Walk, section: SectionView, context: Context) -> SectionView:
    if not any(item.key in OFFERS or item.key == ORDER for item in section.items):
        return section
    return evolve(section, items=tuple(_item(walk, item, context) for item in section.items))


def _item(walk: Walk, item: ItemView, context: Context) -> ItemView:
    if item.own_state not in ("open", "void", "deferred"):
        return item
    make = OFFERS.get(item.key)
    offer = make(walk) if make else None
    if item.key == ORDER:
        offer = _order(walk, context.orders)
    if offer is None:
        return item
    note = "; ".join(one for one in (item.note, offer.note) if one)
    return evolve(item, offered=offer.value, note=note)


# The walk of one panel as it stands: sections, items, holds, and what locks what.


def build_walk(
    context: Context,
    template: Template,
    state: SiteState,
    now: datetime,
    cast_below: CastBelow = NOTHING_BELOW,
    clocks: Clocks = SURE,
) -> Walk:
    """The walk of a panel at `now`. `template` has the job's own items in it already.

    `cast_below`: how the panel below came out. `clocks`: which hours nobody can be sure of.
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
        revisions=(*state.revisions, *record.conflicts.get(("size", ""), ())),
        units=job.units,
        limits=job.limits,
        cast_below=cast_below,
    )
    barrier = gate(job, stack, setout.number, state, now, clocks)
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
        clocks=clocks,
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
    """Lock a section that waits; once the pour has begun, only what comes after it can be locked."""
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
        if item.answered or (lock and item.conflict):
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
