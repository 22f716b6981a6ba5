"""Weather, pour, strength and lifting against the second reading, on days that nobody planned.

What the reading itself gives is checked by hand below, and that a slip of the program would show.
"""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from math import exp
from pathlib import Path
from random import Random
from typing import Any

import pytest

from tests.campaign import some
from tests.walk.kit import PEOPLE

from . import concrete as runner
from . import concrete_compare as compare
from .concrete_asks import Answer, ask
from .concrete_days import Story
from .concrete_gain import Warmth, reached
from .concrete_jobs import ConcreteWriter
from .concrete_log import Line, lines_of, panels_of, standing
from .concrete_order import loads, mix_of, pour
from .concrete_play import play
from .concrete_pours import Step, ago
from .concrete_strength import strength
from .concrete_trial import disagreements
from .plan import read

SEEDS = range(901, 921)


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(SEEDS))
def test_a_day_nobody_planned(seed: int) -> None:
    assert disagreements(seed) == []


# The reading by hand.

NOON = datetime(2025, 3, 2, 12, tzinfo=UTC)


def test_a_constant_temperature_by_hand() -> None:
    """EN 1992-1-1, B.10: 1.566 days in a day at 30 °C; the first reading counts before it."""
    warmth = Warmth({NOON + timedelta(days=2): Fraction(30)}, NOON)
    assert warmth.age(4) == pytest.approx(4 * exp(13.65 - 4000 / 303), rel=1e-12)
    assert exp(13.65 - 4000 / 303) == pytest.approx(1.566, abs=5e-4)


def test_only_what_is_in_range_and_was_measured_counts() -> None:
    """Up from -20 to 20 °C in a day: half of it counts, and all of it was measured with a gap of a day."""
    warmth = Warmth({NOON: Fraction(-20), NOON + timedelta(days=1): Fraction(20)}, NOON)
    half = Warmth({NOON: Fraction(0), NOON + timedelta(days=0.5): Fraction(20)}, NOON)
    assert warmth.age(1) == pytest.approx(half.age(0.5), rel=1e-9)
    assert warmth.measured(1, 1) == pytest.approx(warmth.age(1))
    assert warmth.measured(1, 0.9) == 0
    assert warmth.measured(2, 0.5) == pytest.approx(0.5 * exp(13.65 - 4000 / 293))


def test_a_limit_that_is_what_the_mix_has_at_28_days() -> None:
    """At 20 °C 28 adjusted days are 28 / 0.998125 days; more than that strength never comes."""
    warmth = Warmth({}, NOON)
    when = reached(warmth, 40, "N", 40)
    assert when is not None
    assert (when - NOON) / timedelta(days=1) == pytest.approx(
        28 / exp(13.65 - 4000 / 293), abs=1e-3
    )
    assert reached(warmth, 40, "N", 40.01) is None


@pytest.mark.parametrize(
    ("order", "expected"),
    [("9.6", ["6", "3.6"]), ("12", ["6", "6"]), ("6.6", ["3.4", "3.2"]), ("7", ["6", "1"]),
     ("0.4", ["0.4"]), ("12.2", ["6", "3.2", "3"])],
)  # fmt: skip
def test_loads_by_hand(order: str, expected: list[str]) -> None:
    """A remainder under 1 m³ is shared between the last two; one of 1 m³ is not."""
    mix = mix_of({"truck": Fraction(6)})
    assert loads(Fraction(order), mix) == [Fraction(one) for one in expected]


def line(number: int, kind: str, **data: Any) -> Line:
    return Line("shed", number, NOON + timedelta(minutes=number), kind, {"panel": "P1", **data})


def test_what_is_undone_and_what_is_put_right() -> None:
    first = line(1, "test", specimen="F1", strength="20")
    second = line(2, "test", specimen="F1", strength="30", replaces=1, replaces_station="shed")
    undo = line(3, "undo", station="shed", n=2)
    again = line(4, "undo", station="shed", n=3)
    assert standing([first]) == [first]
    assert standing([first, second]) == [second]
    assert standing([first, second, undo]) == [first]
    assert standing([first, second, undo, again]) == [second]


# A slip shows.


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> tuple[Story, Path]:
    """A panel of 3 × 4 × 0.15 m, three loads of which one was turned away, a warm day, a field result."""
    told = small(
        Step("walk", ("A", 1), 0, {"to": "pour", "scatter": 0}),
        Step("start", ("A", 1), 5, {"time": "now"}),
        Step("load", ("A", 1), 5, {"load": 1, "mix": "N40/20", "volume": "1.2", "begun": "now"}),
        Step("load", ("A", 1), 5, {"load": 1, "ended": "now"}),
        Step("load", ("A", 1), 5, {"load": 2, "mix": "N40/20", "volume": "0.8"}),
        Step("away", ("A", 1), 1, {"load": 2, "reason": "stiff"}),
        Step("specimen", ("A", 1), 1,
             {"name": "F1", "cured": "field", "load": "1", "time": "now", "why": ""}),
        Step("finish", ("A", 1), 10, {"scatter": 0}),
        Step("temperature", ("A", 1), 600, {"typed": "35 C", "time": ago(60), "why": ""}),
        Step("temperature", ("A", 1), 600, {"typed": "15 C", "time": "now", "why": ""}),
        Step("result", ("A", 1), 2000,
             {"name": "F1", "strength": "26 MPa", "time": "now", "why": ""}),
    )  # fmt: skip
    folder = tmp_path_factory.mktemp("asked")
    refused = [said for said in play(folder, told) if not said.endswith("done")]
    assert refused == []
    return told, folder / "job"


