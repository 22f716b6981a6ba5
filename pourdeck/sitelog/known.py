"""Keep the ends of a log outside the job, and find what was in it and is not.

Its ends are known by what this computer noted, by the records, and by what other stations had seen.

A seal shows what was changed; only this shows what is gone: a file that was emptied, put back from an older
copy, replaced or taken away.
"""

import contextlib
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from pathlib import Path

from attrs import frozen

from pourdeck.plan.messages import Finding
from pourdeck.sitelog.disk import DISK, Disk, path_digest, reason, replace_file, write_all
from pourdeck.sitelog.entries import FORK, Entry, Head, log_name, moment_of
from pourdeck.sitelog.union import Lines, Union

# What was there when this computer last looked: the last entry of every file of a log.

_MOST_LINES = 1000
"""So many notes are made into one for each file when the log is opened."""


class Known:
    """The ends that this computer knows of one job's log. What cannot be kept is told and stops nobody.

    Each station notes in a file of its own and reads those of all. `heads` are by the name each file of the
    log was begun with. `unsure`: the files of which more may have been written than was noted. `moment`: a
    time of this computer's clock, and the seconds that it had run then, of this boot. `message` says why
    something is not known or was not kept.

    `boot` names the time since the computer was started. A note lasts as long as that without being synced,
    so only the last one of a run is; without a `boot` all of them are.
    """

    def __init__(
        self, state_folder: Path, folder: Path, station: str, *, disk: Disk, boot: str = ""
    ) -> None:
        self._digest = path_digest(folder)
        self._path = state_folder / "ends" / f"{self._digest}-{station}.jsonl"
        self._disk = disk
        self._boot = boot
        self.heads: dict[str, Head] = {}
        self.unsure: set[str] = set()
        self.moment: tuple[datetime, float] | None = None
        self.message: str | None = None
        self._fd: int | None = None
        self._lines = 0
        self._unsynced: dict[str, Head] = {}

    def read(self) -> None:
        """Take in what was noted before. What cannot be read is told in `message`."""
        try:
            names = [name for name, _ in self._disk.listing(self._path.parent)]
            for name in names:
                if name.startswith(f"{self._digest}-") and name.endswith(".jsonl"):
                    self._take_in(self._disk.read(self._path.with_name(name)), name)
        except OSError as error:
            self.message = f"what was in the log before is not known: {self._path}: {reason(error)}"

    def _take_in(self, data: bytes, name: str) -> None:
        for line in data.splitlines():
            try:
                note = json.loads(line)
                boot = note.get("boot", "")
                if boot and boot == self._boot and "up" in note:
                    self._take_moment(moment_of(note["at"]), float(note["up"]))
                head = Head(str(note["file"]), int(note["n"]), str(note["seal"]))
            except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
                # The last line of a run that was killed, before anything was said to be saved; or a moment.
                continue
            known = self.heads.get(head.station)
            if known is None or head.n >= known.n:
                self.heads[head.station] = head
                self.unsure.discard(head.station)
                if boot and boot != self._boot:
                    self.unsure.add(head.station)
            self._lines += name == self._path.name

    def _take_moment(self, at: datetime | None, up: float) -> None:
        """Keep the latest of the moments that this computer's stations noted."""
        if at is not None and (self.moment is None or up >= self.moment[1]):
            self.moment = (at, up)

    def note(self, heads: Iterable[Head], moment: tuple[datetime, float] | None = None) -> bool:
        """Keep these ends, and what the clocks show. False where they could not be kept."""
        fresh = [
            one for one in heads if self.heads.get(one.station) != one or one.station in self.unsure
        ]
        if not fresh and moment is None:
            return True
        self.moment = moment or self.moment
        self.heads |= {one.station: one for one in fresh}
        self.unsure -= {one.station for one in fresh}
        self._unsynced |= {one.station: one for one in fresh}
        self.message = None
        try:
            if self._fd is None or self._lines > _MOST_LINES:
                self._begin()
            else:
                write_all(self._disk, self._fd, _lines(fresh, self._clocks()))
                if not self._boot:
                    self._disk.fsync(self._fd)
                self._lines += len(fresh)
        except OSError as error:
            self.message = f"the end of the log is not noted outside the job: {reason(error)}"
            self._release()
            return False
        return True

    def close(self) -> None:
        """Sync what was noted: it then holds after the next start of the computer too."""
        if self._fd is not None and self._boot and self._unsynced:
            with contextlib.suppress(OSError):
                write_all(self._disk, self._fd, _lines(self._unsynced.values(), {}))
                self._disk.fsync(self._fd)
        self._release()

    def _release(self) -> None:
        if self._fd is not None:
            fd, self._fd = self._fd, None
            with contextlib.suppress(OSError):
                self._disk.close(fd)

    def _begin(self) -> None:
        """Write all anew, and go on behind it. Raises OSError."""
        self._release()
        self._path.parent.mkdir(parents=True, exist_ok=True)
        kept = [one for one in self.heads.values() if one.station not in self._unsynced]
        lines = _lines(kept, {}) + _lines(self._unsynced.values(), self._clocks())
        replace_file(self._path, lines, disk=self._disk)
        self._lines = len(self.heads)
        self._fd = self._disk.open_append(self._path)

    def _clocks(self) -> dict[str, str | float]:
        """Say what a note has beside the end: since which start of the computer, and what the clocks show."""
        if not self._boot:
            return {}
        if self.moment is None:
            return {"boot": self._boot}
        at, up = self.moment
        return {"boot": self._boot, "at": at.isoformat(), "up": up}


