"""Making a station's last file ready to be added to: why it must not be, and setting a torn tail
aside.
"""

from datetime import UTC, datetime

from pourdeck.sitelog.disk import Disk, reason, write_new
from pourdeck.sitelog.scan import FORMAT, Scan, scan
from pourdeck.sitelog.segment import Segment, WriteFailedError


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
