"""Computers that record one job apart, what may happen to their files, and a model of what must then show.

The model knows of each entry what it says of which thing, and what its writer had in view: the bytes that lay
in the log folder, read for their seals alone. What is in conflict, gone and in force follows from these sets.
It knows nothing of the code it judges but how a line names its kind, data and seal.
"""

import hashlib
import json
import random
import re
import shutil
from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from attrs import define, evolve, field, frozen

from pourdeck.plan.messages import Refusal
from pourdeck.sitelog.entries import Entry, Key
from pourdeck.sitelog.logfile import NotSaved
from pourdeck.sitelog.scan import scan
from pourdeck.sitelog.union import union_of
from pourdeck.walk import acts
from pourdeck.walk.authority import Word
from pourdeck.walk.desk import Desk, Overtaken
from pourdeck.walk.records import Act, ItemView
from pourdeck.walk.times import Doubt
from tests.faults.promise import workplace
from tests.walk.kit import (
    CHECKER,
    ENGINEER,
    FOREMAN,
    WITH_ENGINEER,
    Clock,
    Crew,
    NoSync,
    complete,
    crew,
    good_answer,
)

MARK = "P1"
STAGES = ("forms", "pour", "close")
"""Where a world may begin: before the edge forms are set, before the pour, before the panel is measured."""

SYNC_NAMES = (
    "{} (1).jsonl", "{} (conflicted copy 2026-03-02).jsonl", "{}.sync-conflict-20260302-060000-ABCDEFG.jsonl",
    "{}_LAPTOP_Mar-02-060000-2026_Conflict.jsonl", "Copy of {}.jsonl", "{}.jsonl (2)",
)  # fmt: skip

SHARED = 2
"""Items that are answered differently."""

_SEAL = re.compile(rb'"prev":"[0-9a-f]*","seal":"([0-9a-f]{64})"\}')

Thing = tuple[str, str]


@cache
def begun(stage: str) -> tuple[bytes, datetime]:
    """The log of a station that took the first panel to a stage, and when it had."""
    with workplace() as folder:
        one = crew(folder, WITH_ENGINEER, station="yard")
        one.go_to(stage)
        if stage == "forms":
            one.pass_section(stage)
        one.desk.close()
        return (folder / "job/log/yard.jsonl").read_bytes(), one.clock.at


# The model.


@frozen(kw_only=True)
class Said:
    """One entry, as the model knows it. `says`: what it says of which thing. `seen`: all that was in view."""

    seal: str
    file: str
    n: int
    at: str
    kind: str
    says: dict[Thing, Any]
    seen: frozenset[str]
    settles: frozenset[str]
    undoes: str = ""


def _says(kind: str, data: dict[str, Any]) -> dict[Thing, Any]:
    if kind == "answer":
        return {
            ("item", data["item"]): data["value"] or f"not measured: {data.get('not_measured')}"
        }
    if kind in ("defer", "not-applicable"):
        return {("item", data["item"]): (kind,)}
    if kind == "as-cast":
        return {("as-cast", key): value for key, value in data["values"].items()}
    if kind == "revise":
        return {("size", ""): data["after"]}
    if kind in ("pour-start", "pour-end"):
        return {(kind, ""): data["time"]}
    return {}


