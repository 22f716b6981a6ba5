"""The documents that `--json` prints: every key that other programs were promised, with its type and unit."""

from pathlib import Path
from typing import Any

import pytest

from pourdeck.example import IMPERIAL, METRIC, example_folder
from tests.commands.kit import Command, misses, one_panel_cast

NUMBER = int | float
SIDES = ("base", "right", "head", "left")


def by_side(kind: Any) -> dict[str, Any]:
    return dict.fromkeys(SIDES, kind)


FINDING = {"code": str, "severity": str, "where": dict, "message": str}
FINDINGS = [FINDING]
SIZE = {"width": float, "height": float, "thickness": float}
SEAT = {"offsets": dict, "bolts": dict}

CHECK = {"job": str, "findings": FINDINGS}

SETOUT = {
    "job": str, "stack": str, "panel": int, "of": int, "mark": str, "rev": str,
    "width": float, "height": float, "thickness": float, "form_depth": float, "mirrored": bool,
    "position": [float],
    "offsets": dict,
    "bolts": dict,
    "diagonal": {"face": float, "arris": float},
    "rl": {"below": float, "top": float},
    "brackets": by_side(
        [{"at": float, "anchor": float, "extra": bool, "offset": float, "bolt": str}]
    ),
    "anchors": by_side([float]),
    "extra_anchors": by_side([float]),
    "runs": by_side({"pieces": [NUMBER], "length": NUMBER, "overrun": NUMBER}),
    "fill": [{"x": float, "y": float, "width": float, "height": float, "depth": float}],
    "openings": [{"name": str, "x": float, "y": float, "width": float, "height": float}],
    "castins": [{"name": str, "kind": str}],
    "quantities": {"area": float, "volume": float, "mass": float, "centroid": [float]},
    "findings": FINDINGS,
}  # fmt: skip

SHRINK = {
    "stack": str, "panel": int, "mark": str, "before": SIZE, "after": SIZE,
    "levels": [{"panel": int, "mark": str, "before": SEAT, "after": SEAT, "findings": FINDINGS}],
    "options": [
        {"align": str, "feasible": bool, "extra_anchors": int, "moved_bolts": int,
         "largest_offset": float}
    ],
    "cancels": [{"panel": int, "mark": str, "hold": str}],
    "applied": bool,
}  # fmt: skip

BOARD = {
    "job": str,
    "stacks": [{"stack": str, "panels": [{"panel": int, "mark": str, "state": str}]}],
    "findings": FINDINGS,
}

ENTRY = {
    "station": str, "n": int, "at": str, "by": str, "kind": str, "data": dict, "prev": str,
    "seal": str,
}  # fmt: skip

LOG = {
    "stations": [{"file": str, "entries": int, "head": str, "whole": bool, "faults": list}],
    "entries": [ENTRY],
}

STATES = {"waiting", "ready", "forming", "released", "pouring", "curing", "cast", "lifted"}

EXAMPLES = [(METRIC, "A"), (IMPERIAL, "1")]


@pytest.mark.parametrize(("name", "stack"), EXAMPLES)
def test_each_command_prints_what_is_promised_of_it(name: str, stack: str, command: Command):
    folder = example_folder(name)
    for words, promise in (
        (("check", folder), CHECK),
        (("board", folder), BOARD),
        (("setout", folder, stack, "2"), SETOUT),
        (("shrink", folder, stack, "3", "--height", "5 m"), SHRINK),
        (("log", folder), LOG),
    ):
        found = command(*words, "--json")
        assert found.err == ""
        assert misses(found.document, promise) == [], words[0]


def test_every_panel_of_both_examples_has_its_set_out(command: Command):
    for name, _ in EXAMPLES:
        board = command("board", example_folder(name), "--json").document
        for stack in board["stacks"]:
            for one in stack["panels"]:
                number = one["panel"]
                words = ("setout", example_folder(name), stack["stack"], str(number), "--json")
                found = command(*words).document
                assert misses(found, SETOUT) == [], one["mark"]
                assert (found["mark"], found["panel"]) == (one["mark"], number)
                assert found["of"] == len(stack["panels"])
                assert set(found["offsets"]) == (set(SIDES) if number > 1 else set())
                assert set(found["bolts"]) == set(found["offsets"])


def test_the_first_panel_has_no_offsets_bolts_or_brackets(command: Command):
    found = command("setout", example_folder(), "A", "1", "--json").document
    assert (found["offsets"], found["bolts"]) == ({}, {})
    assert found["brackets"] == by_side([])


