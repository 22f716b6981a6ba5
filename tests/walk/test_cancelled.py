"""Size changes against releases where two stations know different things, or a pour was taken back."""

from decimal import Decimal
from pathlib import Path

from attrs import evolve

from pourdeck.plan.refusal import Refusal
from pourdeck.setout.resize import Resize
from pourdeck.walk import acts
from pourdeck.walk.records import Act, HoldView
from tests.walk.kit import CHECKER, FOREMAN, Crew, crew, on_second


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
    one.do(acts.revise(sized(one, **size), cancels, "drawing rev C", FOREMAN))


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


def test_releases_of_a_panel_that_is_poured_are_history_and_not_cancelled(tmp_path: Path) -> None:
    """As where the pour of the panel below was taken back after this one was poured on it."""
    first, second = unpoured_with_release_above(tmp_path)
    panel = second.walk.setout.panel
    size = {name: str(getattr(panel, name)) for name in ("width", "height", "thickness", "align")}
    second.do(Act(kind="pour-start", by=FOREMAN, data={"panel": "P2", **size}, says=""))
    assert hold(second).state == "released"
    assert first.desk.cancels(sized(first, width=Decimal(2900))) == ()
