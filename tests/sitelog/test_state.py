"""Replaying the log: what each kind of entry does to the state of the site."""

import random
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from pourdeck.plan.records import Poured, Sides
from pourdeck.sitelog.entries import Entry, Unsealed, compose
from pourdeck.sitelog.panel_state import PanelState, poured
from pourdeck.sitelog.state import SiteState, replay
from pourdeck.sitelog.union import in_order
from tests.campaign import some
from tests.sitelog.kit import MORNING, act, make_log

ITEM = "forms.offset/right-4"
SIDES = {"base": ["500", "1500"], "right": ["1500.5", "500"], "head": [], "left": []}


def fold(*acts: Unsealed) -> tuple[SiteState, list[Entry]]:
    """The state after these acts, and their entries without the start."""
    entries, _ = make_log(*acts)
    return replay(entries), entries[1:]


def panel_after(*acts: Unsealed) -> tuple[PanelState, list[Entry]]:
    state, entries = fold(*acts)
    return state.panel("W07"), entries


def on(kind: str, **data: Any) -> Unsealed:
    return act(kind, panel="W07", **data)


def test_nothing_is_known_of_a_panel_without_entries() -> None:
    state = replay([])
    assert state.panel("W07") == PanelState(mark="W07")
    assert state.panels == {}
    assert state.last is None


def test_answers_and_what_stands_for_an_item() -> None:
    panel, entries = panel_after(
        on("answer", item=ITEM, value="300"),
        on("answer", item=ITEM, value="301", replaces=2, why="misread"),
        on("defer", item=ITEM, reason="no tape", owner="kim", before="surface"),
        on("not-applicable", item="other", reason="no cast-ins"),
    )
    assert panel.answers == {ITEM: entries[:2]}
    assert panel.latest == {ITEM: entries[2], "other": entries[3]}
    assert panel.started is entries[0]
    assert panel.entries == entries


def test_notes_follow_ups_and_completed_sections() -> None:
    panel, entries = panel_after(
        on("note", item=None, text="crane access"),
        on("note", item=ITEM, text="thread tight"),
        on("follow-up", item=ITEM, action="packed out"),
        on("follow-up", item=ITEM, action="packed out again"),
        on("complete", section="forms"),
    )
    assert panel.notes == entries[:2]
    assert panel.follow_ups == {ITEM: entries[2:4]}
    assert panel.completed == {"forms": entries[4]}
    assert panel.started is entries[2]
    assert panel.latest == {}


def test_holds_and_non_conformances() -> None:
    panel, entries = panel_after(
        on("release", hold="surface", role="foreman", seen="yes", covers="ab"),
        on("release", hold="surface", role="foreman", seen="yes", covers="cd"),
        on("pass-unreleased", hold="pour", reason="truck waiting"),
        on("close-nonconformance", station="shed", n=4, action="cored"),
    )
    assert panel.releases == {"surface": entries[:2]}
    assert panel.passed == {"pour": [entries[2]]}
    assert panel.closed_ncs == {("shed", 4): entries[3]}
    assert entries[2].key == ("shed", 4)


@pytest.mark.parametrize("kind", ["note", "revise", "close-nonconformance"])
def test_a_panel_is_not_begun_by_what_the_office_does(kind: str) -> None:
    panel, _ = panel_after(
        on(kind, item=None, text="x", station="shed", n=1, after={"width": "6900"})
    )
    assert len(panel.entries) == 1
    assert panel.started is None


def test_the_pour_and_what_was_cast() -> None:
    panel, entries = panel_after(
        on(
            "pour-start",
            time="2025-11-03T07:00:00+11:00",
            width="7200",
            anchors=SIDES,
            extra_anchors={"base": ["250.25"]},
        ),
        on("pour-end", time="2025-11-03T07:00:00+11:00", volume="9.1"),
        on("as-cast", values={"width_base": "7201.5", "rl_bl": "43.105"}),
        on("as-cast", values={"width_base": "7200.5", "rl_hr": "43.107"}),
        on("close"),
        on("lifted"),
    )
    assert (panel.pour_start, panel.pour_end) == (entries[0], entries[1])
    assert panel.as_cast == entries[2:4]
    assert (panel.closed, panel.lifted) == (entries[4], entries[5])
    assert panel.measured == {
        "width_base": Decimal("7200.5"), "rl_bl": Decimal("43.105"), "rl_hr": Decimal("43.107"),
    }  # fmt: skip
    cast = poured(panel)
    assert cast == Poured(
        mark="W07",
        anchors=Sides(
            base=(Decimal(500), Decimal(1500)),
            right=(Decimal(500), Decimal("1500.5")),
            head=(),
            left=(),
        ),
        extra_anchors=Sides(base=(Decimal("250.25"),), right=(), head=(), left=()),
        measured=panel.measured,
    )
    assert cast.surface_rl == Decimal("43.106")


def test_nothing_is_poured_before_the_pour() -> None:
    assert poured(panel_after(on("as-cast", values={"width_base": "7200"}))[0]) is None


@pytest.mark.parametrize(
    "anchors",
    [None, [], "x", {"base": "500"}, {"base": [500.0]}, {"base": ["x"]}, {"base": ["NaN"]}],
)
def test_a_poured_panel_stays_poured_though_its_anchors_cannot_be_read(anchors: object) -> None:
    cast = poured(panel_after(on("pour-start", anchors=anchors))[0])
    assert cast is not None
    assert cast.anchors == Sides(base=(), right=(), head=(), left=())


