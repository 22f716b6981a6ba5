"""What the level book asks in dialogs: where the instrument goes, another point, why a reading changes."""

from typing import TYPE_CHECKING

from pourdeck.deck.dialogs import Ask, AskDialog, ChoiceDialog, TextDialog
from pourdeck.deck.spans import line
from pourdeck.deck.views.ready_words import CORRECTING, FOLLOWING_UP
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.lengths import format_rl
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.level_acts import read_staff
from pourdeck.walk.level_page import LevelPage, Line, Point
from pourdeck.walk.level_readings import BENCHMARK, NAMED
from pourdeck.walk.level_words import point_name
from pourdeck.walk.words import value_text

if TYPE_CHECKING:
    from pourdeck.deck.screens.levels import LevelsScreen

INTER, FORE = "inter", "fore"


def another_point(screen: "LevelsScreen") -> None:
    """A point of one's own: read once, or to carry the height to the next set-up."""
    kinds = (
        (INTER, "read in passing (intermediate)"),
        (FORE, "to move the instrument (foresight)"),
    )
    asks = (
        Ask(id="name", label="Point"),
        Ask(id="kind", label="It is read", value=INTER, choices=kinds),
    )

    def take(values: dict[str, str] | None) -> None:
        if values is not None:
            kind: Point = (
                "fore" if values["kind"] == FORE else "inter",
                NAMED + " ".join(values["name"].split()),
            )
            screen.want(kind)

    screen.app.push_screen(
        AskDialog("Another point", asks, verb="Read it", draft=screen.draft("point")), take
    )


def move_instrument(screen: "LevelsScreen", page: LevelPage) -> None:
    """The next set-up: its backsight on the benchmark, or on a point that was levelled."""
    walk = screen.walk
    if walk is None:
        return
    job = walk.job
    heights = {
        one.point: one.rl
        for one in page.lines
        if one.kind != "back" and one.rl is not None and one.point != BENCHMARK
    }
    named = [point for point in heights if point.startswith(NAMED)]
    points = [BENCHMARK, *reversed(named), *(one for one in heights if one not in named)]
    known = {BENCHMARK: page.benchmark.rl, **heights}
    rows = tuple(
        Row(
            key=point,
            left=line((point_name(job, point), "strong")),
            right=line(format_rl(known[point], job.units)),
        )
        for point in points
    )

    def take(point: str | None) -> None:
        if point is not None:
            screen.want(("back", point))

    body = "The height of the next set-up comes from a point whose height is known."
    dialog = ChoiceDialog("Where is the next backsight read?", rows, body, verb="Read it")
    screen.app.push_screen(dialog, take)


def record_reading(screen: "LevelsScreen", one: Line, typed: str) -> None:
    """Record what was typed at a line; one that replaces a reading asks why."""
    if one.reading is None:
        screen.deck.as_person(lambda by: _record(screen, one, typed, by, ""))
        return
    walk = screen.walk
    units = walk.job.units if walk else "metric"
    failed = one.verdict == "fail"
    title = "What was done about it?" if failed else "Why does the reading change?"
    body = (
        f"{one.name}: now {typed}, was {value_text(one.reading, 'm', units)}. "
        "The old reading stays in the record beside it."
    )

    def take(values: dict[str, str] | None) -> None:
        if values is None:
            screen.forget()
        else:
            screen.deck.as_person(lambda by: _record(screen, one, typed, by, values["text"]))

    ready = FOLLOWING_UP if failed else CORRECTING
    screen.app.push_screen(
        TextDialog(title, "In a few words", body, ready=ready, by_itself=True), take
    )


def _record(screen: "LevelsScreen", one: Line, typed: str, by: str, why: str) -> None:
    deck, walk = screen.deck, screen.walk
    if walk is None:
        return
    setup = one.setup if one.reading is not None or one.kind != "back" else None
    act = read_staff(walk, one.kind, one.point, typed, by, deck.desk.now(), setup=setup, why=why)
    if isinstance(act, Refusal):
        deck.refuse(act)
        return
    if deck.record(act) is not None:
        screen.taken(one)
