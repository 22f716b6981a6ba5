"""Check that the record has all that is known of what is out of tolerance, and how it was settled."""

import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from pourdeck.paper.record import record_bytes
from pourdeck.paper.record_files import build_records, keep_record
from pourdeck.walk import acts
from pourdeck.walk.ascast import as_cast
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    WITH_ENGINEER,
    Clock,
    Crew,
    on_second,
    open_desk,
)

WIDTH = "close.width/base"


@pytest.fixture
def one(tmp_path: Path) -> Crew:
    two = on_second(tmp_path, WITH_ENGINEER)
    return Crew(two.desk, two.clock)


def measure(one: Crew, **sizes: str) -> Any:
    values = {key: Decimal(value) for key, value in sizes.items()}
    return one.do(as_cast(one.walk, values, FOREMAN, "taped again"))


def rows(one: Crew) -> list[dict[str, Any]]:
    record = tomllib.loads(record_bytes(one.walk).decode("utf-8"))
    found: list[dict[str, Any]] = record.get("nonconformance", [])
    return found


def test_it_holds_all_that_is_known_of_it(one: Crew):
    """Number, element, requirement with its source, what was found, disposition and close-out: an NCR."""
    found = measure(one, width_base="3012")
    said = one.do(acts.dispose(one.walk, WIDTH, "repair", "grind the base", CHECKER))
    looked = one.do(acts.close_nonconformance(one.walk, said.station, said.n, "ground", FOREMAN))
    (row,) = rows(one)
    assert row == {
        "number": f"shed {found.n}", "panel": "P1", "what": "width, base side",
        "keys": "width_base", "found": 3012, "found_by": FOREMAN, "at": found.at,
        "expected": 3000, "least": 2995, "most": 3005, "over": 7, "unit": "mm",
        "source": "trial spec, table 1", "state": "closed, repaired",
        "disposition": "repair", "disposition_by": CHECKER, "role": "supervisor",
        "disposition_at": said.at, "reason": "grind the base",
        "disposition_entry": f"shed {said.n}",
        "disposition_word": f"{CHECKER}, supervisor, here", "looked_at_word": f"{FOREMAN}, foreman, here",
        "looked_at_by": FOREMAN, "looked_at_at": looked.at, "action": "ground",
        "looked_at_entry": f"shed {looked.n}", "settled": f"repair looked at by {FOREMAN}",
    }  # fmt: skip


def test_of_two_diagonals_both_are_there(one: Crew):
    measure(one, diagonal_bl_hr="4243", diagonal_br_hl="4252")
    (row,) = rows(one)
    assert (row["found"], row["most"], row["over"]) == (9, 8, 1)
    assert (row["diagonal_bl_hr"], row["diagonal_br_hl"]) == (4243, 4252)
    assert (row["state"], row["settled"]) == ("open, no disposition", "not yet")
    assert "least" not in row
    assert "disposition" not in row


def test_a_value_measured_again_keeps_both(one: Crew):
    measure(one, width_base="3012")
    one.do(acts.dispose(one.walk, WIDTH, "rework", "form had moved", CHECKER))
    measure(one, width_base="3009")
    then = measure(one, width_base="3001")
    first, second = rows(one)
    assert (first["found"], first["disposition"], first["measured_again"]) == (3012, "rework", 3009)
    assert first["settled"] == "measured again, out again"
    assert (second["found"], second["measured_again"]) == (3009, 3001)
    assert (second["settled"], second["again_entry"]) == (
        "measured again, in the band", f"shed {then.n}",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("what", "by", "state", "settled"),
    [
        ("rework", CHECKER, "open, rework", "not yet"),
        ("repair", CHECKER, "open, repair", "not yet"),
        ("use-as-is", ENGINEER, "closed, used as is", f"used as is by {ENGINEER}"),
        ("reject", ENGINEER, "rejected, held for good", "never: the panel is rejected"),
    ],
)
def test_each_disposition_says_how_it_stands(
    one: Crew, what: str, by: str, state: str, settled: str
):
    measure(one, width_base="3012")
    one.do(acts.dispose(one.walk, WIDTH, what, "a word", by))
    (row,) = rows(one)
    assert (row["state"], row["settled"]) == (state, settled)
    record = tomllib.loads(record_bytes(one.walk).decode("utf-8"))
    assert record["summary"]["nonconformances"] == 1
    assert record["summary"]["nonconformances_closed"] == int(what == "use-as-is")
    assert record["summary"].get("rejected", False) is (what == "reject")


def test_the_record_follows_and_is_built_again_byte_for_byte(one: Crew, tmp_path: Path):
    measure(one, width_base="3012")
    entry = one.do(acts.dispose(one.walk, WIDTH, "use-as-is", "joint takes it", ENGINEER))
    assert keep_record(one.desk, entry) is None
    path = one.desk.job.folder / "record" / "A-1-P1.toml"
    written = path.read_bytes()
    record = tomllib.loads(written.decode("utf-8"))
    assert record["rests_on"]["entry"] == entry.n
    assert record["rests_on"]["seal"] == entry.seal
    path.unlink()
    one.desk.close()
    desk = open_desk(tmp_path, WITH_ENGINEER, Clock(one.clock.at))
    assert [one.name for one in build_records(desk)] == ["A-1-P1.toml"]
    assert path.read_bytes() == written
    desk.close()
