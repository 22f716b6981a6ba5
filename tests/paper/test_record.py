"""The record of a finished panel: what it says, that it reads well, and that it can be built again."""

import tomllib
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve

from pourdeck.example import example_folder
from pourdeck.paper.record import record_bytes, record_document, record_name, write_record
from pourdeck.paper.record_checks import checks
from pourdeck.paper.record_files import build_records, keep_record
from pourdeck.paper.record_values import height
from pourdeck.plan.lengths import format_rl
from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts
from pourdeck.walk.desk import Desk
from pourdeck.walk.records import Walk
from tests.sitelog.kit import FakeDisk, fail
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    HAND,
    JOB,
    WITH_ENGINEER,
    Clock,
    Crew,
    complete,
    crew,
    open_desk,
)


def read(walk: Walk) -> dict[str, Any]:
    return tomllib.loads(record_bytes(walk).decode("utf-8"))


def eventful(folder: Path) -> Crew:
    """A panel with everything that can happen to one, closed at the end."""
    one = crew(folder, WITH_ENGINEER)
    change = one.desk.resize("A", 1, width=Decimal(2990))
    assert not isinstance(change, Refusal)
    one.do(one.desk.revise(change, by=ENGINEER, reason="drawing rev C"))
    one.go_to("forms")
    one.do(acts.note(one.walk, "forms.from-line/head", "string line borrowed", HAND))
    one.answer("forms.from-line/head", "3009")
    one.answer("forms.from-line/head", "3000", why="form pushed home")
    one.pass_section("forms")
    one.do(acts.pass_unreleased(one.walk, "set-out", "surveyor held up", FOREMAN))
    passed = one.walk.nonconformances[0].entry
    one.do(acts.close_nonconformance(one.walk, passed.station, passed.n, "taped again", CHECKER))
    one.go_to("pour")
    for key in one.open_items("pour"):
        if key == "pour.samples":
            break
        one.pass_item(key)
    one.do(acts.not_applicable(one.walk, "pour.samples", "taken with the next panel", FOREMAN))
    one.end_section("pour")
    one.end_section("finish")
    one.answer("close.width/base", "2999")
    one.do(acts.dispose(one.walk, "close.width/base", "use-as-is", "joint takes it", ENGINEER))
    one.do(
        acts.defer(one.walk, "close.defects", "bow at the head, grind", HAND, acts.LIFT, FOREMAN)
    )
    one.pass_section("close")
    one.do(complete(one.walk, "close", CHECKER))
    assert one.walk.panel_state == "cast"
    return one


@pytest.fixture(scope="module")
def walk(tmp_path_factory: pytest.TempPathFactory) -> Walk:
    one = eventful(tmp_path_factory.mktemp("eventful"))
    one.desk.close()
    return one.walk


@pytest.fixture(scope="module")
def record(walk: Walk) -> dict[str, Any]:
    return read(walk)


def test_what_the_office_asks_for_first_stands_first(record: dict[str, Any]):
    assert list(record) == [
        "format", "panel", "summary", "pour", "as_cast", "release", "nonconformance", "odd", "failed",
        "deferred", "not_applicable", "answered_again", "size_change", "note", "lifting", "levels",
        "section", "setout", "rests_on", "walk",
    ]  # fmt: skip


def test_the_panel_is_named_with_its_size_and_who_closed_it(record: dict[str, Any]):
    panel = record["panel"]
    assert (panel["job"], panel["number"], panel["stack"]) == ("Trial yard", "TY-1", "A")
    assert (panel["panel"], panel["of"], panel["mark"], panel["rev"]) == (1, 2, "P1", "B")
    assert (panel["width"], panel["height"], panel["thickness"]) == (2990, 3000, 150)
    assert (panel["state"], panel["mirrored"], panel["closed_by"]) == ("cast", False, CHECKER)
    assert panel["closed_at"].tzinfo is not None


