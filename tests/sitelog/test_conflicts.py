"""What two stations said differently without seeing each other counts for nothing until somebody decides."""

import itertools
import random
import shutil
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from pourdeck.sitelog.entries import Entry, Unsealed
from pourdeck.sitelog.state import SiteState, replay
from pourdeck.sitelog.union import read_union
from tests.campaign import share
from tests.sitelog.kit import MORNING, Clock, Site, act

ITEM = "forms.offset/right-1"


def answer(value: str | None, **more: Any) -> Unsealed:
    return act("answer", panel="W07", item=ITEM, value=value, **more)


def resized(width: str, **more: Any) -> Unsealed:
    return act("revise", panel="W07", before={"width": "7200"}, after={"width": width}, **more)


def load(**values: str) -> Unsealed:
    return act("load", panel="W07", load=1, values=values)


def result(specimen: str, strength: str) -> Unsealed:
    at = "2025-11-03T07:00:00+11:00"
    data = {"specimen": specimen, "cured": "field", "strength": strength, "time": at}
    return act("test", panel="W07", **data)


def apart(root: Path, one: Unsealed, other: Unsealed, days: float = 0) -> tuple[Site, SiteState]:
    """Two computers that had seen the same start and then said something each, brought together."""
    site = Site(root)
    site.clocks = {"shed": Clock(MORNING + timedelta(days=days)), "hut": Clock()}
    site.say("shed", act("note", panel="W07", text="both have seen this"))
    site.bring("shed", "hut")
    site.say("hut", act("note", panel="W07", text="and this"), station="hut")
    site.bring("hut", "shed")
    site.say("shed", one)
    site.say("hut", other, station="hut")
    together(site)
    return site, state(site)


def together(site: Site, *names: str) -> None:
    for one, other in itertools.permutations(names or ("shed", "hut"), 2):
        site.bring(one, other)


def state(site: Site, name: str = "shed") -> SiteState:
    return replay(read_union(site.folder(name)).entries)


def said(site: Site, *keys: str) -> list[list[Any]]:
    """Station and number of these conflicts' entries, as an entry names them."""
    found = state(site).panel("W07").conflicts
    return [[entry.station, entry.n] for key in keys for entry in found[tuple(key.split(":"))]]  # type: ignore[index]


@pytest.mark.parametrize("days", [0, 3, -3])
def test_two_answers_that_had_not_seen_each_other(tmp_path: Path, days: float) -> None:
    site, found = apart(tmp_path, answer("300"), answer("301"), days)
    panel = found.panel("W07")
    assert ITEM not in panel.latest
    assert {entry.data["value"] for entry in panel.answers[ITEM]} == {"300", "301"}
    assert list(panel.conflicts) == [("item", ITEM)]
    assert {entry.data["value"] for entry in panel.conflicts["item", ITEM]} == {"300", "301"}
    named = said(site, f"item:{ITEM}")
    site.say("hut", answer("302", settles=named, why="measured again"), station="hut")
    together(site)
    panel = state(site).panel("W07")
    assert panel.conflicts == {}
    assert panel.latest[ITEM].data["value"] == "302"
    assert len(panel.answers[ITEM]) == 3
    assert state(site) == state(site, "hut")


def test_a_decision_names_both(tmp_path: Path) -> None:
    """Somebody who knows of one only decides nothing."""
    site, _ = apart(tmp_path, answer("300"), answer("301"))
    site.say("shed", answer("302", settles=said(site, f"item:{ITEM}")[:1]))
    panel = state(site).panel("W07")
    assert len(panel.conflicts["item", ITEM]) == 3
    site.say("shed", answer("303", settles=said(site, f"item:{ITEM}")))
    assert state(site).panel("W07").latest[ITEM].data["value"] == "303"


def test_a_decision_that_is_undone_leaves_the_conflict(tmp_path: Path) -> None:
    site, _ = apart(tmp_path, answer("300"), answer("301"))
    (decided,) = site.say("shed", answer("302", settles=said(site, f"item:{ITEM}")))
    site.say("shed", act("undo", station=decided.station, n=decided.n, why="wrong"))
    assert len(state(site).panel("W07").conflicts["item", ITEM]) == 2


