"""The numbers of a pour: volume, order, placed, left, minutes against the limits, and what is wrong."""

from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from attrs import evolve

from pourdeck.plan.messages import Refusal
from pourdeck.plan.records import Units
from pourdeck.walk import acts
from pourdeck.walk.acts import answer
from pourdeck.walk.pour_acts import read_weather, turn_away
from pourdeck.walk.pour_page import counting_words, order_words, ordered, parts_read, rest_words
from pourdeck.walk.records import Act
from tests.walk.kit import FOREMAN, Crew
from tests.walk.pour_kit import POUR_JOB, at_the_pour, begun, do, page, whole


def test_volume_as_measured_between_the_forms(tmp_path: Path) -> None:
    """Rule 11 by hand: 7.206 × 8.4 × 0.1505 less the chamfers 2(w + h)c² − (8/3)c³, c = 15 mm."""
    one = at_the_pour(tmp_path)
    for key, typed in (("base", "7204"), ("head", "7208")):
        one.answer(f"forms.between/{key}", typed, why="measured again")
    for corner, typed in (("bl", "150"), ("br", "151"), ("hr", "150"), ("hl", "151")):
        one.answer(f"height.depth/{corner}", typed, why="measured again")
    got = page(one)
    width, height, thick, c = (Decimal(v) for v in ("7206", "8400", "150.5", "15"))
    by_hand = width * height * thick - 2 * (width + height) * c**2 + Decimal(8) / 3 * c**3
    assert abs(got.volume - by_hand / 10**9) < Decimal("1e-12")
    assert got.formed.measured == {
        "width": Decimal(7206), "height": Decimal(8400), "thickness": Decimal("150.5"),
    }  # fmt: skip
    assert got.formed.planned != got.volume


@pytest.mark.parametrize(("minutes", "errors"), [(60, 0), (85, 1)])
def test_a_load_whose_end_nobody_wrote_was_out_when_the_pour_ended(
    tmp_path: Path, minutes: int, errors: int
) -> None:
    """Batched 10 min before it was begun, 90 min allowed: asked a month later it is no month old.

    As where another station ended the pour, which did not know of the load.
    """
    one = begun(tmp_path)
    do(one, 1, docket="1", mix="N40/20", volume="6.0", batched="now")
    one.clock.later(minutes=10)
    do(one, 1, begun="now")
    one.clock.later(minutes=minutes)
    over = {"panel": one.walk.mark, "time": one.clock.at.isoformat()}
    one.do(Act(kind="pour-end", by=FOREMAN, data=over, says=""))
    one.clock.later(hours=24 * 30)
    (line,) = page(one).lines
    assert line.age is not None
    assert minutes + 10 <= line.age.total_seconds() / 60 < minutes + 12
    late = [one for one in page(one).findings if one.code == "discharge-late"]
    assert [found.is_error for found in late] == [True] * errors
    assert all("not written down; the pour ended" in found.message for found in late)
    on_the_list = [found for found in one.desk.findings() if found.code == "discharge-late"]
    assert len(on_the_list) == errors


def test_order_as_the_formats_say(tmp_path: Path) -> None:
    """9.072 less chamfers: × 1.04 rounded up to 0.2 m³ is 9.6, in full trucks 6.0 and 3.6."""
    got = page(begun(tmp_path))
    assert got.order == Decimal("9.6")
    assert got.planned == (Decimal(6), Decimal("3.6"))
    assert got.rest == got.planned
    assert order_words(got, "metric") == "Order 9.6 m³: 6.0 + 3.6"


def test_the_last_load_is_ordered_when_the_others_are_in(tmp_path: Path) -> None:
    one = begun(tmp_path)
    job = one.walk.job
    assert "When 1 load is placed, order the last one: 3.6 m³" in rest_words(
        page(one), job, poured=False
    )
    do(one, 1, docket="1", mix="N40/20", volume="6.0")
    do(one, 1, begun="now")
    assert "When 1 load is placed" in rest_words(page(one), job, poured=False)
    do(one, 1, ended="now")
    assert "order the last one now: 3.6 m³" in rest_words(page(one), job, poured=False)
    do(one, 2, docket="2", mix="N40/20", volume="3.6")
    got = page(one)
    assert (got.coming, got.rest) == (Decimal("3.6"), ())
    assert "what is coming fills it" in rest_words(got, job, poured=False)
    do(one, 2, begun="now")
    assert page(one).left == 0
    assert "full" in rest_words(page(one), job, poured=False)


def test_two_loads_before_the_last(tmp_path: Path) -> None:
    one = begun(tmp_path, POUR_JOB.replace("truck = 6.0", "truck = 4.0"))
    assert page(one).planned == (Decimal(4), Decimal(4), Decimal("1.6"))
    words = rest_words(page(one), one.walk.job, poured=False)
    assert words == "When 2 loads are placed, order the last one: 1.6 m³."