def test_size_changes_stand_in_order() -> None:
    state, entries = fold(
        on("revise", after={"width": "6900"}, reason="clash"),
        act("revise", panel="W09", after={"height": "8600", "align": "centre"}),
    )
    assert state.revisions == entries
    assert state.panel("W09").entries == [entries[1]]


@pytest.mark.parametrize(
    "bad",
    [
        act("photo", panel="W07", file="x"),
        act("answer", item=ITEM),
        act("answer", panel=7, item=ITEM),
        act("answer", panel=["W07"], item=ITEM),
        on("answer"),
        on("answer", item=["x"]),
        on("note", item=5, text="x"),
        on("note", item=None),
        on("complete", section=None),
        on("as-cast", values=["7200"]),
        on("as-cast", values={"width_base": "7200", "width_head": "wide"}),
        on("as-cast", values={"width_base": 7200.5}),
        on("as-cast", values={"width_base": "NaN"}),
        on("sight", setup=0, sight="back", point="benchmark", reading="1.2"),
        on("sight", setup=True, sight="back", point="benchmark", reading="1.2"),
        on("sight", setup=1, sight="side", point="benchmark", reading="1.2"),
        on("sight", setup=1, sight="back", point=None, reading="1.2"),
        on("sight", setup=1, sight="back", point="benchmark", reading="far"),
        on("load", load=0, values={}),
        on("load", load=True, values={}),
        on("load", load=1, values=[]),
        on("weather", time="t", concrete="20", air="20", humidity="50", wind="fresh"),
        on("weather", time="t", concrete="20", air="20", humidity="50"),
        on("temperatures", readings=None),
        on("temperatures", readings=[["t"]]),
        on("temperatures", readings=[["t", 20.5]]),
        on("temperatures", readings=[[7, "20.5"]]),
        on("specimen", specimen="W07-1", cured="shed"),
        on("specimen", specimen=None, cured="field"),
        on("test", specimen="W07-1", cured="field", time="t", strength="high"),
        on("test", specimen="W07-1", cured="field", strength="25"),
        on("revise", after=None),
        on("revise", after={"width": "-1"}),
        on("revise", after={"width": 6900}),
        on("revise", after={"align": "top"}),
        on("revise", after={"align": ["centre"]}),
        on("close-nonconformance", station="shed", n="4"),
        act("undo", station="shed"),
        act("undo", station=["shed"], n=2),
        act("undo", station="shed", n=True),
    ],
)
def test_what_is_not_understood_is_kept_and_changes_nothing(bad: Unsealed) -> None:
    good = on("answer", item=ITEM, value="300")
    state, entries = fold(bad, good)
    assert state.unknown == [entries[0]]
    assert len(state.entries) == 3
    panel = state.panel("W07")
    assert panel.entries == [entries[1]]
    assert panel.measured == {}
    assert state.revisions == []


def random_acts(chance: random.Random, count: int) -> list[Unsealed]:
    """Acts of every kind on three panels, undos of any earlier entry among them."""
    acts: list[Unsealed] = []
    for number in range(count):
        panel, item = chance.choice(["W07", "W08", "W09"]), chance.choice(["a", "b", "c"])
        acts.append(
            chance.choice(
                [
                    act("answer", panel=panel, item=item, value=str(number)),
                    act("defer", panel=panel, item=item, reason="x"),
                    act("note", panel=panel, item=None, text="x"),
                    act("complete", panel=panel, section=item),
                    act("release", panel=panel, hold=item),
                    act("pour-start", panel=panel, anchors=SIDES),
                    act("as-cast", panel=panel, values={"width_base": str(number)}),
                    act("as-cast", panel=panel, values={"width_base": "bad"}),
                    act("revise", panel=panel, after={"width": "6900"}),
                    act("photo", panel=panel),
                    *3 * [act("undo", station="shed", n=chance.randrange(1, number + 3), why="x")],
                ]
            )
        )
    return acts


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(30)))
def test_an_entry_just_saved_and_one_replayed_are_the_same_fold(seed: int) -> None:
    entries, _ = make_log(*random_acts(random.Random(seed), 60))
    state = replay([])
    for count, entry in enumerate(entries, 1):
        state.apply(entry)
        if count % 7 == 0 or count == len(entries):
            assert state == replay(entries[:count])
    assert [entry.order for entry in state.entries] == list(range(len(entries)))
    assert state.last is entries[-1]


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(20)))
def test_what_is_saved_with_all_in_view_comes_last_as_in_a_replay(seed: int) -> None:
    """Whatever the clocks of the others say."""
    chance = random.Random(seed)
    files = {
        station: make_log(
            *random_acts(chance, 15),
            station=station,
            start=MORNING + timedelta(seconds=chance.choice([0, 40, 90, 99999])),
            step=chance.choice([60, 90, 0]),
        )[0]
        for station in ("office", "shed")
    }
    state = replay(in_order(files))
    for more in random_acts(chance, 5):
        last = files["shed"][-1]
        seen = [one for one in state.heads if one.station == "office"]
        (entry,), _ = compose(
            [more], station="shed", at=last.at, clock="", n=last.n, head=last.seal, seen=seen
        )
        files["shed"].append(entry)
        state.apply(entry)
        again = replay(in_order(files))
        assert again == state
        assert [one.key for one in again.entries] == [one.key for one in state.entries]
        assert [dict(one.past) for one in again.entries] == [
            dict(one.past) for one in state.entries
        ]


def test_an_entry_is_found_by_station_and_number() -> None:
    state, entries = fold(*random_acts(random.Random(1), 20))
    assert all(state.find(entry.key) is entry for entry in entries)
    assert state.find(("shed", 99)) is None
    assert state.find(("office", 1)) is None