def test_the_summary_counts_failures_that_were_settled(record: dict[str, Any]):
    summary = record["summary"]
    assert summary["answered"] == summary["items"]
    assert (summary["failed"], summary["deferred"], summary["nonconformances"]) == (1, 1, 2)
    assert summary["nonconformances_closed"] == 2


def test_sizes_stand_beside_what_they_were_to_be(record: dict[str, Any]):
    rows = {row["what"]: row for row in record["as_cast"]["measured"]}
    assert rows["width_base"] == {
        "what": "width_base", "found": 2999, "expected": 2990, "verdict": "fail",
    }  # fmt: skip
    assert rows["height_left"] == {
        "what": "height_left", "found": 3000, "expected": 3000, "verdict": "pass",
    }  # fmt: skip
    assert rows["rl_bl"]["found"] == pytest.approx(101)


def test_releases_have_names_roles_times_and_what_was_seen(record: dict[str, Any]):
    released = [one for one in record["release"] if one["state"] == "released"]
    assert {(one["by"], one["role"]) for one in released} == {(CHECKER, "supervisor")}
    assert all(one["seen"] == "walked round it" and one["at"].tzinfo for one in released)
    (passed,) = [one for one in record["release"] if one["state"] == "passed without release"]
    assert (passed["by"], passed["reason"]) == (FOREMAN, "surveyor held up")
    assert passed["nonconformance"] == f"closed by {CHECKER}"


def test_a_nonconformance_says_how_it_was_closed(record: dict[str, Any]):
    one, _ = record["nonconformance"]
    assert (one["reason"], one["by"]) == ("surveyor held up", FOREMAN)
    assert (one["state"], one["closed_by"], one["action"]) == ("closed", CHECKER, "taped again")


def test_a_nonconformance_that_is_not_closed_says_so_wherever_it_stands(tmp_path: Path):
    one = crew(tmp_path)
    one.do(acts.pass_unreleased(one.walk, "drawing", "drawing in the office", FOREMAN))
    record = read(one.walk)
    (found,), (hold,) = record["nonconformance"], record["release"]
    assert (found["state"], hold["nonconformance"]) == ("not closed", "not closed")
    assert record["summary"]["nonconformances_closed"] == 0


def test_what_failed_was_put_off_left_or_done_again_stands_by_itself(record: dict[str, Any]):
    (failed,) = record["failed"]
    assert (failed["where"], failed["found"], failed["expected"]) == ("base side", 2999, 2990)
    assert (failed["verdict"], failed["least"], failed["most"]) == ("fail", 2985, 2995)
    assert failed["source"] == "trial spec, table 1"
    assert failed["disposition"] == "use-as-is"
    assert "follow_up" not in failed, "no follow-up settles what is out of tolerance"
    (deferred,) = record["deferred"]
    assert (deferred["owner"], deferred["before"]) == (HAND, "lift")
    assert deferred["settled"] == "not yet"
    (left,) = record["not_applicable"]
    assert (left["reason"], left["by"]) == ("taken with the next panel", FOREMAN)
    (again,) = record["answered_again"]
    assert (again["first"], again["then"], again["unit"]) == (3009, 3000, "mm")
    assert (again["first_verdict"], again["then_verdict"]) == ("fail", "pass")
    assert (again["expected"], again["least"], again["most"]) == (3000, 2995, 3005)
    assert (again["source"], again["first_by"]) == ("trial spec, table 1", FOREMAN)
    assert (again["why"], again["by"]) == ("form pushed home", FOREMAN)
    assert record["summary"]["failed_then_put_right"] == 1
    (change,) = record["size_change"]
    assert change["before"] == "3000 × 3000 × 150 mm, base-left"
    assert change["after"] == "2990 × 3000 × 150 mm, base-left"
    (note,) = record["note"]
    assert (note["text"], note["by"]) == ("string line borrowed", HAND)
    assert note["about"].startswith("head side ")