def test_what_was_turned_away_is_ordered_again(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="1", mix="N32/20", volume="6.0")
    one.do(turn_away(one.walk, 1, "wrong mix", FOREMAN, one.clock.at))
    got = page(one)
    assert (got.rejected, got.placed, got.rest) == (
        Decimal(6), Decimal(0), (Decimal(6), Decimal("3.6")),
    )  # fmt: skip


def test_more_than_it_takes_leaves_nothing(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1, "9.8")
    assert (page(one).left, page(one).rest) == (0, ())


def _times(one: Crew) -> str:
    return counting_words(page(one), one.walk.job)


def test_minutes_against_both_limits(tmp_path: Path) -> None:
    """90 min from batching to the end of the discharge (ASTM C94, older edition), 45 between loads."""
    one = begun(tmp_path)
    do(one, 1, docket="1", mix="N40/20", volume="6", batched="now")
    one.clock.later(minutes=47)
    assert _times(one) == "load 1: 47 of 90 min since batching"
    do(one, 1, begun="now")
    one.clock.later(minutes=13)
    do(one, 1, ended="now")
    one.clock.later(minutes=12)
    assert _times(one) == "12 of 45 min since the last load"
    do(one, 2, docket="2", mix="N40/20", volume="2", batched="now")
    one.clock.later(minutes=40)
    assert "40 of 90 min since batching" in _times(one)
    assert "52 of 45 min since the last load TOO LONG" in _times(one)


@pytest.mark.parametrize(("minutes", "late"), [(89, False), (90, False), (91, True)])
def test_the_discharge_limit_itself_passes(tmp_path: Path, minutes: int, late: bool) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="1", mix="N40/20", volume="6", batched="now")
    one.clock.later(minutes=minutes)
    waiting = [(f.code, f.severity) for f in page(one).findings]
    assert waiting == ([("discharge-late", "warning")] if late else [])
    do(one, 1, begun="now")
    do(one, 1, ended="now")
    placed = [(f.code, f.severity) for f in page(one).findings]
    assert placed == ([("discharge-late", "error")] if late else [])


@pytest.mark.parametrize(("minutes", "late"), [(44, False), (45, False), (46, True)])
def test_the_gap_limit_itself_passes(tmp_path: Path, minutes: int, late: bool) -> None:
    one = begun(tmp_path)
    whole(one, 1, minutes=5)
    one.clock.later(minutes=minutes)
    do(one, 2, docket="2", mix="N40/20", volume="3.6")
    do(one, 2, begun="now")
    found = [(f.code, f.severity) for f in page(one).findings]
    assert found == ([("load-gap", "error")] if late else [])
    assert page(one).lines[1].gap == timedelta(minutes=minutes)


def test_a_load_that_overlaps_the_one_before_leaves_no_gap(tmp_path: Path) -> None:
    """Two trucks at two chutes: the second begins before the first has ended."""
    one = begun(tmp_path)
    for number in (1, 2):
        do(one, number, docket=str(number), mix="N40/20", volume="3")
    do(one, 1, begun="now")
    one.clock.later(minutes=10)
    do(one, 2, begun="now")
    one.clock.later(minutes=60)
    do(one, 1, ended="now")
    do(one, 2, ended="now")
    one.clock.later(minutes=20)
    do(one, 3, docket="3", mix="N40/20", volume="3")
    do(one, 3, begun="now")
    assert [line.gap for line in page(one).lines][2] == timedelta(minutes=20)
    assert not [f for f in page(one).findings if f.code == "load-gap"]


@pytest.mark.parametrize(
    ("slump", "off"), [("65", None), ("95", None), ("64", "stiff"), ("96", "wet")]
)
def test_slump_against_its_band(tmp_path: Path, slump: str, off: str | None) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="1", mix="N40/20", volume="6", slump=slump)
    assert page(one).lines[0].slump_off == off
    assert [(f.code, f.severity) for f in page(one).findings] == (
        [("slump", "warning")] if off else []
    )


@pytest.mark.parametrize(
    ("temperature", "out"), [("5", False), ("35", False), ("4.9", True), ("35.1", True)]
)
def test_temperature_against_its_limits(tmp_path: Path, temperature: str, out: bool) -> None:
    """35 °C: AS 1379 as quoted in CCAA, Hot-weather concreting (2004)."""
    one = begun(tmp_path)
    do(one, 1, docket="1", mix="N40/20", volume="6", temperature=temperature)
    waiting = [(f.code, f.severity) for f in page(one).findings]
    assert waiting == ([("concrete-temperature", "warning")] if out else [])
    do(one, 1, begun="now")
    placed = [(f.code, f.severity) for f in page(one).findings]
    assert placed == ([("concrete-temperature", "error")] if out else [])