def forget_ends(state_folder: Path, folder: Path, *, disk: Disk = DISK) -> None:
    """Forget the ends that were known of a log, for another job in the same folder. Raises OSError."""
    digest = path_digest(folder)
    for name, _ in disk.listing(state_folder / "ends"):
        if name.startswith(f"{digest}-"):
            disk.unlink(state_folder / "ends" / name)


def _lines(heads: Iterable[Head], clocks: Mapping[str, str | float]) -> bytes:
    ends = [{"file": one.station, "n": one.n, "seal": one.seal} for one in heads]
    return b"".join(
        json.dumps({**end, **clocks}).encode() + b"\n" for end in ends or ([{}] if clocks else [])
    )


# What of it is not there.


@frozen(kw_only=True)
class Gone:
    """An end that was known and is not there. `there`: the last number of its file now, 0 where it is gone.

    `other`: the file has another entry of that number.
    """

    head: Head
    there: int
    other: bool = False

    def __str__(self) -> str:
        file = log_name(self.head.station)
        if self.other:
            return (
                f"{file} was replaced: its entry {self.head.n} was {self.head.seal[:12]}, and it has "
                "another one now"
            )
        if not self.there:
            return f"{file} is gone: it had {self.head.n} entries up to {self.head.seal[:12]}"
        lacking = self.head.n - self.there
        return (
            f"{file} ends at entry {self.there}, and had {self.head.n} up to {self.head.seal[:12]}: "
            f"{lacking} {'entry is' if lacking == 1 else 'entries are'} gone"
        )


def gone(heads: Iterable[Head], lines: Lines) -> list[Gone]:
    """Which of these ends are not there."""
    found = []
    for head in heads:
        # Of a fork the end of each branch may have been noted.
        file = head.station.partition(FORK)[0]
        branches = [one for name, one in lines.items() if name.partition(FORK)[0] == file]
        if not any(_has(entries, head) for entries in branches):
            there = max((entries[-1].n for entries in branches), default=0)
            found.append(Gone(head=head, there=there, other=there >= head.n))
    return found


def what_is_gone(known: Iterable[Head], lines: Lines) -> list[Gone]:
    """The furthest end of each file that was known and is not there.

    Those are left out that somebody decided to do without.
    """
    settled = _decided(lines)
    found = gone((one for one in known if one.n > settled.get(one.station, 0)), lines)
    furthest: dict[str, Gone] = {}
    for one in found:
        if one.head.station not in furthest or furthest[one.head.station].head.n < one.head.n:
            furthest[one.head.station] = one
    return list(furthest.values())


def _has(entries: Sequence[Entry], head: Head) -> bool:
    # Most often it is the last one; with entries missing the place is not the number.
    if entries[-1].n == head.n:
        return entries[-1].seal == head.seal
    place = head.n - 1
    if place < len(entries) and entries[place].n == head.n:
        return entries[place].seal == head.seal
    return any(entry.n == head.n and entry.seal == head.seal for entry in entries)


def heads_of(lines: Lines) -> list[Head]:
    """The last entry of each file, of a fork that of its first branch."""
    return [
        Head(station, entries[-1].n, entries[-1].seal)
        for station, entries in lines.items()
        if FORK not in station
    ]


_END = re.compile(
    r"^\[\[?rests_on(?:\.seen\]\]|\])\nstation = \"([^\"\n]*)\"\nentry = ([0-9]{1,9})\n"
    r"(?:at = [^\n]*\n)?seal = \"([0-9a-f]{64})\"$",
    re.MULTILINE,
)


def recorded_ends(folder: Path, disk: Disk) -> list[Head]:
    """The entries that the records of finished panels say they rest on. What cannot be read says nothing."""
    found: list[Head] = []
    try:
        names = [name for name, kind in disk.listing(folder / "record") if kind == "file"]
        for name in names:
            if name.endswith(".toml") and not name.endswith("-damaged.toml"):
                text = disk.read(folder / "record" / name).decode("utf-8", "replace")
                found += (Head(one[1], int(one[2]), one[3]) for one in _END.finditer(text))
    except OSError:
        return found
    return found


def seen_ends(lines: Lines) -> list[Head]:
    """The furthest entry of each file that any other had seen."""
    furthest: dict[str, Head] = {}
    for entries in lines.values():
        for entry in entries:
            for head in entry.seen:
                known = furthest.get(head.station)
                if known is None or known.n < head.n:
                    furthest[head.station] = head
    return list(furthest.values())


def _decided(lines: Lines) -> dict[str, int]:
    """Up to which number of each file somebody decided to do without what is gone."""
    found: dict[str, int] = {}
    for entries in lines.values():
        start = entries[0].data.get("continues") if entries[0].kind == "start" else None
        lost = start.get("lost") if isinstance(start, Mapping) else None
        for one in lost if isinstance(lost, list) else ():
            if isinstance(one, Mapping) and isinstance(one.get("n"), int):
                name = str(one.get("file"))
                found[name] = max(one["n"], found.get(name, 0))
    return found


def log_findings(union: Union, gone: Iterable[Gone], waiting: Iterable[str]) -> list[Finding]:
    """Damage, forks and what is gone as errors; a last line that is not whole, and what was left unread.

    `waiting`: files whose last line is not whole, but for the one that was put right.
    """
    found = [fault.finding() for fault in union.faults]
    found += (
        Finding(
            code="log-gone", severity="error", message=f"{one}.", file=log_name(one.head.station)
        )
        for one in gone
    )
    found += (
        Finding(
            code="log-torn",
            severity="warning",
            message=f"{file}: its last line is not all there. Whoever writes it sets it aside.",
            file=file,
        )
        for file in waiting
    )
    found += (
        Finding(
            code="log-unread",
            severity="warning",
            message=f"log/{one.name} is not read: {one.why}.",
            file=f"log/{one.name}",
        )
        for one in union.unread
        if one.wrong
    )
    return found
