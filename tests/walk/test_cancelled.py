"""Size changes against releases where two stations know different things, or a pour was taken back."""

from decimal import Decimal
from pathlib import Path

import pytest
from attrs import evolve

from pourdeck.plan.messages import Refusal
from pourdeck.setout.resize import Resize
from pourdeck.walk import acts
from pourdeck.walk.records import Act, HoldView
from tests.walk.kit import CHECKER, FOREMAN, HAND, JOB, Crew, crew, on_second, open_desk


def hold(one: Crew, name: str = "drawing") -> HoldView:
    found = one.walk.hold(name)
    assert found is not None
    return found


def release(one: Crew, name: str) -> None:
    """Record a release as another station did that knew the hold to be free."""
    data = {"panel": one.walk.mark, "hold": name, "role": "supervisor", "seen": "looked"}
    data["covers"] = hold(one, name).digest
    one.do(Act(kind="release", by=CHECKER, data=data, says=""))


def sized(one: Crew, **size: Decimal) -> Resize:
    change = one.desk.resize("A", one.number, **size)
    assert not isinstance(change, Refusal)
    return change


def revise(one: Crew, *cancels: acts.Cancel, **size: Decimal) -> None:
    """Record a size change that names these releases and no other."""
    one.do(acts.revise(one.desk.job, sized(one, **size), cancels, "drawing rev C", FOREMAN))


def test_a_size_changed_there_and_back_still_takes_back_what_its_station_did_not_know(
    tmp_path: Path,
) -> None:
    """The size is what it was when the hold was released, and the sheet on site may not be."""
    two = on_second(tmp_path)
    two.go_to("strip")
    revise(two, width=Decimal(2800))
    revise(two, width=Decimal(3000))
    assert two.walk.setout.panel.width == 3000
    found = hold(two)
    assert found.state == "void"
    assert found.lapse is not None
    assert "the size of P2 was changed" in found.lapse


def test_a_size_changed_before_a_release_takes_nothing_from_it(tmp_path: Path) -> None:
    two = on_second(tmp_path)
    revise(two, width=Decimal(2800))
    two.go_to("strip")
    assert hold(two).state == "released"


def unpoured_with_release_above(tmp_path: Path) -> tuple[Crew, Crew]:
    """P1 not poured, and a release of P2: given before the pour of P1 was taken back."""
    first = crew(tmp_path)
    second = Crew(first.desk, first.clock, number=2)
    release(second, "drawing")
    assert hold(second).lapse is None
    return first, second


def test_a_release_that_a_size_change_below_names_is_taken_back(tmp_path: Path) -> None:
    """Nothing that it covers is another for a thicker panel below; that its change says so counts."""
    first, second = unpoured_with_release_above(tmp_path)
    change = sized(first, thickness=Decimal(175))
    (cancel,) = first.desk.cancels(change)
    assert cancel.document() == {"panel": 2, "mark": "P2", "hold": "drawing"}
    revise(first, cancel, thickness=Decimal(175))
    lapse = hold(second).lapse
    assert lapse is not None
    assert "the size of P1 was changed" in lapse


def test_a_size_change_below_takes_back_no_release_but_those_it_names(tmp_path: Path) -> None:
    first, second = unpoured_with_release_above(tmp_path)
    (cancel,) = first.desk.cancels(sized(first, thickness=Decimal(175)))
    others = (evolve(cancel, hold="surface"), evolve(cancel, mark="P9"))
    revise(first, *others, thickness=Decimal(175))
    assert hold(second).lapse is None


def test_no_size_is_changed_below_a_poured_panel(tmp_path: Path) -> None:
    """As where the pour of the panel below was taken back after this one was poured on it."""
    first, second = unpoured_with_release_above(tmp_path)
    poured(second)
    refused = first.desk.resize("A", 1, width=Decimal(2900))
    assert isinstance(refused, Refusal)
    assert refused.title == "P1 cannot change size: P2 above it is poured."
    assert hold(second).state == "released"


def test_one_release_of_several_that_a_size_change_names_is_enough(tmp_path: Path) -> None:
    first, second = unpoured_with_release_above(tmp_path)
    (cancel,) = first.desk.cancels(sized(first, thickness=Decimal(175)))
    revise(first, evolve(cancel, hold="surface"), cancel, thickness=Decimal(175))
    assert hold(second).lapse is not None