def test_lengths_are_mm_and_heights_m_whatever_the_job_reads(command: Command):
    """Bed and sizes as the imperial job gives them; 1 ft = 304.8 mm, NIST SP 811 (2008), B.8."""
    found = command("setout", example_folder(IMPERIAL), "1", "1", "--json").document
    assert (found["width"], found["height"]) == (7200.9, 6096.0)
    assert found["rl"]["below"] == 30.6705
    assert found["rl"]["top"] == pytest.approx(30.6705 + found["thickness"] / 1000)
    assert found["quantities"]["volume"] == pytest.approx(
        found["quantities"]["area"] * found["thickness"] / 1000, rel=0.01
    )
    assert found["quantities"]["mass"] == pytest.approx(2400 * found["quantities"]["volume"], 0.02)


def test_a_cast_in_has_its_place_from_face_line_and_arris(command: Command):
    found = command("setout", example_folder(), "A", "3", "--json").document
    faces = [one for one in found["castins"] if "x" in one]
    edges = [one for one in found["castins"] if "edge" in one]
    assert faces
    assert edges
    assert misses(faces, [{"x": float, "y": float, "x_arris": float, "y_arris": float}]) == []
    assert misses(edges, [{"edge": str, "at": float}]) == []
    assert {one["x"] - one["x_arris"] for one in faces} == {15.0}
    assert {one["y"] - one["y_arris"] for one in faces} == {15.0}


def test_lists_along_a_side_rise(command: Command):
    found = command("setout", example_folder(), "A", "4", "--json").document
    along = [*found["anchors"].values(), *found["extra_anchors"].values()]
    along += [[one["at"] for one in side] for side in found["brackets"].values()]
    assert any(along)
    assert all(positions == sorted(positions) for positions in along)


def test_numbers_are_not_rounded(command: Command):
    found = command("setout", example_folder(), "A", "3", "--json").document
    width, height = found["width"], found["height"]
    assert found["diagonal"]["face"] == (width**2 + height**2) ** 0.5


def test_a_size_change_lists_the_panel_and_all_above_and_nine_alignments(command: Command):
    found = command("shrink", example_folder(), "A", "3", "--width", "7000", "--json").document
    assert [level["panel"] for level in found["levels"]] == [3, 4, 5, 6]
    assert (found["before"]["width"], found["after"]["width"]) == (7200.0, 7000.0)
    assert found["applied"] is False
    assert sorted(option["align"] for option in found["options"]) == sorted(
        f"{up}-{across}" if (up, across) != ("centre", "centre") else "centre"
        for up in ("base", "centre", "head")
        for across in ("left", "centre", "right")
    )
    ranks = [
        (not one["feasible"], one["extra_anchors"], one["moved_bolts"], one["largest_offset"])
        for one in found["options"]
    ]
    assert ranks == sorted(ranks)


def test_a_finding_says_where_it_is(command: Command):
    found = command("shrink", example_folder(), "A", "3", "--width", "1 m", "--json").document
    findings = [one for level in found["levels"] for one in level["findings"]]
    assert {"error", "warning"} >= {one["severity"] for one in findings}
    reach = next(one for one in findings if one["code"] == "out-of-reach")
    assert reach["where"] == {"stack": "A", "panel": 3, "mark": "W07", "side": "right"}


def test_the_board_knows_the_promised_states(command: Command, tmp_path: Path):
    found = command("board", one_panel_cast(tmp_path), "--json").document
    states = [one["state"] for stack in found["stacks"] for one in stack["panels"]]
    assert states[0] == "cast"
    assert set(states) <= STATES


def test_entries_of_the_log_stand_in_order_with_their_seals(command: Command, tmp_path: Path):
    found = command("log", one_panel_cast(tmp_path), "--json").document
    (station,), entries = found["stations"], found["entries"]
    assert (station["file"], station["whole"], station["faults"]) == ("log/shed.jsonl", True, [])
    assert [one["n"] for one in entries] == list(range(1, station["entries"] + 1))
    assert entries[-1]["seal"] == station["head"]
    assert [one["prev"] for one in entries[1:]] == [one["seal"] for one in entries[:-1]]


def test_verify_leaves_the_entries_out(command: Command, tmp_path: Path):
    found = command("log", one_panel_cast(tmp_path), "--verify", "--json").document
    assert found["stations"][0]["whole"] is True
    assert found["entries"] == []