class Model:
    """All that was ever said, by its seal."""

    def __init__(self) -> None:
        self.said: dict[str, Said] = {}

    def take(self, line: bytes, file: str, seen: Iterable[str], shown: Mapping[Key, str]) -> str:
        """Take in a line as it was written, with all that its writer had in view.

        `shown`: the entries by what they were called on the writer's screen, and so what a line names.
        """
        entry = json.loads(line)
        data, seal, view = entry["data"], str(entry["seal"]), frozenset(seen)
        undoes = entry["kind"] == "undo"
        self.said[seal] = Said(
            seal=seal,
            file=file,
            n=entry["n"],
            at=entry["at"],
            kind=entry["kind"],
            says=_says(entry["kind"], data) if data.get("panel") == MARK else {},
            seen=view,
            settles=frozenset(shown[station, n] for station, n in data.get("settles", ())),
            undoes=shown[data["station"], data["n"]] if undoes else "",
        )
        return seal

    def standing(self, view: Iterable[str]) -> list[Said]:
        """Leave out what of a view is undone."""
        here = [self.said[seal] for seal in view]
        undos: dict[str, list[str]] = {}
        for one in here:
            if one.undoes:
                undos.setdefault(one.undoes, []).append(one.seal)

        def stands(seal: str) -> bool:
            return not any(stands(undo) for undo in undos.get(seal, ()))

        return [one for one in here if one.says and stands(one.seal)]

    def fronts(self, view: Iterable[str]) -> dict[Thing, set[str]]:
        """Find what counts of each thing: nobody said it anew who had seen it, and could decide."""
        standing = self.standing(view)
        by_thing: dict[Thing, list[Said]] = {}
        for one in standing:
            for thing in one.says:
                by_thing.setdefault(thing, []).append(one)
        return {thing: _front(thing, those) for thing, those in by_thing.items()}

    def conflicts(self, view: Iterable[str]) -> dict[Thing, set[str]]:
        return {
            thing: front for thing, front in self.fronts(view).items() if self._differ(thing, front)
        }

    def _differ(self, thing: Thing, front: Iterable[str]) -> bool:
        values = [self.said[seal].says[thing] for seal in front]
        return any(value != values[0] for value in values)


def _front(thing: Thing, those: list[Said]) -> set[str]:
    """Of entries about one thing, those that none of them comes after.

    One comes after what it had seen, unless that was in conflict and it does not name all of that.
    """
    after: dict[str, set[str]] = {}

    def comes_after(one: Said) -> set[str]:
        if one.seal not in after:
            before = [other for other in those if other.seal in one.seen]
            front = {other.seal: other.says[thing] for other in before}
            for other in before:
                for seal in comes_after(other):
                    front.pop(seal, None)
            values = list(front.values())
            decides = all(value == values[0] for value in values) or front.keys() <= one.settles
            after[one.seal] = {other.seal for other in before} if decides else set()
        return after[one.seal]

    for one in those:
        comes_after(one)
    gone = set().union(*after.values())
    return {one.seal for one in those} - gone


# The computers.


@define(eq=False)
class Computer:
    """One copy of the job. `view` is what its open desk has taken in, `known` the ends it has noted."""

    name: str
    root: Path
    clock: Clock
    desk: Desk | None = None
    view: frozenset[str] = frozenset()
    known: dict[str, str] = field(factory=dict)
    forgiven: set[str] = field(factory=set)
    replaced: bool = False
    """Its own file was put in another's place while the desk was open."""
    own: int = 0
    """Entries in its own file, as the open desk left it."""

    @property
    def job(self) -> Path:
        return self.root / "job"

    @property
    def log(self) -> Path:
        return self.job / "log"

    @property
    def state(self) -> Path:
        return self.root / "state"

    def files(self) -> dict[str, bytes]:
        return {
            path.name: path.read_bytes() for path in self.log.iterdir() if ".torn-" not in path.name
        }

    def there(self) -> frozenset[str]:
        """The seals of all complete lines in its log folder."""
        found = (_SEAL.findall(data) for data in self.files().values())
        return frozenset(seal.decode() for seals in found for seal in seals)

    @property
    def crew(self) -> Crew:
        assert self.desk is not None
        return Crew(self.desk, self.clock)


