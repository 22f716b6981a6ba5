"""How the card of the walk is laid out: what must be in sight, and what the room is left to."""

from pourdeck.deck.paint import Spans, line
from pourdeck.deck.screens.walk_answer import WalkAnswer, WalkPlace
from pourdeck.deck.views.sums import item_sum, sum_lines
from pourdeck.deck.views.walk_card import (
    ALL,
    LATER,
    SPARE,
    Block,
    answer_blocks,
    blind,
    complete_blocks,
    hold_blocks,
    item_blocks,
    keep_blocks,
    least_rows,
    named,
    open_nonconformance,
    out_blocks,
    rows_of,
    twice_rows,
)
from pourdeck.deck.views.walk_list import Stop
from pourdeck.deck.widgets.bar import Boxes, Doing
from pourdeck.deck.widgets.choice import Choice
from pourdeck.deck.widgets.plan_view import PlanView
from pourdeck.deck.widgets.prose import Prose
from pourdeck.walk.answers import asks_twice
from pourdeck.walk.levels import ITEMS
from pourdeck.walk.pour_findings import READY, weather_words
from pourdeck.walk.records import NOWHERE, ItemView, OutOfTolerance, Walk

LEAST_PLAN = 5
GOOD_PLAN = 7
"""Lines of a drawing that can be read at all, and that are worth leaving words out for."""

MEASURE_ROWS = 2
SUM_WIDTH = 30


class WalkCard:
    """Works out the lines by what is free: the field is always in sight, the drawing takes what is left."""

    def __init__(self, screen: WalkPlace, answer: WalkAnswer) -> None:
        self.screen = screen
        self.answer = answer

    def show(self, walk: Walk, stop: Stop) -> None:
        card = self.screen.query_one("#card")
        width, height = card.content_size
        if width < 8 or height < 2:
            return
        one_column = self.screen.has_class("-narrow") or self.screen.has_class("-slim")
        tall = self.screen.has_class("-tall") and not one_column
        doings = self._doings(walk, stop)
        boxes = self.screen.query_one(Boxes)
        boxes.show(doings, tall=tall)
        ask, told = self._blocks(walk, stop, width)
        room = height - (0 if not doings else 3 if tall else 1)
        choice = self.screen.query_one("#choice", Choice)
        if choice.display:
            spare = room - least_rows([*ask, *told]) - (GOOD_PLAN if tall else 0)
            choice.make_room(tall=tall, most_rows=max(4, spare))
            room -= choice.get_content_height(card.size, card.size, width)
        elif self.answer.field.display:
            room -= MEASURE_ROWS
            people = self.answer.people
            if people.display:
                room -= people.get_content_height(card.size, card.size, width - 2)
        placed = stop.item is not None and stop.item.place != NOWHERE and not one_column
        kept = keep_blocks([*ask, *told], room - (GOOD_PLAN if placed else 0), least=SPARE)
        # The document that limits come from goes before a larger drawing, but not before any drawing.
        kept = keep_blocks(kept, room - (LEAST_PLAN if placed else 0))
        ask_rows, told_rows = rows_of(kept, ask), rows_of(kept, told)
        ask_rows = _cut(ask_rows, max(1, room - len(told_rows)))
        self.screen.query_one("#ask", Prose).show(ask_rows)
        self.screen.query_one("#told", Prose).show(told_rows)
        left = room - len(ask_rows) - len(told_rows)
        self._show_lower(walk, stop, 0 if one_column else left, wide=tall)

    def _blocks(self, walk: Walk, stop: Stop, width: int) -> tuple[list[Block], list[Block]]:
        if stop.item:
            units = walk.job.units
            weather = self._weather(walk) if stop.item.key in READY else ""
            return (
                item_blocks(walk, stop.section, stop.item, width),
                [
                    Block(tuple(named("weather", weather, width))),
                    *self._twice(walk, stop.item, width),
                    *answer_blocks(stop.item, units, width),
                    *out_blocks(walk, stop.item, width),
                ],
            )
        if stop.hold:
            weather = self._weather(walk)
            return hold_blocks(walk, stop.section, stop.hold, width, weather=weather), []
        return complete_blocks(walk, stop.section, width), []

    def _weather(self, walk: Walk) -> str:
        desk = self.screen.deck.desk
        return weather_words(walk, desk.now(), desk.jumps())

    def _twice(self, walk: Walk, item: ItemView, width: int) -> list[Block]:
        """That it is measured twice, and which reading it is now."""
        if item.locked_by or not asks_twice(walk.job, item.cast_key):
            return []
        rows = twice_rows(walk.job, width, second=self.answer.second)
        return [Block(tuple(rows), 0 if self.answer.second else LATER)]

    def _doings(self, walk: Walk, stop: Stop) -> list[Doing]:
        """What the stop wants done, beside an answer."""
        if stop.locked:
            return [Doing("g", "Go to what is owed", "next-owed")]
        if stop.item:
            cast = _elsewhere(walk, stop.item)
            out = stop.item.out
            if out is not None and not out.settled:
                return [*self._out_doings(out), *cast]
            if stop.item.own_state == "failed":
                again = "Measure again" if stop.item.kind in ("measure", "count") else "Look again"
                return [
                    Doing("f", "Say what was done", "follow-up"),
                    Doing("Enter", again, "take"),
                    *cast,
                ]
            return cast
        if stop.hold:
            if open_nonconformance(walk, stop.hold):
                return [Doing("f", "Close non-conformance", "follow-up")]
            if stop.hold.lets_pass or walk.record.pour_start:
                return []
            return [
                Doing("h", "Release", "release"),
                Doing("x", "Go on without release", "pass-unreleased"),
            ]
        closing = stop.section.id == "close"
        if stop.section.complete is None:
            return [Doing("Enter", "Close panel" if closing else "Complete", "take")]
        if closing and walk.panel_state == "cast":
            return [Doing("k", "To its lift", "go-lift")]
        return []

    def _out_doings(self, out: OutOfTolerance) -> list[Doing]:
        """What is wanted of a value out of tolerance that is not settled; of a rejected one nothing more."""
        if out.state == "rejected":
            return []
        word = {"repair": "Repair looked at", "open": "Disposition"}.get(out.state, "Say otherwise")
        return [Doing("f", word, "follow-up"), Doing("Enter", "Measure again", "take")]

    def _show_lower(self, walk: Walk, stop: Stop, left: int, *, wide: bool) -> None:
        lower = self.screen.query_one("#lower")
        lower.display = left >= LEAST_PLAN
        if not lower.display:
            return
        item = stop.item
        self.screen.query_one(PlanView).show(walk.setout, item.place if item else None)
        opened = item_sum(walk, item) if wide and item and not blind(item) else None
        pane = self.screen.query_one("#sum", Prose)
        pane.display = opened is not None
        if opened is not None:
            pane.show(_cut(sum_lines(opened, walk.job.units, SUM_WIDTH), left, "… F8 opens it"))


def _elsewhere(walk: Walk, item: ItemView) -> list[Doing]:
    """The screens on which an item is answered too."""
    found = [Doing("c", "On the panel", "go-ascast")] if item.cast_key else []
    levelled = item.key in ITEMS or (item.cast_key or "").startswith("rl_")
    if levelled and walk.job.site.benchmark is not None:
        found.insert(0, Doing("i", "Level book", "go-levels"))
    return found


def _cut(rows: list[Spans], most: int, rest: str = ALL) -> list[Spans]:
    return rows if len(rows) <= most else [*rows[: max(0, most - 1)], line((rest, "quiet"))]
