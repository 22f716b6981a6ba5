"""Each kind of entry in one line of words; what is not known, or holds other data, still has one."""

from typing import Any

import pytest

from pourdeck.paper.diary import LINES, diary_line
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PANEL_KINDS
from tests.sitelog.kit import MORNING


def entry(kind: str, data: dict[str, Any]) -> Entry:
    return Entry(
        station="shed", n=3, at=MORNING, by="A. Reed", kind=kind, data=data, prev="", seal=""
    )  # fmt: skip


SIZE = {"width": "7200", "height": "8700", "thickness": "150", "align": "base-left"}


@pytest.mark.parametrize(
    ("kind", "data", "line"),
    [
        ("start", {"format": 1, "job": "J", "station": "shed"}, "log of station shed begun"),
        (
            "answer",
            {"panel": "P", "item": "forms.offset/right-4", "value": "299.5", "unit": "mm",
             "verdict": "pass"},
            "forms.offset/right-4: 299.5 mm, pass",
        ),
        (
            "answer",
            {"item": "strip.fins", "value": "none", "unit": "", "verdict": "recorded",
             "replaces": 2, "why": "felt again"},
            "strip.fins: none (in place of no. 2: felt again)",
        ),
        (
            "defer",
            {"item": "i", "reason": "no level", "owner": "B. Cole", "before": "lift"},
            "i: no level; B. Cole, before lift",
        ),
        ("not-applicable", {"item": "i", "reason": "no load"}, "i: no load"),
        ("note", {"item": None, "text": "windy"}, "windy"),
        ("note", {"item": "i", "text": "windy"}, "i: windy"),
        ("follow-up", {"item": "i", "action": "ground off"}, "i: ground off"),
        ("complete", {"section": "brackets"}, "brackets"),
        ("release", {"hold": "pour", "role": "engineer", "seen": "all"}, "pour: engineer: all"),
        ("pass-unreleased", {"hold": "pour", "reason": "late"}, "pour: late"),
        ("close-nonconformance", {"n": 3, "action": "taped"}, "3: taped"),
        ("pour-start", {"time": "2025-11-03T06:30:00+11:00"}, "2025-11-03T06:30:00+11:00"),
        ("pour-end", {"time": "t", "volume": "8.9"}, "t, 8.9 m³ placed"),
        ("as-cast", {"values": {"width_base": "7201"}}, "width_base 7201"),
        (
            "revise",
            {"before": SIZE, "after": {**SIZE, "width": "6900"}, "reason": "rev D"},
            "7200 × 8700 × 150 base-left → 6900 × 8700 × 150 base-left: rev D",
        ),
        ("undo", {"n": 7, "why": "wrong key"}, "no. 7: wrong key"),
        ("close", {"panel": "P"}, "panel closed"),
        ("from-later", {"panel": "P", "dose": 3, "of": "retarder"}, "dose 3, of retarder"),
    ],
)  # fmt: skip
def test_a_line_for_each_kind(kind: str, data: dict[str, Any], line: str):
    assert diary_line(entry(kind, data)) == line


ODD: list[dict[str, Any]] = [
    {}, {"values": 3}, {"before": "x", "after": None}, {"values": {"a": None}}, {"item": ["x"]},
    {"n": {}, "why": [1]}, {"time": None, "volume": {}}, {"unit": 5, "verdict": []},
]  # fmt: skip


@pytest.mark.parametrize("data", ODD, ids=str)
def test_odd_data_still_gives_a_line(data: dict[str, Any]):
    for kind in {*LINES, *PANEL_KINDS, "never-seen"}:
        assert isinstance(diary_line(entry(kind, data)), str)
