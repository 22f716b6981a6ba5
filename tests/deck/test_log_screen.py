"""The log on screen: newest first, all of an entry, whole or not."""

import re
from datetime import timedelta
from pathlib import Path

import pytest

from pourdeck.deck.app import DeckApp
from pourdeck.deck.paint import plain
from pourdeck.deck.views.log import OLDER, entry_lines, entry_rows
from pourdeck.deck.widgets.row_list import RowList
from pourdeck.walk import acts
from pourdeck.walk.records import Act
from tests.deck import driver
from tests.deck.kit import HOSTILE, Ticks, lines, page, worked_deck
from tests.deck.walk_kit import at_work, crew_at, in_lines
from tests.walk.kit import FOREMAN, Clock, Crew, open_desk
from tests.walk.test_two_stations import ITEM, at_forms


def beside(app: DeckApp) -> str:
    """All of the marked row, as a person reads it."""
    return " ".join(in_lines(app, app.screen.query_one("#entry")).replace("│", " ").split())


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


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_who_writes_is_shown_from_anywhere_and_kept_up_to_date(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    one = crew_at(tmp_path, "forms")
    text = (tmp_path / "job/job.toml").read_text()
    ahead = Clock(one.clock.at + timedelta(days=3))
    office = Crew(open_desk(tmp_path, text, ahead, station="office"), ahead)
    app = DeckApp(one.desk, None, monotonic=Ticks())
    async with app.run_test(size=size):
        await driver.press(app, "f4", "j")
        shown = " ".join(page(app).split())
        assert app.current_mode == "log"
        assert f"shed no. {one.desk.head[0]}, 02 Mar 2026" in shown
        assert "nothing to compare: there is no other station" in beside(app)

        office.answer("forms.from-line/left", "1")
        app.follow()
        await driver.settle(app)
        shown = " ".join(page(app).split())
        assert "office no. 2, 05 Mar 2026" in shown
        assert "clock apart" not in shown
        app.record(acts.note(one.walk, None, "seen", FOREMAN))
        await driver.settle(app)
        rows = [row for row in lines(app) if "clock apart" in row]
        assert len(rows) == 2, "what this deck has just written counts at once"

        await driver.press(app, "home")
        told = beside(app)
        assert re.search(r"seen shed has seen office up to no\. 2 of 2", told)
        assert re.search(
            r"at least 3 days ahead of shed, on 05 Mar \(no\. 1 against no\. 40\)", told
        )
        await driver.press(app, "j")
        assert "seen" in page(app)
        assert "clock apart" not in page(app)
        await driver.press(app, "f2", "f9", *"stations", "enter")
        assert "clock apart" in page(app)
        await driver.press(app, "f6")
        assert "clock apart" not in page(app), "the key of the log shows the log"
        assert any(" Reed, office  " in row for row in lines(app)), "whose entry it is"


async def test_a_branch_of_a_fork_is_named_in_words(tmp_path: Path) -> None:
    for folder, by in (("one", "Ada Reed"), ("two", "Ben Cole")):
        one = crew_at(tmp_path / folder, "forms")
        one.answer("forms.from-line/base", "0", by=by)
        one.desk.close()
    other = (tmp_path / "two/job/log/shed.jsonl").read_bytes()
    (tmp_path / "one/job/log/shed (1).jsonl").write_bytes(other)
    text = (tmp_path / "one/job/job.toml").read_text()
    app = DeckApp(open_desk(tmp_path / "one", text), None, monotonic=Ticks())
    async with app.run_test(size=(120, 40)):
        await driver.press(app, "f6")
        shown = page(app)
        branch = next(one.station for one in app.desk.state.entries if "~" in one.station)
        digits = branch.partition("~")[2]
        assert f"shed, branch {digits}" in shown
        await driver.press(app, "v")
        assert "the second as shed, branch" in in_lines(app, app.screen.query_one("#told-rows"))
        await driver.press(app, "escape", "j")
        shown += page(app)
        assert "~" not in shown
        assert "second branch of a fork" in shown


def test_what_decides_names_the_entries_by_station_and_number(tmp_path: Path) -> None:
    two = at_forms(tmp_path)
    two.shed.answer(ITEM, "0")
    two.office.answer(ITEM, "1")
    two.meet()
    entry = two.shed.answer(ITEM, "2")
    own = next(n for station, n in entry.data["settles"] if station == "shed")
    row = plain(entry_rows([entry], {}, several=True)[0].left)
    assert f"decides between no. 2 of office and no. {own}" in row
    rows = "\n".join(plain(row.left) for row in entry_lines(entry, None))
    assert f"decides     no. 2 of office, no. {own}" in rows
    assert "had seen    office up to no. 2" in rows
