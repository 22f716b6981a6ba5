"""All of one entry, each value in the units of the job."""

from typing import Any

import pytest

from pourdeck.deck.views.log import entry_words
from pourdeck.plan.records import Units
from pourdeck.sitelog.entries import Entry
from tests.sitelog.kit import MORNING


def words(kind: str, data: dict[str, Any], units: Units) -> dict[str, str]:
    entry = Entry(
        station="shed", n=3, at=MORNING, by="A. Reed", kind=kind, data=data, prev="", seal=""
    )
    return dict(entry_words(entry, lambda _: None, units))


ANSWER = {
    "panel": "P1",
    "value": "2438.4",
    "typed": "96",
    "unit": "mm",
    "expected": "2438.4",
    "tolerance": {"low": "2437.60625", "high": None},
}


def test_an_answer() -> None:
    said = words("answer", ANSWER, "imperial")
    assert said["value"] == said["expected"] == "8' 0\""
    assert said["tolerance"] == "7' 11-31/32\""
    assert said["typed"] == "96"
    assert words("answer", ANSWER, "metric")["value"] == "2438.4 mm"


@pytest.mark.parametrize(
    ("kind", "data", "name", "shown"),
    [
        ("pour-start", {"width": "7200.9"}, "width", "23' 7-1/2\""),
        ("pour-start", {"anchors": {"base": ["304.8", "914.4"], "head": []}}, "anchors",
         "base 1' 0\", 3' 0\"; head none"),
        # 10 yd³ = 7.64554857984 m³, from 1 yd = 0.9144 m.
        ("pour-end", {"volume": "7.64554857984"}, "volume", "10 yd³"),
        ("as-cast", {"values": {"thickness_bl": "139.7"}}, "values", "thickness, base left 5-1/2\""),
        ("revise", {"before": {"width": "304.8"}}, "before", "1' 0\" × ? × ?"),
        ("note", {"text": "2438.4"}, "text", "2438.4"),
    ],
)  # fmt: skip
def test_other_kinds(kind: str, data: dict[str, Any], name: str, shown: str) -> None:
    assert words(kind, data, "imperial")[name] == shown