def test_every_answer_is_there_with_its_name(walk: Walk, record: dict[str, Any]):
    checks = [check for section in record["section"] for check in section["check"]]
    answers = sum(len(check.get("answers", [None])) for check in checks)
    assert answers == len(walk.items()) == walk.total
    assert all(check["by"] for check in checks)
    assert all(check.get("verdict") or check["state"] for check in checks)


def test_answers_that_share_all_but_place_and_value_are_lines_of_one_check(record: dict[str, Any]):
    (forms,) = [one for one in record["section"] if one["name"] == "Edge forms"]
    line = next(one for one in forms["check"] if one["asked"] == "Stretch a line along the form")
    assert [answer["where"] for answer in line["answers"]] == [
        "base side", "right side", "head side", "left side"
    ]  # fmt: skip
    assert (line["by"], line["verdict"], line["on"]) == (FOREMAN, "pass", date(2026, 3, 2))
    assert all(isinstance(answer["at"], time) for answer in line["answers"])


def test_an_answer_that_is_out_of_the_ordinary_stands_alone(record: dict[str, Any]):
    (close,) = [one for one in record["section"] if one["name"] == "As-cast and close"]
    widths = [one for one in close["check"] if one["asked"].startswith("Measure the width")]
    assert [one.get("where") for one in widths] == ["base side", "head side"]
    assert widths[0]["verdict"] == "fail"
    assert widths[0]["disposition"] == "use-as-is"


def test_limits_stand_with_their_source(record: dict[str, Any]):
    (close,) = [one for one in record["section"] if one["name"] == "As-cast and close"]
    height = next(one for one in close["check"] if one["asked"].startswith("Measure the height"))
    assert (height["expected"], height["plus"], height["minus"]) == (3000, 8, 8)
    assert height["source"] == "trial spec, table 1"


def test_the_set_out_is_whole(record: dict[str, Any]):
    """Diagonal of 2990 × 3000 at the face line, and less twice the chamfer of 15."""
    found = record["setout"]
    assert found["diagonal_face"] == pytest.approx((2990**2 + 3000**2) ** 0.5, abs=0.005)
    assert found["diagonal_arris"] == pytest.approx((2960**2 + 2970**2) ** 0.5, abs=0.005)
    assert (found["rl_below"], found["rl_top"]) == (100.85, 101.0)
    assert found["sides"][0] == {"side": "base", "length": 2990}
    assert found["forms"][0] == {"side": "base", "pieces": "1000, 1000, 1000", "overrun": 10}
    assert found["anchors"][0] == {"side": "base", "holes": "500, 1500, 2500"}


def test_brackets_are_a_line_each():
    desk = open_example()
    found = read(desk.walk("B", 3))["setout"]
    assert found["brackets"][0] == {
        "no": "B1", "at": 425, "anchor": 500, "offset": 1.4, "planned": 0, "bolt": "outer",
    }  # fmt: skip
    assert len(found["brackets"]) == 22


def open_example() -> Desk:
    return Desk.open(
        example_folder(),
        station="shed",
        clock=lambda: datetime(2027, 1, 1, tzinfo=UTC),
        state_folder=Path(),
        read_only=True,
    )


def test_it_rests_on_the_last_entry_about_the_panel(walk: Walk, record: dict[str, Any]):
    last = walk.record.entries[-1]
    assert record["rests_on"] == {
        "station": "shed", "entry": last.n, "at": last.at, "seal": last.seal,
    }  # fmt: skip


def test_it_reads_well_in_an_editor(walk: Walk):
    """No line of lists that wraps at a hundred columns, no empty values, no list over many lines."""
    for one in (walk, *(open_example().walk("B", number) for number in (1, 2, 3, 4))):
        lines = record_bytes(one).decode("utf-8").splitlines()
        sentences = ("message = ", "words = ")
        assert [one for one in lines if len(one) > 100 and not one.startswith(sentences)] == []
        assert [line for line in lines if line.endswith((" []", " {}", ' ""'))] == []
        inside = [line for line in lines if line.startswith(" ")]
        assert all(line.startswith("  { ") and line.endswith(" },") for line in inside)
        assert not [line for line in lines if line.startswith("[[section.check.answers")]


