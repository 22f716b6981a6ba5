"""Each kind of entry in one line of words; what is not known, or holds other data, still has one."""

from datetime import timedelta
from typing import Any

import pytest

from pourdeck.paper.diary import LINES, diary_line
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panel_state import PANEL_KINDS
from pourdeck.walk.steps import template
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
            "offsets, right side R4: 299.5 mm, pass",
        ),
        (
            "load",
            {"panel": "P", "load": 2, "values": {"docket": "D-7", "slump": "80", "volume": "3.6",
             "batched": f"{MORNING:%Y-%m-%d}T05:40:00+11:00", "water": "20", "water_by": "driver"}},
            "load 2: docket D-7, slump 80 mm, volume 3.6 m³, batched 05:40, water added 20 L, "
            "who added water driver",
        ),
        (
            "load",
            {"panel": "P", "load": 1, "values": {"rejected": "too old", "slump": None}, "why": "slip"},
            "load 1: turned away: too old, slump taken back (slip)",
        ),
        (
            "weather",
            {"panel": "P", "time": f"{MORNING:%Y-%m-%d}T05:40:00+11:00", "concrete": "21", "air": "18.5",
             "humidity": "55", "wind": "9"},
            "05:40, concrete 21 °C, air 18.5 °C, humidity 55 %, wind 9 km/h",
        ),
        (
            "answer",
            {"panel": "P", "item": "finish.cure-start", "value": f"{MORNING:%Y-%m-%d}T05:40:00+11:00",
             "unit": "", "verdict": "recorded", "doubted": True, "why": "rain"},
            "cure start: 05:40 (rain)",
        ),
        (
            "pour-end",
            {"panel": "P", "time": f"{MORNING:%Y-%m-%d}T05:40:00+11:00", "volume": None,
             "doubted": True, "why": "breakdown"},
            "05:40, no volume given (breakdown)",
        ),
        (
            "specimen",
            {"panel": "P", "specimen": "C1", "cured": "field", "load": 2,
             "time": f"{MORNING:%Y-%m-%d}T05:40:00+11:00"},
            "C1, field-cured, load 2, taken 05:40",
        ),
        (
            "answer",
            {"item": "strip.fins", "value": "none", "unit": "", "verdict": "recorded",
             "replaces": 2, "why": "felt again"},
            "fins below: none (in place of no. 2: felt again)",
        ),
        (
            "defer",
            {"item": "i", "reason": "no level", "owner": "B. Cole", "before": "lift"},
            "i: no level; B. Cole owes it, before the lift",
        ),
        ("not-applicable", {"item": "i", "reason": "no load"}, "i: no load"),
        ("note", {"item": None, "text": "windy"}, "windy"),
        (
            "lift-release",
            {"role": "engineer", "seen": "all seen", "strength": "25", "document": "LD-1",
             "result": {"specimen": "F1", "strength": "27.5"}, "setout": "ab", "as_cast": "cd"},
            "engineer: all seen; 25 MPa needed, LD-1, shown by F1 27.5 MPa",
        ),
        (
            "lifted",
            {"panel": "P", "release": {"station": "shed", "n": 7}},
            "lifted off its stack",
        ),
        ("note", {"item": "i", "text": "windy"}, "i: windy"),
        ("follow-up", {"item": "i", "action": "ground off"}, "i: ground off"),
        (
            "disposition",
            {"item": "close.width/base", "disposition": "use-as-is", "reason": "joint takes it",
             "found": "7215", "role": "engineer", "unit": "mm"},
            "width, base side 7215 mm: use as is (engineer): joint takes it",
        ),
        (
            "disposition",
            {"item": "close.diagonal/br-hl", "disposition": "rework", "reason": "r", "found": "20",
             "role": "hand", "unit": "mm"},
            "diagonals, base right to head left 20 mm apart: rework (hand): r",
        ),
        ("complete", {"section": "brackets"}, "Brackets"),
        ("release", {"hold": "pour", "role": "engineer", "seen": "all"}, "Release to pour: engineer: all"),
        ("pass-unreleased", {"hold": "pour", "reason": "late"}, "Release to pour: late"),
        ("close-nonconformance", {"n": 3, "action": "taped"}, "no. 3: taped"),
        ("pour-start", {"time": f"{MORNING:%Y-%m-%d}T06:30:00+11:00"}, "06:30"),
        ("pour-end", {"time": "t", "volume": "8.9"}, "t, 8.9 m³ placed"),
        ("as-cast", {"values": {"width_base": "7201"}}, "width, base side 7201 mm"),
        (
            "sight",
            {"setup": 2, "sight": "fore", "point": "point/peg", "reading": "0.98", "why": "misread"},
            "set-up 2, foresight, peg 0.980 m (misread)",
        ),
        (
            "as-cast",
            {"values": {"rl_bl": "43.105"}, "staff": {"rl_bl": "1.2"}, "setup": 2},
            "RL, base left 43.105 m; staff 1.200 m",
        ),
        (
            "revise",
            {"before": SIZE, "after": {**SIZE, "width": "6900"}, "reason": "rev D"},
            "7200 mm × 8700 mm × 150 mm, base-left → 6900 mm × 8700 mm × 150 mm, base-left: rev D",
        ),
        ("undo", {"n": 7, "why": "wrong key"}, "no. 7: wrong key"),
        ("close", {"panel": "P"}, "panel closed"),
        ("from-later", {"panel": "P", "dose": 3, "of": "retarder"}, "dose 3, of retarder"),
    ],
)  # fmt: skip
def test_a_line_for_each_kind(kind: str, data: dict[str, Any], line: str):
    assert diary_line(entry(kind, data)) == line


