"""As-cast values outside their bands: what was found, what was said, how it was settled, in words.

All of it is worked out from the log each time, so that no flag can be lost. What is decided here:

- Every value that was measured and lies outside the band its item has now is a non-conformance, one for
  each value; the same value recorded again is no new one. It ends when another value is measured, in the
  band or not: one that is out again is another non-conformance, with nothing said of it yet.
- A disposition counts for the value it was given for: `found` must be that value, and it must have been
  given while the value stood. The last one counts, but for a rejection, which stands for good, whatever
  is said, measured or undone of the value afterwards.
- `use-as-is` counts from an engineer who did not measure it, and then settles it. A `repair` is settled
  when somebody else than who said it has looked at it, `rework` and `repair` by a value in the band.
- A `follow-up`, as older logs have it for such an item, settles nothing: without a disposition it is open.
"""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from itertools import zip_longest

from attrs import frozen

from pourdeck.plan.messages import Finding, Spot, literal
from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.records import ItemView, OutOfTolerance, within
from pourdeck.walk.words import apart_text, folded, number_of, value_text

# As-cast values outside their bands: what was found, what was said of each, and how it was settled.

ENGINEER = "engineer"


@frozen(kw_only=True, eq=False, repr=False)
class _Measured:
    """A value as it was measured: `entry` gave it first; `by` are all entries that recorded it, of each of
    two, also those after it had ended.
    """

    found: Decimal
    values: dict[str, Decimal]
    entry: Entry
    by: list[list[Entry]]


@frozen(kw_only=True, eq=False, repr=False)
class _Asked:
    """Hold what one value is judged by: an item, or the two of a pair."""

    items: tuple[ItemView, ...]

    @property
    def pair(self) -> bool:
        return len(self.items) > 1

    @property
    def limits(self) -> tuple[Decimal | None, Decimal | None]:
        first = self.items[0]
        return (None, first.plus) if self.pair else (first.low, first.high)


def out_of_tolerance(
    items: Iterable[ItemView], record: PanelState, stack: str, number: int
) -> tuple[OutOfTolerance, ...]:
    """Every value of a panel that was out of tolerance, settled ones too, oldest first.

    `items`: those of the panel that are as-cast values, among others.
    """
    if not record.as_cast and not record.dispositions:
        return ()
    cast = [item for item in items if item.cast_key]
    found = [one for asked in _asked(cast) for one in _of_values(asked, record, stack, number)]
    found += _rejected_alone(found, cast, record, stack, number)
    return tuple(sorted(found, key=lambda one: one.entry.order))


def standing_of(key: str, every: Iterable[OutOfTolerance]) -> OutOfTolerance | None:
    """Give what of an item is out of tolerance now, a rejection first; None where nothing is."""
    here = [one for one in every if key in one.items and one.stands]
    rejected = [one for one in here if one.state == "rejected"]
    return next(iter([*rejected, *here]), None)


def _asked(items: Sequence[ItemView]) -> Iterator[_Asked]:
    pairs: dict[str, list[ItemView]] = {}
    for item in items:
        if item.pair:
            pairs.setdefault(item.key.partition("/")[0], []).append(item)
        else:
            yield _Asked(items=(item,))
    for pair in pairs.values():
        if len(pair) == 2:
            yield _Asked(items=tuple(pair))


def _of_values(
    asked: _Asked, record: PanelState, stack: str, number: int
) -> Iterator[OutOfTolerance]:
    """A non-conformance for each value outside the limits."""
    values = list(_values(asked, record))
    low, high = asked.limits
    for here, then in zip_longest(values, values[1:]):
        if within(here.found, low, high) == "fail":
            yield _one(asked, here, then, record, stack, number)


def _values(asked: _Asked, record: PanelState) -> Iterator[_Measured]:
    """List what was measured, oldest first: sizes, or how far two are apart once both are there."""
    keys = [str(item.cast_key) for item in asked.items]
    stood: dict[str, tuple[Decimal, list[Entry]]] = {}
    for entry in record.as_cast:
        changed = False
        for key in keys:
            value = number_of(entry.data["values"].get(key))
            if value is None:
                continue
            if key in stood and stood[key][0] == value:
                stood[key][1].append(entry)
            else:
                stood[key] = (value, [entry])
                changed = True
        if changed and len(stood) == len(keys):
            sizes = [stood[key][0] for key in keys]
            yield _Measured(
                found=abs(sizes[0] - sizes[1]) if asked.pair else sizes[0],
                values=dict(zip(keys, sizes, strict=True)),
                entry=entry,
                by=[stood[key][1] for key in keys],
            )


