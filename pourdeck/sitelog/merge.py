"""The logs of all stations as one.

Order: each file keeps its own; between files an entry stands where the latest time its file had
reached by then puts it, so that a clock that went back moves nothing, and equal times go by
station. The same files give the same order, whichever is read first.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path

from attrs import frozen

from pourdeck.sitelog.chain import place, read_file
from pourdeck.sitelog.disk import DISK, Disk
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.names import station_of
from pourdeck.sitelog.scan import LogFault, Scan


@frozen(kw_only=True, eq=False, repr=False)
class Union:
    """All there is of a job's log.

    `waiting`: files whose last line is not all here yet, such as one that is just being copied.
    `ignored`: names in the log folder that no station can have, such as the copies of a sync
    program.
    """

    entries: tuple[Entry, ...] = ()
    scans: tuple[Scan, ...] = ()
    faults: tuple[LogFault, ...] = ()
    waiting: tuple[str, ...] = ()
    ignored: tuple[str, ...] = ()


def read_union(folder: Path, *, have: Iterable[Scan] = (), disk: Disk = DISK) -> Union:
    """Read every station's log of a job folder; `have` are scans that need not be read again.

    Raises OSError where the log folder is there and cannot be listed. Nothing is written.
    """
    known = {each.station: each for each in have}
    names = disk.names(folder / "log")
    stations = [station for name in names if (station := station_of(name)) is not None]
    scans = tuple(known.get(name) or read_file(disk, folder, name) for name in stations)
    ignored = (name for name in names if station_of(name) is None and ".jsonl.t" not in name)
    return Union(
        entries=tuple(unite(scans)),
        scans=scans,
        faults=tuple(fault for each in scans for fault in each.faults),
        waiting=tuple(each.file for each in scans if each.tail),
        ignored=tuple(ignored),
    )


def unite(scans: Iterable[Scan]) -> list[Entry]:
    """The entries of some files in their order. What stands in two files, a copy, counts once."""
    files = [each.entries for each in sorted(scans, key=_copies_last) if each.entries]
    if len(files) == 1:
        return list(files[0])
    seen: set[str] = set()
    distinct: list[list[Entry]] = []
    for entries in files:
        new = [entry for entry in entries if entry.seal not in seen]
        seen.update(entry.seal for entry in new)
        distinct.append(new)
    return in_order(distinct)


def _copies_last(each: Scan) -> tuple[bool, str]:
    return each.named != each.station and not each.continues, each.station


def in_order(files: Iterable[Sequence[Entry]]) -> list[Entry]:
    """Merge the entries of some files, each in its own order, into one order."""
    placed = sorted(((place(each[0]), each) for each in files if each), key=_by_place)
    keyed: list[tuple[datetime, str, int, int, Entry]] = []
    reached: dict[str, datetime] = {}
    for (station, number), entries in placed:
        latest = reached.get(station, entries[0].at)
        for entry in entries:
            latest = max(latest, entry.at)
            keyed.append((latest, station, number, entry.n, entry))
        reached[station] = latest
    keyed.sort(key=_without_entry)
    return [each[-1] for each in keyed]


def _by_place(placed: tuple[tuple[str, int], Sequence[Entry]]) -> tuple[str, int]:
    return placed[0]


def _without_entry(keyed: tuple[datetime, str, int, int, Entry]) -> tuple[datetime, str, int, int]:
    return keyed[:4]
