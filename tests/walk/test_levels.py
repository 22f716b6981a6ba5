"""The level book of a panel: set-ups, change points, misclose, the finished surface, both ways to a height.

EXAM is an exam problem published with its whole level book (askfilo.com, question 3334313135393430).
TEXTBOOK is data published as question 3337383433373331 of the same place; its heights were worked out
anew, because the answer given there, 149.794, reads across a move of the instrument.
"""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.plan.messages import Refusal
from pourdeck.setout.levels import SightKind
from pourdeck.sitelog.entries import Entry
from pourdeck.walk import acts
from pourdeck.walk.level_acts import read_staff
from pourdeck.walk.level_page import LevelPage, level_faults
from pourdeck.walk.levels import BENCHMARK
from pourdeck.walk.records import Act
from tests.walk.kit import ALONE, FOREMAN, JOB, Crew, crew, on_second, refused

CORNERS = ("bl", "br", "hr", "hl")

Reading = tuple[SightKind, str, str]

EXAM: list[Reading] = [
    ("back", BENCHMARK, "2.200"), ("inter", "point/a", "1.620"), ("fore", "point/b", "0.980"),
    ("back", "point/b", "2.250"), ("inter", "point/c", "2.840"), ("fore", "point/d", "1.280"),
    ("back", "point/d", "0.600"), ("inter", "point/e", "1.960"), ("fore", "point/f", "1.450"),
]  # fmt: skip
TEXTBOOK: list[Reading] = [
    ("back", BENCHMARK, "2.228"), ("inter", "point/a", "1.606"), ("fore", "point/b", "0.988"),
    ("back", "point/b", "2.090"), ("inter", "point/c", "2.864"), ("fore", "point/d", "1.262"),
    ("back", "point/d", "0.602"), ("fore", "point/e", "1.982"),
    ("back", "point/e", "1.044"), ("fore", "point/f", "2.684"),
]  # fmt: skip


def act(
    one: Crew, kind: SightKind, point: str, typed: str, why: str = "", **more: int
) -> Act | Refusal:
    return read_staff(one.walk, kind, point, typed, FOREMAN, one.clock.at, why=why, **more)


def read(one: Crew, kind: SightKind, point: str, typed: str, why: str = "", **more: int) -> Entry:
    return one.do(act(one, kind, point, typed, why, **more))


def page(one: Crew) -> LevelPage:
    found = one.desk.levels(one.stack, one.number)
    assert found is not None
    return found


def at_heights(folder: Path, text: str = JOB) -> Crew:
    """At the level book. Benchmark 100.000; the form top must stand at 100.850 + 0.150 = 101.000."""
    one = crew(folder, text)
    one.go_to("height")
    return one


def cast_without_heights(folder: Path) -> Crew:
    """Poured, with all before its close behind it; no height of the finished surface is recorded."""
    one = crew(folder, ALONE)
    one.go_to("close")
    return one


@pytest.mark.parametrize(
    ("lines", "benchmark", "heights", "rise"),
    [
        (EXAM, "100.000", ["100.580", "101.220", "100.630", "102.190", "100.830", "101.340"], "1.340"),
        (
            TEXTBOOK, "150.250",
            ["150.872", "151.490", "150.716", "152.318", "150.938", "149.298"], "-0.952",
        ),
    ],
)  # fmt: skip
def test_a_published_book_read_on_site(
    tmp_path: Path, lines: list[Reading], benchmark: str, heights: list[str], rise: str
) -> None:
    one = at_heights(tmp_path, JOB.replace("rl = 100.000", f"rl = {benchmark}"))
    for line in lines:
        read(one, *line)
    found = page(one)
    got = [line.rl for line in found.lines if line.kind != "back" and line.reading is not None]
    assert [f"{rl:.3f}" for rl in got] == heights
    (run,) = found.runs
    assert run.rise == Decimal(rise)
    assert run.adds_up
    assert found.closes(run) is None
    # Carried back: what the benchmark should read, and 2 mm off it.
    should = found.find(f"{len(found.setups)}.fore.{BENCHMARK}")
    assert should is not None
    assert should.should is not None
    read(one, "fore", BENCHMARK, f"{should.should + Decimal('0.002')}")
    closed = page(one)
    (run,) = closed.runs
    assert run.misclose == Decimal(-2)
    assert closed.closes(run) is True


