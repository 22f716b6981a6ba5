"""How full a panel is, drawn in characters: placed, going in, coming, and what is left."""

from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal

from pourdeck.deck.paint import Spans, line

PLACED, GOING, COMING, EMPTY = "█", "▓", "▒", "·"


def gauge(
    placed: Decimal, coming: Decimal, volume: Decimal, width: int, going: Decimal = Decimal(0)
) -> Spans:
    """`[██████▓▓▓▒▒▒▒····]` in `width` cells, ends included. Volumes in one unit, whatever it is.

    It is drawn full only where nothing is left, and empty only where nothing is placed. `going`: what of
    `placed` is still going in.
    """
    room = max(1, width - 2)
    full = _cells(placed, volume, room)
    if placed > 0:
        full = max(1, full)
    if placed < volume:
        full = min(full, room - 1)
    with_coming = placed + coming
    waits = min(room, int((with_coming / volume * room).to_integral_value(ROUND_HALF_UP))) - full
    waits = max(1 if full < room else 0, waits) if coming > 0 else 0
    left = room - full - waits
    goes = min(full, max(1, full - _cells(placed - going, volume, room))) if going > 0 else 0
    return line(
        ("[", "rule"),
        (PLACED * (full - goes), "done"),
        (GOING * goes, "done"),
        (COMING * waits, "deferred"),
        (EMPTY * left, "quiet"),
        ("]", "rule"),
    )


def _cells(part: Decimal, whole: Decimal, room: int) -> int:
    return min(room, int((part / whole * room).to_integral_value(ROUND_FLOOR)))
