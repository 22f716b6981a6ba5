"""The site log of one station. This text is its specification.

**File.** `log/<station>.jsonl`: one JSON object in ASCII per line, each line ended by one newline,
only ever appended to. A line has `n` (1, 2, 3 …), `at` (RFC 3339 with numeric offset), `by`,
`kind`, `data`, `prev` (the seal of the line before, empty in the first) and, always last, `seal`:
the SHA-256 in lower-case hexadecimal over `prev` and the line's bytes up to and not including
`,"seal":`. Where the clock had gone back by more than 2 s, or ahead by more than 12 h, against the
line before, `clock` after `at` says so. The first line has the kind `start` and the data `format`
1, `job`, `station`. Keys that a later program adds are kept, because no line is ever written
again.

**Saving.** All bytes are written, then the file is synced, then, the first time in a run, its
folder; only then is an entry said to be saved. A new file's first line goes out with the first
act, in one write. Short writes and interruptions are continued. What cannot be written whole is
cut off again and refused with `NotSaved`, and the same file goes on when it can.

**A failed sync is final for the file.** It is closed and never synced again. The next act reads it
back; where all that was said to be saved is there, `<station>-2.jsonl` (then `-3` …) is begun,
whose first line says under `continues` the `file`, `n` and `head` it goes on from. Otherwise acts
are refused. The same holds where another program wrote to the file, or where a half line could not
be cut off.

**Torn tail.** What follows the last newline is an entry, if it is a complete line, and gets its
newline. Otherwise it is what a dying program or machine left of an entry that was never said to be
saved: it is set aside as `log/<station>.jsonl.torn-<UTC time>` and synced, then the file is cut to
its last entry and synced, and `messages` says so. Only the writer of a file does this, and only to
that file.

**Damage.** A bad line further up, a missing, moved or repeated one, is reported by file and line
and repaired by nobody. Its file is read only until a person decides: `continue_after_damage`
begins the next file and records there who decided, why, and which lines were bad.

**One writer.** A lock in the local state folder, and one on the first file of the station once it
is there, are held for life and freed by the kernel. Whoever comes second reads only, and `holder`
says who came first. Two programs may read at any time. The process must not fork while the log is
open.

**Formats.** A file begun by a program with a newer format is read as far as it is understood, and
not added to.
"""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from pourdeck.sitelog.disk import DISK, Disk, Segment, WriteFailedError, reason, write_new
from pourdeck.sitelog.entries import (
    Entry,
    Unsealed,
    UnwritableEntryError,
    Watch,
    compose,
    log_name,
    station_fault,
    time_text,
)
from pourdeck.sitelog.lock import Holder, StationLock
from pourdeck.sitelog.scan import FORMAT, Scan, next_name, read_chain, scan

# Making a station's last file ready to be added to: why it must not be, and setting a torn tail aside.


class NotReadyError(Exception):
    """The file must not or cannot be added to; the message says why, without its name."""


def is_damaged(last: Scan) -> bool:
    """Whether a person has to decide before anything more is written."""
    return any(fault.line for fault in last.faults)


def make_ready(disk: Disk, segment: Segment, last: Scan, station: str, now: datetime) -> list[str]:
    """Open the file that `last` read, mend its end, and say what was done. Raises NotReadyError."""
    _refuse(last, station)
    try:
        segment.open()
        messages = [_set_aside(disk, segment, last, now)] if last.tail else []
        if last.unended:
            segment.end_line()
    except OSError as error:
        segment.close()
        raise NotReadyError(reason(error)) from error
    except WriteFailedError as error:
        segment.close()
        raise NotReadyError(str(error)) from error
    return messages


def _refuse(last: Scan, station: str) -> None:
    if is_damaged(last):
        raise NotReadyError(
            "it is damaged, and nothing is written to it until somebody decides: compare it with "
            "a copy, then go on in a new file: pourdeck log JOB --continue"
        )
    if last.faults:
        raise NotReadyError(last.faults[0].message)
    if last.newer:
        raise NotReadyError(
            f"it has format {last.format}, and this program writes {FORMAT}: use the newer program"
        )
    if last.named not in (None, station):
        raise NotReadyError(f"it is the log of station {last.named!r}, not of {station!r}")


def _set_aside(disk: Disk, segment: Segment, last: Scan, now: datetime) -> str:
    """Keep the torn tail in a file of its own, then cut it off. Raises OSError."""
    name = _keep(disk, segment, last.tail, now)
    disk.sync_folder(segment.path.parent)
    segment.cut(last.end)
    return (
        f"{last.file}: the last line was incomplete and never said to be saved; its "
        f"{len(last.tail)} bytes are kept in log/{name}. {len(last.entries)} entries are whole."
    )


def _keep(disk: Disk, segment: Segment, tail: bytes, now: datetime) -> str:
    stamp = now.astimezone(UTC).strftime("%Y%m%dt%H%M%Sz")
    first = f"{segment.path.name}.torn-{stamp}"
    for name in (first, *(f"{first}-{number}" for number in range(2, 100))):
        try:
            write_new(disk, segment.path.with_name(name), tail)
        except FileExistsError:
            continue
        return name
    raise FileExistsError("too many torn lines were set aside in one second")


