"""The board: where every stack stands, what is next, what is owed."""

from decimal import Decimal
from pathlib import Path

from pourdeck.walk import acts
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    HAND,
    KIT,
    WITH_ENGINEER,
    Crew,
    crew,
    on_second,
)
from tests.walk.test_desk import TWO_STACKS


def test_a_pile_with_its_panel_in_hand(tmp_path: Path) -> None:
    two = on_second(tmp_path)
    two.pass_item("drawing.mark")
    board = two.desk.board()
    (stack,) = board.stacks
    assert stack.in_hand == 2
    assert [(panel.mark, panel.state, panel.lift, panel.in_hand) for panel in stack.panels] == [
        ("P1", "cast", 2, False),
        ("P2", "forming", 1, True),
    ]
    assert stack.panels[0].growth == (0, 0)
    assert stack.panels[1].growth == (None, None)
    assert (stack.panels[1].answered, stack.panels[1].total) == (1, two.walk.total)
    (act,) = board.next
    assert act.text == "1 Panel and drawing, Read the revision off the drawing"
    assert (act.stack, act.number, act.section, act.key) == ("A", 2, 1, "drawing.rev")


def test_growth_is_the_mean_of_what_was_measured(tmp_path: Path) -> None:
    two = on_second(tmp_path)
    first = Crew(two.desk, two.clock)
    first.answer("close.width/base", "3003", why="read again")
    first.answer("close.width/head", "3004", why="read again")
    panel = two.desk.board().stacks[0].panels[0]
    assert panel.growth == (Decimal("3.5"), 0)


def test_what_waits_for_the_clock_is_said_beside_what_can_be_done(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("finish")
    act, wait = one.desk.board().next
    assert act.text.startswith("10 Finish and cure, ")
    assert act.until is None
    assert wait.number == 2
    assert wait.until is not None
    assert "may be formed from" in wait.text
    one.clock.at = wait.until
    assert len(one.desk.board().next) == 1


def test_what_is_owed_and_what_failed(tmp_path: Path) -> None:
    text = TWO_STACKS.replace(KIT, f'[[person]]\nname = "{ENGINEER}"\nrole = "engineer"\n{KIT}', 1)
    one = crew(tmp_path, text)
    other = Crew(one.desk, one.clock, stack="B")
    one.do(acts.defer(one.walk, "drawing.base-end", "fog", HAND, "pour", FOREMAN))
    other.answer("drawing.mark", "P9")
    board = one.desk.board()
    (owed,), (failed,) = board.deferred, board.failed
    assert (owed.stack, owed.key, owed.reason, owed.owner, owed.before) == (
        "A", "drawing.base-end", "fog", HAND, "pour",
    )  # fmt: skip
    assert (failed.stack, failed.mark, failed.key, failed.reason) == (
        "B", "Q1", "drawing.mark", "P9",
    )  # fmt: skip
    other.do(acts.follow_up(other.walk, "drawing.mark", "the mark is the old one", ENGINEER))
    assert other.desk.board().failed == ()


def test_a_closed_panel_is_still_owed_what_was_put_off_to_the_lift(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("close")
    one.do(acts.defer(one.walk, "close.threads", "taped", HAND, "lift", FOREMAN))
    one.end_section("close")
    (owed,) = one.desk.board().deferred
    assert (owed.mark, owed.before) == ("P1", "lift")
    one.answer("close.threads", "all clear")
    assert one.desk.board().deferred == ()
    one.answer("close.width/base", "3020", why="read again")
    (failed,) = one.desk.board().failed
    assert failed.key == "close.width/base"


def test_what_came_loose_on_a_closed_panel_is_as_in_its_walk(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.go_to("close")
    for key in ("close.threads", "close.defects"):
        one.do(acts.defer(one.walk, key, "taped over", HAND, "lift", FOREMAN))
    one.end_section("close")
    one.answer("close.defects", "to be repaired")
    loose = one.desk.loose_ends("A", 1)
    assert [(item.key, item.own_state) for item in loose] == [
        ("close.threads", "deferred"),
        ("close.defects", "failed"),
    ]
    assert loose == tuple(item for item in one.walk.items() if item in loose)
    assert [owed.key for owed in one.desk.board().failed] == ["close.defects"]
    one.do(acts.follow_up(one.walk, "close.defects", "patched", CHECKER))
    assert one.desk.board().failed == ()


def test_findings_are_counted_by_panel(tmp_path: Path) -> None:
    one = crew(tmp_path, WITH_ENGINEER)
    change = one.desk.resize("A", 2, width=Decimal(3100))
    one.do(one.desk.revise(change, by=ENGINEER, reason="rev C"))  # type: ignore[arg-type]
    panel = one.desk.board().stacks[0].panels[1]
    assert panel.errors >= 1
    assert panel.findings >= panel.errors


def test_next_is_the_hold_then_the_end_of_a_section(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.pass_section("drawing")
    act = one.walk.next
    assert act is not None
    assert (act.hold, act.key) == ("drawing", None)
    assert act.text == "1 Panel and drawing, hold Drawings and plan"
    one.go_to("height")
    one.pass_section("height")
    act = one.walk.next
    assert act is not None
    assert act.text == "5 Height and plumb, say it is complete"


def test_a_failed_item_is_next_before_its_hold(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.answer("drawing.mark", "P9")
    one.pass_section("drawing")
    act = one.walk.next
    assert act is not None
    assert act.text == "1 Panel and drawing, follow up: Read the panel mark off the drawing"
