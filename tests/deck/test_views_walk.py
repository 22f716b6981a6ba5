"""The words of the walk's list and card, apart from any screen."""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.deck.paint import cells, line, plain
from pourdeck.deck.screens.base import panel_title
from pourdeck.deck.views.read_all import read_all_rows
from pourdeck.deck.views.values import item_sum, limits_text, sum_in_a_line
from pourdeck.deck.views.walk_card import (
    MODES,
    SHORT_MODES,
    Block,
    answer_blocks,
    blind,
    complete_blocks,
    cut_rows,
    heading,
    hold_blocks,
    item_blocks,
    keep_blocks,
    least_rows,
    named,
    rows_of,
)
from pourdeck.deck.views.walk_list import (
    SECTION,
    SERIES,
    find_stop,
    opened_stop,
    series_name,
    stops,
    walk_rows,
)
from pourdeck.example import example_folder
from pourdeck.plan.reader import read_job
from pourdeck.setout.panel import set_out_stack
from pourdeck.walk import acts
from tests.deck.walk_kit import crew_at
from tests.walk.kit import ENGINEER, FOREMAN, WITH_ENGINEER, crew, on_second

WIDTHS = (28, 41, 48, 75)


def text(blocks: list[Block]) -> str:
    return " ".join(" ".join(plain(row) for block in blocks for row in block.rows).split())


# Blocks.


def test_the_lightest_go_first_and_what_must_stay_stays() -> None:
    blocks = [
        Block((line("a"),)),
        Block((line("b"), line("b")), 3),
        Block((line("c"),), 1),
        Block((line("d"),)),
        Block((line("e"),), 3),
    ]
    for room, left in ((6, "abbcde"), (5, "abbcd"), (4, "acd"), (3, "acd"), (2, "ad"), (0, "ad")):
        kept = keep_blocks(blocks, room)
        assert "".join(plain(row) for row in rows_of(kept, blocks)) == left
    assert least_rows(blocks) == 2


def test_rows_are_taken_of_the_blocks_they_belong_to() -> None:
    first, second = [Block((line("a"),))], [Block((line("a"),))]
    kept = keep_blocks([*first, *second], 5)
    assert len(rows_of(kept, first)) == len(rows_of(kept, second)) == 1


def test_what_is_cut_says_how_to_read_the_rest() -> None:
    rows = [line(str(n)) for n in range(9)]
    assert [plain(row) for row in cut_rows(rows, 3, "more")] == ["0", "1", "more"]
    assert cut_rows(rows, 9, "more") == rows


@pytest.mark.parametrize("width", WIDTHS)
def test_names_and_values_keep_to_the_width(width: int) -> None:
    for row in named("expected", "a value that goes on and on " * 3, width):
        assert cells(row) <= max(width, 19)


# The list.


