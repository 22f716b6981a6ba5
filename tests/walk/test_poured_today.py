"""List what was poured today, on the board and in its document, in the order in which it was begun."""

from decimal import Decimal
from io import StringIO
from pathlib import Path

from pourdeck.commands.board import board_document, board_page
from pourdeck.deck.paint import plain
from pourdeck.deck.views.board_rows import need_rows, target_of
from pourdeck.paper.console import People
from tests.walk.kit import Crew
from tests.walk.pour_kit import POUR_JOB, begun, do, page, whole

SECOND = POUR_JOB[POUR_JOB.index("[[stack]]") :].replace('"A"', '"B"').replace('"P1"', '"Q1"')
TWO = POUR_JOB + SECOND.replace("lift = 2", "lift = 1")


def two_pours(folder: Path) -> Crew:
    """Stack A is poured first, then stack B."""
    one = begun(folder, TWO)
    whole(one, 1, "6.0")
    other = Crew(one.desk, one.clock, stack="B")
    other.go_to("pour")
    other.answer("pour.start", "now")
    whole(other, 1, "3.2")
    do(other, 2, docket="D-2", mix="N40/20", volume="4")
    return one


def test_the_total_of_today_in_the_order_of_the_pours(tmp_path: Path) -> None:
    one = two_pours(tmp_path)
    board = one.desk.board()
    assert [(panel.mark, panel.placed) for panel in board.poured_today] == [
        ("P1", Decimal("6.0")), ("Q1", Decimal("3.2")),
    ]  # fmt: skip
    rows = [plain(row.left) + plain(row.right) for row in need_rows(board, "metric")]
    said = [row for row in rows if "placed today" in row]
    assert len(said) == 2
    assert "9.2 m³ today" in said[1]
    target = target_of(board, "poured:1")
    assert target is not None
    assert (target.screen, target.stack, target.panel) == ("pour", "B", 1)
    document = board_document("J", board, board.findings)
    assert [one["placed"] for one in document["poured_today"]] == [6.0, 3.2]
    shown = People(width=100, record=True, file=StringIO())
    board_page(shown, "J", board, "metric")
    assert "9.2 m³ in all" in shown.export_text()


def test_yesterday_is_not_today(tmp_path: Path) -> None:
    one = two_pours(tmp_path)
    one.clock.later(hours=24)
    assert one.desk.board().poured_today == ()


def test_what_is_wrong_with_a_pour_is_on_the_board_and_leads_to_it(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1, minutes=50)
    assert [f.code for f in page(one).findings] == ["discharge-late"]
    board = one.desk.board()
    at = next(n for n, f in enumerate(board.findings) if f.code == "discharge-late")
    target = target_of(board, f"finding:{at}")
    assert target is not None
    assert target.screen == "pour"
    one.do(one.desk.undo("Ada Reed", "a slip"))
    assert "discharge-late" not in [f.code for f in one.desk.findings() if f.is_error]


def test_the_record_holds_dockets_and_weather(tmp_path: Path) -> None:
    from pourdeck.paper.record import record_document
    from pourdeck.walk.pour_acts import read_weather

    one = begun(tmp_path)
    whole(one, 1)
    do(one, 1, water="20", water_by="driver")
    do(one, 1, slump="90", why="tested again")
    typed = {"concrete": "31", "air": "27", "humidity": "50", "wind": "19"}
    one.do(read_weather(one.walk, typed, "now", one.foreman, one.clock.at))
    found = record_document(one.walk)
    (docket,) = found["docket"]
    assert (docket["docket"], docket["mix"], docket["state"]) == ("D-1", "N40/20", "placed")
    assert (docket["slump"], docket["water_by"]) == (90, "driver")
    assert docket["minutes_since_batching"] == 40
    assert docket["put_right"] == "Ada Reed: tested again"
    (weather,) = found["weather"]
    assert (weather["evaporation"], weather["verdict"]) == (1.15, "act")
