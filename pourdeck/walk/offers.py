"""What the walk need not ask again: answers that loads and order give, offered to be taken or changed."""

from collections.abc import Callable
from decimal import Decimal

from attrs import evolve

from pourdeck.plan.amounts import as_read
from pourdeck.plan.numbers import plain
from pourdeck.pour.order import to_order
from pourdeck.walk.context import Context, Offer
from pourdeck.walk.formed_volume import SIZES, formed
from pourdeck.walk.load_lines import LoadLine, load_lines
from pourdeck.walk.loads import loads_of, placed
from pourdeck.walk.pour_words import ordered
from pourdeck.walk.records import ItemView, SectionView, Walk
from pourdeck.walk.strength_log import specimens
from pourdeck.walk.words import count_of


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


def _ended(walk: Walk) -> Offer | None:
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
    "pour.end": _ended,
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