def test_the_section_in_hand_is_open_and_the_series_in_hand_too(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms", number=2)
    every = stops(one.walk)
    rows = walk_rows(every, find_stop(every, "forms.offset/right-2"), "metric")
    names = [" ".join(plain(row.left).split()) for row in rows]
    assert names[0] == "1 Panel and drawing"
    assert "offsets base B1–B3" in names
    assert "offsets right R1–R3" in names
    assert "R2" in names
    assert "B2" not in names
    assert "HOLD Set-out checked by someone else" in names


def test_a_row_says_what_was_found_and_how_it_stands(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms", number=2)
    one.answer("forms.offset/right-1", "0")
    one.answer("forms.offset/right-2", "9")
    every = stops(one.walk)
    rows = walk_rows(every, find_stop(every, "forms.offset/right-1"), "metric")
    shown = {" ".join(plain(row.left).split()): plain(row.right) for row in rows}
    assert shown["R1"] == "0 ✓"
    assert shown["R2"] == "9 ✗"
    assert shown["R3"] == "·"
    assert shown["offsets right R1–R3"] == "✗1 2/3"
    assert shown["6 Edge forms"].startswith("✗1 ")
    assert shown["7 Openings and cast-ins"] == "▪ locked"


def test_what_failed_and_was_followed_up_has_a_sign_and_words_of_its_own(tmp_path: Path) -> None:
    one = crew(tmp_path, WITH_ENGINEER)
    item = one.item("drawing.face-up")
    bad = next(choice for choice in item.choices if choice not in item.good)
    one.answer(item.key, bad)
    one.do(acts.follow_up(one.walk, item.key, "turned", ENGINEER))
    item = one.item(item.key)
    assert item.own_state == "done"
    assert "✗→ failed, followed up" in text(answer_blocks(item, "metric", 60))
    every = stops(one.walk)
    here = find_stop(every, item.key)
    row = next(row for row in walk_rows(every, here, "metric") if row.key == item.key)
    assert plain(row.right).endswith("✗→")


def test_a_section_that_is_done_says_what_was_put_off(tmp_path: Path) -> None:
    one = crew(tmp_path)
    key = "drawing.base-end"
    one.do(acts.defer(one.walk, key, "not ready yet", FOREMAN, "pour", FOREMAN))
    one.pass_section("drawing")
    one.end_section("drawing")
    every = stops(one.walk)
    elsewhere = next(stop for stop in every if stop.section.id == "surface")
    rows = walk_rows(every, elsewhere, "metric")
    drawing = next(row for row in rows if row.key == "section:drawing")
    assert plain(drawing.right) == "done, 1 deferred"


def test_an_imperial_job_lists_what_was_found_in_feet_and_inches(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms", number=2)
    one.answer("forms.between/base", "3000")
    every = stops(one.walk)
    rows = walk_rows(every, find_stop(every, "forms.between/base"), "imperial")
    shown = {" ".join(plain(row.left).split()): plain(row.right) for row in rows}
    assert "'" in shown["base side"]


def test_a_row_that_is_not_open_leads_to_what_it_owes(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms", number=2)
    one.answer("forms.offset/right-1", "0")
    every = stops(one.walk)
    series = f"{SERIES}forms.offset right side"
    assert opened_stop(every, series).key == "forms.offset/right-2"
    assert opened_stop(every, series, upwards=True).key == "forms.offset/right-3"
    assert opened_stop(every, f"{SECTION}forms").key == "forms.run/base"
    assert opened_stop(every, f"{SECTION}forms", upwards=True).key == "hold:set-out"
    assert opened_stop(every, "forms.line/base").key == "forms.line/base"


def test_a_series_is_named_once_and_by_its_ends(tmp_path: Path) -> None:
    one = on_second(tmp_path)
    items = [item for item in one.walk.items() if item.key.startswith("forms.corner/")]
    assert series_name(items) == "corners"
    diagonals = [item for item in one.walk.items() if item.key.startswith("forms.diagonal/")]
    assert series_name(diagonals) == "diagonals"


# The card.


def test_the_heading_has_the_mode_in_words(tmp_path: Path) -> None:
    one = crew(tmp_path)
    for section in one.walk.sections:
        for width in (41, 48, 75):
            words = plain(heading(section, width))
            assert MODES[section.mode] in words or SHORT_MODES[section.mode] in words
            assert section.name in words
            assert cells(heading(section, width)) == width


@pytest.mark.parametrize("width", WIDTHS)
def test_no_line_of_a_card_is_wider_than_the_card(tmp_path: Path, width: int) -> None:
    one = crew_at(tmp_path, "forms", number=2)
    for stop in stops(one.walk):
        if stop.item:
            blocks = [*item_blocks(one.walk, stop.section, stop.item, width),
                      *answer_blocks(stop.item, "metric", width)]  # fmt: skip
        elif stop.hold:
            blocks = hold_blocks(one.walk, stop.section, stop.hold, width)
        else:
            blocks = complete_blocks(one.walk, stop.section, width)
        for block in blocks:
            assert all(cells(row) <= width for row in block.rows), (stop.key, block)


def test_five_states_are_five_different_words(tmp_path: Path) -> None:
    """Zero, not applicable, deferred, failed and blank are never the same."""
    from pourdeck.walk import acts

    one = crew_at(tmp_path, "forms", number=2)
    keys = [f"forms.offset/{side}-1" for side in ("base", "right", "head", "left")]
    one.answer(keys[0], "0")
    one.answer(keys[1], "9")
    one.do(acts.defer(one.walk, keys[2], "later", FOREMAN, "pour", FOREMAN))
    one.do(acts.not_applicable(one.walk, keys[3], "no form", FOREMAN))
    said = {text(answer_blocks(one.item(key), "metric", 60)) for key in keys}
    said.add(text(answer_blocks(one.item("forms.offset/base-2"), "metric", 60)))
    assert len(said) == 5
    assert any("✓ done 0 mm pass" in words for words in said)
    assert any("» deferred" in words and "before pour" in words for words in said)
    assert any("– not applicable" in words for words in said)


def test_what_a_second_person_reads_is_blind_until_it_is_read(tmp_path: Path) -> None:
    one = crew(tmp_path)
    item = one.item("drawing.width")
    assert blind(item)
    section = one.walk.section("drawing")
    assert section is not None
    assert "3000" not in text(item_blocks(one.walk, section, item, 60))
    one.pass_item("drawing.width")
    item = one.item("drawing.width")
    assert not blind(item)
    assert "3000 mm" in text(item_blocks(one.walk, section, item, 60))


def test_every_expected_number_has_a_sum(tmp_path: Path) -> None:
    """Every number but for what the crew itself read before, or a plain nought."""
    one = crew_at(tmp_path, "forms", number=2)
    plain_numbers = ("height.closing", "height.plumb", "brackets.strength")
    for item in one.walk.items():
        if isinstance(item.expected, Decimal) and not item.key.startswith(plain_numbers):
            opened = item_sum(one.walk, item)
            assert opened is not None, item.key
            assert "=" in sum_in_a_line(opened, "metric")


def test_a_hold_says_all_that_is_missing_where_it_is_read_whole(tmp_path: Path) -> None:
    one = crew(tmp_path)
    hold = one.walk.hold("pour")
    assert hold is not None
    stop = find_stop(stops(one.walk), "hold:pour")
    words = " ".join(plain(row) for row in read_all_rows(one.walk, stop))
    assert hold.look in words


# The title.


def test_the_title_begins_with_what_must_not_be_lost() -> None:
    job = read_job(example_folder())
    for stack in job.stacks:
        for setout in set_out_stack(job, stack, {}):
            words = plain(panel_title(setout))
            assert words.startswith(f"{setout.mark} · panel {setout.number} of {setout.of}")
            assert (words.partition(" · MIRRORED")[1] != "") is setout.mirrored
            assert words.find("MIRRORED") < 45


def test_of_two_diagonals_each_says_how_they_are_judged(tmp_path: Path) -> None:
    """Equal diagonals make it square; it is their difference that is judged. Common practice, no source."""
    one = crew_at(tmp_path, "forms", number=2)
    first, second = "forms.diagonal/bl-hr", "forms.diagonal/br-hl"
    units = one.walk.job.units
    assert limits_text(one.item(first), units) == "the two at most 8 mm apart"
    one.answer(first, "4243")
    assert limits_text(one.item(second), units) == "the two at most 8 mm apart: 4235 mm to 4251 mm"


def test_of_both_deferred_and_followed_up_the_name_of_the_section_still_stands(
    tmp_path: Path,
) -> None:
    one = crew(tmp_path, WITH_ENGINEER)
    item = one.item("drawing.face-up")
    one.answer(item.key, next(choice for choice in item.choices if choice not in item.good))
    one.do(acts.follow_up(one.walk, item.key, "turned", ENGINEER))
    key = "drawing.base-end"
    one.do(acts.defer(one.walk, key, "not ready yet", FOREMAN, "pour", FOREMAN))
    one.pass_section("drawing")
    one.end_section("drawing")
    every = stops(one.walk)
    elsewhere = next(stop for stop in every if stop.section.id == "surface")
    row = next(row for row in walk_rows(every, elsewhere, "metric") if row.key == "section:drawing")
    assert plain(row.right) == "✗→1 done, 1 deferred"


def test_a_section_that_ended_with_a_failure_in_it_shows_it(tmp_path: Path) -> None:
    """As the example: a bracket whose thread is damaged, found after the section was said to be complete."""
    crew_of = on_second(tmp_path)
    crew_of.go_to("height")
    crew_of.answer("brackets.hung/base-1", "thread damaged", why="looked again")
    every = stops(crew_of.walk)
    rows = walk_rows(every, find_stop(every, "height.backsight"), "metric")
    (row,) = [row for row in rows if plain(row.left).split()[:2] == ["4", "Brackets"]]
    assert plain(row.right) == "✗1 done"