def test_what_has_no_limit_is_not_judged(tmp_path: Path) -> None:
    text = POUR_JOB
    for part in (
        "concrete_temperature = [5, 35]\n", "evaporation = { caution = 0.5, act = 1.0 }\n",
        "gap_minutes = 45\n", "slump = { target = 80, plus = 15, minus = 15 }\n",
        "discharge_minutes = 90\n",
    ):  # fmt: skip
        text = text.replace(part, "")
    one = begun(tmp_path, text)
    do(one, 1, docket="1", mix="N40/20", volume="6", batched="now", slump="250", temperature="60")
    one.clock.later(hours=5)
    do(one, 1, begun="now")
    do(one, 1, ended="now")
    one.clock.later(hours=5)
    assert page(one).findings == ()
    assert _times(one) == "300 min since the last load, no limit given"


def test_water_nobody_answers_for_and_a_load_without_volume(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="1", mix="N40/20", water="20", water_by="driver")
    do(one, 1, begun="now")
    assert [f.code for f in page(one).findings] == ["load-volume"]


def test_the_walk_is_offered_what_the_loads_say(tmp_path: Path) -> None:
    one = at_the_pour(tmp_path)
    assert one.item("pour.loads").offered is None
    one.answer("pour.start", "now")
    whole(one, 1)
    whole(one, 2, "3.6")
    assert one.item("pour.loads").offered == Decimal(2)
    assert one.item("pour.volume").offered == Decimal("9.6")
    assert "the loads come to 9.6 m³" in one.item("pour.volume").note


def test_the_order_is_offered_before_the_pour(tmp_path: Path) -> None:
    from tests.walk.kit import crew

    one = crew(tmp_path, POUR_JOB)
    one.go_to("ready")
    item = one.item("ready.ordered")
    assert item.offered == Decimal("9.6")
    assert "with 4 % waste: 9.6 m³" in item.note


def test_who_watches_the_forms(tmp_path: Path) -> None:
    assert page(begun(tmp_path)).watcher == "as seen"


def test_the_face_dries_until_it_is_cured(tmp_path: Path) -> None:
    """Poured is not covered: the warning stays until the time the curing began is written down."""
    one = begun(tmp_path)
    whole(one, 1)
    whole(one, 2)
    said = {"concrete": "24", "air": "30", "humidity": "40", "wind": "19"}
    act = read_weather(one.walk, said, "now", FOREMAN, one.clock.at)
    assert isinstance(act, Act)
    one.desk.record(act)
    one.pass_section("pour")
    one.end_section("pour")
    assert one.walk.record.pour_end is not None
    assert [finding.code for finding in page(one).findings] == ["evaporation"]
    act = answer(one.walk, "finish.cure-start", "now", FOREMAN, one.clock.at)
    assert isinstance(act, Act)
    assert act.says == f"Time the curing began {one.clock.at:%H:%M}: recorded"
    one.desk.record(act)
    assert page(one).findings == ()


def test_a_pour_does_not_end_while_a_load_goes_in(tmp_path: Path) -> None:
    one = begun(tmp_path)
    do(one, 1, docket="1", mix="N40/20", volume="6.0", batched="now", begun="now")
    for key in one.open_items("pour"):
        if key == "pour.end":
            break
        one.pass_item(key)
    refused = acts.answer(one.walk, "pour.end", "now", FOREMAN, one.clock.at)
    assert isinstance(refused, Refusal)
    assert refused.title == "The pour cannot end: load 1 is still being placed."
    ended = do(one, 1, ended="now")
    # The end of the last discharge is offered for the end of the pour.
    assert one.item("pour.end").offered == f"{ended.at:%H:%M}"
    one.answer("pour.end", "now")
    (short,) = (found for found in page(one).findings if found.code == "short-pour")
    assert "6.00 m³ on its dockets, the forms hold 9.06 m³" in short.message


def test_a_pour_that_is_full_is_not_short(tmp_path: Path) -> None:
    one = begun(tmp_path)
    whole(one, 1)
    whole(one, 2, volume="2.9")
    one.pass_section("pour")
    assert one.walk.record.pour_end is not None
    assert "short-pour" not in {found.code for found in page(one).findings}


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_loads_of_an_order_add_up_as_they_are_read(units: Units) -> None:
    """10.73 yd³ are 5.49 and 5.24, though the second alone would be rounded to 5.23."""
    order = Decimal("8.2")
    parts = (Decimal("4.2"), Decimal("4.0"))
    shown = parts_read(parts, order, units)
    assert sum(map(Decimal, shown)) == Decimal(ordered(order, units).rpartition(" ")[0])
    if units == "imperial":
        assert shown == ["5.49", "5.24"]


def test_the_last_load_is_read_as_in_its_order(tmp_path: Path) -> None:
    """In cubic yards 4.0 + 4.0 + 1.6 m³ come to 12.56: the last is 2.10 there and everywhere."""
    text = POUR_JOB.replace("truck = 6.0", "truck = 4.0")
    one = begun(tmp_path, text)
    got = page(one)
    said = order_words(got, "imperial")
    last = said.rpartition(" + ")[2]
    job = evolve(one.desk.job, units="imperial")
    assert f"order the last one: {last} yd³." in rest_words(got, job, poured=False)
