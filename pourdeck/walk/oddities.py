"""List what is odd about a panel before it is closed, each with what it opens, for who closes it to confirm.

Everything is worked out from the walk alone, so that the list that was shown and the list that is sealed are
the same list.
"""

from collections.abc import Iterator, Sequence
from datetime import datetime

from attrs import frozen

from pourdeck.plan.messages import Finding, Refusal, Spot, literal
from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.clock import Jump, jumps, pour_over
from pourdeck.walk.holds import digest_of
from pourdeck.walk.loads import (
    FIELDS,
    TIMES,
    LoadLine,
    entry_of,
    judged,
    load_lines,
    loads_of,
    placed,
)
from pourdeck.walk.out_of_tolerance import short_words, state_words
from pourdeck.walk.pour_findings import (
    READY,
    TO_DECIDE,
    needs_measures,
    of_load,
    rate_words,
    short_pour,
    verdict_words,
    weather_of,
)
from pourdeck.walk.pour_page import formed
from pourdeck.walk.records import HoldView, ItemView, Walk
from pourdeck.walk.times import ODD, OUT_OF_ORDER, odd_times
from pourdeck.walk.words import (
    count_of,
    found_text,
    item_name,
    logged_text,
    unmeasured_text,
    zone_of,
)

HOLD = "hold:"
LOAD = "load:"
POUR = "pour"
"""Mark the keys that are no item's: of a hold, of a load by its number; and the pour as a whole."""

TIME_WORDS = {OUT_OF_ORDER: "times out of order", ODD: "odd times"}

CODES = {
    "discharge-late": "late",
    "load-gap": "gap between loads",
    "concrete-temperature": "too warm or too cold",
    "slump": "slump out of its band",
    "wrong-mix": "wrong mix",
    "water-unsigned": "water without a name",
    "load-volume": "no volume",
    "short-pour": "short pour",
}
"""Name the findings of a pour in the list."""


FORMS_OFF = "close.stripped"
"""Its time is judged, and listed with the time before it."""


@frozen(kw_only=True)
class Oddity:
    """One odd thing: what it is, where, in words, who answers for it and when.

    `key` is what it opens: an item's key, `hold:ID`, `load:NUMBER`, or `pour`.
    """

    what: str
    where: str
    words: str
    who: str
    at: datetime | None
    key: str

    def document(self) -> dict[str, str]:
        """As the log and the record hold it: plain texts, those that are empty left out."""
        found = {
            "what": self.what,
            "where": self.where,
            "words": self.words,
            "who": self.who,
            "at": self.at.isoformat(timespec="seconds") if self.at else "",
            "key": self.key,
        }
        return {name: text for name, text in found.items() if text}


def oddities(walk: Walk) -> tuple[Oddity, ...]:
    """List what was passed unreleased, let in, late, out of order, failed, unmeasured, doubted, too fast."""
    known = jumps(walk.record.entries)
    lines = load_lines(loads_of(walk.record), walk.job, None, known, pour_over(walk.record, known))
    return (
        *_unreleased(walk),
        *(one for line in lines for one in _of_load(walk, line)),
        *_short(walk),
        *_times(walk, known),
        *(one for item in walk.items() for one in _of_item(walk, item)),
        *_dispositions(walk),
        *_weather(walk, known),
    )


def odd_digest(walk: Walk) -> str:
    """Tell the list of a panel from any other one; "" where nothing is odd."""
    found = oddities(walk)
    return digest_of([sorted(one.document().items()) for one in found]) if found else ""


def not_confirmed(walk: Walk, found: Sequence[Oddity], confirmed: str) -> Refusal | None:
    """Why a panel cannot be closed by who has seen the list of the digest `confirmed`, "" for none."""
    mark = literal(walk.mark)
    if confirmed == odd_digest(walk):
        return None
    if confirmed:
        return Refusal(
            title=f"{mark} is not closed: the list of what is odd has changed.",
            body="Look again: go through the list and confirm it anew.",
        )
    first = "; ".join(f"{one.what}, {one.where}" for one in found[:3])
    more = f" and {len(found) - 3} more" if len(found) > 3 else ""
    return Refusal(
        title=f"{mark} is not closed: {count_of(len(found), 'thing')} odd about it.",
        body=f"Go through the list and confirm it: {first}{more}.",
    )


def _unreleased(walk: Walk) -> Iterator[Oddity]:
    for one in walk.nonconformances:
        done = f"; {literal(one.action)}" if one.action else ""
        yield Oddity(
            what="passed without release",
            where=one.name,
            words=f"{literal(one.reason)}{done}",
            who=one.by,
            at=one.at,
            key=f"{HOLD}{one.hold}",
        )


# The pour.


def _of_load(walk: Walk, line: LoadLine) -> Iterator[Oddity]:
    """List what is wrong with a load in the form, who let it in, and what of it was not measured."""
    load = line.load
    findings = tuple(of_load(_spot(walk), walk.job, line)) if line.taken else ()
    let_in = entry_of(load, "let_in") if load.let_in else None
    for found in findings:
        decided = let_in is not None and found.code in TO_DECIDE
        yield _of_finding(
            line,
            found,
            "let in" if decided else None,
            (let_in if decided else None) or load.entries[-1],
        )
    if let_in is not None and not any(one.code in TO_DECIDE for one in findings):
        yield _at_load(line, "let in", f"by {literal(load.let_in or '')}", let_in)
    for entry in load.entries:
        if entry.data.get("doubted") is True:
            # A time that was doubted is listed with the time before it.
            keys = [key for key in entry.data["values"] if key in FIELDS and key not in TIMES]
            if keys:
                names = ", ".join(FIELDS[key].name for key in keys)
                yield _at_load(line, "doubted and kept", names, entry)
    for key in judged(walk.job):
        if line.taken and getattr(load, key) is None and key not in load.not_measured:
            words = f"{FIELDS[key].name}: nothing was written down"
            yield _at_load(line, "not measured", words, load.entries[-1])
    for key, why in load.not_measured.items():
        if line.taken and key not in (*line.unmeasured, "volume"):
            words = f"{FIELDS[key].name} {unmeasured_text(why)}"
            yield _at_load(line, "not measured", words, entry_of(load, key))