JOB = """
format = 1
[job]
name = "Small"
number = "1"
units = "metric"
[kit]
depths = [150]
chamfer = 15
holes = { first = 500, pitch = 1000 }
anchors = { end_min = 150, end_max = 1000, gap_max = 1500, clear = 150 }
overrun = { min = 0, max = 1000 }
stock = [ { length = 1000, count = 90 } ]
bolts = [ { name = "outer", reach = [0, 300] } ]
[mix]
name = "N40/20"
strength = 40
cement = "N"
density = 2400
truck = 1.2
waste = 0.04
[limits]
strip = { strength = 27, by = "estimate" }
climb = { strength = 10, hours = 18 }
lift = { strength = 25 }
sources = { strip = "note 15", climb = "note 14", lift = "LD-02" }
[[stack]]
id = "A"
bed_rl = 1
[[stack.panel]]
mark = "P1"
width = 3000
height = 4000
thickness = 150
lift = 1
"""


def small(*steps: Step) -> Story:
    return Story(1, JOB + PEOPLE, "Etc/UTC", NOON, steps)


def slipped(answer: Answer, path: tuple[str, ...], value: Any) -> Answer:
    """Change one value in the document of an answer."""
    found = json.loads(answer.out)
    here = found
    for key in path[:-1]:
        here = here[key]
    assert here[path[-1]] != value
    here[path[-1]] = value
    return replace(answer, out=json.dumps(found))


@pytest.mark.parametrize(
    ("path", "value"),
    [(("volume",), 1.79), (("order",), 2.2), (("loads",), [1.2, 0.7]), (("placed",), 2.0),
     (("left",), 0.0), (("rejected",), 0.0)],
)  # fmt: skip
def test_a_slip_of_a_pour_shows(
    asked: tuple[Story, Path], path: tuple[str, ...], value: Any
) -> None:
    told, folder = asked
    job = read(told.text)
    panel = job.stacks[0].panels[0]
    concrete = panels_of(lines_of(folder), {"P1": {"width": panel.width, "height": panel.height,
                                                   "thickness": panel.thickness}})["P1"]  # fmt: skip
    mix = mix_of({"truck": Fraction("1.2"), "waste": Fraction("0.04")})
    mine = pour(job, mix, panel, concrete)
    answer = ask(folder, "pour", "A", "1", "--json")
    assert list(compare.pour(mine, set(), answer, "pour")) == []
    assert list(compare.pour(mine, set(), slipped(answer, path, value), "pour")) != []


@pytest.mark.parametrize(
    ("path", "value"),
    [(("age_hours",), 53.0), (("equivalent_days",), 2.3), (("estimate",), 17.0),
     (("basis",), "no temperature recorded"), (("tests",), []), (("climb", "met"), False),
     (("measured",), 17.0), (("strip", "met"), True), (("strip", "by"), "test"),
     (("findings",), [{"code": "frost", "severity": "error"}]),
     (("climb", "by"), None), (("climb", "expected"), None), (("lift", "met"), False),
     (("lift", "needs"), {"strength": 24}), (("lift", "expected"), "2025-03-04T12:00:00Z")],
)  # fmt: skip
def test_a_slip_of_a_strength_shows(
    asked: tuple[Story, Path], path: tuple[str, ...], value: Any
) -> None:
    _, folder = asked
    at = NOON + timedelta(hours=55)
    limits = {
        "strip": {"strength": 27, "by": "estimate"},
        "climb": {"strength": 10, "hours": 18},
        "lift": {"strength": 25},
    }
    mix = mix_of({"strength": Fraction(40), "cement": "N"})
    concrete = panels_of(lines_of(folder), {"P1": {}})["P1"]
    mine = strength(mix, limits, concrete, at)
    answer = ask(folder, "strength", "A", "1", "--at", at.isoformat(), "--json")
    assert list(compare.strength(mine, answer, "strength")) == []
    assert list(compare.strength(mine, slipped(answer, path, value), "strength")) != []


def test_the_shortest_day_leaves_out_what_does_not_matter(monkeypatch: pytest.MonkeyPatch) -> None:
    steps = tuple(Step("wait", ("A", 1), n) for n in range(9))

    def differing(one: Story, left: tuple[Step, ...]) -> list[str]:
        return ["pour A 1.placed: wrong"] if steps[2] in left and steps[6] in left else []

    monkeypatch.setattr(runner, "differing", differing)
    found = runner.shortest(small(*steps), "pour")
    assert found == (steps[2], steps[6])


def test_jobs_are_valid_and_differ() -> None:
    texts = [ConcreteWriter(Random(seed)).text() for seed in range(20)]
    assert len({read(text).name for text in texts}) > 10
