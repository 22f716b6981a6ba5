"""Ask in forms of the level book where the instrument goes, and for another point."""

from collections.abc import Callable

from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import Answers, FormField
from pourdeck.deck.paint import line
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.deck.widgets.row_list import Row
from pourdeck.plan.lengths import format_rl
from pourdeck.walk.level_page import LevelPage, Point
from pourdeck.walk.levels import BENCHMARK, NAMED, point_name
from pourdeck.walk.quantities import QUANTITIES

INTER, FORE = "inter", "fore"
KINDS = ((INTER, "read in passing (intermediate)"), (FORE, "to move the instrument (foresight)"))

Want = Callable[[Point], None]
"""Takes a sight that is to be read next."""


def another_point(screen: PanelScreen, want: Want) -> None:
    """A point of one's own: read once, or to carry the height to the next set-up."""
    fields = (
        FormField(id="name", label="Point", quantity=QUANTITIES["point"]),
        FormField(id="kind", label="It is read", value=INTER, choices=KINDS),
    )

    def done(told: Answers) -> None:
        kind = "fore" if told["kind"] == FORE else "inter"
        want((kind, NAMED + " ".join(told["name"].split())))  # type: ignore[arg-type]

    form = Form(
        "Another point", fields, lambda _: None, verb="Read it", draft=screen.draft("point"),
        signed=False, done=done,
    )  # fmt: skip
    screen.app.push_screen(form)


def move_instrument(screen: PanelScreen, page: LevelPage, want: Want) -> None:
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
            want(("back", point))

    body = "The height of the next set-up comes from a point whose height is known."
    dialog = ChoiceDialog("Where is the next backsight read?", rows, body, verb="Read it")
    screen.app.push_screen(dialog, take)