def _of_finding(line: LoadLine, found: Finding, what: str | None, entry: Entry) -> Oddity:
    return _at_load(line, what or CODES.get(found.code, found.code), found.message, entry)


def _at_load(line: LoadLine, what: str, words: str, entry: Entry | None) -> Oddity:
    return Oddity(
        what=what,
        where=f"load {line.number}",
        words=words,
        who=entry.by if entry else "",
        at=entry.at if entry else None,
        key=f"{LOAD}{line.number}",
    )


def _short(walk: Walk) -> Iterator[Oddity]:
    end = walk.record.pour_end
    here = placed(loads_of(walk.record))
    if end is None:
        return
    for found in short_pour(_spot(walk), walk.job, here, formed(walk).volume):
        yield Oddity(
            what=CODES[found.code],
            where="pour",
            words=found.message,
            who=end.by,
            at=end.at,
            key=POUR,
        )


def _spot(walk: Walk) -> Spot:
    return Spot(stack=walk.stack, panel=walk.number, mark=walk.mark)


def _times(walk: Walk, known: Sequence[Jump]) -> Iterator[Oddity]:
    """Times in the wrong order, and odd gaps that were kept."""
    for one in odd_times(walk.record, walk.below, known, zone_of(walk.job, None)):
        entry = one.moment.entries[-1]
        if not isinstance(entry, Entry):
            continue
        load = one.moment.of.get("load")
        item = walk.find(str(entry.data.get("item")))
        yield Oddity(
            what=TIME_WORDS[one.code],
            where=one.moment.words,
            words=one.words,
            who=entry.by,
            at=entry.at,
            key=f"{LOAD}{load}" if load else item.key if item else POUR,
        )


# The walk.


def _of_item(walk: Walk, item: ItemView) -> Iterator[Oddity]:
    units = walk.job.units
    if item.entry is None:
        return
    found = found_text(item, units)
    done = walk.record.follow_ups.get(item.key) if item.follow_up else None
    if item.not_measured is not None:
        words = found + (f"; {literal(item.follow_up)}" if item.follow_up else "")
        yield _at_item(item, "not measured", words, item.by, item.at)
    elif item.verdict == "fail" and done:
        early = item.entry.data.get("early")
        words = f"{literal(str(early)) if early else found}: {literal(item.follow_up or '')}"
        yield _at_item(item, "failed, followed up", words, done[-1].by, done[-1].at)
    if item.fast:
        yield _at_item(item, "answered too fast", found, item.by, item.at)
    if item.doubted and item.kind != "time" and item.key != FORMS_OFF:
        yield _at_item(item, "doubted and kept", found, item.by, item.at)
    yield from _corrected(walk, item, units)


def _corrected(walk: Walk, item: ItemView, units: Units) -> Iterator[Oddity]:
    """Answers that took the place of another one after a hold that covers the item had been released."""
    for entry in walk.record.answers.get(item.key, ()):
        hold = _released_before(walk, item, entry)
        if "replaces" not in entry.data or hold is None:
            continue
        now = logged_text(entry.data.get("value") or "", item.unit, units)
        words = f"{hold.name} was released; now {now}: {literal(str(entry.data.get('why', '')))}"
        yield _at_item(item, "corrected after the hold", words, entry.by, entry.at)


def _released_before(walk: Walk, item: ItemView, entry: Entry) -> HoldView | None:
    for hold in walk.holds:
        given = walk.record.releases.get(hold.id, ())
        if item.key in hold.covers and any(one.order < entry.order for one in given):
            return hold
    return None


def _at_item(item: ItemView, what: str, words: str, who: str | None, at: datetime | None) -> Oddity:
    return Oddity(what=what, where=item_name(item), words=words, who=who or "", at=at, key=item.key)


def _dispositions(walk: Walk) -> Iterator[Oddity]:
    """List what came out of tolerance, with what was said of it."""
    for one in walk.out_of_tolerance:
        entry = one.disposition or one.entry
        reason = entry.data.get("reason") if one.disposition else None
        said = f": {literal(str(reason))}" if reason else ""
        yield Oddity(
            what="out of tolerance",
            where=literal(one.name),
            words=f"{short_words(one, walk.job.units)}, {state_words(one)}{said}",
            who=entry.by,
            at=entry.at,
            key=one.item,
        )


def _weather(walk: Walk, known: Sequence[Jump]) -> Iterator[Oddity]:
    """Each reading at `act`: before the pour, with the measures taken, and during it."""
    for hold in walk.holds:
        if hold.weather is None or not needs_measures(hold):
            continue
        measures = hold.entry.data.get("measures") if hold.entry else None
        rate = rate_words(hold.weather.rate, walk.job)
        taken = literal(str(measures)) if measures else "no measures named"
        yield Oddity(
            what="weather at act",
            where=hold.name,
            words=f"{rate}, {verdict_words(hold.weather, walk.job)}; {taken}",
            who=hold.by or "",
            at=hold.at,
            key=next(iter(READY)),
        )
    for one in weather_of(walk.record, walk.job.limits, known):
        if one.verdict == "act":
            yield Oddity(
                what="weather at act",
                where="pour",
                words=f"{rate_words(one.rate, walk.job)}, {verdict_words(one, walk.job)}",
                who=one.by,
                at=one.at,
                key=POUR,
            )
