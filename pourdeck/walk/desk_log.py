"""What the desk says of the log."""

from pourdeck.plan.findings import Finding
from pourdeck.sitelog.logfile import LogFile
from pourdeck.sitelog.merge import Union


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
    if not union.waiting:
        return []
    repaired = () if log.read_only else tuple(scan.file for scan in log.scans)
    return [file for file in union.waiting if file not in repaired]
