"""Find what was in a log and is not, by its ends as `Known` of `disk.py`, records and other stations had
them.

A seal shows what was changed; only this shows what is gone: a file that was emptied, put back from an older
copy, replaced or taken away.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

from attrs import frozen

from pourdeck.plan.messages import Finding
from pourdeck.sitelog.disk import Disk, replace_file, write_new
from pourdeck.sitelog.entries import FORK, INSTALLATION, Entry, Head, log_name
from pourdeck.sitelog.union import Lines, Union


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