class World:
    """Up to three computers, each with the name `shed` as its station, and the model of it all."""

    def __init__(self, root: Path, stage: str, names: Iterable[str] = "abc") -> None:
        self.root = root
        self.model = Model()
        self.backup: dict[str, list[bytes]] = {}
        """The longest that each file has ever been, by the name it was begun with; of a fork each branch."""
        self.acknowledged: set[str] = set()
        self._ids = 0
        log, at = begun(stage)
        seen: list[str] = []
        for line in log.splitlines():
            own = {("yard", n): seal for n, seal in enumerate(seen, 1)}
            seen.append(self.model.take(line, "yard", seen, own))
        self.backup["yard.jsonl"] = [log]
        self.computers = {}
        for name in names:
            one = Computer(name, root / name, Clock(at))
            one.log.mkdir(parents=True)
            (one.job / "job.toml").write_text(WITH_ENGINEER, encoding="utf-8")
            (one.log / "yard.jsonl").write_bytes(log)
            self.computers[name] = one

    def close(self) -> None:
        for one in self.computers.values():
            self.shut(one)

    # Opening and closing.

    def _new_id(self, name: str) -> str:
        self._ids += 1
        return hashlib.sha256(f"{name} {self._ids}".encode()).hexdigest()[:16]

    def open(self, one: Computer) -> Desk:
        """Open the desk, and hold what it says against the model."""
        if one.desk is not None:
            return one.desk
        desk = Desk.open(
            one.job,
            station="shed",
            clock=one.clock,
            state_folder=one.state,
            new_id=lambda: self._new_id(one.name),
            disk=NoSync(),
        )
        one.desk, one.replaced = desk, False
        one.view = one.there()
        one.own = self._own_entries(one)
        missing = self.missing(one)
        told = [finding for finding in desk.log_findings() if finding.is_error]
        if missing:
            assert desk.read_only, f"{missing} gone, and it is written to"
            assert {gone.head.station for gone in desk.log.gone} == missing
            assert any(finding.code == "log-gone" for finding in told)
        else:
            assert not desk.log.gone, [str(gone) for gone in desk.log.gone]
        if self.forked(one.view):
            assert any(finding.code == "fork" for finding in told), "a fork is not told"
        elif not missing and not self.grown(one):
            assert not desk.read_only, desk.messages
        self._took_in(one)
        return desk

    def shut(self, one: Computer) -> None:
        if one.desk is not None:
            one.desk.close()
            one.desk = None

    def missing(self, one: Computer) -> set[str]:
        """The files of which an end that this computer knew is not there, and that nobody does without."""
        there = one.there()
        return {
            file
            for file, seal in one.known.items()
            if seal not in there and seal not in one.forgiven
        }

    def forked(self, view: Iterable[str]) -> bool:
        """Whether two entries of one file have one number."""
        found = [(self.model.said[seal].file, self.model.said[seal].n) for seal in view]
        return len(found) > len(set(found))

    def grown(self, one: Computer) -> bool:
        """Whether its own file has more than the one write that a killed run can have left unnoted."""
        assert one.desk is not None
        own = one.desk.station
        known = one.known.get(own)
        ends = [self.model.said[seal].n for seal in one.view if self.model.said[seal].file == own]
        return known is not None and max(ends) > self.model.said[known].n + 2

    def _own_entries(self, one: Computer) -> int:
        """Count the entries that stand in the file that its desk writes to."""
        assert one.desk is not None
        path = one.job / one.desk.log.file
        return len(_SEAL.findall(path.read_bytes())) if path.exists() else 0

    def intruded(self, one: Computer) -> bool:
        """Whether its own file has grown, or shrunk, by another's hand while its desk was open."""
        return self._own_entries(one) != one.own

    def _took_in(self, one: Computer, *, own: bool = True) -> None:
        """The desk has all of its view in memory, and where it may write the ends of it are noted.

        `own`: that of its own file too, which nobody else writes to.
        """
        assert one.desk is not None
        held = {entry.seal for entry in one.desk.state.entries}
        assert held == one.view, (
            f"{one.name} lacks {len(one.view - held)}, has {len(held - one.view)} more"
        )
        if not one.desk.read_only:
            for seal in sorted(one.view, key=lambda seal: len(self.model.said[seal].seen)):
                if own or self.model.said[seal].file != one.desk.station:
                    one.known[self.model.said[seal].file] = seal

    # What people do.

    def follow(self, one: Computer) -> None:
        """Look at the folder, as an open deck does every few seconds."""
        if one.desk is None:
            return
        there = one.there()
        news = one.desk.follow()
        lost = one.view - there
        assert news.lost == len(lost), f"{news.lost} told as lost, {len(lost)} are"
        if lost:
            return
        assert {entry.seal for entry in news.entries} == there - one.view, "what came is not told"
        one.view = there
        self._took_in(one, own=False)

    def record(self, one: Computer, act: Act | Refusal) -> Entry | None:
        """Record an act on what the desk shows; None where it was refused, as the model says it must be."""
        if isinstance(act, Refusal):
            return None
        desk = self.open(one)
        there = one.there()
        lost, new = one.view - there, there - one.view
        overtaken = any(self.model.said[seal].kind != "start" for seal in new)
        before = {path.name: path.stat().st_size for path in one.log.iterdir()}
        shown = {entry.key: entry.seal for entry in desk.state.entries}
        one.clock.later(seconds=7)
        try:
            entry = desk.record(act)
        except Overtaken:
            assert overtaken, "it was refused for what nobody wrote"
            one.view = there
            self._took_in(one, own=False)
            return None
        except NotSaved:
            if not (lost or desk.read_only or one.replaced or self.intruded(one)):
                raise
            assert {path.name: path.stat().st_size for path in one.log.iterdir()} == before
            if not lost:
                # The file is another than the one that was open: the next act goes on in a new one.
                one.view = there
            return None
        assert not lost, "an act was saved while entries were gone"
        assert not desk.read_only
        assert not overtaken, "an act was saved on what had just changed"
        one.view = there
        self._wrote(one, entry.seal, shown)
        return entry

    def _wrote(self, one: Computer, seal: str, shown: Mapping[Key, str]) -> None:
        """Take in what a desk has appended: an act, and before it the first entry of a new file."""
        assert one.desk is not None
        path = one.job / one.desk.log.file
        data = path.read_bytes()
        assert data.endswith(b"\n")
        seen = one.view
        for line in data.splitlines():
            if json.loads(line)["seal"] not in self.model.said:
                seen |= {self.model.take(line, path.stem, seen, shown)}
        assert seal in seen, "it was said to be saved, and is not in the file"
        self.acknowledged |= seen - one.view
        one.view = seen
        one.own = self._own_entries(one)
        self._keep(path.name, data)
        self._took_in(one)

    def _keep(self, name: str, data: bytes) -> None:
        others = [one for one in self.backup.get(name, ()) if not data.startswith(one)]
        self.backup[name] = [*others, data]

    def answer(
        self, one: Computer, pick: int, other: int, *, careless: bool = False
    ) -> Entry | None:
        """Answer an item that can be answered now; `other`: not as it is right, but so far off.

        `careless`: as older programs did, it names no conflict.
        """
        self.open(one)
        unlocked = [section for section in one.crew.walk.sections if section.locked_by is None]
        items = [item for section in unlocked for item in section.items]
        if other:
            # Few of them, so that computers meet on the same one.
            items = [item for item in items if _typed(item, other) != good_answer(item)][-SHARED:]
        if not items:
            return None
        item = items[pick % len(items)]
        typed = _typed(item, other)
        act = self._answer(one, item.key, typed, "")
        if isinstance(act, Refusal):
            act = self._answer(one, item.key, typed, "taped again")
        if careless and isinstance(act, Act):
            act = evolve(act, data={k: v for k, v in act.data.items() if k != "settles"})
        return self.record(one, act)

    def _answer(self, one: Computer, key: str, typed: str, why: str) -> Act | Refusal:
        act = acts.answer(one.crew.walk, key, typed, FOREMAN, one.clock.at, why)
        if isinstance(act, Doubt):
            act = acts.answer(one.crew.walk, key, typed, FOREMAN, one.clock.at, "so it was")
        return act

    def defer(self, one: Computer, pick: int) -> Entry | None:
        self.open(one)
        walk = one.crew.walk
        items = [item for item in walk.items() if acts.due_points(walk, item)]
        if not items:
            return None
        item = items[pick % len(items)]
        before = acts.due_points(walk, item)[0]
        return self.record(one, acts.defer(walk, item.key, "later", FOREMAN, before, FOREMAN))

    def undo(self, one: Computer) -> Entry | None:
        desk = self.open(one)
        return self.record(one, desk.undo(FOREMAN, "a slip"))

    def revise(self, one: Computer, width: int) -> Entry | None:
        desk = self.open(one)
        change = desk.resize("A", 1, width=Decimal(width))
        if isinstance(change, Refusal):
            return None
        word = Word(of=ENGINEER, reason="rev C")
        return self.record(one, desk.revise(change, by=ENGINEER, reason="rev C", word=word))

    def sign(self, one: Computer) -> Entry | None:
        """Release the hold that is next, or end the section: nothing is where something is in conflict."""
        self.open(one)
        walk = one.crew.walk
        for section in walk.sections:
            if section.state == "done":
                continue
            if section.hold is not None:
                act = acts.release(walk, section.hold.id, CHECKER, "", "walked round it")
            else:
                act = complete(walk, section.id, FOREMAN)
            if isinstance(act, Act) and act.kind in ("release", "close"):
                assert not self.model.conflicts(one.view), (
                    f"{act.kind} while something is in conflict"
                )
            return self.record(one, act)
        return None

    def work_on(self, one: Computer, count: int = 3) -> None:
        """Answer what is asked next, or end the section where nothing is."""
        for _ in range(count):
            self.open(one)
            section = next((one for one in one.crew.walk.sections if one.state == "open"), None)
            if section is None:
                return
            item = next((item for item in section.items if not item.answered), None)
            if item is None:
                self.sign(one)
                return
            self.record(one, self._answer(one, item.key, good_answer(item), ""))

    # What happens to files.

    def bring(
        self,
        source: Computer,
        target: Computer,
        *,
        part: float = 1.0,
        only: int | None = None,
        sync_name: int | None = None,
    ) -> None:
        """Copy log files that are longer than the target's, as far as they have come, or under other names.

        `only`: one of them, as sync programs do. Where both have gone on by themselves the copy gets another
        name.
        """
        files = sorted(source.files().items())
        for name, data in files if only is None else [files[only % len(files)]]:
            there = target.log / name
            mine = there.read_bytes() if there.exists() else b""
            data = data[: round(len(data) * part)]
            if mine.startswith(data):
                continue
            if sync_name is not None or not data.startswith(mine):
                stem = name.partition(".jsonl")[0]
                there = target.log / SYNC_NAMES[(sync_name or 0) % len(SYNC_NAMES)].format(stem)
                if there.exists() and there.read_bytes().startswith(data):
                    continue
            there.write_bytes(data)

    def jump(self, one: Computer, hours: float) -> None:
        one.clock.later(hours=hours)

    def crash(self, one: Computer, left: float) -> None:
        """Kill the desk while it writes its next act: some of the line may be there, nothing was said."""
        if one.desk is None or one.desk.read_only or one.replaced or one.there() != one.view:
            return
        known = {path: path.read_bytes() for path in (one.state / "ends").glob("*")}
        before = {path.name: path.read_bytes() for path in one.log.iterdir()}
        act = acts.note(one.crew.walk, None, f"killed at {left}", FOREMAN)
        assert isinstance(act, Act)
        one.desk.record(act)
        path = one.job / one.desk.log.file
        self.shut(one)
        old, new = before.get(path.name, b""), path.read_bytes()
        line = new[len(old) :]
        if old:
            path.write_bytes(old + line[: round((len(line) - 2) * left)])
        else:
            path.unlink()
        for note in (one.state / "ends").glob("*"):
            note.unlink()
        for note, data in known.items():
            note.write_bytes(data)
        one.view = one.there()
        self.open(one)

    def restore(self, one: Computer, name: str, lines: int) -> None:
        """Put an old copy of a file in its place: so many of its lines, or none of it."""
        path = one.log / name
        old = b"".join(path.read_bytes().splitlines(keepends=True)[:lines])
        copy = path.with_name(".copy")
        copy.write_bytes(old)
        copy.replace(path)
        if one.desk is not None and (one.job / one.desk.log.file) == path:
            one.replaced = True

    def put_back(self, one: Computer) -> None:
        """Copy back what is longer in the backup, of the files that this computer had."""
        for name in self.backup:
            if name.removesuffix(".jsonl") in one.known:
                self._from_backup(one, name)

    def _from_backup(self, one: Computer, name: str) -> None:
        path = one.log / name
        for number, data in enumerate(self.backup[name]):
            mine = path.read_bytes() if path.exists() else b""
            if data.startswith(mine):
                path.write_bytes(data)
            elif not mine.startswith(data):
                path.with_name(f"{path.stem} (backup {number}).jsonl").write_bytes(data)

    def hold_out(self, one: Computer) -> None:
        """Write what the open desk holds of its own file to a file again."""
        if one.desk is None or one.desk.read_only or not one.view - one.there():
            return
        own = {seal for seal in one.view if self.model.said[seal].file == one.desk.station}
        if not own:
            return
        one.desk.hold_out()
        assert own <= one.there(), "what the desk held is not in the folder"
        one.replaced = False
        self.follow(one)

    def go_on(self, one: Computer) -> None:
        """Somebody decides to do without what is gone, or to go on after a fork."""
        desk = self.open(one)
        missing = self.missing(one)
        if not (desk.read_only and (missing or self.forked(one.view) or self.grown(one))):
            return
        entry = desk.log.go_on(FOREMAN, "there is no other copy")
        one.forgiven |= {one.known[file] for file in missing}
        path = one.job / desk.log.file
        seal = self.model.take(path.read_bytes().splitlines()[0], path.stem, one.view, {})
        assert seal == entry.seal
        self.acknowledged.add(seal)
        self._keep(path.name, path.read_bytes())
        self.shut(one)
        self.open(one)

    def clone(self, one: Computer, name: str) -> None:
        """Copy a whole disk to another computer: two installations with one id."""
        self.shut(one)
        if name in self.computers:
            self.shut(self.computers[name])
            shutil.rmtree(self.root / name)
        other = Computer(name, self.root / name, Clock(one.clock.at + timedelta(seconds=1)))
        shutil.copytree(one.root, other.root)
        self.computers[name] = other

    # What must hold.

    def check(self, one: Computer) -> None:
        """Hold what an open desk shows to what the model says of its view."""
        desk = one.desk
        if desk is None:
            return
        assert {entry.seal for entry in desk.state.entries} == one.view
        record = desk.state.panel(MARK)
        shown = {
            thing: {entry.seal for entry in entries} for thing, entries in record.conflicts.items()
        }
        conflicts = self.model.conflicts(one.view)
        assert shown == conflicts, f"shown {shown}, in conflict {conflicts}"
        for (kind, key), front in self.model.fronts(one.view).items():
            if kind == "item":
                latest = record.latest.get(key)
                if (kind, key) in conflicts:
                    assert latest is None, f"{key} is in conflict and has a value"
                else:
                    assert latest is not None, f"{key} has no answer"
                    assert latest.seal in front, f"{key} has an answer that was put right"
        if conflicts:
            self._check_releases(one, conflicts)

    def _check_releases(self, one: Computer, conflicts: dict[Thing, set[str]]) -> None:
        for section in one.crew.walk.sections:
            covers = ("size", "") in conflicts or any(
                kind == "item" and key.startswith(f"{section.id}.") for kind, key in conflicts
            )
            hold, poured = section.hold, one.crew.walk.record.pour_start
            # What was released before the pour is history.
            if hold and hold.entry and poured and hold.entry.order < poured.order:
                continue
            if covers and section.hold is not None:
                assert section.hold.state != "released", (
                    f"{section.id} rests on what is in conflict"
                )

    def check_order(self, one: Computer, shuffle: random.Random) -> None:
        """Whichever file is read first, the order of the entries and what each had seen is the same."""
        scans = [scan(data, name) for name, data in one.files().items() if data]
        first = union_of(scans).entries
        expected = [(entry.seal, dict(entry.past)) for entry in first]
        shuffle.shuffle(scans)
        assert [(entry.seal, dict(entry.past)) for entry in union_of(scans).entries] == expected
        place = {entry.seal: number for number, entry in enumerate(first)}
        for entry in first:
            for seal in self.model.said[entry.seal].seen & place.keys():
                assert place[seal] < place[entry.seal], "what was seen comes after"

    def heal(self) -> None:
        """Put everything back and bring it together: one state everywhere, and all that was acknowledged."""
        computers = list(self.computers.values())
        for one in computers:
            self.shut(one)
            for name in self.backup:
                self._from_backup(one, name)
        for _ in range(2):
            for one in computers:
                for other in computers:
                    if one is not other:
                        self.bring(one, other)
        for one in computers:
            self.open(one)
            self.check(one)
            assert self.acknowledged <= one.view, "an entry that was said to be saved is nowhere"
            self.check_order(one, random.Random(len(one.view)))
        states = [one.desk.state for one in computers if one.desk is not None]
        orders = [[entry.seal for entry in state.entries] for state in states]
        assert all(order == orders[0] for order in orders)
        assert all(state.panels == states[0].panels for state in states)
        assert all(state.revisions == states[0].revisions for state in states)


def _typed(item: ItemView, other: int) -> str:
    """The right answer, or one that is so many steps beside it where the item has another."""
    if other and item.kind == "choice":
        return item.choices[-1 - other % len(item.choices)]
    if other and item.kind == "number":
        step = Decimal("0.001") if item.unit == "m" else 1
        return str(Decimal(good_answer(item)) + other * step)
    return good_answer(item)
