"""The log on screen: newest first, all of an entry, whole or not."""

from pathlib import Path

from pourdeck.deck.views.log_rows import OLDER, entry_rows
from pourdeck.deck.widgets.row_list import RowList
from tests.deck.kit import HOSTILE, page, worked_deck


async def test_entries_are_newest_first_with_short_seals(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    newest = app.desk.state.entries[-1]
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.press("f6")
        rows = page(app).splitlines()
        first = next(index for index, row in enumerate(rows) if row.startswith("▸"))

        assert "note" in rows[first]
        assert newest.seal[:4] in rows[first]
        assert "answer" in rows[first + 2]
        assert "✓ whole" in page(app)
        assert f"head no. {newest.n}, {newest.seal[:16]}" in page(app)


async def test_all_of_the_marked_entry_is_beside_it(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.press("f6")
        assert HOSTILE in page(app)
        await pilot.press("down")
        shown = page(app)
        entry = app.desk.state.entries[-2]

        assert "waits for the office" in shown
        assert entry.seal[:8] in shown
        assert entry.seal[-8:] in shown


async def test_entries_of_one_panel_only_and_of_all_again(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f6", "f", "down", "enter")
        assert "only P1" in page(app)
        await pilot.press("a")
        assert "only P1" not in page(app)


async def test_damage_is_said_and_listed(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    file = tmp_path / "job" / "log" / "shed.jsonl"
    async with app.run_test(size=(120, 40)) as pilot:
        raw = file.read_bytes().split(b"\n")
        raw[2] = raw[2].replace(b'"by":"Ada Reed"', b'"by":"Ada Raed"')
        file.write_bytes(b"\n".join(raw))
        await pilot.press("f6")
        assert "✗ 1 fault" in page(app)
        assert "✓ whole" not in page(app)
        await pilot.press("v")

        assert "log/shed.jsonl" in page(app)
        assert "line 3" in page(app)


async def test_a_row_leads_to_the_item_of_its_entry(tmp_path: Path) -> None:
    app = worked_deck(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f6", "enter")

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
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f6")

        assert "Nothing is recorded yet." in page(app)
        assert app.screen.query_one("#entries", RowList).key is None
