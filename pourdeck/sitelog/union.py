"""The logs of all stations as one: what is in the folder, whose it is, forks, and the order of it all.

Every file with sealed lines is read, whatever its name. Which file it is says its first entry, and an entry
is known by its seal, so that copies made by sync programs count once. Two entries after the same one are a
fork: both branches are kept, the later one under a name of its own.

Order: what an entry had seen comes before it: what stands before it in its file, the heads it names, the
entries its data names. Otherwise by time, then station, then number; a clock that went back moves nothing
within its file. The same files give the same order, whichever is read first.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from functools import partial
from operator import attrgetter
from pathlib import Path

from attrs import define, evolve, field, frozen

from pourdeck.sitelog.disk import DISK, Disk, Watched, reason
from pourdeck.sitelog.entries import FORK, Entry, Head, station_of, station_words
from pourdeck.sitelog.scan import LogFault, Scan, scan, unreadable

Lines = Mapping[str, Sequence[Entry]]
"""The entries of each station, from its first."""

# What lies in the folder.

TEMPORARY = re.compile(r"[.~].*|.*\.(tmp|part|partial|crdownload)|.*\.tmp-.*", re.IGNORECASE)
_SET_ASIDE = re.compile(r".*\.(torn|kept)-.*")


@frozen
class Unread:
    """A file in the log folder that was not read, and why."""

    name: str
    why: str
    wrong: bool = False
    """Something of the log may be in it."""


@frozen(kw_only=True, eq=False, repr=False)
class Union:
    """All there is of a job's log.

    `lines`: the entries of each station in their order. `faults` are of all files, `forks` among them.
    `waiting`: files whose last line is not all here yet, such as one that is just being copied. `unread`:
    what else lies in the log folder.
    """

    entries: tuple[Entry, ...] = ()
    lines: Lines = field(factory=dict)
    scans: tuple[Scan, ...] = ()
    faults: tuple[LogFault, ...] = ()
    forks: tuple[LogFault, ...] = ()
    waiting: tuple[str, ...] = ()
    unread: tuple[Unread, ...] = ()


def read_union(folder: Path, *, disk: Disk = DISK) -> Union:
    """Read every station's log of a job folder. Nothing is written.

    Raises OSError where the log folder is there and cannot be listed.
    """
    return LogFolder(folder, disk).read()


class LogFolder(Watched):
    """The log folder of a job, looked at again and again: only what has changed since is read anew."""

    def __init__(self, folder: Path, disk: Disk = DISK) -> None:
        super().__init__(folder / "log", disk)
        self._read: dict[str, Scan | Unread] = {}

    def read(self) -> Union:
        """All there is of the log now. Raises OSError where the folder is there and cannot be listed."""
        # Marked before it is read: what is written meanwhile is read again the next time.
        marks = self._disk.marks(self._path)
        found: dict[str, Scan | Unread] = {}
        for name, kind in self._disk.listing(self._path):
            known = self._read.get(name)
            if known is None or name in self._own or self._marks.get(name) != marks.get(name):
                known = look(name, kind, partial(self._disk.read, self._path / name))
            found[name] = known
        self._marks, self._read, self._own = marks, found, set()
        every = found.values()
        return union_of(
            [one for one in every if isinstance(one, Scan)],
            [one for one in every if isinstance(one, Unread)],
        )


def union_of(scans: Sequence[Scan], unread: Sequence[Unread] = ()) -> Union:
    """The union of files that were read."""
    lines, forks = trunks(scans)
    if forks:
        _say_what_is_meant(lines)
    return Union(
        entries=tuple(in_order(lines)),
        lines=lines,
        scans=tuple(scans),
        faults=(*(fault for each in scans for fault in each.faults), *forks),
        forks=tuple(forks),
        waiting=tuple(each.file for each in scans if each.tail),
        unread=tuple(unread),
    )


def look(name: str, kind: str, read: Callable[[], bytes]) -> Scan | Unread:
    """Read one name of the log folder, if it may be a log."""
    if TEMPORARY.fullmatch(name):
        return Unread(name, "a file that is being written, or a hidden one")
    if _SET_ASIDE.fullmatch(name):
        return Unread(name, "bytes that were set aside")
    if ".jsonl" not in name.lower():
        return Unread(name, "its name is not that of a log")
    if kind != "file":
        return unreadable(name, f"it is {kind}")
    try:
        data = read()
    except OSError as error:
        return unreadable(name, reason(error))
    found = scan(data, name)
    if not found.entries and station_of(name) is None:
        why = "it is empty" if not data else "no line of it is sealed"
        return Unread(name, why, wrong=bool(data))
    return found


# Which entries hang together: a line of them for each file that was begun, and for each branch of a fork.


def trunks(scans: Iterable[Scan]) -> tuple[dict[str, list[Entry]], list[LogFault]]:
    """The entries of each station in their order, copies united, and what forked."""
    by_chain: dict[str, list[Scan]] = {}
    for each in _known_by_content(scans):
        by_chain.setdefault(each.chain, []).append(each)
    lines: dict[str, list[Entry]] = {}
    forks: list[LogFault] = []
    for chain, copies in by_chain.items():
        one = copies[0]
        if len(copies) == 1 and not any(fault.code == "fork" for fault in one.faults):
            lines[chain] = list(one.entries)
        else:
            branches = _Branches(chain, copies)
            lines |= branches.lines
            forks += branches.forks
    return lines, forks


def _known_by_content(scans: Iterable[Scan]) -> list[Scan]:
    """Files with entries, by name; a copy whose first lines are lost has the name of what it is a copy of."""
    held = sorted((each for each in scans if each.entries), key=attrgetter("name"))
    if all(each.entries[0].n == 1 for each in held):
        return held
    chains = {
        entry.seal: each.chain for each in held if each.entries[0].n == 1 for entry in each.entries
    }
    found = []
    for each in held:
        seals = (seal for entry in each.entries for seal in (entry.seal, entry.prev))
        chain = next((chains[seal] for seal in seals if seal in chains), each.chain)
        if each.entries[0].n > 1 and chain != each.chain:
            entries = tuple(evolve(entry, station=chain) for entry in each.entries)
            each = evolve(each, chain=chain, entries=entries)
        found.append(each)
    return found


class _Branches:
    """Put the copies of one file together."""

    def __init__(self, chain: str, copies: Sequence[Scan]) -> None:
        self.lines: dict[str, list[Entry]] = {}
        self.forks: list[LogFault] = []
        self._chain = chain
        self._files: dict[str, str] = {}
        """The file that an entry was read from first, by its seal."""
        before: dict[str, str] = {}
        distinct: dict[str, Entry] = {}
        for copy in copies:
            last = ""
            for entry in copy.entries:
                distinct.setdefault(entry.seal, entry)
                self._files.setdefault(entry.seal, copy.file)
                before.setdefault(entry.seal, last)
                last = entry.seal
        after: dict[str, list[Entry]] = {}
        for entry in distinct.values():
            after.setdefault(entry.prev, []).append(entry)
        branch: dict[str, str] = {}
        for entry in sorted(distinct.values(), key=attrgetter("n", "seal")):
            beside = sorted(after[entry.prev], key=attrgetter("at", "seal"))
            # Where entries are missing it goes on from what stands before it in its file.
            parent = entry.prev if entry.prev in distinct else before[entry.seal]
            line = branch.get(parent, chain)
            if entry is not beside[0]:
                line = f"{chain}{FORK}{entry.seal[:6]}"
                self.forks.append(self._fault(beside[0], entry))
            branch[entry.seal] = line
            self.lines.setdefault(line, []).append(
                entry if line == chain else evolve(entry, station=line)
            )

    def _fault(self, one: Entry, other: Entry) -> LogFault:
        files = [self._files[each.seal] for each in (one, other)]
        where = files[0] if files[0] == files[1] else f"{files[0]} and {files[1]}"
        second = station_words(f"{self._chain}{FORK}{other.seal[:6]}")
        message = (
            f"{where}: two different entries {one.n} were made, no. {one.n} {one.seal[:12]} of "
            f"{one.at:%Y-%m-%d %H:%M} by {one.by} and {other.seal[:12]} of {other.at:%Y-%m-%d %H:%M} by "
            f"{other.by}: two programs wrote the same file. Both branches are kept, the second as {second}"
        )
        return LogFault(file=files[1], line=0, offset=0, code="fork", message=message)


def _say_what_is_meant(lines: Lines) -> None:
    """Tell of each entry which ones it names: the numbers of a file go by the branch it had in view."""
    by_seal = {entry.seal: entry for entries in lines.values() for entry in entries}

    def in_view(entry: Entry, station: str) -> str:
        head = next((one for one in entry.seen if one.station == station), None)
        known = by_seal.get(head.seal) if head is not None else None
        if known is not None:
            return known.station
        return entry.station if entry.station.partition(FORK)[0] == station else station

    for entry in by_seal.values():
        meant = {}
        for station, n in entry.named():
            line = in_view(entry, station)
            # What stands before a fork is in the line that it came off.
            while line in lines and n < lines[line][0].n and lines[line][0].prev in by_seal:
                line = by_seal[lines[line][0].prev].station
            if line != station:
                meant[station, n] = line, n
        if meant:
            entry.meant = meant


# The order of it all.


def in_order(lines: Lines) -> list[Entry]:
    """All entries in their one order, each with what came before it."""
    held = {station: entries for station, entries in lines.items() if entries}
    if len(held) < 2:
        return [entry for entries in held.values() for entry in entries]
    return list(_Merge(held).entries())


@define
class _Line:
    """One station's entries, as far as they are in order already.

    `before`: what the next one had seen of other lines, as far as that is here. `past` is that of the last,
    `own` the lines that this one goes on from.
    """

    entries: Sequence[Entry]
    done: int = 0
    before: tuple[Entry, ...] = ()
    past: Mapping[str, int] = field(factory=dict)
    own: Mapping[str, int] = field(factory=dict)

    @property
    def next(self) -> Entry:
        return self.entries[self.done]


class _Merge:
    """Takes from the fronts of all lines the earliest entry that has nothing unseen before it."""

    def __init__(self, held: Lines) -> None:
        self._lines = {station: _Line(entries) for station, entries in held.items()}
        every = [entry for entries in held.values() for entry in entries]
        self._by_key = {entry.key: entry for entry in every}
        self._by_seal = {entry.seal: entry for entry in every}

    def entries(self) -> Iterator[Entry]:
        going = list(self._lines.values())
        for line in going:
            line.before = self._before(line.next)
        while going:
            free = [one for one in going if all(map(self._is_done, one.before))]
            # Entries that name each other in a ring cannot all come last; nobody writes such.
            line = min(free or going, key=_time_of)
            entry = line.next
            if line.before or entry.seen:
                line.past = self._past(line, entry)
            entry.past = line.past
            line.done += 1
            if line.done < len(line.entries):
                line.before = self._before(line.next)
            else:
                going = [one for one in going if one is not line]
            yield entry

    def _is_done(self, entry: Entry) -> bool:
        line = self._lines[entry.station]
        return line.done > 0 and line.entries[line.done - 1].n >= entry.n

    def _past(self, line: _Line, entry: Entry) -> Mapping[str, int]:
        """The last number of each other line that was in view when an entry was made.

        That is what it says it had seen, and no more: what others had seen may not have arrived there. Older
        entries say nothing; they had seen what they name, and what those before them had.
        """
        found: dict[str, int] = {}
        if line.done == 0 and (before := self._goes_on_from(entry)) is not None:
            found |= before.past
            self._add(found, before.station, before.n, entry.station)
            line.own = dict(found)
        found = dict(line.own if entry.seen else {**line.past, **found})
        for head in entry.seen:
            last = self._by_seal.get(head.seal) or self._arrived(head)
            if last is not None:
                self._add(found, last.station, last.n, entry.station)
        for station, n in entry.named():
            self._add(found, station, n, entry.station)
        return line.past if found == line.past else found

    def _add(self, found: dict[str, int], station: str, n: int, own: str) -> None:
        """Add a line as far as that number; of a branch also what stands before its fork."""
        while station in self._lines:
            if station != own:
                found[station] = max(n, found.get(station, 0))
            first = self._lines[station].entries[0]
            before = self._by_seal.get(first.prev)
            if before is None:
                return
            station, n = before.station, before.n

    def _goes_on_from(self, entry: Entry) -> Entry | None:
        """The entry of another line that the first of one goes on from: after a fork, or in a next file."""
        continued = entry.data.get("continues") if entry.kind == "start" else None
        head = str(continued.get("head")) if isinstance(continued, dict) else entry.prev
        return self._by_seal.get(head)

    def _before(self, entry: Entry) -> tuple[Entry, ...]:
        found = [self._by_seal.get(head.seal) or self._arrived(head) for head in entry.seen]
        found += (self._by_seal.get(entry.prev), self._goes_on_from(entry))
        found += (self._by_key.get(key) for key in entry.named())
        return tuple(one for one in found if one is not None and one.station != entry.station)

    def _arrived(self, head: Head) -> Entry | None:
        """Give the last entry of a file that is not here as far as that head yet."""
        line = self._lines.get(head.station)
        last = line.entries[-1] if line is not None else None
        return last if last is not None and last.n < head.n else None


def _time_of(line: _Line) -> tuple[datetime, str, int]:
    entry = line.next
    return entry.at, entry.station, entry.n
