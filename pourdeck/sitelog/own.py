"""Tell which files of a log an installation may write to, and make the last one ready to be added to.

A station's files are named after it and its installation, `shed-7f3a`, and those that go on after a failed
sync or damage `shed-7f3a-2`, `shed-7f3a-3`. Older files have no id, `shed`, `shed-2`: the first installation
that opens them takes them over.
"""

import re
from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from itertools import chain, count
from pathlib import Path

from attrs import frozen

from pourdeck.sitelog.disk import (
    Disk,
    Segment,
    WriteFailedError,
    reason,
    replace_file,
    write_new,
)
from pourdeck.sitelog.entries import FORK, INSTALLATION, log_name, station_of
from pourdeck.sitelog.scan import FORMAT, Scan, scan
from pourdeck.sitelog.union import Union

_NUMBERED = re.compile(r"(.+)-([1-9][0-9]{0,5})")


@frozen(kw_only=True, eq=False, repr=False)
class Own:
    """`base` is what the names of the files begin with, `scans` are the files, in their order.

    `owned`: the last one says whose it is. `beside`: a copy holds more than the last one. `shared`: somebody
    else wrote to it as well.
    """

    base: str
    scans: tuple[Scan, ...] = ()
    owned: bool = True
    beside: Scan | None = None
    shared: bool = False

    def next_name(self, names: Iterable[str]) -> str:
        """A name for the next file that none in the folder has."""
        taken = {name.lower().removesuffix(".jsonl") for name in names}
        numbers = [
            int(match[2])
            for name in taken
            if (match := _NUMBERED.fullmatch(name)) and match[1] == self.base
        ]
        if self.base not in taken and not numbers and not self.scans:
            return self.base
        return f"{self.base}-{max(numbers, default=1) + 1}"


def own_files(union: Union, station: str, installation: str) -> Own:
    """Those of an installation, "" for one without an id."""
    families = _families(union, station)
    mine = {base: files for base, files in families.items() if _owner(files) == installation}
    older = {base: files for base, files in families.items() if not _owner(files)}
    found = mine or older
    if not found:
        return _none_yet(union, station, installation)
    base = max(found, key=lambda one: (found[one][-1].entries[-1].at, one))
    files = found[base]
    last = files[-1]
    end = union.lines[last.chain][-1]
    complete = last.file == log_name(last.chain) and last.head == end.seal
    return Own(
        base=base,
        scans=files,
        owned=bool(mine),
        beside=None if complete else next(one for one in union.scans if one.head == end.seal),
        shared=any(
            name.startswith(f"{each.chain}{FORK}") for name in union.lines for each in files
        ),
    )


def _families(union: Union, station: str) -> dict[str, tuple[Scan, ...]]:
    """The files of a station under what their names begin with, each once, by their numbers."""
    found: dict[str, dict[int, Scan]] = {}
    for each in union.scans:
        if each.named != station or not each.entries:
            continue
        base, number = each.chain, 1
        match = _NUMBERED.fullmatch(each.chain)
        if each.continues is not None and match:
            base, number = match[1], int(match[2])
        files = found.setdefault(base, {})
        if number not in files or each.file == log_name(each.chain):
            files[number] = each
    return {base: tuple(files[one] for one in sorted(files)) for base, files in found.items()}


def _owner(files: tuple[Scan, ...]) -> str:
    return next((each.owner for each in reversed(files) if each.owner), "")


def _none_yet(union: Union, station: str, installation: str) -> Own:
    """Where it has no file with an entry yet: the name of its first, and what lies there under it."""
    there = {station_of(each.name): each for each in union.scans}
    there |= {each.chain: each for each in union.scans if each.entries}
    digits = (4, 6, 8, 16) if installation else ()
    names = [f"{station}-{installation[:size]}" for size in digits] or [station]
    for name in chain(names, (f"{station}-{number}" for number in count(2))):
        each = there.get(name)
        if each is None or not each.entries:
            return Own(base=name, scans=() if each is None else (each,))
    raise AssertionError("numbers do not end")


# Making a station's last file ready to be added to: why it must not be, and setting a torn tail aside.


class NotReadyError(Exception):
    """The file must not or cannot be added to; the message says why, without its name."""


def make_ready(disk: Disk, segment: Segment, last: Scan, now: datetime) -> list[str]:
    """Open the file that `last` read, mend its end, and say what was done. Raises NotReadyError."""
    if last.newer:
        raise NotReadyError(
            f"it has format {last.format}, and this program writes {FORMAT}: use the newer program"
        )
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


def _set_aside(disk: Disk, segment: Segment, last: Scan, now: datetime) -> str:
    """Keep the torn tail in a file of its own, then cut it off. Raises OSError."""
    name = _keep(disk, segment, last.tail, now)
    disk.sync_folder(segment.path.parent)
    segment.cut(last.end)
    return (
        f"{last.file}: the last line was incomplete, as an interrupted write leaves it; its "
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
        back = scan(disk.read_back(finished.path), finished.path.name)
    except OSError as error:
        raise NotReadyError(f"cannot be read back: {reason(error)}") from error
    n = finished.n
    if back.sound < n or (n > 0 and back.entries[n - 1].seal != finished.head):
        raise NotReadyError(
            f"no longer holds all {n} entries that were saved in it. Leave this open, copy the job "
            "folder to another disk, then have the log verified"
        )
    return back


# The id of an installation.


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