def test_each_backsight_gives_what_every_point_should_read(tmp_path: Path) -> None:
    """HI 102.200, to set 101.000 read 1.200: worked out from the first set-up of EXAM."""
    one = at_heights(tmp_path)
    (first,) = page(one).lines
    assert (first.kind, first.point, first.should) == ("back", BENCHMARK, None)
    read(one, "back", BENCHMARK, "2.200")
    should = {line.point: line.should for line in page(one).lines if line.kind != "back"}
    assert should == {
        **{f"form-top/{corner}": Decimal("1.200") for corner in CORNERS},
        **{f"below/{corner}": Decimal("1.350") for corner in CORNERS},
        BENCHMARK: Decimal("2.200"),
    }
    assert one.item("height.backsight").state == "done"


def test_brackets_are_points_of_the_book_too(tmp_path: Path) -> None:
    two = on_second(tmp_path)
    two.go_to("height")
    read(two, "back", BENCHMARK, "2.200")
    line = page(two).find("1.inter.form-top/right-2")
    assert line is not None
    assert (line.name, line.should) == ("form top at R2", Decimal("1.050"))
    entry = read(two, "inter", "form-top/right-2", "1.047")
    assert (entry.kind, entry.data["setup"]) == ("sight", 1)
    line = page(two).find("1.inter.form-top/right-2")
    assert line is not None
    assert (line.off, line.verdict) == (Decimal(3), "fail")


def test_a_corner_of_the_form_tops_answers_its_item(tmp_path: Path) -> None:
    one = at_heights(tmp_path)
    read(one, "back", BENCHMARK, "2.200")
    entry = read(one, "inter", "form-top/bl", "1.201")
    assert (entry.kind, entry.data["item"], entry.data["verdict"]) == (
        "answer", "height.staff/bl", "pass",
    )  # fmt: skip
    assert "setup" not in entry.data


def moved(one: Crew) -> None:
    """Two corners from the first set-up, the others from a second one on a change point 0.5 higher."""
    read(one, "back", BENCHMARK, "2.200")
    read(one, "inter", "form-top/bl", "1.200")
    read(one, "inter", "form-top/br", "1.201")
    read(one, "fore", "point/peg", "0.900")
    read(one, "back", "point/peg", "1.400")


def test_the_instrument_moves_within_a_panel(tmp_path: Path) -> None:
    """Peg at 102.200 − 0.900 = 101.300; HI 102.700; the form tops at 101.000 read 1.700 from there."""
    one = at_heights(tmp_path)
    moved(one)
    assert one.item("height.staff/bl").state == "done"
    assert one.item("height.staff/bl").expected == Decimal("1.200")
    assert "from set-up 2 it should read 1.700 m" in one.item("height.staff/bl").note
    item = one.item("height.staff/hr")
    assert (item.expected, item.low) == (Decimal("1.700"), Decimal("1.698"))
    assert "set-up 2" in item.note
    entry = one.answer("height.staff/hr", "1.700")
    assert (entry.data["setup"], entry.data["verdict"]) == (2, "pass")
    one.answer("height.staff/hl", "1.699")
    # The closing reading: 102.700 − 100.000 = 2.700.
    assert one.item("height.closing").expected == Decimal("2.700")
    one.answer("height.closing", "2.702")
    (run,) = page(one).runs
    assert (run.misclose, run.adds_up) == (Decimal(-2), True)
    heights = {line.point: line.rl for line in page(one).lines if line.item and line.rl}
    assert [heights[f"form-top/{corner}"] for corner in CORNERS] == [
        Decimal("101.000"), Decimal("100.999"), Decimal("101.000"), Decimal("101.001"),
    ]  # fmt: skip


def test_a_closing_reading_is_asked_again_when_the_instrument_moves_on(tmp_path: Path) -> None:
    one = at_heights(tmp_path)
    read(one, "back", BENCHMARK, "2.200")
    for corner in CORNERS:
        read(one, "inter", f"form-top/{corner}", "1.200")
    read(one, "fore", BENCHMARK, "2.200")
    assert one.item("height.closing").own_state == "done"
    read(one, "back", BENCHMARK, "1.900")
    assert one.item("height.closing").own_state == "void"
    assert one.item("height.closing").expected == Decimal("1.900")
    read(one, "fore", BENCHMARK, "1.901")
    first, second = page(one).runs
    assert (first.misclose, second.misclose) == (0, Decimal(-1))