def test_numbers_are_whole_where_they_are_and_never_with_an_exponent(walk: Walk):
    for one in (walk, open_example().walk("A", 2)):
        text = record_bytes(one).decode("utf-8")
        for line in text.splitlines():
            _, equals, value = line.partition(" = ")
            if equals and value[0].isdigit():
                assert "e" not in value.lower()
                assert not value.endswith(".0")


def test_nothing_is_left_out_of_a_job_in_feet_and_inches(tmp_path: Path):
    """Lengths stay mm and heights m, whatever the crew reads."""
    one = crew(tmp_path, JOB.replace('number = "TY-1"', 'number = "TY-1"\nunits = "imperial"'))
    found = read(one.walk)
    assert found["panel"]["width"] == 3000
    assert found["setout"]["rl_below"] == 100.85


def test_a_panel_that_is_not_begun_has_a_record_too(tmp_path: Path):
    found = read(crew(tmp_path).walk)
    assert found["panel"]["state"] == "ready"
    assert "rests_on" not in found
    assert "pour" not in found


def test_the_same_bytes_come_out_of_the_same_plan_and_log(tmp_path: Path):
    one = eventful(tmp_path)
    first = record_bytes(one.walk)
    one.desk.close()
    for late in (timedelta(0), timedelta(days=400)):
        again = open_desk(tmp_path, clock=Clock(one.clock.at + late), read_only=True)
        assert record_bytes(again.walk("A", 1)) == first


def test_records_are_built_again_when_they_are_lost(tmp_path: Path):
    one = eventful(tmp_path)
    path = write_record(one.walk)
    written = path.read_bytes()
    path.unlink()
    path.parent.rmdir()
    assert [one.name for one in build_records(one.desk)] == ["A-1-P1.toml"]
    assert path.read_bytes() == written


def test_a_record_follows_what_is_said_of_its_panel_later(tmp_path: Path):
    one = eventful(tmp_path)
    path = write_record(one.walk)
    entry = one.do(acts.answer(one.walk, "close.defects", "none", FOREMAN, one.clock.at))
    assert keep_record(one.desk, entry) is None
    found = tomllib.loads(path.read_text(encoding="utf-8"))
    (deferred,) = found["deferred"]
    assert (deferred["reason"], deferred["owner"]) == ("bow at the head, grind", HAND)
    assert (deferred["settled"], deferred["found"]) == ("answered", "none")
    assert (deferred["verdict"], deferred["settled_by"]) == ("pass", FOREMAN)
    assert deferred["settled_at"] == entry.at
    assert deferred["entry"] == f"shed {entry.n}"
    assert found["summary"]["deferred"] == 0
    assert found["rests_on"]["entry"] == entry.n


def test_what_was_put_off_twice_or_does_not_apply_after_all_says_how_it_ended(tmp_path: Path):
    one = crew(tmp_path)
    key = next(iter(one.open_items("drawing")))
    for reason in ("no drawing here", "still none"):
        one.do(acts.defer(one.walk, key, reason, HAND, "drawing", FOREMAN))
    one.do(acts.not_applicable(one.walk, key, "no mark on it", FOREMAN))
    first, second = read(one.walk)["deferred"]
    assert (first["reason"], first["settled"], first["why"]) == (
        "no drawing here", "put off again", "still none",
    )  # fmt: skip
    assert (second["settled"], second["why"]) == ("not applicable", "no mark on it")


