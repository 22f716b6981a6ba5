"""The log on screen: newest first, all of an entry, whole or not."""

import re
from pathlib import Path

from pourdeck.deck.paint import plain
from pourdeck.deck.views.log import OLDER, entry_lines, entry_rows
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk.records import Act
from tests.deck import driver
from tests.deck.kit import HOSTILE, page, worked_deck
from tests.deck.walk_kit import at_work, crew_at
from tests.walk.kit import FOREMAN


async def test_entries_are_newest_first_with_short_seals(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    newest = app.desk.state.entries[-1]
    async with app.run_test(size=(120, 40)):
        await driver.press(app, "f6")
        rows = page(app).splitlines()
        first = next(index for index, row in enumerate(rows) if row.startswith("▸"))

        assert "note" in rows[first]
        assert newest.seal[:4] in rows[first]
        assert ", fail" in rows[first + 2]
        assert "✓ whole" in page(app)
        assert f"head no. {newest.n}, {newest.seal[:12]}" in page(app)


async def test_all_of_the_marked_entry_is_beside_it(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(120, 40)):
        await driver.press(app, "f6")
        assert HOSTILE in page(app)
        await driver.press(app, "down")
        shown = page(app)
        entry = app.desk.state.entries[-2]

        assert "waits for the office" in shown
        assert entry.seal[:8] in shown
        assert entry.seal[-8:] in shown


async def test_entries_of_one_panel_only_and_of_all_again(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f6", "f", "down", "enter")
        assert "only P1" in page(app)
        await driver.press(app, "a")
        assert "only P1" not in page(app)


async def test_damage_is_said_and_listed(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    file = tmp_path / "job" / "log" / "shed.jsonl"
    async with app.run_test(size=(120, 40)):
        raw = file.read_bytes().split(b"\n")
        raw[2] = raw[2].replace(b'"by":"Ada Reed"', b'"by":"Ada Raed"')
        file.write_bytes(b"\n".join(raw))
        await driver.press(app, "f6")
        assert "✗ 1 fault" in page(app)
        assert "✓ whole" not in page(app)
        await driver.press(app, "v")

        assert "log/shed.jsonl" in page(app)
        assert "line 3" in page(app)


async def test_a_row_leads_to_the_item_of_its_entry(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f6", "enter")

        assert app.current_mode == "walk"
        assert app.here.item == app.desk.state.entries[-1].data["item"]


def test_older_entries_are_asked_for(tmp_path: Path) -> None:
    entries = worked_deck(tmp_path).desk.state.entries

    assert [row.key == OLDER for row in entry_rows(entries, {}, most=2)] == [
        False,
        False,
        True,
    ]
    assert all(row.key != OLDER for row in entry_rows(entries, {}))
    assert entry_rows(entries, {}, panel="none") == ()


async def test_an_empty_log_says_so(tmp_path: Path) -> None:
    from tests.deck.kit import make_deck

    app = make_deck(tmp_path)
    async with app.run_test(size=(80, 24)):
        await driver.press(app, "f6")

        assert "Nothing is recorded yet." in page(app)
        assert app.screen.query_one("#entries", RowList).key is None


async def test_an_entry_is_read_in_words(tmp_path: Path) -> None:
    """No keys of items, no brackets of a file format, no times of machines; of an undo, what it undid."""
    one = crew_at(tmp_path, "forms", number=2)
    key = "forms.offset/right-1"
    one.pass_item(key)
    undo = one.desk.undo(FOREMAN, "a slip")
    assert isinstance(undo, Act)
    one.desk.record(undo)
    state = one.desk.state
    for entry in state.entries:
        rows = entry_lines(entry, state.voided.get(entry.key), find=state.find)
        text = "\n".join(plain(row.left) for row in rows)
        assert not set('{}[]"') & set(text), text
        assert not re.search(r"\d-\d\dT\d\d:", text), text
        assert key not in text
    shown = plain(entry_rows(state.entries, state.voided, find=state.find)[0].left)
    assert "undone  P2 offsets" in shown
    assert "P2 offsets, right side R1: " in shown
    last = "\n".join(
        plain(row.left) for row in entry_lines(state.entries[-1], None, find=state.find)
    )
    assert "that is     P2 offsets, right side R1: " in last


async def test_an_undo_says_in_words_what_it_undid(tmp_path: Path) -> None:
    one = crew_at(tmp_path, "forms", number=2)
    one.pass_item("forms.offset/right-1")
    async with at_work(one, item="forms.offset/right-2") as hands:
        await hands.press("u")
        assert "undone: P2 offsets, right side R1: " in hands.app.said.title
        await hands.press("r")
        assert "done again: P2 offsets, right side R1: " in hands.app.said.title