def test_one_of_two_undone_leaves_the_other(tmp_path: Path) -> None:
    site, found = apart(tmp_path, answer("300"), answer("301"))
    one = found.panel("W07").conflicts["item", ITEM][0]
    site.say("shed", act("undo", station=one.station, n=one.n, why="wrong"))
    panel = state(site).panel("W07")
    assert panel.conflicts == {}
    assert panel.latest[ITEM].data["value"] != one.data["value"]


@pytest.mark.parametrize(
    ("one", "other", "thing"),
    [
        (answer("300"), act("defer", panel="W07", item=ITEM, before="lift"), ("item", ITEM)),
        (answer("300"), act("not-applicable", panel="W07", item=ITEM, why="x"), ("item", ITEM)),
        (answer("300"), answer(None, not_measured="no tape"), ("item", ITEM)),
        (
            act("as-cast", panel="W07", values={"width_base": "7199", "rl_1": "101"}),
            act("as-cast", panel="W07", values={"width_base": "7201"}),
            ("as-cast", "width_base"),
        ),
        (resized("7100"), resized("7000"), ("size", "")),
        (
            resized("7100"),
            act("revise", panel="W07", before={}, after={"width": "7200", "height": "2400"}),
            ("size", ""),
        ),
        (load(slump="80", docket="D1"), load(slump="90"), ("load", "1 slump")),
        (
            result("F1", "20"),
            result("F1", "25"),
            ("test", "F1"),
        ),
        (
            act("disposition", panel="W07", item=ITEM, found="9", disposition="repair"),
            act("disposition", panel="W07", item=ITEM, found="9", disposition="use-as-is"),
            ("disposition", ITEM),
        ),
        (
            act("pour-end", panel="W07", time="2025-11-03T09:00:00+11:00"),
            act("pour-end", panel="W07", time="2025-11-03T09:20:00+11:00"),
            ("pour-end", ""),
        ),
    ],
)  # fmt: skip
def test_what_can_be_in_conflict(
    tmp_path: Path, one: Unsealed, other: Unsealed, thing: tuple[str, str]
) -> None:
    _, found = apart(tmp_path, one, other)
    panel = found.panel("W07")
    assert list(panel.conflicts) == [thing]
    assert len(panel.conflicts[thing]) == 2
    assert panel.latest == {}
    assert "width_base" not in panel.measured
    assert found.revisions == []
    assert panel.dispositions == {}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (answer("300"), answer("300")),
        (load(slump="80"), load(temperature="20")),
        (answer("300"), act("note", panel="W07", item=ITEM, text="x")),
        (
            result("F1", "20"),
            result("F2", "25"),
        ),
    ],
)  # fmt: skip
def test_what_is_none(tmp_path: Path, one: Unsealed, other: Unsealed) -> None:
    _, found = apart(tmp_path, one, other)
    assert found.panel("W07").conflicts == {}


def test_a_correction_wins_over_what_it_corrects_whatever_the_clocks_say(tmp_path: Path) -> None:
    site = Site(tmp_path)
    site.clocks = {"office": Clock(MORNING + timedelta(days=3)), "shed": Clock()}
    site.say("office", answer("300"), station="office")
    site.bring("office", "shed")
    site.say("shed", answer("305"))
    together(site, "shed", "office")
    for name in ("shed", "office"):
        panel = state(site, name).panel("W07")
        assert panel.conflicts == {}
        assert panel.latest[ITEM].data["value"] == "305"


def test_of_a_size_in_conflict_the_one_both_had_seen_is_in_force(tmp_path: Path) -> None:
    site = Site(tmp_path)
    site.say("shed", resized("7150"))
    site.bring("shed", "hut")
    site.say("hut", resized("7000"), station="hut")
    site.say("shed", resized("7100"))
    together(site)
    assert [entry.data["after"]["width"] for entry in state(site).revisions] == ["7150"]
    site.say("shed", resized("7100", settles=said(site, "size:")))
    found = state(site)
    assert [entry.data["after"]["width"] for entry in found.revisions][-1] == "7100"


def test_values_that_are_in_conflict_do_not_hide_what_came_before(tmp_path: Path) -> None:
    """Of a value as cast too nothing stands: neither is known to be right."""
    one = act("as-cast", panel="W07", values={"width_base": "7199"})
    other = act("as-cast", panel="W07", values={"width_base": "7205"})
    site, found = apart(tmp_path, one, other)
    assert found.panel("W07").measured == {}
    named = said(site, "as-cast:width_base")
    site.say("shed", act("as-cast", panel="W07", values={"width_base": "7199"}, settles=named))
    assert state(site).panel("W07").measured == {"width_base": Decimal(7199)}


