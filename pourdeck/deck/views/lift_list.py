"""The day of the lift in rows: every panel in the order it goes, and the marked one whole."""

from pourdeck.deck.drawing.plan_body import Spot
from pourdeck.deck.paint import Spans, line
from pourdeck.deck.views.walk_card import named
from pourdeck.deck.widgets.row_list import Row
from pourdeck.walk.lift_words import CAUTIONS, SHORT_CAUTIONS, lift_rows, state_words
from pourdeck.walk.lifting import LiftView

WARNED = ("missing", "finding")
"""Rows that ask for something to be done."""


def lift_key(view: LiftView) -> str:
    """The key of its row: number first, because an id may hold anything."""
    return f"{view.number}:{view.stack}"


def place_of(key: str) -> tuple[str, int]:
    """Stack and number of a row."""
    number, _, stack = key.partition(":")
    return stack, int(number)


def list_rows(views: tuple[LiftView, ...], width: int) -> tuple[Row, ...]:
    """Lift number, mark, stack, and where it stands; the first that lies there is next."""
    goes = next((view for view in views if view.lifted is None), None)
    return tuple(_row(view, width, is_next=view is goes) for view in views)


def _row(view: LiftView, width: int, *, is_next: bool) -> Row:
    number = "–" if view.lift is None else str(view.lift)
    ink = _ink(view)
    left = line((f"{number:>3} ", "quiet"), (f"{view.mark} ", "strong"), (f"{view.stack}", "quiet"))
    words = _short(view)
    if is_next:
        words = f"next, {words}" if width >= 27 else words
    return Row(key=lift_key(view), left=left, right=line((f"{_sign(view)} {words}", ink)))


def _sign(view: LiftView) -> str:
    if view.lifted is not None:
        return "✗" if view.faults else "↑"
    return "✓" if view.fit else "·" if view.record.closed is None else "✗"


def _ink(view: LiftView) -> str:
    if view.faults:
        return "warning"
    if view.lifted is not None or view.record.closed is None:
        return "quiet"
    return "done" if view.fit else "warning"


def _short(view: LiftView) -> str:
    if view.lifted is not None:
        return "lifted, see why" if view.faults else "lifted"
    if view.fit:
        return "fit to lift"
    return "not cast" if view.record.closed is None else f"{len(view.missing)} missing"


def lift_heading(view: LiftView) -> Spans:
    """`W12, fit to lift, lift 4, panel 6 of 6, stack A`."""
    ink = "done" if view.fit else "quiet" if view.lifted and not view.faults else "warning"
    number = f", lift {view.lift}" if view.lift is not None else ""
    return line(
        (f"{view.mark}: ", "heading"),
        (state_words(view), ink),
        (f"{number}, panel {view.number} of {view.of}, stack {view.stack}", "quiet"),
    )


def lift_spots(view: LiftView) -> tuple[Spot, ...]:
    """Where the centre of gravity and the centre of the lifters stand in the drawing."""
    found = (
        (view.setout.quantities.centroid, "G", "centre of gravity"),
        (view.lifters.centre, "C", "centre of the lifters"),
    )
    return tuple(
        Spot(x=at[0], y=at[1], sign=sign, words=words)
        for at, sign, words in found
        if at is not None
    )


def card_rows(view: LiftView, width: int) -> list[Spans]:
    """The marked panel: what is missing first, then what the crane crew asks for."""
    rows: list[Spans] = []
    last = ""
    for name, words in lift_rows(view):
        last = name or last
        rows += named(name, words, width, "warning" if last in WARNED else "text")
    return rows


def caution_lines(*, tall: bool) -> list[Spans]:
    """Give the cautions that stay in sight wherever a lift is prepared: in full where there is room."""
    return [line((one, "warning")) for one in (CAUTIONS if tall else SHORT_CAUTIONS)]
