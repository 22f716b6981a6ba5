"""Reading a job that is right: every value where it belongs, exactly as typed."""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.plan.reader import read_job, read_job_text
from pourdeck.plan.records import (
    Band,
    Benchmark,
    Bolt,
    CastIn,
    ClimbLimit,
    Limits,
    Mix,
    Opening,
    Person,
    Slump,
    Stock,
    Tolerance,
)
from tests.plan.jobs import FOLDER, HEAD, JOB, changed, job


def test_the_tables_become_records() -> None:
    read = job()
    assert (read.name, read.number, read.units, read.folder) == (
        "Shed by the Quarry", "J-1", "metric", FOLDER,
    )  # fmt: skip
    assert read.site.zone == "Australia/Hobart"
    assert read.people == (Person(name="Ada Rowe", role="foreman"),)
    assert read.kit.depths == (Decimal(125), Decimal(150), Decimal(175), Decimal(200))
    assert read.kit.stock[1] == Stock(length=Decimal(3000), count=12, depth=Decimal(150))
    assert read.kit.bolts[1] == Bolt(name="inner", reach=(Decimal(140), Decimal(300)))
    assert read.kit.brackets == 60
    assert read.limits.climb == ClimbLimit(strength=Decimal(10), hours=Decimal(18))
    assert read.limits.sources == {"climb": "engineer's note 14"}
    assert read.tolerance.width == (
        Band(upto=Decimal(6000), plus=Decimal(6), minus=Decimal(6)),
        Band(plus=Decimal(10), minus=Decimal(10)),
    )
    assert [[panel.mark for panel in stack.panels] for stack in read.stacks] == [
        ["W01", "W02"], ["W03"],
    ]  # fmt: skip


def test_a_panel_holds_its_openings_and_castins() -> None:
    panel = job().stacks[0].panels[0]
    assert panel.openings == (
        Opening(name="D1", x=Decimal(900), y=Decimal(0), width=Decimal(1000), height=Decimal(2100)),
    )
    assert panel.castins == (
        CastIn(name="L1", kind="lifter", x=Decimal(3000), y=Decimal(6200)),
        CastIn(name="E1", kind="lifter", edge="head", at=Decimal(1500)),
    )


def test_a_panel_takes_the_alignment_of_its_stack_unless_it_has_its_own() -> None:
    first, second = job().stacks[0].panels
    assert (first.align, second.align) == ("base-centre", "base-left")
    assert job().stacks[1].panels[0].align == "base-left"


def test_who_may_show_a_climb_and_a_strip() -> None:
    given = (
        'climb = { strength = 10, hours = 18, by = "estimate" }\n'
        "strip = { hours = 12 }\ntemperature_gap = 1.5"
    )
    limits = job(changed("climb = { strength = 10, hours = 18 }", given)).limits
    assert limits.climb == ClimbLimit(strength=Decimal(10), hours=Decimal(18), by="estimate")
    assert limits.strip == ClimbLimit(hours=Decimal(12))
    assert limits.temperature_gap == Decimal("1.5")


def test_what_is_left_out_takes_its_default() -> None:
    read = job()
    assert read.mix == Mix(order_step=Decimal("0.2"), least_load=Decimal(1))
    assert job(changed("climb = { strength = 10, hours = 18 }", "lap = 2")).limits == Limits(
        lap=Decimal(2), sources={"climb": "engineer's note 14"}
    )
    assert (read.limits.lap, read.limits.tape, read.limits.level_misclose) == (3, 1, 3)
    assert (read.limits.climb.by, read.limits.temperature_gap) == ("test", 2)
    assert read.limits.strip == ClimbLimit()
    panel = read.stacks[1].panels[0]
    assert (panel.lift, panel.rev, panel.shift) == (None, None, (0, 0))
    assert (panel.drawn_from, panel.face_up, panel.mirrored) == ("inside", "inside", False)
    assert read.tolerance.diagonals == (Band(plus=Decimal(13), minus=Decimal(0)),)
    assert job(changed("brackets = 60", "")).kit.brackets is None


