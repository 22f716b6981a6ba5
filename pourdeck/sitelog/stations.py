"""Who writes to a job: each line of the log, how far the others have seen it, and whether clocks agree."""

from collections.abc import Iterable, Mapping, Sequence

from attrs import frozen

from pourdeck.sitelog.clocks import Clock, clock_of, leads
from pourdeck.sitelog.entries import FORK, Entry
from pourdeck.sitelog.known import Gone, seen_ends
from pourdeck.sitelog.scan import LogFault, Scan
from pourdeck.sitelog.union import Union, Unread


@frozen(kw_only=True, eq=False, repr=False)
class Station:
    """One line of the log: a file of an installation, or the second branch of one that forked.

    `line` is its name, `station` what its first entry is signed with. `installation`: its id, "" in an older
    file. `here`: this computer's. `shared`: two branches have that name and id. `files` hold all of it;
    `copies` end at these numbers, by the name of the file. `seen_by`: the last number that each other line
    had seen of it, 0 for none. `awaited`: the last number that another one had seen, where that is not here
    yet, else 0. `jumps`: entries before which its clock had jumped.
    """

    line: str
    station: str
    installation: str
    here: bool
    shared: bool
    entries: Sequence[Entry]
    files: tuple[str, ...]
    copies: Mapping[str, int]
    seen_by: Mapping[str, int]
    awaited: int
    clocks: tuple[Clock, ...]
    jumps: tuple[Entry, ...]
    waiting: bool
    faults: tuple[LogFault, ...]
    gone: tuple[Gone, ...]

    @property
    def last(self) -> Entry:
        return self.entries[-1]

    @property
    def branch(self) -> bool:
        """True for the second branch of a fork."""
        return FORK in self.line

    @property
    def wrong(self) -> bool:
        """Forked, damaged, with entries gone, or with a clock that did not agree with another's."""
        return bool(
            self.shared or self.faults or self.gone or any(clock.apart for clock in self.clocks)
        )


@frozen(kw_only=True, eq=False, repr=False)
class Stations:
    """All of them, in the order of their names.

    `faults` and `gone` are of files without a line; `not_here`: lines that others had seen, with the last
    number they saw; `unread`: what else lies in the log folder.
    """

    every: tuple[Station, ...]
    faults: tuple[LogFault, ...]
    gone: tuple[Gone, ...]
    not_here: Mapping[str, int]
    unread: tuple[Unread, ...]

    @property
    def wrong(self) -> bool:
        """Something is wrong with a station, or with a file that is nobody's."""
        return bool(
            self.faults
            or self.gone
            or any(one.wrong for one in self.every)
            or any(one.wrong for one in self.unread)
        )


def stations(union: Union, gone: Iterable[Gone], installation: str) -> Stations:
    """Tell who writes to a job. `installation`: the id of this computer's, "" where it has none."""
    lines = {name: union.lines[name] for name in sorted(union.lines)}
    holds = _files(union.scans, lines)
    found = leads(lines)
    furthest = {head.station: head.n for head in seen_ends(lines)}
    missing = tuple(gone)
    every = []
    for name, entries in lines.items():
        scans = holds[name]
        owner = next((one.owner for one in scans if one.owner), "")
        last = entries[-1].seal
        whole = {one.file for one in scans if _has(one, last)}
        others = [other for other in lines if other != name]
        base = name.partition(FORK)[0]
        kin = [other for other in others if other.partition(FORK)[0] == base]
        files = {one.file for one in scans}
        every.append(
            Station(
                line=name,
                station=next((one.named for one in scans if one.named), name),
                installation=owner,
                here=bool(owner) and owner == installation,
                shared=bool(kin),
                entries=entries,
                files=tuple(sorted(whole)),
                copies={one.file: one.entries[-1].n for one in scans if one.file not in whole},
                seen_by={other: _saw(lines[other][-1], name) for other in others},
                awaited=furthest.get(name, 0) if furthest.get(name, 0) > entries[-1].n else 0,
                clocks=tuple(clock_of(name, other, found) for other in others if other not in kin),
                jumps=tuple(entry for entry in entries if entry.clock),
                waiting=any(file in files for file in union.waiting),
                faults=tuple(fault for fault in union.faults if fault.file in files),
                gone=tuple(one for one in missing if one.head.station == name),
            )
        )
    told = {file for one in every for file in (*one.files, *one.copies)}
    return Stations(
        every=tuple(every),
        faults=tuple(fault for fault in union.faults if fault.file not in told),
        gone=tuple(one for one in missing if one.head.station not in lines),
        not_here={name: n for name, n in furthest.items() if name not in lines},
        unread=union.unread,
    )


def _saw(last: Entry, name: str) -> int:
    """The last number of a line that whoever made this had seen, whether it is here or not."""
    named = (head.n for head in last.seen if head.station == name)
    return max((last.past.get(name, 0), *named))


def _has(one: Scan, seal: str) -> bool:
    return any(entry.seal == seal for entry in reversed(one.entries))


def _files(scans: Iterable[Scan], lines: Mapping[str, Sequence[Entry]]) -> dict[str, list[Scan]]:
    """The files of each line: those that hold its last entry, and those that end somewhere in it."""
    line_of = {entry.seal: name for name, entries in lines.items() for entry in entries}
    found: dict[str, list[Scan]] = {name: [] for name in lines}
    for one in scans:
        ends = {line_of.get(one.entries[-1].seal)} if one.entries else set()
        ends |= {name for name, entries in lines.items() if _has(one, entries[-1].seal)}
        for name in sorted(filter(None, ends)):
            found[name].append(one)
    return found