def test_what_failed_is_read_again_from_where_the_instrument_stands(tmp_path: Path) -> None:
    one = at_heights(tmp_path)
    read(one, "back", BENCHMARK, "2.200")
    read(one, "inter", "form-top/bl", "1.215")
    read(one, "fore", "point/peg", "0.900")
    read(one, "back", "point/peg", "1.400")
    assert one.item("height.staff/bl").own_state == "failed"
    entry = one.answer("height.staff/bl", "1.701", why="form raised")
    assert (entry.data["setup"], entry.data["expected"], entry.data["verdict"]) == (
        2, "1.7", "pass",
    )  # fmt: skip
    assert one.item("height.staff/bl").state == "done"


def test_what_stands_is_put_right_in_its_own_set_up(tmp_path: Path) -> None:
    one = at_heights(tmp_path)
    moved(one)
    entry = one.answer("height.staff/br", "1.199", why="misread")
    assert "setup" not in entry.data
    assert entry.data["verdict"] == "pass"


def test_another_backsight_of_the_second_set_up_makes_its_readings_void(tmp_path: Path) -> None:
    one = at_heights(tmp_path)
    moved(one)
    one.answer("height.staff/hr", "1.700")
    read(one, "back", "point/peg", "1.410", "misread", setup=2)
    assert one.item("height.staff/hr").own_state == "void"
    assert one.item("height.staff/bl").own_state == "done"
    assert [line.setup for line in page(one).lines if line.kind == "back"] == [1, 2]


def test_a_correction_names_the_reading_it_replaces(tmp_path: Path) -> None:
    one = at_heights(tmp_path)
    read(one, "back", BENCHMARK, "2.200")
    first = read(one, "inter", "point/kerb", "1.000")
    assert "It has been read: 1.000 m" in refused(act(one, "inter", "point/kerb", "1.010")).title
    assert "recorded already" in refused(act(one, "inter", "point/kerb", "1.000", "x")).title
    second = read(one, "inter", "point/kerb", "1.010", "misread")
    assert (second.data["replaces"], second.data["why"]) == (first.n, "misread")
    assert [line.reading for line in page(one).lines if line.point == "point/kerb"] == [
        Decimal("1.010")
    ]
    one.do(acts.undo(one.desk.state, FOREMAN, "shed", "a slip"))
    assert [line.reading for line in page(one).lines if line.point == "point/kerb"] == [
        Decimal("1.000")
    ]


def test_an_inverted_staff(tmp_path: Path) -> None:
    """A soffit 1.105 above the instrument: common practice, the reading is negative."""
    one = at_heights(tmp_path)
    read(one, "back", BENCHMARK, "2.200")
    read(one, "inter", "point/soffit", "-1.105")
    line = page(one).find("1.inter.point/soffit")
    assert line is not None
    assert line.rl == Decimal("103.305")


@pytest.mark.parametrize(
    ("kind", "point", "typed", "says"),
    [
        ("inter", "point/a", "", "Nothing typed"),
        ("inter", "point/a", "1,62,0", "1,62,0"),
        ("inter", "point/a", "101.340", "Longer than any staff"),
        ("inter", "point/ ", "1.2", "No name of the point given"),
        ("inter", "point/" + "a" * 41, "1.2", "41 characters"),
        ("back", "point/nowhere", "1.2", "nowhere has not been levelled"),
        ("inter", "surface/bl", "1.2", "not set up since the pour"),
    ],
)
def test_what_cannot_be_read_is_refused_by_name(
    tmp_path: Path, kind: SightKind, point: str, typed: str, says: str
) -> None:
    one = at_heights(tmp_path)
    read(one, "back", BENCHMARK, "2.200")
    before = len(one.desk.state.entries)
    refusal = refused(act(one, kind, point, typed))
    assert says in f"{refusal.title} {refusal.body}"
    assert len(one.desk.state.entries) == before


def test_nothing_is_read_before_the_benchmark_or_before_its_section(tmp_path: Path) -> None:
    one = crew(tmp_path)
    assert "waits" in refused(act(one, "inter", "point/a", "1.2")).title or "hold" in str(
        refused(act(one, "inter", "point/a", "1.2"))
    )
    one.go_to("height")
    assert refused(act(one, "inter", "point/a", "1.2")).title == "The instrument has no height yet."
    assert refused(act(one, "back", "point/a", "1.2")).title == "No set-up yet."


def test_a_job_without_a_benchmark_says_how_to_give_one(tmp_path: Path) -> None:
    one = crew(tmp_path, JOB.replace('benchmark = { name = "TBM", rl = 100.000 }', ""))
    assert one.desk.levels("A", 1) is None
    assert "site.benchmark" in refused(act(one, "back", BENCHMARK, "1.2")).body