@pytest.mark.parametrize(
    ("item", "words"),
    [
        ("height.staff/bl", "form tops, base left"),
        ("forms.diagonal/br-hl", "diagonals, base right to head left"),
        ("forms.between/head", "between faces, head side"),
        ("brackets.hung/left-12", "brackets hung, left side L12"),
        ("cast-ins.extra-anchor/base-2", "extra anchors, base side B+2"),
        ("cast-ins.opening/D-1-head", "openings, D-1, head edge"),
        ("cast-ins.cast-in/L1-x", "cast-ins, L1, from the left"),
        ("cast-ins.cast-in/E1", "cast-ins, E1"),
        ("surface.fill/2", "fill, no. 2"),
        ("drawing.jamb/left", "left jamb"),
        ("finish.own-straight-edge", "straight edge"),
        ("later.new-thing/base-1", "new thing, base-1"),
        ("[/x] [A-1]", "[/x] [A-1]"),
    ],
)
def test_an_item_is_named_in_words(item: str, words: str):
    line = diary_line(entry("note", {"item": item, "text": "wet"}))
    assert line == f"{words}: wet"


def test_every_item_of_the_walk_has_words_of_its_own():
    keys = [step.key for section in template().sections for step in section.steps]
    said = [diary_line(entry("note", {"item": key, "text": "x"})) for key in keys]
    assert not [one for one, key in zip(said, keys, strict=True) if key in one]


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("diagonal_bl_hr", "diagonal, base left to head right 7201 mm"),
        ("out_left_hl", "out, left side near head left 7201 mm"),
        ("rl_hr", "RL, head right 7201.000 m"),
        ("width_middle", "width_middle 7201 mm"),
    ],
)
def test_a_measurement_is_named_in_words(key: str, words: str):
    assert diary_line(entry("as-cast", {"values": {key: "7201"}})) == words


def test_lengths_are_in_the_units_of_the_job():
    answer = {"item": "forms.offset/right-4", "value": "304.8", "unit": "mm", "verdict": "pass"}
    line = diary_line(entry("answer", answer), "imperial")
    assert line == "offsets, right side R4: 1' 0\", pass"


FEET = {"width": "7200.9", "height": "6096", "thickness": "184.15", "align": "centre"}


@pytest.mark.parametrize(
    ("kind", "data", "line"),
    [
        (
            "answer",
            {"item": "forms.between/base", "value": "7200.10625", "unit": "mm", "verdict": "pass"},
            "between faces, base side: 23' 7-15/32\", pass",
        ),
        (
            "answer",
            {"item": "ready.air", "value": "18.333333333333", "unit": "°C"},
            "air: 65.0 °F",
        ),
        ("answer", {"item": "own", "value": "10.342135939753", "unit": "MPa"}, "own: 1500 psi"),
        ("pour-end", {"time": "t", "volume": "3.82277428992"}, "t, 5 yd³ placed"),
        (
            "as-cast",
            {"values": {"rl_bl": "30.48", "width_base": "7200.10625"}},
            "RL, base left 100.000 ft; width, base side 23' 7-15/32\"",
        ),
        (
            "revise",
            {"before": FEET, "after": {**FEET, "width": "2438.4"}, "reason": "rev 2"},
            '23\' 7-1/2" × 20\' 0" × 7-1/4", centre → 8\' 0" × 20\' 0" × 7-1/4", centre: rev 2',
        ),
    ],
)
def test_an_imperial_job_reads_its_diary_in_its_units(kind: str, data: dict[str, Any], line: str):
    assert diary_line(entry(kind, data), "imperial") == line


def test_a_time_of_another_day_has_its_day():
    moment = MORNING - timedelta(days=1)
    line = diary_line(entry("pour-start", {"time": moment.isoformat()}))
    assert line == f"{moment:%a %d %b %H:%M}"


ODD: list[dict[str, Any]] = [
    {}, {"values": 3}, {"before": "x", "after": None}, {"values": {"a": None}}, {"item": ["x"]},
    {"n": {}, "why": [1]}, {"time": None, "volume": {}}, {"unit": 5, "verdict": []},
]  # fmt: skip


@pytest.mark.parametrize("data", ODD, ids=str)
def test_odd_data_still_gives_a_line(data: dict[str, Any]):
    for kind in {*LINES, *PANEL_KINDS, "never-seen"}:
        assert isinstance(diary_line(entry(kind, data)), str)
