"""Reading the log: one file, the files of a station, and those of all stations as one.

A line is good where its seal fits and it stands after the entry it names. What follows the last
newline is not damage: a complete entry that lacks only its newline counts, anything else is the
torn tail of a write that never ended. Every other bad line is damage; intact entries round it are
still given.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path

from attrs import frozen

from pourdeck.plan.messages import Finding
from pourdeck.sitelog.disk import DISK, Disk, reason
from pourdeck.sitelog.entries import (
    BadLineError,
    Entry,
    log_name,
    object_end,
    read_line,
    station_of,
)

# Reading one station's file: its entries, what is wrong with it, and how far it is good.

FORMAT = 1
"""The format of the log this program writes, and the newest it can add to."""


@frozen(kw_only=True, eq=False, repr=False)
class LogFault:
    """Damage in a file. `line` counts from 1, `offset` is that line's first byte, both 0 for a
    whole file.
    """

    file: str
    line: int
    offset: int
    code: str
    message: str

    def __str__(self) -> str:
        return f"{self.file}, line {self.line}: {self.message}" if self.line else self.message

    def finding(self) -> Finding:
        return Finding(
            code=self.code,
            severity="error",
            message=str(self),
            file=self.file,
            line=self.line or None,
        )


@frozen(kw_only=True, eq=False, repr=False)
class Scan:
    """One file as read. `end` is how many bytes of it are good where there is no fault.

    `sound` is how many entries from the first on hang together without a gap. `tail` is what
    follows the last entry and is none; `unended`: the last entry lacks its newline. `named` is the
    station that the first entry names: not `station` in a copy or a continued file.
    """

    station: str
    entries: tuple[Entry, ...] = ()
    faults: tuple[LogFault, ...] = ()
    tail: bytes = b""
    end: int = 0
    sound: int = 0
    unended: bool = False
    format: int | None = None
    named: str | None = None
    continues: bool = False

    @property
    def file(self) -> str:
        return log_name(self.station)

    @property
    def whole(self) -> bool:
        return not self.faults and not self.tail

    @property
    def head(self) -> str | None:
        """The seal of the last entry, None where there is none."""
        return self.entries[-1].seal if self.entries else None

    @property
    def newer(self) -> bool:
        """A later program began the file, and this one must not add to it."""
        return self.format is not None and self.format > FORMAT


def scan(data: bytes, station: str) -> Scan:
    """Read the bytes of a file. Never raises, whatever the bytes."""
    lines = data.split(b"\n")
    tail = lines.pop()
    entries: list[Entry] = []
    prev, count = "", 0
    for raw in lines:
        try:
            entry = read_line(raw, station)
        except BadLineError:
            break
        if entry.prev != prev or entry.n != count + 1:
            break
        entries.append(entry)
        prev = entry.seal
        count += 1
    reader = _Reader(entries, station)
    if count < len(lines):
        reader.read_on(lines)
    rest = reader.read_tail(tail)
    return reader.result(sound=count, end=len(data) - len(rest), tail=rest)


class _Reader:
    """Reads on after the first bad line, keeping every intact entry once, in the order of `n`."""

    def __init__(self, sound: list[Entry], station: str) -> None:
        self.station = station
        self.kept = sound
        self.last = sound[-1] if sound else None
        self.lines: dict[int, tuple[int, str]] = {}
        self.after_bad_line = False
        self.unended = False
        self.faults: list[LogFault] = []

    def read_on(self, lines: list[bytes]) -> None:
        """Read the lines after the sound ones, of which there is at least one, and it is bad."""
        first = len(self.kept)
        self.lines = {entry.n: (entry.n, entry.seal) for entry in self.kept}
        offset = sum(len(raw) + 1 for raw in lines[:first])
        for line, raw in enumerate(lines[first:], first + 1):
            self._read(line, offset, raw)
            offset += len(raw) + 1

    def _read(self, line: int, offset: int, raw: bytes) -> None:
        try:
            entry = read_line(raw, self.station)
        except BadLineError as bad:
            self._fault(line, offset, bad.code, str(bad))
            self.after_bad_line = True
            return
        if entry.n in self.lines:
            known, seal = self.lines[entry.n]
            same = seal == entry.seal
            what = "the same entry" if same else f"another entry with the number {entry.n}"
            code = "duplicate" if same else "fork"
            self._fault(line, offset, code, f"{what} stands in line {known} already")
            return
        if not self._follows(entry):
            where = f"entry {self.last.n}" if self.last else "the start of the file"
            message = f"entry {entry.n} follows {where}: entries are missing, or lines were moved"
            self._fault(line, offset, "out-of-place", message)
        self.lines[entry.n] = (line, entry.seal)
        self._keep(entry)

    def read_tail(self, tail: bytes) -> bytes:
        """Keep the complete entry at the start of what follows the last newline; give back the
        rest.
        """
        if not tail:
            return b""
        try:
            # Latin-1 reads any byte as one character, so the end in characters is the end in bytes.
            size = object_end(tail.decode("latin-1"))
            entry = read_line(tail[:size], self.station)
        except ValueError:
            return tail
        if entry.n in self.lines or not self._follows(entry):
            return tail
        self._keep(entry)
        self.unended = True
        return tail[size:]

    def _keep(self, entry: Entry) -> None:
        self.kept.append(entry)
        self.last = entry
        self.after_bad_line = False

    def _follows(self, entry: Entry) -> bool:
        prev, n = (self.last.seal, self.last.n) if self.last else ("", 0)
        if entry.prev == prev and entry.n == n + 1:
            return True
        return self.after_bad_line and entry.n > n + 1

    def _fault(self, line: int, offset: int, code: str, message: str) -> None:
        file = log_name(self.station)
        self.faults.append(
            LogFault(file=file, line=line, offset=offset, code=code, message=message)
        )

    def result(self, *, sound: int, end: int, tail: bytes) -> Scan:
        entries = sorted(self.kept, key=_number) if self.faults else self.kept
        fault, log_format, named = _start(entries, self.station)
        if fault is not None and not self.faults:
            self.faults.append(fault)
        return Scan(
            station=self.station,
            entries=tuple(entries),
            faults=tuple(self.faults),
            tail=tail,
            end=end,
            sound=sound if self.faults else len(entries),
            unended=self.unended,
            format=log_format,
            named=named,
            continues=named is not None and bool(entries[0].data.get("continues")),
        )


def _number(entry: Entry) -> int:
    return entry.n


def _start(entries: list[Entry], station: str) -> tuple[LogFault | None, int | None, str | None]:
    """The fault of a first entry that is no start, the format it gives, the station it names."""
    if not entries:
        return None, None, None
    first = entries[0]
    log_format = first.data.get("format")
    if first.kind != "start" or type(log_format) is not int:
        message = "the first entry does not say which format the log has"
        fault = LogFault(file=log_name(station), line=1, offset=0, code="no-start", message=message)
        return fault, None, None
    named = first.data.get("station")
    return None, log_format, named if isinstance(named, str) else None


def unreadable(station: str, error: OSError) -> Scan:
    """What stands for a file that the system does not let us read."""
    file = log_name(station)
    message = f"{file} cannot be read: {reason(error)}"
    fault = LogFault(file=file, line=0, offset=0, code="unreadable", message=message)
    return Scan(station=station, faults=(fault,))


# The files of one station: the first one, and those that continue it after a failed sync or damage.
#
# A file that continues another is named `<station>-2.jsonl`, `<station>-3.jsonl`, and its first entry
# names the station and, under `continues`, the file, number and seal after which it goes on.


def read_file(disk: Disk, folder: Path, station: str) -> Scan:
    """Scan one file of a job folder; one that cannot be read is a scan with that fault."""
    try:
        return scan(disk.read(folder / log_name(station)), station)
    except OSError as error:
        return unreadable(station, error)


def read_chain(disk: Disk, folder: Path, station: str) -> tuple[Scan, ...]:
    """The station's files in the order they were written, if it has any. Raises OSError."""
    numbered = _numbered(disk, folder, station)
    found = set(disk.names(folder / "log"))
    first = (read_file(disk, folder, station),) if f"{station}.jsonl" in found else ()
    later = (read_file(disk, folder, name) for _, name in sorted(numbered))
    return (*first, *(each for each in later if each.named == station and each.continues))


def next_name(disk: Disk, folder: Path, station: str) -> str:
    """A name for the next file of the station that no file has. Raises OSError."""
    numbers = [number for number, _ in _numbered(disk, folder, station)]
    return f"{station}-{max(numbers, default=1) + 1}"


def _numbered(disk: Disk, folder: Path, station: str) -> list[tuple[int, str]]:
    pattern = re.compile(re.escape(station) + r"-([1-9][0-9]{0,5})")
    names = (station_of(name) for name in disk.names(folder / "log"))
    return [(int(match[1]), name) for name in names if name and (match := pattern.fullmatch(name))]


def place(start: Entry) -> tuple[str, int]:
    """Station and number of a file, told from its first entry."""
    named = start.data.get("station")
    if isinstance(named, str) and start.data.get("continues"):
        number = start.station.removeprefix(f"{named}-")
        if number.isdecimal() and number.isascii():
            return named, int(number)
    return start.station, 1


# The logs of all stations as one.
#
# Order: each file keeps its own; between files an entry stands where the latest time its file had
# reached by then puts it, so that a clock that went back moves nothing, and equal times go by
# station. The same files give the same order, whichever is read first.


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