@pytest.mark.parametrize("cancels", [None, "drawing", 7, ["drawing"], [["P2", "drawing"]]])
def test_a_list_of_cancelled_releases_that_cannot_be_read_cancels_none(
    tmp_path: Path, cancels: object
) -> None:
    first, second = unpoured_with_release_above(tmp_path)
    act = acts.revise(
        first.desk.job, sized(first, thickness=Decimal(175)), (), "drawing rev C", FOREMAN
    )
    assert isinstance(act, Act)
    first.do(evolve(act, data=act.data | {"cancels": cancels}))
    assert hold(second).lapse is None


def test_a_passing_is_taken_back_by_a_size_changed_there_and_back(tmp_path: Path) -> None:
    two = on_second(tmp_path)
    two.do(acts.pass_unreleased(two.walk, "drawing", "rain", FOREMAN))
    assert hold(two).state == "passed"
    revise(two, width=Decimal(2800))
    revise(two, width=Decimal(3000))
    assert hold(two).state == "open"


def poured(one: Crew) -> None:
    """Record the start of a pour as another station did."""
    panel = one.walk.setout.panel
    size = {name: str(getattr(panel, name)) for name in ("width", "height", "thickness", "align")}
    data = {"panel": one.walk.mark, **size}
    one.do(Act(kind="pour-start", by=FOREMAN, data=data, says=""))


@pytest.mark.parametrize("kind", ["released", "passed"])
def test_what_let_the_pour_begin_is_history_and_stands(tmp_path: Path, kind: str) -> None:
    """Whatever the plan says afterwards. The same plan before the pour takes it back."""
    one = crew(tmp_path)
    if kind == "released":
        release(one, "drawing")
    else:
        one.do(acts.pass_unreleased(one.walk, "drawing", "rain", FOREMAN))
    later = JOB.replace('rev = "B"', 'rev = "C"')
    one.desk.close()
    changed = Crew(open_desk(tmp_path, later, one.clock), one.clock)
    assert hold(changed).state == ("void" if kind == "released" else "open")
    changed.desk.close()
    one = Crew(open_desk(tmp_path, JOB, one.clock), one.clock)
    poured(one)
    one.desk.close()
    changed = Crew(open_desk(tmp_path, later, one.clock), one.clock)
    assert (hold(changed).state, hold(changed).lapse) == (kind, None)


def test_a_release_written_after_the_pour_began_is_judged_as_any_other(tmp_path: Path) -> None:
    one = crew(tmp_path)
    poured(one)
    data = {"panel": "P1", "hold": "drawing", "role": "", "seen": "looked", "covers": "ab"}
    one.do(Act(kind="release", by=CHECKER, data=data, says=""))
    assert hold(one).state == "void"


def test_a_release_by_who_said_that_an_item_does_not_apply_does_not_stand(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.do(acts.not_applicable(one.walk, "drawing.base-end", "none here", CHECKER))
    release(one, "drawing")
    assert hold(one).lapse == f"{CHECKER} did the work it covers; somebody else must release it"


def test_an_answer_that_is_undone_elsewhere_leaves_the_release_with_an_open_item(
    tmp_path: Path,
) -> None:
    one = crew(tmp_path)
    one.pass_section("drawing")
    last = one.walk.record.answers["drawing.face-up"][-1]
    one.do(acts.release(one.walk, "drawing", CHECKER, "", "looked"))
    data = {"station": last.station, "n": last.n, "why": "wrong panel"}
    one.do(Act(kind="undo", by=FOREMAN, data=data, says=""))
    assert hold(one).state == "void"
    assert hold(one).lapse == f"open since: “{one.item('drawing.face-up').prompt}”"


def test_what_was_openly_put_off_is_not_named_as_answered_again(tmp_path: Path) -> None:
    one = crew(tmp_path)
    one.do(acts.defer(one.walk, "drawing.face-up", "fog", HAND, "surface", FOREMAN))
    one.end_section("drawing")
    one.pass_item("drawing.face-up")
    one.answer("drawing.mirrored", "mirrored left to right", why="read again")
    lapse = hold(one).lapse
    assert lapse == f"answered again since: “{one.item('drawing.mirrored').prompt}”"


def test_what_a_hold_says_to_what_it_locks(tmp_path: Path) -> None:
    """First what is missing, then that somebody must look, and of a void release why it is void."""
    one = crew(tmp_path)

    def lock() -> str:
        found = one.item("strip.agent").locked_by
        assert found is not None
        assert found.title == "Locked by the hold “Drawings and plan” in section 1."
        return found.body

    assert lock().startswith("Still missing: ")
    one.pass_section("drawing")
    assert lock() == "A second person must look and release it."
    one.do(acts.release(one.walk, "drawing", CHECKER, "", "looked"))
    one.answer("drawing.mirrored", "mirrored left to right", why="read again")
    assert lock() == (
        f"Its release is void: {hold(one).lapse}. A second person must release it again."
    )