def test_a_job_without_optional_tables_reads() -> None:
    for table in ("[site]", "[[person]]", "[limits]", "[tolerance]"):
        start = HEAD.index(table)
        end = HEAD.find("\n[", start)
        text = JOB.replace(HEAD[start : end if end > 0 else len(HEAD)], "")
        assert job(text).name == "Shed by the Quarry"
    read = job(JOB.replace(HEAD[HEAD.index("[limits]") :], ""))
    assert (read.limits, read.tolerance) == (Limits(), Tolerance())


def test_every_table_is_read_in_full() -> None:
    text = (
        JOB
        + """
[mix]
name = "N40/20"
strength = 40
cement = "N"
density = 2400
slump = { target = 80, plus = 15, minus = 15 }
truck = 6.0
waste = 0.04
discharge_minutes = 90
order_step = 0.2
least_load = 1.0

[[step]]
section = "forms"
id = "seal"
prompt = "Joints sealed"
answer = "measure"
unit = "mm"
expected = 5.5
plus = 1
minus = 0.5
source = "note 3"
second = true

[[step]]
drop = "surface.bead"
reason = "another agent is used"
"""
    )
    read = job(text.replace("[site]", '[site]\nbenchmark = { name = "TBM 1", rl = 42.180 }'))
    assert read.site.benchmark == Benchmark(name="TBM 1", rl=Decimal("42.180"))
    assert read.mix.slump == Slump(target=Decimal(80), plus=Decimal(15), minus=Decimal(15))
    assert (read.mix.cement, read.mix.waste, read.mix.truck) == ("N", Decimal("0.04"), Decimal(6))
    added, dropped = read.steps
    assert (added.section, added.answer, added.expected, added.minus, added.second) == (
        "forms", "measure", Decimal("5.5"), Decimal("0.5"), True,
    )  # fmt: skip
    assert (dropped.drop, dropped.reason) == ("surface.bead", "another agent is used")


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("7000", "7000"),
        ("7000.1", "7000.1"),
        ("7000.10", "7000.10"),
        ("7_000.1", "7000.1"),
        ("0.000001", "0.000001"),
        ("99999.999999", "99999.999999"),
        ("100000", "100000"),
        ("7000.00000000", "7000"),
        ("7.0e3", "7000"),
        ("70e2", "7000"),
        ("0x1b58", "7000"),
    ],
)
def test_a_length_is_what_was_typed_and_nothing_near_it(typed: str, text: str) -> None:
    shift = job(changed("shift = [0, 12.5]", f"shift = [{typed}, 0]")).stacks[0].panels[1].shift
    assert str(shift[0]) == text


def test_zero_has_no_sign() -> None:
    panel = job(changed("shift = [0, 12.5]", "shift = [-0.0, -12.5]")).stacks[0].panels[1]
    assert [str(value) for value in panel.shift] == ["0", "-12.5"]


@pytest.mark.parametrize(
    "mark", ["[/x] [A-1] [Foo] [", "\u202eabc", "\x1b[31m", "\u202d", "W 7", "ß"]
)
def test_a_mark_may_hold_any_character(mark: str) -> None:
    escaped = "".join(f"\\U{ord(char):08x}" for char in mark)
    assert job(changed('"W02"', f'"{escaped}"')).stacks[0].panels[1].mark == mark


def test_line_ends_and_a_byte_order_mark_make_no_difference(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(b"\xef\xbb\xbf" + JOB.replace("\n", "\r\n").encode())
    assert read_job(tmp_path) == read_job_text(JOB, tmp_path)
    assert read_job_text("\ufeff" + JOB, tmp_path) == read_job_text(JOB, tmp_path)


def test_the_folder_or_the_file_itself_may_be_given(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    assert read_job(tmp_path) == read_job(tmp_path / "job.toml")
    assert read_job(tmp_path / "job.toml").folder == tmp_path


def test_inline_tables_read_as_tables_with_headers_do() -> None:
    text = JOB.replace("[limits]\n", "").replace("climb = {", "limits.climb = {")
    text = text.replace("sources = {", "limits.sources = {")
    lines = [line for line in text.splitlines() if line.startswith("limits.")]
    for line in lines:
        text = text.replace(f"{line}\n", "")
    assert job("\n".join([*lines, text])).limits == job().limits