@pytest.mark.campaign
def test_no_answer_disappears_and_every_conflict_is_shown(tmp_path: Path) -> None:
    """Random stations, clocks and meetings, against a reading by sets of what each had seen."""
    chance = random.Random(5)
    for run in range(share(40)):
        site = Site(tmp_path / str(run))
        site.root.mkdir()
        names = ["a", "b", "c"]
        site.clocks = {
            name: Clock(MORNING + timedelta(days=chance.choice([0, 0, 3]))) for name in names
        }
        views: dict[str, set[tuple[str, int]]] = {name: set() for name in names}
        known: dict[tuple[str, int], tuple[str, str, frozenset[tuple[str, int]]]] = {}
        for _ in range(chance.randrange(4, 14)):
            name = chance.choice(names)
            if chance.random() < 0.4:
                source = chance.choice(names)
                site.bring(source, name)
                views[name] |= views[source]
                continue
            item, value = chance.choice("xyz"), chance.choice(["1", "2"])
            (entry,) = site.say(
                name, act("answer", panel="W07", item=item, value=value), station=name
            )
            known[entry.key] = (item, value, frozenset(views[name]))
            views[name].add(entry.key)
        for _ in range(2):
            together(site, *names)
        states = [state(site, name) for name in names]
        assert states[0] == states[1] == states[2]
        panel = states[0].panel("W07")
        assert {entry.key for answers in panel.answers.values() for entry in answers} == set(known)
        for item in "xyz":
            expected = _front(item, known)
            values = {known[key][1] for key in expected}
            shown = {entry.key for entry in panel.conflicts.get(("item", item), ())}
            if len(values) > 1:
                assert shown == expected
                assert item not in panel.latest
            elif values:
                assert not shown
                assert panel.latest[item].key in expected


def _front(
    item: str, known: dict[tuple[str, int], tuple[str, str, frozenset[tuple[str, int]]]]
) -> set[tuple[str, int]]:
    """What nobody had seen when answering anew, and what nobody decided between.

    An answer that had seen some that differ and names none of them decides nothing.
    """
    front: set[tuple[str, int]] = set()
    for key in sorted(
        (key for key in known if known[key][0] == item), key=lambda k: len(known[k][2])
    ):
        seen = front & known[key][2]
        if len({known[one][1] for one in seen}) < 2:
            front -= seen
        front.add(key)
    return front


def test_entries_of_one_station_are_never_in_conflict(tmp_path: Path) -> None:
    site = Site(tmp_path)
    for value in ("300", "301", "299"):
        site.say("shed", answer(value))
    found = state(site).panel("W07")
    assert found.conflicts == {}
    assert found.latest[ITEM].data["value"] == "299"


def test_what_is_recorded_live_is_as_in_a_replay(tmp_path: Path) -> None:
    """A conflict, its decision and an undo of it, taken in one by one by an open state."""
    site, live = apart(tmp_path, answer("300"), answer("301"))
    named = said(site, f"item:{ITEM}")

    def take(*acts: Unsealed) -> Entry:
        entries = site.say("shed", *acts)
        for entry in entries:
            live.apply(entry)
        assert live == state(site)
        return entries[-1]

    decided = take(answer("302", settles=named))
    take(act("undo", station=decided.station, n=decided.n, why="wrong"))
    take(answer("303"))
    take(act("note", panel="W07", text="x"))


def test_an_answer_to_what_had_not_arrived_is_in_conflict(tmp_path: Path) -> None:
    """The shed had what the hut wrote after the office, and not what the office wrote."""
    site = Site(tmp_path)
    site.say("office", answer("300"), station="office")
    site.bring("office", "hut")
    site.say("hut", act("note", panel="W07", text="windy"), station="hut")
    (site.folder("shed") / "log").mkdir()
    for path in (site.folder("hut") / "log").glob("hut*"):
        shutil.copyfile(path, site.folder("shed") / "log" / path.name)
    site.say("shed", answer("301"), station="shed")
    site.bring("office", "shed")
    state = replay(read_union(site.folder("shed")).entries)
    assert [len(those) for those in state.panel("W07").conflicts.values()] == [2]
