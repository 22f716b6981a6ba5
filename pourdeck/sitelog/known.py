"""What was there when this computer last looked: number and seal of the last entry of every file of a log.

It is kept in the state folder, outside the job, and each entry is noted there once it is in the log. A seal
shows what was changed; only this shows what is gone: a file that was emptied, put back from an older copy,
replaced or taken away.
"""

import hashlib
import json
import os
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

from attrs import frozen

from pourdeck.plan.messages import Finding
from pourdeck.sitelog.disk import Disk, reason, replace_file, write_all, write_new
from pourdeck.sitelog.entries import INSTALLATION, Entry, Head, log_name
from pourdeck.sitelog.union import FORK, Lines, Union

_MOST_LINES = 1000
"""So many notes are made into one for each file when the log is opened."""


class Known:
    """The ends that this computer knows of one job's log. What cannot be kept is told and stops nobody.

    Each station notes in a file of its own and reads those of all. `heads` are by the name each file of the
    log was begun with. `message` says why something is not known or was not kept.
    """

    def __init__(self, state_folder: Path, folder: Path, station: str, *, disk: Disk) -> None:
        name = os.path.normcase(folder.resolve())
        self._digest = hashlib.sha256(os.fsencode(name)).hexdigest()[:32]
        self._path = state_folder / "ends" / f"{self._digest}-{station}.jsonl"
        self._disk = disk
        self.heads: dict[str, Head] = {}
        self.message: str | None = None
        self._fd: int | None = None
        self._lines = 0

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
                head = Head(str(note["file"]), int(note["n"]), str(note["seal"]))
            except (ValueError, TypeError, KeyError, RecursionError):
                # The last line of a run that was killed, before anything was said to be saved.
                continue
            known = self.heads.get(head.station)
            if known is None or head.n >= known.n:
                self.heads[head.station] = head
            self._lines += name == self._path.name

    def note(self, heads: Iterable[Head]) -> bool:
        """Keep these ends, synced. False where they could not be kept."""
        fresh = [one for one in heads if self.heads.get(one.station) != one]
        if not fresh:
            return True
        self.heads |= {one.station: one for one in fresh}
        self.message = None
        try:
            if self._fd is None or self._lines > _MOST_LINES:
                self._begin()
            else:
                write_all(self._disk, self._fd, _lines(fresh))
                self._disk.fsync(self._fd)
                self._lines += len(fresh)
        except OSError as error:
            self.message = f"the end of the log is not noted outside the job: {reason(error)}"
            self.close()
            return False
        return True

    def close(self) -> None:
        if self._fd is not None:
            fd, self._fd = self._fd, None
            try:
                self._disk.close(fd)
            except OSError:
                return

    def _begin(self) -> None:
        """Write all anew, and go on behind it. Raises OSError."""
        self.close()
        self._path.parent.mkdir(parents=True, exist_ok=True)
        replace_file(self._path, _lines(self.heads.values()), disk=self._disk)
        self._lines = len(self.heads)
        self._fd = self._disk.open_append(self._path)


def _lines(heads: Iterable[Head]) -> bytes:
    return b"".join(
        json.dumps({"file": one.station, "n": one.n, "seal": one.seal}).encode() + b"\n"
        for one in heads
    )


# What was there and is not.


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
        branches = [one for name, one in lines.items() if name.partition(FORK)[0] == head.station]
        if not any(_has(entries, head) for entries in branches):
            there = max((entries[-1].n for entries in branches), default=0)
            found.append(Gone(head=head, there=there, other=there >= head.n))
    return found


def what_is_gone(known: Iterable[Head], lines: Lines) -> list[Gone]:
    """The ends that were known and are not there, but for those that somebody decided to do without."""
    settled = _decided(lines)
    return gone((one for one in known if one.n > settled.get(one.station, 0)), lines)


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


_RESTS_ON = re.compile(
    r"^\[rests_on\]\nstation = \"([^\"\n]*)\"\nentry = ([0-9]{1,9})\nat = [^\n]*\nseal = \"([0-9a-f]{64})\"$",
    re.MULTILINE,
)


def recorded_ends(folder: Path, disk: Disk) -> list[Head]:
    """The entry that each record of a finished panel says it rests on. What cannot be read says nothing."""
    found = []
    try:
        names = [name for name, kind in disk.listing(folder / "record") if kind == "file"]
        for name in names:
            if name.endswith(".toml") and not name.endswith("-damaged.toml"):
                text = disk.read(folder / "record" / name).decode("utf-8", "replace")
                if match := _RESTS_ON.search(text):
                    found.append(Head(match[1], int(match[2]), match[3]))
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


def installation_id(state_folder: Path, disk: Disk, new_id: Callable[[], str] | None) -> str:
    """The id of this installation, made and kept where there is none yet; "" without `new_id`.

    Raises OSError.
    """
    path = state_folder / "installation"
    found = _id_at(path, disk)
    if found or new_id is None:
        return found
    state_folder.mkdir(parents=True, exist_ok=True)
    try:
        write_new(disk, path, f"{new_id()}\n".encode())
    except FileExistsError:
        # Another program made one just now; or what is there is none.
        if not _id_at(path, disk):
            renew_installation(state_folder, disk, new_id)
    return _id_at(path, disk)


def renew_installation(state_folder: Path, disk: Disk, new_id: Callable[[], str]) -> str:
    """Give this installation another id: somebody else has the one it had. Raises OSError."""
    path = state_folder / "installation"
    replace_file(path, f"{new_id()}\n".encode(), disk=disk)
    return _id_at(path, disk)


def _id_at(path: Path, disk: Disk) -> str:
    try:
        found = disk.read(path).decode("ascii", "replace").strip()
    except FileNotFoundError:
        return ""
    return found if INSTALLATION.fullmatch(found) else ""
