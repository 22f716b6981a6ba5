"""`log`: the site log, and whether it is whole. The plan says the units, and what its lifts needed.

Parts of the plan are read for that alone: what is wrong with the plan is no fault of the log. `--records`
writes the panel records anew; `--continue` and `--confirm-time` record what somebody decides.
"""

from argparse import Namespace
from collections.abc import Iterable, Sequence
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import clock, job_folder, known_ends, no_log, open_desk, station
from pourdeck.commands.outcome import DONE, FAULTY, CannotDoError, show
from pourdeck.paper.documents import Document, findings_document
from pourdeck.plan.messages import Finding, JobFaulty, JobUnreadable, Refusal, has_error
from pourdeck.sitelog.entries import Entry, Head, station_words
from pourdeck.sitelog.state import replay, unknown_findings
from pourdeck.sitelog.verify import HeadCheck, LogReport, check_head, verify
from pourdeck.walk.clock import Clocks, clock_findings, doubts

if TYPE_CHECKING:
    from rich.console import Console

    from pourdeck.plan.records import Units
    from pourdeck.walk.desk import Desk

NOT_JUDGED = "lifts-not-judged"
"""The log has lifts, and the plan that says what each needed cannot be read."""


def run(arguments: Namespace) -> int:
    """Exit 1 where a file is damaged or torn, a noted head is not in the log, or a lift lacked something."""
    if arguments.records:
        return write_records(arguments)
    if arguments.go_on or arguments.confirm_time:
        return decide(arguments)
    folder = log_owner(job_folder(arguments))
    report = read_log(folder, known_ends(folder, station(arguments)))
    head = None
    if arguments.head:
        try:
            head = check_head(report.stations, arguments.head)
        except ValueError as error:
            raise CannotDoError("that is no head of a log.", f"{error}.") from error
    every = report.union.entries
    state = replay(every)
    clocks = Clocks(found=tuple(doubts(every, state.voided)))
    findings = (
        *unknown_findings(state),
        *clock_findings(clocks),
        *lift_findings(folder, every),
    )
    entries = () if arguments.verify else every
    show(
        arguments,
        lambda: log_document(report, entries, head, findings),
        lambda console: log_page(
            console, report, entries, head, arguments.verify, units_of(folder), findings
        ),
    )
    right = report.whole and (head is None or head.found) and not has_error(findings)
    return DONE if right else FAULTY


def read_log(folder: Path, known: Iterable[Head]) -> LogReport:
    """Read every file of a job's log, and compare it with the ends that are known. Raises CannotDoError."""
    try:
        return verify(folder, known=known)
    except OSError as error:
        raise no_log(folder, error) from error


def log_owner(named: Path) -> Path:
    """The folder whose log is meant; its plan may be unreadable, but there is one, or a log.

    Raises JobUnreadable.
    """
    from pourdeck.plan.reader import job_path

    try:
        if (named / "log").is_dir():
            return named
    except (OSError, ValueError):
        pass  # what is wrong with the name itself is said below
    return job_path(named).parent


def units_of(folder: Path) -> "Units":
    """The units of the job, whatever else is wrong with its plan; else those of the files."""
    from pourdeck.plan.reader import job_path, parse, read_text

    try:
        path = job_path(folder)
        job = parse(read_text(path), path.name).get("job")
    except JobUnreadable:
        return "metric"
    return "imperial" if isinstance(job, dict) and job.get("units") == "imperial" else "metric"


def lift_findings(folder: Path, entries: Sequence[Entry]) -> tuple[Finding, ...]:
    """Errors of lifts that the log has; a warning where the plan does not let them be judged."""
    if not any(entry.kind == "lifted" for entry in entries):
        return ()
    from pourdeck.plan.reader import read_job
    from pourdeck.walk.site import Site

    try:
        plan = read_job(folder)
    except (JobFaulty, JobUnreadable):
        said = "The lifts of this log are not judged: job.toml cannot be read. See what check says of it."
        return (Finding(code=NOT_JUDGED, severity="warning", message=said),)
    return Site(plan, replay(entries), clock).lift_findings()


def entry_document(entry: Entry) -> Document:
    found: Document = {
        "station": entry.station,
        "n": entry.n,
        "at": entry.at.isoformat(),
        "by": entry.by,
        "kind": entry.kind,
        "data": entry.data,
        "prev": entry.prev,
        "seal": entry.seal,
    }
    if entry.clock:
        found["clock"] = entry.clock
    if entry.seen:
        found["seen"] = [
            {"station": one.station, "n": one.n, "seal": one.seal} for one in entry.seen
        ]
    return found


def log_document(
    report: LogReport,
    entries: Sequence[Entry],
    head: HeadCheck | None,
    findings: Sequence[Finding] = (),
) -> Document:
    found: Document = {
        "stations": [
            {
                "file": one.file,
                "entries": one.entries,
                "head": one.head,
                "whole": one.whole and not one.torn,
                "torn": one.torn,
                "faults": [
                    {
                        "line": fault.line,
                        "offset": fault.offset,
                        "code": fault.code,
                        "message": fault.message,
                    }
                    for fault in one.faults
                ],
            }
            for one in report.stations
        ],
        "gone": [str(one) for one in report.gone],
        "forks": [str(one) for one in report.union.forks],
        "unread": [{"file": f"log/{one.name}", "why": one.why} for one in report.union.unread],
        "entries": [entry_document(entry) for entry in entries],
        "findings": findings_document(findings),
    }
    if head is not None:
        found["head"] = {"found": head.found, "message": head.message, "after": head.after}
    return found