# After the pour.


def test_the_surface_is_levelled_from_a_new_set_up(tmp_path: Path) -> None:
    """HI 100.000 + 1.800 = 101.800; the surface at 101.000 reads 0.800, 0.798 is 2 mm high."""
    one = cast_without_heights(tmp_path)
    assert [line.key for line in page(one).lines][-1] == f"2.back.{BENCHMARK}"
    refusal = refused(act(one, "inter", "surface/bl", "0.800"))
    assert "read the staff on TBM" in refusal.body
    read(one, "back", BENCHMARK, "1.800")
    assert page(one).setups[-1].number == 2
    entry = read(one, "inter", "surface/bl", "0.798")
    assert entry.kind == "as-cast"
    assert entry.data["values"] == {"rl_bl": "101.002"}
    assert (entry.data["staff"], entry.data["setup"]) == ({"rl_bl": "0.798"}, 2)
    assert one.walk.record.measured["rl_bl"] == Decimal("101.002")
    line = page(one).find("2.inter.surface/bl")
    assert line is not None
    assert (line.off, line.verdict, line.again) == (Decimal(2), "pass", False)


def test_a_panel_is_not_closed_on_levels_that_do_not_close(tmp_path: Path) -> None:
    one = cast_without_heights(tmp_path)
    read(one, "back", BENCHMARK, "1.800")
    for corner in CORNERS:
        read(one, "inter", f"surface/{corner}", "0.800")
    one.clock.later(hours=12)
    one.pass_section("close")
    assert "set-up 2 is not closed on TBM" in refused(acts.close_panel(one.walk, FOREMAN)).body
    read(one, "fore", BENCHMARK, "1.804")
    assert "set-up 2 closes -4 mm off TBM" in refused(acts.close_panel(one.walk, FOREMAN)).body
    read(one, "fore", BENCHMARK, "1.803", "read again")
    assert level_faults(one.walk) == ()
    one.do(acts.close_panel(one.walk, FOREMAN))


def test_a_height_recorded_with_another_backsight_is_said_to_be_so(tmp_path: Path) -> None:
    one = cast_without_heights(tmp_path)
    read(one, "back", BENCHMARK, "1.800")
    read(one, "inter", "surface/bl", "0.800")
    read(one, "back", BENCHMARK, "1.810", "misread", setup=2)
    line = page(one).find("2.inter.surface/bl")
    assert line is not None
    assert line.again
    assert line.rl == Decimal("101.010")
    assert any("surface, base left" in fault for fault in level_faults(one.walk))
    read(one, "inter", "surface/bl", "0.800", "backsight put right")
    assert one.walk.record.measured["rl_bl"] == Decimal("101.010")
    assert not any("surface" in fault for fault in level_faults(one.walk))


# Both ways to a height.


def test_both_ways_to_the_form_tops_and_the_thickness_between_two_surfaces(tmp_path: Path) -> None:
    """Surface below read at 101.002 and a gauge of 149: 101.151; by staff 101.150: they differ by 1 mm."""
    two = on_second(tmp_path)
    two.go_to("height")
    read(two, "back", BENCHMARK, "2.200")
    for corner in CORNERS:
        read(two, "inter", f"form-top/{corner}", "1.050")
    read(two, "inter", "below/bl", "1.198")
    read(two, "fore", BENCHMARK, "2.200")
    two.answer("height.depth/bl", "149")
    first, second, *_ = page(two).corners
    assert first.below_from == "read before the pour"
    assert (first.form_top, first.by_gauge, first.difference) == (
        Decimal("101.150"), Decimal("101.151"), Decimal(-1),
    )  # fmt: skip
    assert second.below_from == "P1 as cast"
    assert second.difference is None
    two.go_to("close")
    read(two, "back", BENCHMARK, "2.000")
    read(two, "inter", "surface/bl", "0.849")
    assert page(two).corners[0].thickness == Decimal(149)


def test_the_next_form_tops_planned_and_expected(tmp_path: Path) -> None:
    """P2 is 150: planned 101.150; over a surface at 101.002 its tops come out at 101.152."""
    one = crew(tmp_path)
    one.go_to("close")
    read(one, "back", BENCHMARK, "1.800")
    for corner in CORNERS:
        read(one, "inter", f"surface/{corner}", "0.798")
    found = page(one)
    assert (found.next_mark, found.next_planned, found.next_expected) == (
        "P2", Decimal("101.150"), Decimal("101.152"),
    )  # fmt: skip