def _one(
    asked: _Asked,
    here: _Measured,
    then: _Measured | None,
    record: PanelState,
    stack: str,
    number: int,
) -> OutOfTolerance:
    low, high = asked.limits
    first = asked.items[0]
    keys = tuple(item.key for item in asked.items)
    # Of two, one may have been recorded again after the other had changed.
    gave = [
        entry
        for entries in here.by
        for entry in entries
        if then is None or entry.order < then.entry.order
    ]
    given = [
        entry
        for key in keys
        for entry in record.dispositions.get(key, ())
        if number_of(entry.data["found"]) == here.found
        and entry.order > here.entry.order
        and (then is None or entry.order < then.entry.order)
        and _counts(entry, gave)
    ]
    disposition = _standing(given)
    above = high is not None and here.found > high
    limit = high if above else low
    assert limit is not None
    return OutOfTolerance(
        stack=stack,
        number=number,
        mark=record.mark,
        item=_last_measured(asked, here).key,
        items=keys,
        cast_keys=tuple(str(item.cast_key) for item in asked.items),
        name=first.name if asked.pair else item_words(first),
        side=None if asked.pair else first.place.side,
        unit=first.unit,
        found=here.found,
        values=here.values,
        expected=first.expected if isinstance(first.expected, Decimal) and not asked.pair else None,
        low=low,
        high=high,
        over=here.found - limit,
        source=first.source,
        measured_by=tuple(dict.fromkeys(entry.by for entry in gave)),
        entry=here.entry,
        disposition=disposition,
        looked=_looked(disposition, record),
        again=then.entry if then else None,
        found_again=then.found if then else None,
        passed_again=then is not None and within(then.found, low, high) != "fail",
    )


def item_words(item: ItemView) -> str:
    """`width, base side`: what is measured and where."""
    return ", ".join(part for part in (item.name, item.label) if part)


def _last_measured(asked: _Asked, here: _Measured) -> ItemView:
    """Of two, the one the last entry gave: that one bears the verdict."""
    given = here.entry.data["values"]
    return next((item for item in reversed(asked.items) if item.cast_key in given), asked.items[0])


def _counts(disposition: Entry, measured: Sequence[Entry]) -> bool:
    """Whether it is one: use as is only from an engineer who did not measure it before."""
    if disposition.data["disposition"] != "use-as-is":
        return True
    did = {folded(entry.by) for entry in measured if entry.order < disposition.order}
    return is_engineer(disposition.data.get("role")) and folded(disposition.by) not in did


def is_engineer(role: object) -> bool:
    return isinstance(role, str) and folded(role) == ENGINEER


def _standing(given: Sequence[Entry]) -> Entry | None:
    """The last one, but for a rejection, which stands for good."""
    inorder = sorted(given, key=lambda entry: entry.order)
    rejected = [entry for entry in inorder if entry.data["disposition"] == "reject"]
    return next(iter([*rejected[:1], *inorder[-1:]]), None)


def _looked(disposition: Entry | None, record: PanelState) -> Entry | None:
    """Who else recorded that a repair was done and looked at."""
    if disposition is None or disposition.data["disposition"] != "repair":
        return None
    closed = record.closed_ncs.get(disposition.key)
    if closed is None or closed.order < disposition.order:
        return None
    return None if folded(closed.by) == folded(disposition.by) else closed


def _rejected_alone(
    found: Sequence[OutOfTolerance],
    items: Sequence[ItemView],
    record: PanelState,
    stack: str,
    number: int,
) -> Iterator[OutOfTolerance]:
    """Rejections whose value was undone, or has another band by now: they stand by what they say."""
    known = {one.disposition.key for one in found if one.disposition}
    by_key = {item.key: item for item in items}
    standing = {key for one in found if one.state == "rejected" for key in one.items}
    for key, entries in record.dispositions.items():
        for entry in entries:
            if entry.data["disposition"] != "reject" or entry.key in known or key in standing:
                continue
            item = by_key.get(key)
            found_then = number_of(entry.data["found"])
            assert found_then is not None
            limits = entry.data.get("tolerance")
            limits = limits if isinstance(limits, dict) else {}
            low, high = number_of(limits.get("low")), number_of(limits.get("high"))
            limit = high if high is not None and found_then > high else low
            source = entry.data.get("source")
            yield OutOfTolerance(
                stack=stack,
                number=number,
                mark=record.mark,
                item=key,
                items=(key,),
                cast_keys=(item.cast_key,) if item and item.cast_key else (),
                name=key if item is None else item.name if item.pair else item_words(item),
                side=item.place.side if item and not item.pair else None,
                unit=item.unit if item else "mm",
                found=found_then,
                values={},
                expected=number_of(entry.data.get("expected")),
                low=low,
                high=high,
                over=Decimal(0) if limit is None else found_then - limit,
                source=source if isinstance(source, str) else None,
                measured_by=(),
                entry=entry,
                disposition=entry,
            )


