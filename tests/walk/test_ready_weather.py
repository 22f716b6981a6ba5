"""The weather before the truck: the four readings judged together, and what the release needs at `act`.

The rates are those of the published formula: Uno 1998, SI form; CCAA, Hot-weather concreting (2004).
"""

from decimal import Decimal
from pathlib import Path

import pytest

from pourdeck.paper.diary import diary_line
from pourdeck.paper.record import record_document
from pourdeck.pour.fresh import Weather, evaporation
from pourdeck.walk import acts
from pourdeck.walk.pour_findings import READY, weather_words
from tests.walk.kit import CHECKER, FOREMAN, Crew, crew, refused
from tests.walk.pour_kit import POUR_JOB

HOT = {"air": "35", "humidity": "20", "wind": "25", "concrete": "32"}
MILD = {"air": "22", "humidity": "45", "wind": "18", "concrete": "26"}
CALM = {"air": "18", "humidity": "70", "wind": "5", "concrete": "18"}


def ready(folder: Path, read: dict[str, str], text: str = POUR_JOB) -> Crew:
    one = crew(folder, text)
    one.go_to("ready")
    for key, typed in read.items():
        one.answer(f"ready.{key}", typed)
    return one


def words(one: Crew) -> str:
    return weather_words(one.walk, one.clock.at)


def release(one: Crew, measures: str = "") -> object:
    return acts.release(one.walk, "pour", CHECKER, "", "all in order", measures=measures)


@pytest.mark.parametrize(
    ("read", "verdict"),
    [(HOT, "act"), (MILD, "caution"), (CALM, "ok")],
    ids=["act", "caution", "ok"],
)
def test_the_four_are_judged_as_soon_as_all_are_in(
    tmp_path: Path, read: dict[str, str], verdict: str
) -> None:
    one = ready(tmp_path, {key: read[key] for key in ("air", "humidity", "wind")})
    assert words(one) == ""
    one.answer("ready.concrete", read["concrete"])
    hold = one.walk.hold("pour")
    assert hold is not None
    assert hold.weather is not None
    rate = evaporation(Weather(**{key: Decimal(typed) for key, typed in read.items()}))
    assert (hold.weather.rate, hold.weather.verdict) == (rate, verdict)
    said = {"act": "act from 1.00 kg/m²/h", "caution": "caution from 0.50 kg/m²/h", "ok": "ok"}
    assert words(one).startswith(
        f"evaporation {rate:.2f} kg/m²/h: {said[verdict]}; readings 0 min old"
    )


def test_their_age_is_that_of_the_oldest_and_over_two_hours_is_said(tmp_path: Path) -> None:
    one = ready(tmp_path, {"air": "22"})
    one.clock.later(minutes=60)
    for key in ("humidity", "wind", "concrete"):
        one.answer(f"ready.{key}", MILD[key])
    assert words(one).endswith("; readings 1 h 0 min old")
    one.clock.later(minutes=59)
    assert words(one).endswith("; readings 1 h 59 min old")
    one.clock.later(minutes=2)
    assert words(one).endswith("; readings 2 h 1 min old, over 2 h: read them again")


def test_without_a_limit_nothing_is_judged(tmp_path: Path) -> None:
    text = POUR_JOB.replace("evaporation = { caution = 0.5, act = 1.0 }\n", "")
    one = ready(tmp_path, HOT, text)
    assert ": no limit given; " in words(one)
    one.pass_section("ready")
    one.do(release(one))  # type: ignore[arg-type]


def test_a_reading_that_is_missing_is_named(tmp_path: Path) -> None:
    one = ready(tmp_path, {"air": "22", "humidity": "45", "concrete": "26"})
    one.do(acts.not_measured(one.walk, "ready.wind", "no anemometer", FOREMAN))
    assert words(one) == "evaporation not judged: wind not measured"


class TestTheRelease:
    def test_at_act_it_needs_the_measures_and_names_them(self, tmp_path: Path) -> None:
        one = ready(tmp_path, HOT)
        one.pass_section("ready")
        for measures in ("", "   "):
            refusal = refused(release(one, measures))  # type: ignore[arg-type]
            assert "act from 1.00 kg/m²/h" in refusal.title
            assert refusal.body.startswith("Name the measures taken")
        entry = one.do(release(one, " wind breaks and fog sprays up "))  # type: ignore[arg-type]
        assert entry.data["measures"] == "wind breaks and fog sprays up"
        assert "; against drying: wind breaks and fog sprays up" in diary_line(entry)
        given = [row for row in record_document(one.walk)["release"] if row.get("measures")]
        assert [row["hold"] for row in given] == ["Release to pour"]

    @pytest.mark.parametrize("read", [MILD, CALM])
    def test_below_act_it_needs_none(self, tmp_path: Path, read: dict[str, str]) -> None:
        one = ready(tmp_path, read)
        one.pass_section("ready")
        entry = one.do(release(one))  # type: ignore[arg-type]
        assert "measures" not in entry.data

    def test_a_calmer_reading_needs_none_any_more(self, tmp_path: Path) -> None:
        one = ready(tmp_path, HOT)
        one.pass_section("ready")
        refused(release(one))  # type: ignore[arg-type]
        for key, typed in CALM.items():
            one.answer(f"ready.{key}", typed, why="wind dropped")
        one.do(release(one))  # type: ignore[arg-type]


def test_the_readings_are_items_of_the_walk(tmp_path: Path) -> None:
    one = crew(tmp_path)
    assert all(one.walk.find(key) is not None for key in READY)