def log_page(
    console: "Console",
    report: LogReport,
    entries: Sequence[Entry],
    head: HeadCheck | None,
    only_verify: bool,
    units: "Units" = "metric",
    findings: Sequence[Finding] = (),
) -> None:
    """Entries as a diary, a day at a time, then what is to be said of each file and of its lifts."""
    from pourdeck.paper.console import findings_page, say

    if not only_verify:
        _diary(console, entries, units, several=len(report.union.lines) > 1)
    if not report.stations:
        say(console, "There is no log yet.")
    for one in report.stations:
        whole = one.whole and not one.torn
        seal = f"head {one.scan.entries[-1].n}:{one.head[:12]}" if one.head else "no head"
        state = "whole" if whole else "NOT WHOLE"
        say(console, f"{one.file}: {one.entries} entries, {seal}, {state}", "bold")
        for fault in one.faults:
            place = f"line {fault.line}: " if fault.line else ""
            say(console, f"  {place}{fault.message}")
        if one.torn:
            say(
                console, "  The last line is incomplete: an interrupted write, or not all here yet."
            )
    for fork in report.union.forks:
        say(console, f"FORK: {fork}.")
    for missing in report.gone:
        say(console, f"GONE: {missing}. Look for a copy: another computer, a backup, a record.")
    for left in report.union.unread:
        say(console, f"log/{left.name} is not read: {left.why}.")
    if head is not None:
        say(console, head.message)
    if findings:
        findings_page(console, findings)


def _diary(console: "Console", entries: Sequence[Entry], units: "Units", *, several: bool) -> None:
    from pourdeck.paper.console import flow, pieces, say
    from pourdeck.paper.diary import diary_line, kind_words

    width = len(str(max((entry.n for entry in entries), default=0)))
    for day, those in groupby(entries, lambda entry: f"{entry.at:%A %d %B %Y, UTC%z}"):
        say(console, day, "bold")
        for entry in those:
            station = f" {station_words(entry.station)}" if several else ""
            panel = f"{entry.panel}: " if entry.panel else ""
            said = f"{panel}{kind_words(entry.kind)}: {diary_line(entry, units)} ({entry.by})"
            flow(console, f"{entry.n:>{width}}{station}  {entry.at:%H:%M:%S}  ", pieces(said))
        console.print()


def write_records(arguments: Namespace) -> int:
    """Write the record of every finished panel anew, from plan and log."""
    from pourdeck.paper.record_files import build_records

    desk = open_desk(arguments, read_only=True)
    try:
        written = build_records(desk)
        log = desk.log_findings()
    except OSError as error:
        raise CannotDoError(
            "the records cannot be written.",
            f"{desk.job.folder / 'record'}: {error.strerror or error}.",
        ) from error
    finally:
        desk.close()
    told = [one.kept or f"record/{one.name}" for one in written]
    told = told or ["No panel is finished yet: no records."]
    names = [one.name for one in written]
    show(arguments, lambda: {"records": names}, lambda console: _say(console, told), log)
    return FAULTY if has_error(log) else DONE


def decide(arguments: Namespace) -> int:
    """Record what somebody decides: to go on beside a damaged file, or that the time is right."""
    from pourdeck.walk.words import name_of, who

    if not arguments.by or (arguments.go_on and not arguments.reason):
        raise CannotDoError(
            "somebody decides that: it takes a name, and going on after damage a reason too.",
            "Add --by NAME, and --reason TEXT.",
        )
    desk = open_desk(arguments, read_only=False)
    try:
        someone = who(desk.job, arguments.by)
        if isinstance(someone, Refusal):
            raise CannotDoError(someone.title, someone.body)
        name = name_of(someone)
        entry, told = _go_on(desk, name, arguments) if arguments.go_on else _confirm(desk, name)
        document = {"file": desk.log.file, "n": entry.n, "seal": entry.seal}
    finally:
        desk.close()
    show(arguments, lambda: document, lambda console: _say(console, [told]))
    return DONE


def _go_on(desk: "Desk", name: str, arguments: Namespace) -> "tuple[Entry, str]":
    """Begin the next file of a station beside its damaged one."""
    entry = desk.log.go_on(name, arguments.reason)
    told = f"{desk.log.file} goes on from here (no. {entry.n}, {entry.seal[:12]}). "
    return entry, f"{told}The damaged file stays as it is."


def _confirm(desk: "Desk", name: str) -> "tuple[Entry, str]":
    from pourdeck.walk.acts import confirm_time

    act = confirm_time(desk.clocks(), name, desk.now())
    if isinstance(act, Refusal):
        raise CannotDoError(act.title, act.body)
    entry = desk.record(act)
    return entry, f"Recorded, no. {entry.n}: {act.says}."


def _say(console: "Console", lines: list[str]) -> None:
    from pourdeck.paper.console import say

    for line in lines:
        say(console, line)