# What is out of tolerance, in words: what was found, by how much, by what limit, and how it stands.

DISPOSITION_WORDS = {
    "rework": "rework",
    "repair": "repair",
    "use-as-is": "use as is",
    "reject": "reject",
}


def found_words(one: OutOfTolerance, units: Units) -> str:
    """`7215 mm`; of two diagonals `20 mm apart`."""
    if _pair(one):
        return f"{apart_text(one.found, one.unit, units)} apart"
    return value_text(one.found, one.unit, units)


def limit_words(one: OutOfTolerance, units: Units) -> str:
    """`7190 mm to 7210 mm`, or `at most 13 mm apart`."""
    if _pair(one):
        return f"at most {apart_text(one.high, one.unit, units)} apart" if one.high else ""
    low, high = (
        None if limit is None else value_text(limit, one.unit, units)
        for limit in (one.low, one.high)
    )
    if low and high:
        return f"{low} to {high}"
    return f"at least {low}" if low else f"at most {high}" if high else ""


def over_words(one: OutOfTolerance, units: Units) -> str:
    """`5 mm too much`, `3 mm too little`."""
    apart = apart_text(abs(one.over), one.unit, units)
    if _pair(one):
        return f"{apart} too far"
    return f"{apart} too {'much' if one.over > 0 else 'little'}"


def _pair(one: OutOfTolerance) -> bool:
    return len(one.items) > 1 or one.name == "diagonals"


def full_words(one: OutOfTolerance, units: Units) -> str:
    """`width, base side 7215 mm, 5 mm too much (7190 mm to 7210 mm, project specification)`."""
    limit = ", ".join(part for part in (limit_words(one, units), literal(one.source or "")) if part)
    return f"{short_words(one, units)}" + (f" ({limit})" if limit else "")


def short_words(one: OutOfTolerance, units: Units) -> str:
    """`width, base side 7215 mm, 5 mm too much`."""
    return f"{literal(one.name)} {found_words(one, units)}, {over_words(one, units)}"


def state_words(one: OutOfTolerance) -> str:
    """Say how it stands and what would settle it."""
    by = literal(one.disposition.by) if one.disposition else ""
    match one.state:
        case "open":
            return "no disposition yet"
        case "rework":
            return f"rework, says {by}: to be measured again in the band"
        case "repair":
            return f"repair, says {by}: to be looked at by somebody else"
        case "repaired":
            return f"repaired, {literal(one.looked.by) if one.looked else ''} looked at it"
        case "use-as-is":
            return f"used as is, says {by}"
        case "rejected":
            return f"rejected by {by}: held for good"
        case "measured again":
            return (
                "measured again, in the band" if one.passed_again else "measured again, out again"
            )


def need_words(one: OutOfTolerance, units: Units) -> str:
    """Say what holds up a release or a lift: `W04 width, base side 7215 mm, 5 mm too much: rework, …`."""
    return f"{literal(one.mark)} {short_words(one, units)}: {state_words(one)}"


def tolerance_findings(found: Iterable[OutOfTolerance], units: Units) -> list[Finding]:
    """`out-of-tolerance`, an error of the measured panel for each that is not settled."""
    findings = []
    for one in found:
        if one.settled:
            continue
        spot = Spot(stack=one.stack, panel=one.number, mark=one.mark)
        what = f"{full_words(one, units)}: {state_words(one)}."
        remedy = (
            " Measure it again, or say its disposition: rework, repair, use as is by the engineer, reject."
            if one.state == "open"
            else ""
        )
        findings.append(spot.error("out-of-tolerance", what + remedy, one.side))
    return findings