def read_back(disk: Disk, finished: Segment) -> Scan:
    """A finished file, if all that was saved in it is there. Raises NotReadyError."""
    try:
        back = scan(disk.read_back(finished.path), finished.path.stem)
    except OSError as error:
        raise NotReadyError(f"cannot be read back: {reason(error)}") from error
    n, there = finished.n, len(back.entries)
    if back.faults or there < n or (n > 0 and back.entries[n - 1].seal != finished.head):
        raise NotReadyError(
            f"no longer holds all {n} entries that were saved in it. Leave this open, copy the job "
            "folder to another disk, then have the log verified"
        )
    return back


# The site log of one station. This text is its specification.


class NotSaved(Exception):  # noqa: N818 - it is an answer to the one who acts, not a fault of the code
    """An act that is not in the log: `title` in one line, `body` says why and what to do."""

    def __init__(self, title: str, body: str) -> None:
        super().__init__(f"{title}. {body}")
        self.title = title
        self.body = body


class LogFile:
    """A station's log, open for adding to it or, where `refusal` says why, only for reading.

    `scans` are the station's files as they were when opened. `messages` is what people should be
    told, oldest first. After a failed sync the next act begins a new file.
    """

    def __init__(
        self, folder: Path, station: str, *, job: str, clock: Callable[[], datetime], disk: Disk
    ) -> None:
        """Use `open`."""
        self.folder = folder
        self.station = station
        self.job = job
        self.refusal: str | None = None
        self.holder: Holder | None = None
        self.messages: list[str] = []
        self.scans: tuple[Scan, ...] = ()
        self._clock = clock
        self._monotonic: Callable[[], float] | None = None
        self._disk = disk
        self._lock: StationLock | None = None
        self._segment = Segment(disk, folder / log_name(station))
        self._continues: dict[str, Any] | None = None
        self._watch = Watch()
        self._fresh: list[Entry] = []
        self._damaged = False

    @classmethod
    def open(
        cls,
        folder: Path,
        station: str,
        *,
        job: str,
        clock: Callable[[], datetime],
        state_folder: Path,
        host: str = "",
        user: str = "",
        monotonic: Callable[[], float] | None = None,
        read_only: bool = False,
        disk: Disk = DISK,
    ) -> "LogFile":
        """Open a station's log in the job's `folder`; nothing is created before the first act.

        `clock` gives the time with its offset, `monotonic` seconds of a clock nobody sets. `host`
        and `user` are what a second program is told. Raises ValueError for an unfit station name;
        all else that is wrong makes the log read only and says why.
        """
        if fault := station_fault(station):
            raise ValueError(fault)
        log = cls(folder, station, job=job, clock=clock, disk=disk)
        log._monotonic = monotonic
        if read_only:
            log.refusal = "it was opened to read only"
        else:
            log._take_lock(state_folder, host, user)
        log._read()
        if log.refusal is None:
            log._make_ready()
        if log.refusal is not None and not read_only:
            log.messages.append(f"{log.file} is read only: {log.refusal}.")
        return log

    @property
    def file(self) -> str:
        """The file that is written to, as `log/shed.jsonl`."""
        return f"log/{self._segment.path.name}"

    @property
    def read_only(self) -> bool:
        return self.refusal is not None

    @property
    def n(self) -> int:
        """The number of the last entry that was saved in the current file, 0 without one."""
        return self._segment.n

    @property
    def head(self) -> str | None:
        """The seal of the last entry that was saved in the current file, None without one."""
        return self._segment.head or None

    def append(self, kind: str, by: str, data: dict[str, Any], at: datetime | None = None) -> Entry:
        """Save one act and give back its entry. `at` is when, the clock's time if not given.

        Raises NotSaved, and then the log is as it was.
        """
        tick = self._monotonic() if self._monotonic and at is None else None
        return self._save(Unsealed(kind=kind, by=by, data=data), at or self._clock(), tick)

    def clock(self) -> str:
        """How the clock has jumped since the last entry, as the next one will say it; "" where it has not."""
        return self._watch.jump(self._clock(), self._monotonic() if self._monotonic else None)

    def fresh(self) -> list[Entry]:
        """What was saved since this was last asked: acts, and the first entries of new files."""
        fresh, self._fresh = self._fresh, []
        return fresh

    def continue_after_damage(self, by: str, why: str) -> Entry:
        """Begin a new file beside the damaged one, recording who decided so. Raises NotSaved."""
        if not self._damaged:
            raise NotSaved("Not saved", f"{self.file} is not damaged.")
        damaged, refusal, before = self.scans[-1], self.refusal, self._segment
        bad = [{"line": fault.line, "code": fault.code} for fault in damaged.faults]
        self._turn_to_next(damaged, {"damage": bad, "why": why})
        self.refusal = None
        try:
            entry = self._save(None, self._clock(), None, by=by)
        except NotSaved:
            self.refusal, self._segment, self._continues = refusal, before, None
            raise
        self._damaged = False
        return entry

    def close(self) -> None:
        """Close the file and give back the lock."""
        self._segment.close()
        self.refusal = self.refusal or "it is closed"
        if self._lock is not None:
            self._lock.release()
            self._lock = None

    def __enter__(self) -> "LogFile":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _take_lock(self, state_folder: Path, host: str, user: str) -> None:
        lock = StationLock(state_folder, self.folder / log_name(self.station), disk=self._disk)
        try:
            taken = lock.take(host=host, user=user, since=time_text(self._clock()))
        except OSError as error:
            self.refusal = f"no lock can be taken in {state_folder}: {reason(error)}"
            return
        if taken:
            self._lock = lock
            return
        self.holder = lock.holder()
        self.refusal = f"it is open already: {self.holder}"

    def _read(self) -> None:
        try:
            self.scans = read_chain(self._disk, self.folder, self.station)
        except OSError as error:
            self.refusal = f"the folder {self.folder / 'log'} cannot be read: {reason(error)}"
            return
        for each in self.scans:
            self.messages.extend(str(fault) for fault in each.faults if fault.line)
            if each.entries:
                self._watch.note(each.entries[-1].at, None)
        if self.scans:
            last = self.scans[-1]
            n, head = (last.entries[-1].n, last.entries[-1].seal) if last.entries else (0, "")
            path = self.folder / last.file
            self._segment = Segment(self._disk, path, end=last.end, n=n, head=head)

    def _make_ready(self) -> None:
        if not self.scans:
            return
        last = self.scans[-1]
        self._damaged = is_damaged(last)
        try:
            done = make_ready(self._disk, self._segment, last, self.station, self._clock())
        except NotReadyError as error:
            self.refusal = str(error)
        else:
            self.messages.extend(done)

    def _save(
        self, act: Unsealed | None, at: datetime, tick: float | None, *, by: str = ""
    ) -> Entry:
        """Save an act, and before it the first entry of a new file; of that one alone for None."""
        if self.refusal is not None:
            raise NotSaved("Not saved: the log is read only", f"{self.file}: {self.refusal}.")
        if self._segment.finished:
            self._continue_after_failure()
        acts = [act] if act is not None else []
        if self._segment.n == 0:
            acts.insert(0, self._start(act.by if act is not None else by))
        entries, lines = self._compose(acts, at, tick)
        last = entries[-1]
        try:
            self._segment.add(lines, n=last.n, head=last.seal)
        except WriteFailedError as error:
            raise NotSaved(f"Not saved: {error}", self._remedy()) from error
        if self._lock is not None and last.n <= len(entries):
            self._lock.log_is_there()
        self._watch.note(at, tick)
        self._fresh += entries
        self._continues = None
        return last

    def _start(self, by: str) -> Unsealed:
        data: dict[str, Any] = {"format": FORMAT, "job": self.job, "station": self.station}
        if self._continues is not None:
            data["continues"] = self._continues
        return Unsealed(kind="start", by=by, data=data)

    def _compose(
        self, acts: list[Unsealed], at: datetime, tick: float | None
    ) -> tuple[list[Entry], bytes]:
        to = self._segment
        flag = self._watch.jump(at, tick)
        try:
            return compose(acts, station=to.station, at=at, clock=flag, n=to.n, head=to.head)
        except UnwritableEntryError as error:
            body = f"The entry cannot stand in the log: {error}."
            raise NotSaved("Not saved", body) from error

    def _continue_after_failure(self) -> None:
        """Turn to a new file, if all that was saved in the one before can be read back."""
        saved = self._segment.n
        try:
            back = read_back(self._disk, self._segment)
        except NotReadyError as error:
            raise NotSaved("Not saved", f"{self.file} {error}.") from error
        self._turn_to_next(back, {})
        for entry in back.entries[saved:]:
            self._fresh.append(entry)
            self.messages.append(f"Entry {entry.n} of {back.file} was saved after all.")
        self.messages.append(f"The log goes on in {self.file}.")

    def _turn_to_next(self, before: Scan, more: dict[str, Any]) -> None:
        try:
            name = next_name(self._disk, self.folder, self.station)
        except OSError as error:
            body = f"{self.folder / 'log'} cannot be read: {reason(error)}."
            raise NotSaved("Not saved", body) from error
        if before.entries or self._continues is None:
            n = before.entries[-1].n if before.entries else 0
            self._continues = {"file": before.file, "n": n, "head": before.head or "", **more}
        self._segment = Segment(self._disk, self.folder / log_name(name))

    def _remedy(self) -> str:
        if self._segment.finished:
            return (
                f"{self.file} is closed. Do it again: the log then goes on in a new file, "
                "if all that was saved can be read back."
            )
        return f"{self.file} is as it was before. Do it again when the cause is put right."
