"""The files of one station: the first one, and those that continue it after a failed sync or
damage.

A file that continues another is named `<station>-2.jsonl`, `<station>-3.jsonl`, and its first entry
names the station and, under `continues`, the file, number and seal after which it goes on.
"""

import re
from pathlib import Path

from pourdeck.sitelog.disk import Disk
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.names import log_name, station_of
from pourdeck.sitelog.scan import Scan, scan, unreadable


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
