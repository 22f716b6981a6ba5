"""Whether the log is whole, from its files alone, and whether a head that was noted elsewhere is
in it.

The chain of seals shows an entry that was changed, moved or taken out. It cannot show that the end
was cut off or everything written anew: a head noted outside the log, as on a printed sheet, can.
"""

import re
from collections.abc import Iterable
from pathlib import Path

from attrs import frozen

from pourdeck.sitelog.disk import DISK, Disk
from pourdeck.sitelog.entries import Entry, Head
from pourdeck.sitelog.known import Gone, recorded_ends, what_is_gone
from pourdeck.sitelog.scan import LogFault, Scan
from pourdeck.sitelog.union import Union, read_union

SHORTEST_HEAD = 12
"""Characters of a seal that are needed to look for it: fewer can be made to fit in a moment."""


@frozen(kw_only=True)
class StationReport:
    """One file: `entries` counts them, `head` is the last one's seal, `torn`: an incomplete last
    line.
    """

    file: str
    entries: int
    head: str | None
    whole: bool
    faults: tuple[LogFault, ...]
    torn: bool
    scan: Scan


@frozen(kw_only=True)
class HeadCheck:
    """Whether a noted head is in the log; `after`: how many entries of that file came since."""

    found: bool
    message: str
    entry: Entry | None = None
    after: int | None = None


@frozen(kw_only=True)
class LogReport:
    """All files of a log. `gone`: what was known of it and is not there."""

    stations: tuple[StationReport, ...]
    union: Union
    gone: tuple[Gone, ...] = ()

    @property
    def whole(self) -> bool:
        """Nothing is damaged, torn, forked or gone, and nothing was left unread that may be of the log."""
        return not (
            self.gone
            or self.union.faults
            or self.union.waiting
            or any(one.wrong for one in self.union.unread)
        )


def verify(folder: Path, *, known: Iterable[Head] = (), disk: Disk = DISK) -> LogReport:
    """Read every file of a job's log, and compare it with the ends that are known, here and in the records.

    Raises OSError where the log folder cannot be listed.
    """
    union = read_union(folder, disk=disk)
    gone = tuple(what_is_gone([*known, *recorded_ends(folder, disk)], union.lines))
    lacking = {one.head.station for one in gone}
    return LogReport(
        stations=tuple(report(each, each.chain in lacking) for each in union.scans),
        union=union,
        gone=gone,
    )


def report(each: Scan, lacking: bool = False) -> StationReport:
    return StationReport(
        file=each.file,
        entries=len(each.entries),
        head=each.head,
        whole=each.whole and not lacking,
        faults=each.faults,
        torn=bool(each.tail),
        scan=each,
    )


def check_head(reports: Iterable[StationReport], noted: str) -> HeadCheck:
    """Look for the entry with a noted seal, of which the first characters are enough.

    `noted` may have the entry's number before it, as in `212:9f3c81aa04be`; then a log that was cut
    short is told from one that was written anew, and how much it lacks. Raises ValueError where it
    is no head.
    """
    match = re.fullmatch(r"(?:([0-9]{1,9})\s*[:,\s]\s*)?([0-9a-f]{1,64})…?", noted.strip().lower())
    if not match or len(match[2]) < SHORTEST_HEAD:
        raise ValueError(
            f"{noted!r} is no head of a log: give at least {SHORTEST_HEAD} characters of a seal, "
            "0 to 9 and a to f, or number and seal as in 212:9f3c81aa04be"
        )
    n, prefix = int(match[1]) if match[1] else None, match[2]
    files = [each.scan for each in reports]
    hits = [
        (each, entry)
        for each in files
        for entry in each.entries
        if entry.seal.startswith(prefix) and n in (None, entry.n)
    ]
    if not hits:
        return HeadCheck(found=False, message=_not_found(files, n, prefix))
    each, entry = hits[0]
    if len({hit.seal for _, hit in hits}) > 1:
        many = ", ".join(f"{hit.n} of {scan.file}" for scan, hit in hits)
        message = (
            f"{len(hits)} entries have a seal that begins with {prefix}: {many}. Give more of it."
        )
        return HeadCheck(found=False, message=message)
    after = sum(other.n > entry.n for other in each.entries)
    came = "no entry" if after == 0 else "1 entry" if after == 1 else f"{after} entries"
    message = f"{prefix} is entry {entry.n} of {each.file}; {came} after it."
    return HeadCheck(found=True, message=message, entry=entry, after=after)


def _not_found(files: list[Scan], n: int | None, prefix: str) -> str:
    title = f"No entry of this log has a seal that begins with {prefix}: "
    counts = [(each.file, each.entries[-1].n if each.entries else 0) for each in files]
    if n is None or not counts:
        return title + "the log was cut short or written anew after that was noted."
    told = [
        f"{file} ends at entry {last}, {n - last} missing"
        if last < n
        else f"{file} has another entry {n}"
        for file, last in counts
    ]
    return title + "; ".join(told) + "."
