"""The site log of one installation of one station. This text is its specification.

**File.** `log/<station>-<id>.jsonl`, with the first digits of the installation's id: one JSON object in
ASCII per line, each line ended by one newline, only ever appended to. A line has `n` (1, 2, 3 …), `at`
(RFC 3339 with numeric offset), `by`, `kind`, `data`, `seen` (where other files were in view, the
`station`, `n` and `seal` of the last entry of each), `prev` (the seal of the line before, empty in the
first) and, always last, `seal`: the SHA-256 in lower-case hexadecimal over `prev` and the line's bytes
up to and not including `,"seal":`. Where the clock had jumped against the line before, `clock` after
`at` says so. The first line has the kind `start` and the data `format` 1, `job`, `station`, `file` (its
own name) and `id`, that of the installation. Keys that a later program adds are kept, because no line
is ever written again.

**Whose it is.** Nobody else writes to a file. An older one, `log/<station>.jsonl`, has no id: the first
installation that writes to it gives its own as `id` in that entry and goes on there. Where an installation
finds its own file grown by somebody else, as after a disk was cloned, it stops.

**Saving.** All bytes are written, then the file is synced, then, the first time in a run, its folder;
then its new end is noted outside the job (`Known`), and only then is an entry said to be saved. A new
file's first line goes out with the first act, in one write. Short writes and interruptions are continued.
What cannot be written whole is cut off again and refused with `NotSaved`, and the same file goes on when
it can.

**A failed sync is final for the file.** It is closed and never synced again. The next act reads it back;
where all that was said to be saved is there, `<name>-2.jsonl` (then `-3` …) is begun, whose first line
says under `continues` the `file`, `n` and `head` it goes on from. Otherwise acts are refused, and `held`
gives all that the open deck has, to be written to a file of its own. The same holds where another program
wrote to the file, or where a half line could not be cut off.

**Torn tail.** What follows the last newline is an entry, if it is a complete line, and gets its newline.
Otherwise, where it is what one interrupted write can leave, it is set aside as
`log/<name>.jsonl.torn-<UTC time>` and synced, then the file is cut to its last entry and synced, and
`messages` says so. Only the writer of a file does this, and only to that file.

**Damage.** A bad line further up, a missing, moved or repeated one, zero bytes or another program's at
the end, a fork, and an end that was known and is not there, are reported and repaired by nobody. Nothing
is written until a person decides: `go_on` begins the next file and records there who decided, why, which
lines were bad and what is gone.

**One writer.** A lock in the local state folder is held for life and freed by the kernel. Whoever comes
second reads only, and `holder` says who came first. Two programs may read at any time. The process must
not fork while the log is open.

**Formats.** A file begun by a program with a newer format is read as far as it is understood, and
not added to.
"""

from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from attrs import evolve

from pourdeck.sitelog.clocks import Watch, read_off
from pourdeck.sitelog.disk import (
    DISK,
    Disk,
    Segment,
    WriteFailedError,
    ensure_folder,
    reason,
    write_new,
)
from pourdeck.sitelog.entries import (
    Entry,
    Head,
    Unsealed,
    UnwritableEntryError,
    compose,
    log_name,
    station_fault,
    time_text,
    write_line,
)
from pourdeck.sitelog.known import (
    Gone,
    Known,
    heads_of,
    recorded_ends,
    seen_ends,
    what_is_gone,
)
from pourdeck.sitelog.lock import Holder, StationLock
from pourdeck.sitelog.own import (
    NotReadyError,
    Own,
    installation_id,
    make_ready,
    own_files,
    read_back,
    renew_installation,
)
from pourdeck.sitelog.scan import FORMAT, Scan, scan
from pourdeck.sitelog.union import LogFolder, Union

MOST_AT_ONCE = 2
"""Entries in one write: a start, and the act for which the file is begun or taken over."""


class NotSaved(Exception):  # noqa: N818 - it is an answer to the one who acts, not a fault of the code
    """An act that is not in the log: `title` in one line, `body` says why and what to do."""

    def __init__(self, title: str, body: str) -> None:
        super().__init__(f"{title}. {body}")
        self.title = title
        self.body = body


DECIDE = "go on in a new file: pourdeck log JOB --continue --by NAME --reason TEXT"


