"""`stations`: who writes to a job, how far each has seen the others, and whether clocks agree."""

from argparse import Namespace
from datetime import timedelta
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import job_folder, known_ends, state_folder, station
from pourdeck.commands.log import log_owner, read_log
from pourdeck.commands.outcome import DONE, FAULTY, show
from pourdeck.paper.documents import Document
from pourdeck.paper.station_words import Told, clock_words, name_words, told_beside, told_of
from pourdeck.sitelog.clocks import Clock
from pourdeck.sitelog.disk import DISK
from pourdeck.sitelog.own import installation_id
from pourdeck.sitelog.stations import Station, Stations, stations

if TYPE_CHECKING:
    from rich.console import Console


def run(arguments: Namespace) -> int:
    """Exit 1 where something is forked, gone, damaged or unread, or a clock did not agree with another."""
    folder = log_owner(job_folder(arguments))
    report = read_log(folder, known_ends(folder, station(arguments)))
    found = stations(report.union, report.gone, _installation())
    show(
        arguments,
        lambda: stations_document(found),
        lambda console: stations_page(console, found),
    )
    return FAULTY if found.wrong else DONE


def _installation() -> str:
    """The id of this computer, "" where it has none or it cannot be read."""
    try:
        return installation_id(state_folder(), DISK, None)
    except OSError:
        return ""


def stations_document(found: Stations) -> Document:
    """Times as in the log, spans in seconds; null where nothing is known."""
    return {
        "stations": [_station_document(one) for one in found.every],
        "gone": [str(one) for one in found.gone],
        "faults": [str(one) for one in found.faults],
        "not_here": [{"line": name, "n": n} for name, n in found.not_here.items()],
        "unread": [
            {"file": f"log/{one.name}", "why": one.why, "wrong": one.wrong} for one in found.unread
        ],
        "wrong": found.wrong,
    }


def _station_document(one: Station) -> Document:
    return {
        "line": one.line,
        "station": one.station,
        "installation": one.installation or None,
        "this_computer": one.here,
        "files": list(one.files),
        "copies": [{"file": file, "n": n} for file, n in one.copies.items()],
        "entries": len(one.entries),
        "n": one.last.n,
        "at": one.last.at.isoformat(),
        "by": one.last.by,
        "head": one.last.seal,
        "seen_by": [{"line": other, "n": n} for other, n in one.seen_by.items()],
        "awaited": one.awaited or None,
        "waiting": one.waiting,
        "branch": one.branch,
        "faults": [str(fault) for fault in one.faults],
        "gone": [str(missing) for missing in one.gone],
        "clocks": [_clock_document(clock) for clock in one.clocks],
        "jumps": [
            {"n": entry.n, "at": entry.at.isoformat(), "clock": entry.clock} for entry in one.jumps
        ],
        "wrong": one.wrong,
    }


def _clock_document(clock: Clock) -> Document:
    return {
        "line": clock.other,
        "apart": clock.apart,
        "least_ahead": _seconds(clock.ahead.least if clock.ahead else None),
        "most_ahead": _seconds(clock.most_ahead),
        "words": clock_words(clock),
    }


def _seconds(span: timedelta | None) -> float | None:
    return None if span is None else span.total_seconds()


def stations_page(console: "Console", found: Stations) -> None:
    """Each station with all there is of it, then what is no station's."""
    from pourdeck.paper.console import say

    if not found.every:
        say(console, "Nobody has written to this job yet.")
    for one in found.every:
        say(console, name_words(one), "bold")
        for told in told_of(one):
            _line(console, told)
    beside = tuple(told_beside(found))
    if beside:
        say(console, "In the log folder", "bold")
    for told in beside:
        _line(console, told)


def _line(console: "Console", told: Told) -> None:
    from pourdeck.paper.console import flow, pieces

    sign = "✗" if told.wrong else " "
    flow(console, f"{sign} {told.name:<12}  ", pieces(told.words))
