"""Reading one file of the log: its entries, what is wrong with it, and how far it is good.

A line is good where its seal fits and it stands after the entry it names. What follows the last
newline is not damage: a complete entry that lacks only its newline counts, and anything else that one
interrupted write can leave is the torn tail of a write that never ended. Every other bad line is damage;
intact entries round it are still given.
"""

import re
from collections.abc import Iterator

from attrs import evolve, frozen

from pourdeck.plan.messages import Finding
from pourdeck.sitelog.entries import (
    INSTALLATION,
    BadLineError,
    Entry,
    object_end,
    read_line,
    read_lines,
    station_fault,
    station_of,
)

FORMAT = 1
"""The format of the log this program writes, and the newest it can add to."""

LONGEST_TORN = 4 << 20
"""Bytes: no act is longer, so no interrupted write leaves more."""


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

    `name` is the file's own, `chain` the one it was begun with, without `.jsonl`: a copy that a sync
    program named has that of what it is a copy of. `sound` is how many entries from the first on hang
    together without a gap. `tail` is what follows the last entry and is none; `unended`: the last entry
    lacks its newline. `named` is the station that the first entry names, `owner` the installation it
    belongs to, "" in older files, and `continues` the seal after which it goes on, None where it does not.
    """

    name: str
    chain: str
    entries: tuple[Entry, ...] = ()
    faults: tuple[LogFault, ...] = ()
    tail: bytes = b""
    end: int = 0
    sound: int = 0
    unended: bool = False
    format: int | None = None
    named: str | None = None
    owner: str = ""
    continues: str | None = None

    @property
    def file(self) -> str:
        return f"log/{self.name}"

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


def scan(data: bytes, name: str) -> Scan:
    """Read the bytes of the file of that name. Never raises, whatever the bytes."""
    lines = data.split(b"\n")
    tail = lines.pop()
    chain = _chain(lines[0] if lines else tail, name)
    entries: list[Entry] = []
    prev, count = "", 0
    for entry in _intact(lines, chain):
        if entry.prev != prev or entry.n != count + 1:
            break
        entries.append(entry)
        prev = entry.seal
        count += 1
    reader = _Reader(entries, name, chain)
    if count < len(lines):
        reader.read_on(lines)
    rest = reader.read_tail(tail, len(lines) + 1, len(data) - len(tail))
    return reader.result(sound=count, end=len(data) - len(rest), tail=rest)


AT_ONCE = 1000
"""Lines that are read together."""


def _intact(lines: list[bytes], chain: str) -> Iterator[Entry]:
    """The entries of the lines up to the first bad one."""
    for start in range(0, len(lines), AT_ONCE):
        those = lines[start : start + AT_ONCE]
        entries = read_lines(those, chain)
        yield from entries
        for raw in those[len(entries) :]:
            try:
                yield read_line(raw, chain)
            except BadLineError:
                return


def _chain(first: bytes, name: str) -> str:
    """The name a file was begun with: by its first entry, else by its own name."""
    stem = station_of(name) or _as_station(name)
    try:
        start = read_line(first[: object_end(first.decode("latin-1"))], "")
    except ValueError:
        return stem
    named, begun = start.data.get("station"), start.data.get("file")
    if isinstance(begun, str) and station_of(f"{begun}.jsonl"):
        return begun
    if start.kind != "start" or not isinstance(named, str) or station_fault(named):
        return stem
    if not start.data.get("continues"):
        return named
    # Older files do not say which number they had.
    numbered = re.match(rf"{re.escape(named)}-[1-9][0-9]{{0,5}}(?![0-9])", name)
    return numbered[0] if numbered else stem


def _as_station(name: str) -> str:
    """A name for what no station can be called, such as `Shed (1).jsonl`: `shed--1`."""
    return re.sub(r"[^a-z0-9._]+", "-", name.lower().removesuffix(".jsonl")).strip("-.") or "log"


class _Reader:
    """Reads on after the first bad line, keeping every intact entry once, in the order of `n`."""

    def __init__(self, sound: list[Entry], name: str, chain: str) -> None:
        self.name = name
        self.chain = chain
        self.kept = sound
        self.last = sound[-1] if sound else None
        self.lines: dict[int, tuple[int, str]] = {}
        self.last_line = 0
        self.after_bad_line = False
        self.unended = False
        self.faults: list[LogFault] = []

    def read_on(self, lines: list[bytes]) -> None:
        """Read the lines after the sound ones, of which there is at least one, and it is bad."""
        first = self.last_line = len(self.kept)
        self.lines = {entry.n: (entry.n, entry.seal) for entry in self.kept}
        offset = sum(len(raw) + 1 for raw in lines[:first])
        for line, raw in enumerate(lines[first:], first + 1):
            self._read(line, offset, raw)
            offset += len(raw) + 1

    def _read(self, line: int, offset: int, raw: bytes) -> None:
        try:
            entry = read_line(raw, self.chain)
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
            if not same:
                self.kept.append(entry)
            return
        if self.last is not None and self.after_bad_line and entry.prev == self.last.seal:
            self._nothing_missing()
        if not self._follows(entry):
            where = f"entry {self.last.n}" if self.last else "the start of the file"
            message = f"entry {entry.n} follows {where}: entries are missing, or lines were moved"
            self._fault(line, offset, "out-of-place", message)
        self.lines[entry.n] = (line, entry.seal)
        self.last_line = line
        self._keep(entry)

    def _nothing_missing(self) -> None:
        """The bad lines before this one stand between two entries that hang together."""
        for place in range(len(self.faults) - 1, -1, -1):
            fault = self.faults[place]
            if fault.line <= self.last_line:
                break
            message = f"{fault.message}: something else wrote it, and no entry is missing"
            self.faults[place] = evolve(fault, message=message)

    def read_tail(self, tail: bytes, line: int, offset: int) -> bytes:
        """Keep the complete entry at the start of what follows the last newline; give back the rest."""
        if not tail:
            return b""
        kept = self._whole_at(tail)
        if kept:
            self.unended = True
            tail = tail[kept:]
        if tail and (why := self._not_torn(tail, kept)):
            self._fault(line, offset + kept, *why)
            return b""
        return tail

    def _whole_at(self, tail: bytes) -> int:
        """Keep the complete entry at its start, and count its bytes."""
        try:
            # Latin-1 reads any byte as one character, so the end in characters is the end in bytes.
            size = object_end(tail.decode("latin-1"))
            entry = read_line(tail[:size], self.chain)
        except ValueError:
            return 0
        if entry.n in self.lines or not self._follows(entry):
            return 0
        self._keep(entry)
        return size

    def _not_torn(self, tail: bytes, after_entry: int) -> tuple[str, str] | None:
        """Code and words for what no single write leaves at the end of a file; None for a torn line."""
        if b"\0" in tail:
            return "zero-bytes", f"the file ends in {len(tail)} bytes, {tail.count(0)} of them zero"
        n = self.last.n + 1 if self.last else 1
        # After damage the number is not known.
        start = b'{"n":' if self.faults else b'{"n":%d,"at":"' % n
        size = min(len(start), len(tail))
        if after_entry or tail[:size] != start[:size] or not tail.isascii():
            return (
                "foreign",
                f"the last {len(tail)} bytes are no part of an entry: something else wrote them",
            )
        if len(tail) > LONGEST_TORN:
            return "foreign", f"the last {len(tail)} bytes are more than one write can leave"
        return None

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
        file = f"log/{self.name}"
        self.faults.append(
            LogFault(file=file, line=line, offset=offset, code=code, message=message)
        )

    def result(self, *, sound: int, end: int, tail: bytes) -> Scan:
        entries = sorted(self.kept, key=_number) if self.faults else self.kept
        first = entries[0] if entries else None
        if first is not None and not self.faults and not _begins(first):
            message = "the first entry does not say which format the log has"
            self._fault(1, 0, "no-start", message)
        start = first.data if first is not None and _begins(first) else {}
        named, continued = start.get("station"), start.get("continues")
        owners = (start.get("id"), *(entry.installation for entry in entries if entry.installation))
        owner = [one for one in owners if isinstance(one, str) and INSTALLATION.fullmatch(one)]
        head = continued.get("head") if isinstance(continued, dict) else None
        return Scan(
            name=self.name,
            chain=self.chain,
            entries=tuple(entries),
            faults=tuple(self.faults),
            tail=tail,
            end=end,
            sound=sound if self.faults else len(entries),
            unended=self.unended,
            format=start.get("format"),
            named=named if isinstance(named, str) else None,
            owner=owner[-1] if owner else "",
            continues=(head if isinstance(head, str) else "") if continued else None,
        )


def _number(entry: Entry) -> int:
    return entry.n


def _begins(first: Entry) -> bool:
    """Whether a first entry is the start of a file that says its format."""
    return first.kind == "start" and type(first.data.get("format")) is int


def unreadable(name: str, why: str) -> Scan:
    """Stand in for a file that the system does not let us read, or that is none."""
    message = f"log/{name} cannot be read: {why}"
    fault = LogFault(file=f"log/{name}", line=0, offset=0, code="unreadable", message=message)
    return Scan(name=name, chain=station_of(name) or _as_station(name), faults=(fault,))