class LogFile:
    """A station's log, open for adding to it or, where `refusal` says why, only for reading.

    `union` is what the folder held when it was opened, `gone` what was known of it and was not there.
    `messages` is what people should be told, oldest first. `others` are the ends of the files of others
    that are in view: whoever reads them sets them. After a failed sync the next act begins a new file.
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
        self.log_folder = LogFolder(folder, disk)
        self.union = Union()
        self.gone: list[Gone] = []
        self.others: tuple[Head, ...] = ()
        self._own = Own(base=station)
        self._clock = clock
        self._monotonic: Callable[[], float] | None = None
        self._boot = ""
        self._disk = disk
        self._lock: StationLock | None = None
        self._known: Known | None = None
        self._installation = ""
        self._state_folder = Path()
        self._me = ("", "")
        self._new_id: Callable[[], str] | None = None
        self._segment = Segment(disk, folder / log_name(station))
        self._continues: dict[str, Any] | None = None
        self._watch = Watch()
        self._fresh: list[Entry] = []
        self._to_decide: list[str] = []
        """Matters that a person has to decide before anything more is written."""

    @classmethod
    def open(
        cls,
        folder: Path,
        station: str,
        *,
        job: str,
        clock: Callable[[], datetime],
        state_folder: Path,
        new_id: Callable[[], str] | None = None,
        host: str = "",
        user: str = "",
        monotonic: Callable[[], float] | None = None,
        boot: str = "",
        read_only: bool = False,
        disk: Disk = DISK,
    ) -> "LogFile":
        """Open a station's log in the job's `folder`; nothing is created there before the first act.

        `clock` gives the time with its offset, `monotonic` seconds of a clock nobody sets, which goes on
        until the computer is started again; `boot` names that time, "" where it cannot be told. `new_id`
        makes the id of this installation where it has none yet: 16 hexadecimal digits; without it files
        have none. `host` and `user` are what a second program is told. Raises ValueError for an unfit station
        name, OSError where the log folder is there and cannot be listed; all else that is wrong makes the
        log read only and says why.
        """
        if fault := station_fault(station):
            raise ValueError(fault)
        log = cls(folder, station, job=job, clock=clock, disk=disk)
        log._monotonic = monotonic
        log._boot = boot
        log._new_id = new_id
        log._state_folder = state_folder
        log._me = (host, user)
        if read_only:
            log.refusal = "it was opened to read only"
        else:
            log._take_lock(state_folder, host, user)
        try:
            log._read()
        except BaseException:
            log.close()
            raise
        if log.refusal is None:
            log._make_ready()
        if log.refusal is not None and not read_only:
            log.messages.append(f"{log.file} is read only: {log.refusal}.")
        return log

    @property
    def scans(self) -> tuple[Scan, ...]:
        """The station's own files as they were when opened, in the order they were written."""
        return self._own.scans

    @property
    def file(self) -> str:
        """The file that is written to, as `log/shed-7f3a.jsonl`."""
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
        tick = self._tick() if at is None else None
        return self._save(Unsealed(kind=kind, by=by, data=data), at or self._clock(), tick)

    def clock(self) -> str:
        """Tell how the clock has jumped since the last entry, as the next one will say; "" for not at all."""
        return self._watch.jump(self._clock(), self._tick())

    def _tick(self) -> float | None:
        return self._monotonic() if self._monotonic else None

    @property
    def installation(self) -> str:
        """The id of this installation, "" where it has none."""
        return self._installation

    @property
    def known_ends(self) -> list[Head]:
        """Give the ends of all files as this computer knows them."""
        return list(self._known.heads.values()) if self._known else []

    def fresh(self) -> list[Entry]:
        """Give what was saved since this was last asked: acts, and the first entries of new files."""
        fresh, self._fresh = self._fresh, []
        return fresh

    def look_out_for(self, others: Iterable[Head], latest: datetime | None = None) -> None:
        """These ends of others' files are in view from now on: noted, and named by what is saved next.

        `latest`: the latest time of what the last entry of its own had not seen of them.
        """
        self.others = tuple(others)
        self._watch.others_at(latest)
        if self._known is not None and not self.read_only:
            self._note(self.others)

    def go_on(self, by: str, why: str) -> Entry:
        """Begin a new file in spite of what is damaged or gone, recording who decided so. Raises NotSaved."""
        if not self._to_decide:
            raise NotSaved("Not saved", f"{self.file} is not damaged, and nothing is gone.")
        kept = (self.refusal, self._segment, self._continues, self._own)
        scans = self._own.scans
        last = scans[-1] if scans else Scan(name=self._segment.path.name, chain=self._own.base)
        more: dict[str, Any] = {"why": why}
        if last.faults:
            more["damage"] = [{"line": each.line, "code": each.code} for each in last.faults]
        if self.gone:
            more["lost"] = [
                {"file": one.head.station, "n": one.head.n, "seal": one.head.seal}
                for one in self.gone
            ]
        if self._own.shared and self._new_id is not None:
            # Whoever else has this id goes on with it; a file of the old name would fork again.
            self._renew(self._new_id)
            self._own = own_files(self.union, self.station, self._installation)
        self._turn_to_next(last, more)
        self.refusal = None
        try:
            entry = self._save(None, self._clock(), None, by=by)
        except NotSaved:
            self.refusal, self._segment, self._continues, self._own = kept
            raise
        self._to_decide = []
        self.gone = []
        return entry

    def _renew(self, new_id: Callable[[], str]) -> None:
        """Raises NotSaved."""
        try:
            self._installation = renew_installation(self._state_folder, self._disk, new_id)
        except OSError as error:
            body = f"{self._state_folder} cannot be written: {reason(error)}."
            raise NotSaved("Not saved", body) from error

    def try_again(self) -> bool:
        """Take the log over where whoever had it open is gone; False where it is still read only.

        Raises OSError where the log folder cannot be listed any more.
        """
        if self.holder is None or self._lock is not None:
            return False
        self.refusal = self.holder = None
        if not self._take_lock(self._state_folder, *self._me):
            return False
        self._to_decide = []
        self._read()
        if self.refusal is None:
            self._make_ready()
        return not self.read_only

    def hold_out(self, entries: Iterable[Entry]) -> str:
        """Write entries of the station's own file, which is not as it was, to a file again; its name.

        Only their own bytes are written: each is sealed as it was. The log goes on in the next file. Raises
        NotSaved.
        """
        lines = []
        for one in entries:
            again, line = write_line(
                station=one.station, n=one.n, at=one.at, by=one.by, kind=one.kind, data=one.data,
                prev=one.prev, clock=one.clock, seen=one.seen, installation=one.installation,
            )  # fmt: skip
            if again.seal != one.seal:
                body = f"Entry {one.n} was written by another program and cannot be written again here."
                raise NotSaved("Not saved", body)
            lines.append(line)
        stem = self._segment.station
        stamp = self._clock().astimezone(UTC).strftime("%Y%m%dt%H%M%Sz")
        for name in (f"{stem}.jsonl", f"{stem}.held-{stamp}.jsonl"):
            try:
                ensure_folder(self._disk, self.folder / "log")
                write_new(self._disk, self.folder / "log" / name, b"".join(lines))
                self._disk.sync_folder(self.folder / "log")
            except FileExistsError:
                continue
            except OSError as error:
                raise NotSaved(
                    f"Not saved: {reason(error)}", f"log/{name} was not written."
                ) from error
            self._segment.close()
            self._turn_to_next(scan(b"".join(lines), name), {})
            return f"log/{name}"
        raise NotSaved("Not saved", f"log/{name} is there already.")

    def close(self) -> None:
        """Close the file and give back the lock."""
        self._segment.close()
        self.refusal = self.refusal or "it is closed"
        if self._known is not None:
            self._known.close()
        if self._lock is not None:
            self._lock.release()
            self._lock = None

    def __enter__(self) -> "LogFile":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _take_lock(self, state_folder: Path, host: str, user: str) -> bool:
        lock = StationLock(state_folder, self.folder / log_name(self.station), disk=self._disk)
        try:
            taken = lock.take(host=host, user=user, since=time_text(self._clock()))
        except OSError as error:
            self.refusal = f"no lock can be taken in {state_folder}: {reason(error)}"
            return False
        if taken:
            self._lock = lock
        else:
            self.holder = lock.holder()
            self.refusal = f"it is open already: {self.holder}"
        return taken

    def _read(self) -> None:
        """Raises OSError."""
        self.union = union = self.log_folder.read()
        self._known = Known(
            self._state_folder, self.folder, self.station, disk=self._disk, boot=self._boot
        )
        self._known.read()
        if self._new_id is not None:
            try:
                new_id = None if self.read_only else self._new_id
                self._installation = installation_id(self._state_folder, self._disk, new_id)
            except OSError as error:
                self.refusal = (
                    self.refusal or f"{self._state_folder} cannot be used: {reason(error)}"
                )
        self._own = own_files(union, self.station, self._installation)
        self._compare(union)
        own = self._own.scans
        faults = [str(fault) for each in own for fault in each.faults]
        self.messages += faults
        self.messages += [f"{one}." for one in self.gone]
        self._set_watch()
        last = own[-1] if own else None
        if last is None:
            self._segment = Segment(self._disk, self.folder / log_name(self._own.base))
        else:
            n, head = (last.entries[-1].n, last.entries[-1].seal) if last.entries else (0, "")
            path = self.folder / "log" / last.name
            self._segment = Segment(self._disk, path, end=last.end, n=n, head=head)

    def _set_watch(self) -> None:
        """Go by its own last entry, and by what this computer's clocks showed since it was started."""
        for each in self._own.scans:
            for entry in each.entries:
                off = read_off(entry.clock)
                if off is not None and off[0] == "behind":
                    self._watch.behind = off[1]
            sound = [entry.at for entry in each.entries[-2:] if not entry.odd]
            if sound:
                self._watch.note(sound[-1], None)
        if self._known is not None and self._known.moment is not None:
            self._watch.be_sure(*self._known.moment)

    def _compare(self, union: Union) -> None:
        """Find what was known of the log and is not there, and what somebody else did to its own file."""
        own = {each.chain for each in self._own.scans}
        known = self.known_ends
        known += recorded_ends(self.folder, self._disk)
        known += [head for head in seen_ends(union.lines) if head.station in own]
        self.gone = what_is_gone(known, union.lines)
        if self.gone:
            self._to_decide.append("what was in the log is not there")
        if self._own.scans and self._own.scans[-1].faults:
            self._to_decide.append("it is damaged")
        if self._own.shared or self._grown():
            self._own = evolve(self._own, shared=True)
            self._to_decide.append(
                "another program wrote to it: this computer's disk was copied, or its files"
            )

    def _grown(self) -> bool:
        """Whether the station's last file has more than a killed run can have left unnoted."""
        last = self._own.scans[-1] if self._own.scans else None
        if last is None or not last.entries or self._known is None or self.read_only:
            return False
        head = self._known.heads.get(last.chain)
        if head is None or last.chain in self._known.unsure:
            return False
        return last.entries[-1].n > head.n + MOST_AT_ONCE

    def _make_ready(self) -> None:
        if self._to_decide:
            self.refusal = (
                f"{'; '.join(self._to_decide)}. Nothing is written until somebody decides: look for a copy "
                f"(another computer, an open deck, a backup, the records) and put it back, or {DECIDE}"
            )
            return
        own = self._own.scans
        if self._own.beside:
            # What its own file lacks stands in a copy: nothing is gone, and nothing may be written between.
            try:
                self._turn_to_next(self._own.beside, {})
            except NotSaved as error:
                self.refusal = error.body
                return
        elif own:
            try:
                self.messages += make_ready(self._disk, self._segment, own[-1], self._clock())
            except NotReadyError as error:
                self.refusal = str(error)
                return
            if self._lock is not None and not self._lock.lock_log(self._segment.path):
                self._segment.close()
                self.holder = self._lock.holder()
                self.refusal = f"it is open already: {self.holder}"
                return
        tick, moment = self._tick(), None
        if tick is not None and self._known is not None and self._known.moment is None:
            moment = (self._clock(), tick)
            if not self._watch.jump(*moment):
                self._watch.be_sure(*moment)
        self._note(heads_of(self.union.lines), moment)

    def _note(self, heads: Iterable[Head], moment: tuple[datetime, float] | None = None) -> None:
        if self._known is not None and not self._known.note(heads, moment) and self._known.message:
            self.messages.append(f"{self._known.message}.")

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
            self._lock.lock_log(self._segment.path)
        self.log_folder.wrote(self._segment.path.name)
        self._note(
            [Head(self._segment.station, last.n, last.seal)], None if tick is None else (at, tick)
        )
        self._watch.note(at, tick)
        self._fresh += entries
        self._continues = None
        if not self._own.owned:
            self._own = evolve(self._own, owned=True)
        return last

    def _start(self, by: str) -> Unsealed:
        data: dict[str, Any] = {"format": FORMAT, "job": self.job, "station": self.station}
        if self._installation:
            data |= {"file": self._segment.station, "id": self._installation}
        if self._continues is not None:
            data["continues"] = self._continues
        return Unsealed(kind="start", by=by, data=data)

    def _compose(
        self, acts: list[Unsealed], at: datetime, tick: float | None
    ) -> tuple[list[Entry], bytes]:
        to = self._segment
        flag = self._watch.jump(at, tick)
        try:
            return compose(
                acts, station=to.station, at=at, clock=flag, n=to.n, head=to.head, seen=self.others,
                installation="" if self._own.owned or to.n == 0 else self._installation,
            )  # fmt: skip
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
            names = {name for name, _ in self._disk.listing(self.folder / "log")}
        except OSError as error:
            body = f"{self.folder / 'log'} cannot be read: {reason(error)}."
            raise NotSaved("Not saved", body) from error
        if before.entries or self._continues is None:
            n = before.entries[-1].n if before.entries else 0
            self._continues = {"file": before.file, "n": n, "head": before.head or "", **more}
        self._segment = Segment(self._disk, self.folder / log_name(self._own.next_name(names)))

    def _remedy(self) -> str:
        if self._segment.finished:
            return (
                f"{self.file} is closed. Do it again: the log then goes on in a new file, "
                "if all that was saved can be read back."
            )
        return f"{self.file} is as it was before. Do it again when the cause is put right."