def test_a_size_that_was_accepted_before_it_was_measured_again_says_both(tmp_path: Path):
    one = eventful(tmp_path)
    one.answer("close.width/base", "2991", why="chamfer strip was in the tape's way")
    record = read(one.walk)
    assert "failed" not in record
    again = next(one for one in record["answered_again"] if one["where"] == "width_base")
    assert (again["first"], again["first_verdict"], again["most"]) == (2999, "fail", 2995)
    _, out = record["nonconformance"]
    assert (out["disposition"], out["disposition_by"]) == ("use-as-is", ENGINEER)
    assert (out["found"], out["measured_again"]) == (2999, 2991)
    assert out["settled"] == "measured again, in the band"
    assert (again["then"], again["then_verdict"]) == (2991, "pass")
    assert again["why"] == "chamfer strip was in the tape's way"


def test_entries_are_named_by_station_and_number(walk: Walk):
    asked = "Stretch a line along the form"
    four = [item for item in walk.items() if item.prompt == asked]
    numbers = [item.entry.n for item in four if item.entry]
    (check,) = checks(four)
    assert check["entries"] == f"shed {numbers[0]} to {numbers[3]}"
    north = [
        evolve(item, entry=evolve(item.entry, station="north", n=7)) if item.entry else item
        for item in four[:1]
    ]
    (check,) = checks([*north, *four[1:]])
    assert check["entries"] == f"north 7, shed {numbers[1]} to {numbers[3]}"


@pytest.mark.parametrize("metres", ["43.15425", "43.15435", "43.0048", "42.9994999", "43"])
def test_a_height_is_rounded_as_on_every_page(metres: str):
    assert f"{height(Decimal(metres))} m" == format_rl(Decimal(metres), "metric")


def test_no_record_is_kept_of_a_panel_in_work(tmp_path: Path):
    one = crew(tmp_path)
    entry = one.pass_item("drawing.mark")
    assert keep_record(one.desk, entry) is None
    assert not (tmp_path / "job" / "record").exists()


def test_a_record_is_whole_or_as_it_was(tmp_path: Path):
    one = eventful(tmp_path)
    path = write_record(one.walk)
    before = path.read_bytes()
    one.do(acts.note(one.walk, None, "one more", FOREMAN))
    for call in ("create", "write", "fsync", "replace"):
        disk = FakeDisk()
        disk.before[call] = fail(OSError(28, "No space left on device"))
        with pytest.raises(OSError, match="No space"):
            write_record(one.walk, disk=disk)
        assert path.read_bytes() == before, call
        assert [found.name for found in path.parent.iterdir()] == [path.name], call
    write_record(one.walk)
    assert path.read_bytes() != before


def test_no_two_panels_share_a_file():
    walks = [open_example().walk("A", number) for number in range(1, 7)]
    names = [record_name(walk) for walk in walks]
    assert names == [f"A-{n}-{walk.mark}.toml" for n, walk in enumerate(walks, 1)]


def test_what_is_kept_is_plain_data(walk: Walk):
    def plain(value: object) -> bool:
        if isinstance(value, dict):
            return all(map(plain, value)) and all(map(plain, value.values()))
        if isinstance(value, list):
            return all(map(plain, value))
        return isinstance(value, str | int | bool | Decimal | datetime | date | time)

    assert plain(record_document(walk))


def test_the_level_book_is_in_the_record(record: dict[str, Any]):
    """Benchmark 100.000 and a backsight that the crew of the tests reads as 1.5: HI 101.500."""
    levels = record["levels"]
    assert (levels["benchmark"], levels["benchmark_rl"]) == ("TBM", 100)
    first = levels["reading"][0]
    assert (first["setup"], first["sight"], first["point"]) == (1, "backsight", "TBM")
    assert levels["run"] == [
        {
            "setups": "1",
            "backsights": first["reading"],
            "foresights": first["reading"],
            "misclose": 0,
        }
    ]
    tops = [one for one in levels["reading"] if one["point"].startswith("form top")]
    assert [one["rl"] for one in tops] == [101] * 4
    differ = {one["corner"]: one["difference"] for one in levels["corner"]}
    assert differ == dict.fromkeys(("bl", "br", "hr", "hl"), 0)
