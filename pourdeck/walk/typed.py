"""What was typed as an answer, read as the item takes it."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal

from pourdeck.plan.lengths import NotALength, parse_length, parse_rl
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Units
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.typed_amounts import parse_amount
from pourdeck.walk.people import folded
from pourdeck.walk.records import ItemView
from pourdeck.walk.words import LENGTHS, value_text

LONGEST_TEXT = 500
NOW = "now"

_OF_DAY = re.compile(r"(?:([01]?\d|2[0-3])[:.]|([01]\d|2[0-3]))([0-5]\d)", re.ASCII)
_OF_HALF_DAY = re.compile(r"(0?[1-9]|1[0-2])(?:[:.]?([0-5]\d))? ?([ap])\.?m\.?", re.ASCII | re.I)
"""As an imperial crew writes it: 11:05 pm, 1105pm, 7am."""

_SLACK = timedelta(minutes=1)
_LAST_NIGHT = timedelta(hours=12)
"""A time of day that is still to come today was last night's, if that is no longer ago than this."""

_MOST = {
    "mm": 100_000, "mm/form": 2_000, "%": 100, "°C": 100, "MPa": 250, "m³": 1_000, "km/h": 300,
}  # fmt: skip
"""What no reading of a unit exceeds, above or below zero: beyond it the key slipped."""


def read_typed(
    item: ItemView, typed: str, units: Units, now: datetime
) -> Decimal | str | datetime | Refusal:
    """The value of what was typed for an item, or why it is none. In the item's unit, that of the files.

    What is typed is in the units of the job, or says its unit.
    """
    if item.kind == "choice":
        return _choice(item, typed)
    if item.kind == "time":
        return read_time(typed, now)
    if item.kind == "text":
        return _text(typed)
    try:
        return _number(item, typed, units)
    except NotALength as fault:
        return Refusal(title=fault.title, body=fault.body)


def _number(item: ItemView, typed: str, units: Units) -> Decimal:
    """Raises NotALength."""
    value = _unbounded(item, typed, units)
    most = _MOST.get(item.unit)
    if most is not None and abs(value) > most:
        shown = value_text(Decimal(most), item.unit, units, item.decimals)
        raise NotALength(
            f"{literal(typed.strip())}: more than can be", f"At most {shown}. Look again."
        )
    return value


def _unbounded(item: ItemView, typed: str, units: Units) -> Decimal:
    if item.kind == "count":
        return parse_amount(typed, item.unit, units, decimals=0)
    if item.unit in LENGTHS:
        return parse_length(typed, units, signed=item.signed)
    if item.unit == "m":
        value = parse_rl(typed, units)
        if value < 0 and not item.signed:
            raise NotALength(
                f"{literal(typed.strip())}: this cannot be below zero", "Read it again."
            )
        return value
    own = item.key.partition(".")[2].startswith("own-")
    decimals = None if own else item.decimals
    return parse_amount(typed, item.unit, units, decimals=decimals, signed=item.signed)


def _choice(item: ItemView, typed: str) -> str | Refusal:
    wanted = folded(typed)
    for choice in item.choices:
        if folded(choice) == wanted:
            return choice
    return Refusal(
        title=f"{literal(typed.strip()) or 'Nothing'} is none of the choices.",
        body=f"Choose one of: {', '.join(literal(choice) for choice in item.choices)}.",
    )


def _text(typed: str) -> str | Refusal:
    text = typed.strip()
    if not text:
        return Refusal(
            title="Nothing typed.", body="Write what you see, or say why it does not apply."
        )
    if len(text) > LONGEST_TEXT:
        return Refusal(
            title=f"{len(text)} characters are too many.", body=f"Keep it to {LONGEST_TEXT}."
        )
    return text


def read_time(typed: str, now: datetime, set_back: timedelta = timedelta()) -> datetime | Refusal:
    """`07:40`, `0740` or `7:40am` (the last time it was that), `2026-11-25 07:40`, or `now`; never later.

    In the zone of `now`. Of an hour that comes twice, because clocks went back, the later one that is over.
    A computer's clock that was `set_back` showed times that are still to come by it now.
    """
    text = typed.strip()
    if folded(text) == NOW:
        return now.replace(microsecond=0)
    if set_back:
        now = (now.astimezone(UTC) + set_back).astimezone(now.tzinfo)
    of_day = _OF_DAY.fullmatch(text)
    if of_day:
        return _of_day(int(of_day[1] or of_day[2]), int(of_day[3]), now)
    half = _OF_HALF_DAY.fullmatch(text)
    if half:
        hour = int(half[1]) % 12 + (12 if half[3].lower() == "p" else 0)
        return _of_day(hour, int(half[2] or 0), now)
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return Refusal(
            title=f"{literal(text) or 'Nothing'} is not a time.",
            body="Write hours and minutes, such as 07:40; another day as 2026-11-25 07:40; or now.",
        )
    if moment.tzinfo is None:
        there = tuple(_by_the_clock(moment.replace(tzinfo=now.tzinfo)))
        if not there:
            return _never_was(moment)
        moment = _last(there, now) or there[0]
    if _after(moment, now):
        return Refusal(
            title=f"{literal(text)} is still to come.", body="Write when it was, or now."
        )
    return moment


def day_taken(typed: str, now: datetime, set_back: timedelta = timedelta()) -> str:
    """`23:50 is taken as Sun 29 Nov`: of a time without a date that is not of today; else ""."""
    text = typed.strip()
    if not (_OF_DAY.fullmatch(text) or _OF_HALF_DAY.fullmatch(text)):
        return ""
    at = read_time(text, now, set_back)
    if isinstance(at, Refusal) or at.date() == now.date():
        return ""
    return f"{literal(text)} is taken as {at:%a %d %b}"


def _of_day(hour: int, minute: int, now: datetime) -> datetime | Refusal:
    today = now.replace(hour=hour, minute=minute, second=0, microsecond=0)
    there = tuple(_by_the_clock(today))
    if not there:
        return _never_was(today)
    moment = _last((*there, *_by_the_clock(today - timedelta(days=1))), now)
    gone = None if moment is None else now.astimezone(UTC) - moment.astimezone(UTC)
    if moment is None or gone is None or (gone > _LAST_NIGHT and moment.date() != now.date()):
        yesterday = today - timedelta(days=1)
        return Refusal(
            title=f"{hour:02}:{minute:02} is still to come today.",
            body=f"If it was yesterday, write {yesterday:%Y-%m-%d %H:%M}.",
        )
    return moment


def _by_the_clock(wall: datetime) -> Iterator[datetime]:
    """When the clock on the wall shows that: twice where it goes back, never where it goes ahead."""
    shown: datetime | None = None
    for fold in (0, 1):
        moment = wall.replace(fold=fold)
        back = moment.astimezone(UTC).astimezone(wall.tzinfo)
        same = back.replace(tzinfo=None) == wall.replace(tzinfo=None)
        if same and (shown is None or shown.utcoffset() != moment.utcoffset()):
            shown = moment
            yield moment


def _after(moment: datetime, now: datetime) -> bool:
    """Later than now; two times of one zone are compared by what the clock shows, and it can go back."""
    return moment.astimezone(UTC) > now.astimezone(UTC) + _SLACK


def _last(moments: tuple[datetime, ...], now: datetime) -> datetime | None:
    over = [one for one in moments if not _after(one, now)]
    return max(over, key=lambda one: one.astimezone(UTC)) if over else None


def _never_was(wall: datetime) -> Refusal:
    return Refusal(
        title=f"{wall:%H:%M} never was: the clocks went ahead over it.",
        body="Write what the clock showed.",
    )
