"""What the desk says of the log, and which panel an entry of it is about."""

from pourdeck.plan.findings import Finding
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.logfile import LogFile
from pourdeck.sitelog.merge import Union
from pourdeck.sitelog.state import SiteState


def log_messages(union: Union, log: LogFile) -> list[str]:
    """What people should be told of files other than the station's own, which `log` speaks of itself."""
    own = {scan.file for scan in log.scans}
    told = [str(fault) for fault in union.faults if fault.file not in own]
    told += [f"{file}: its last line is not all there yet." for file in not_whole(union, log)]
    told += [f"log/{name} is not read: no station has that name." for name in union.ignored]
    return told


def log_findings(union: Union, log: LogFile) -> list[Finding]:
    """Damage as errors, and `log-torn`, a warning, where the last line of a file is not whole."""
    found = [fault.finding() for fault in union.faults]
    found += (
        Finding(
            code="log-torn",
            severity="warning",
            message=f"{file}: its last line is not all there. Whoever writes it sets it aside.",
            file=file,
        )
        for file in not_whole(union, log)
    )
    return found


def not_whole(union: Union, log: LogFile) -> list[str]:
    """Files whose last line is not whole; the one written to was put right when it was opened."""
    repaired = () if log.read_only else tuple(scan.file for scan in log.scans)
    return [file for file in union.waiting if file not in repaired]


def panel_of(state: SiteState, entry: Entry) -> str | None:
    """The mark of the panel an entry is about; for an undo, that of the act at its end."""
    seen: set[tuple[str, int]] = set()
    found: Entry | None = entry
    while found is not None and found.kind == "undo" and found.key not in seen:
        seen.add(found.key)
        found = undone(state, found)
    return found.panel if found is not None else None


def undone(state: SiteState, undo: Entry) -> Entry | None:
    """The entry an undo names, None where it names none that is known."""
    station, n = undo.data.get("station"), undo.data.get("n")
    return state.find((station, n)) if isinstance(station, str) and type(n) is int else None
