"""The stops of a walk: in order, each once, and where the crew goes from one to the next."""

from pathlib import Path

from attrs import evolve

from pourdeck.deck.views.walk_list import (
    after,
    find_stop,
    first_owed,
    next_owed,
    section_start,
    stops,
)
from tests.walk.kit import crew, on_second


def test_every_item_is_a_stop_and_every_section_ends_with_one(tmp_path: Path) -> None:
    """The end of a section is an item of its own."""
    one = crew(tmp_path)
    every = stops(one.walk)
    assert [stop.key for stop in every if stop.item] == [item.key for item in one.walk.items()]
    for section in one.walk.sections:
        mine = [stop for stop in every if stop.section.id == section.id]
        assert [stop.first for stop in mine] == [True] + [False] * (len(mine) - 1)
        assert mine[-1].kind == ("hold" if section.hold else "complete")
        assert all(stop.kind == "item" for stop in mine[:-1])
    assert len({stop.key for stop in every}) == len(every)


def test_the_crew_goes_on_at_the_first_that_is_owed_and_free(tmp_path: Path) -> None:
    one = crew(tmp_path)
    assert first_owed(stops(one.walk)).key == "drawing.mark"
    one.pass_item("drawing.mark")
    assert first_owed(stops(one.walk)).key == "drawing.rev"
    assert find_stop(stops(one.walk), "nothing of the kind").key == "drawing.rev"
    assert find_stop(stops(one.walk), None).key == "drawing.rev"


def test_the_next_owed_passes_over_what_is_answered_and_what_is_locked(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.pass_item("drawing.face-up")
    every = stops(one.walk)
    assert next_owed(every, "drawing.rev").key == "drawing.mirrored"
    # From the last free one it begins again at the first.
    assert next_owed(every, "hold:drawing").key == "drawing.mark"
    assert next_owed(every, "close.defects").key == "drawing.mark"


def test_where_nothing_is_owed_it_stays(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.cast()
    every = stops(one.walk)
    assert next_owed(every, "drawing.mark").key == "drawing.mark"
    assert first_owed(every).key == "complete:close"


def test_steps_stop_at_both_ends(tmp_path: Path) -> None:
    every = stops(crew(tmp_path).walk)
    assert after(every, every[0].key, -1) is every[0]
    assert after(every, every[0].key, 1) is every[1]
    assert after(every, every[-1].key, 5) is every[-1]


def test_by_section_it_goes_to_what_the_section_owes(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.pass_item("drawing.mark")
    every = stops(one.walk)
    assert section_start(every, "strip.agent", -1).key == "drawing.rev"
    assert section_start(every, "drawing.rev", 1).key == "strip.agent"
    assert section_start(every, "drawing.rev", -1).section.id == "drawing"
    assert section_start(every, "close.defects", 1).section.id == "close"


def test_a_series_is_one_step_on_one_side(tmp_path: Path) -> None:
    one = on_second(tmp_path)
    every = [stop for stop in stops(one.walk) if stop.section.id == "forms"]
    by_series: dict[str, list[str]] = {}
    for stop in every:
        by_series.setdefault(stop.series, []).append(stop.key)
    right = by_series["forms.offset right side"]
    assert right == [f"forms.offset/right-{n}" for n in range(1, len(right) + 1)]
    assert by_series["forms.corner "] == [f"forms.corner/{at}" for at in ("bl", "br", "hr", "hl")]


def test_what_is_asked_again_further_up_is_not_walked_past(tmp_path: Path) -> None:
    """The items left in the section at hand come first, then the first one owed in the walk."""
    one = crew(tmp_path)
    every = list(stops(one.walk))
    here = next(n for n, stop in enumerate(every) if stop.section.id == "drawing" and stop.hold) - 1

    def with_state(index: int, state: str) -> None:
        item = every[index].item
        assert item is not None
        every[index] = evolve(every[index], item=evolve(item, own_state=state, locked_by=None))

    for index in range(here + 1):
        with_state(index, "done")
    later = next(n for n, stop in enumerate(every) if stop.section.id == "surface" and stop.item)
    with_state(later, "open")
    with_state(0, "void")
    assert next_owed(tuple(every), every[here].key) is every[0]
    other = next(n for n in range(later + 1, len(every)) if every[n].item)
    with_state(other, "open")
    assert next_owed(tuple(every), every[later].key) is every[other]
    assert next_owed(tuple(every), every[other].key) is every[later]
