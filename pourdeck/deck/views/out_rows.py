"""What the walk says of a value out of tolerance: by how much, how it stands, what it holds up."""

from pourdeck.deck.spans import Spans, line
from pourdeck.deck.views.blocks import Block, cut_rows, named
from pourdeck.deck.views.walk_card import ALL, LATER
from pourdeck.plan.messages import literal
from pourdeck.walk.out_of_tolerance import found_words, limit_words, over_words, state_words
from pourdeck.walk.records import ItemView, OutOfTolerance, Walk

MOST_STATE = 3
"""Lines for how it stands; `w` reads the rest."""

ALL_OF_IT = f"           {ALL}"


def out_blocks(walk: Walk, item: ItemView, width: int) -> list[Block]:
    """Under the answer; empty where nothing is out of tolerance."""
    if item.out is None:
        return []
    ink = "followed-up" if item.out.settled else "failed"
    (_, by), (name, state), *more = out_pairs(walk, item.out)
    first = cut_rows(named(name, f"{by}: {state}", width, ink), MOST_STATE, ALL_OF_IT)
    return [
        Block(tuple(first)),
        *(Block(tuple(named(one, words, width)), LATER) for one, words in more),
    ]


def out_pairs(walk: Walk, out: OutOfTolerance) -> list[tuple[str, str]]:
    """A name and words of each thing there is to say."""
    units = walk.job.units
    pairs = [("out by", over_words(out, units)), ("non-conf.", state_words(out))]
    if out.disposition is not None:
        pairs.append(("reason", str(out.disposition.data.get("reason", ""))))
    if not out.settled:
        pairs.append(("holds up", holds_up(walk)))
    return pairs


def holds_up(walk: Walk) -> str:
    """What waits for a value out of tolerance to be settled."""
    if walk.number == walk.of:
        return "the lift of this panel"
    above = literal(walk.plan.panels[walk.number].mark)
    return f"the as-cast release of {above} above, and the lift"


def disposition_lines(walk: Walk, out: OutOfTolerance) -> list[Spans]:
    """What whoever says the disposition should have read."""
    units = walk.job.units
    limit = ", ".join(part for part in (limit_words(out, units), out.source or "") if part)
    return [
        line((f"{out.name}: ", "quiet"), (found_words(out, units), "strong"),
             f", {over_words(out, units)}"),
        line(("limits: ", "quiet"), limit or "none known any more"),
        line(("now: ", "quiet"), (state_words(out), "followed-up" if out.settled else "failed")),
        line(("holds up: ", "quiet"), holds_up(walk)),
    ]  # fmt: skip
