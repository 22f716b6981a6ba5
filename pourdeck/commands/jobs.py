"""Open a job for a command, find the panel that is meant, and record in it."""

import os
import time
from argparse import Namespace
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from pourdeck.commands.outcome import CannotDoError
from pourdeck.plan.messages import Finding, Refusal, literal
from pourdeck.plan.records import Job, Stack

if TYPE_CHECKING:
    from pourdeck.sitelog.backups import Backups
    from pourdeck.sitelog.entries import Head
    from pourdeck.walk.desk import Desk
    from pourdeck.walk.records import Act

STATION_VARIABLE = "POURDECK_STATION"
STATE_VARIABLE = "POURDECK_STATE"
STATION = "shed"
"""The station that writes, where nothing else is said."""


def clock() -> datetime:
    """The time now, in the computer's own zone: a job that names its zone is shown in that one."""
    return datetime.now().astimezone()


_UPTIME = Path("/proc/uptime")
_BOOT = Path("/proc/sys/kernel/random/boot_id")


def steady() -> float:
    """Seconds that the computer has run, asleep too: nobody sets that."""
    try:
        # What sets the clock of one program, as for a test, leaves this alone.
        return float(_UPTIME.read_text().split()[0])
    except (OSError, ValueError, IndexError):
        return time.monotonic()


def boot() -> str:
    """Name the time since the computer was started; "" where the system has no name for it."""
    try:
        return _BOOT.read_text().strip()
    except OSError:
        return ""


def state_folder() -> Path:
    """Where this computer keeps locks, drafts and the like: never in the job folder."""
    given = os.environ.get(STATE_VARIABLE)
    if given:
        return Path(given)
    from platformdirs import user_state_path

    return user_state_path("pourdeck", appauthor=False)


def new_installation() -> str:
    """An id for an installation that has none yet."""
    return os.urandom(8).hex()


def station(arguments: Namespace) -> str:
    """The station that is named, by argument or in the environment. Raises CannotDoError if unfit."""
    from pourdeck.sitelog.entries import station_fault

    name: str = arguments.station or os.environ.get(STATION_VARIABLE) or STATION
    if fault := station_fault(name):
        raise CannotDoError("that is no name for a station.", f"{fault}.")
    return name


def host_and_user() -> tuple[str, str]:
    """Who a second program is told has the log open; empty where the system does not say."""
    import getpass
    import platform

    try:
        return platform.node(), getpass.getuser()
    except (KeyError, OSError, ImportError):
        return platform.node(), ""


def job_folder(arguments: Namespace) -> Path:
    """The job that is named: its folder, or its job.toml."""
    if not arguments.job:
        raise CannotDoError("no job is named.", "Name the folder that holds job.toml.")
    return Path(arguments.job)


def known_ends(folder: Path, name: str) -> "list[Head]":
    """Give the ends of a job's log as this computer knows them."""
    from pourdeck.sitelog.disk import DISK
    from pourdeck.sitelog.known import Known

    known = Known(state_folder(), folder, name, disk=DISK)
    known.read()
    return list(known.heads.values())


def open_backups(folder: Path) -> "Backups":
    """Open the backups of a job as this computer makes them."""
    from pourdeck.sitelog.backups import Backups

    host, user = host_and_user()
    return Backups(
        state_folder(), folder, clock=clock, new_id=new_installation, host=host, user=user
    )


def open_desk(arguments: Namespace, *, read_only: bool) -> "Desk":
    """The job of a command with its log replayed. Whoever opens it closes it."""
    return open_job(job_folder(arguments), station(arguments), read_only=read_only)


def open_job(folder: Path, name: str, *, read_only: bool) -> "Desk":
    """Open a job for the station of that name. `read_only` takes no lock, and writes nothing.

    A job to record in is read only too where another program has the station's log open.
    """
    from pourdeck.walk.desk import Desk

    host, user = ("", "") if read_only else host_and_user()
    try:
        return Desk.open(
            folder,
            station=name,
            clock=clock,
            state_folder=state_folder(),
            new_id=new_installation,
            read_only=read_only,
            host=host,
            user=user,
            monotonic=steady,
            boot=boot(),
        )
    except OSError as error:
        raise no_log(folder, error) from error


def record(desk: "Desk", act: "Act | Refusal") -> tuple[str, ...]:
    """Append an act to the site log, and give back what people should know though it is saved.

    Raises CannotDoError where it is refused, NotSaved where it fails.
    """
    from pourdeck.paper.record_files import keep_record

    if isinstance(act, Refusal):
        raise CannotDoError(act.title, act.body)
    entry = desk.record(act)
    unkept = keep_record(desk, entry)
    return desk.messages if unkept is None else (*desk.messages, unkept)


def no_log(folder: Path, error: OSError) -> CannotDoError:
    """Make the error that says that a log cannot be read at all, and what to do about it."""
    remedy = "Put it right, or ask whoever looks after this computer."
    if isinstance(error, PermissionError):
        remedy = "Ask whoever owns it for leave to read it."
    return CannotDoError(
        "the log of this job cannot be read.",
        f"{literal(str(folder / 'log'))}: {error.strerror or error}. {remedy}",
    )


def with_lines(folder: Path, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Add to findings of the plan the line of job.toml they are about; others stay as they are.

    Raises JobUnreadable.
    """
    from pourdeck.plan.reader import job_path, locate, read_text

    given = tuple(findings)
    return locate(given, read_text(job_path(folder))) if given else given


def find_stack(job: Job, stack_id: str) -> Stack:
    stack = job.stack(stack_id)
    if stack is None:
        known = ", ".join(one.id for one in job.stacks)
        raise CannotDoError(
            f"there is no stack {stack_id} in {job.name}.", f"Its stacks are {known}."
        )
    return stack


def find_panel(job: Job, stack_id: str, number: int) -> Stack:
    """The stack, once it is sure to have a panel of that number."""
    stack = find_stack(job, stack_id)
    if not 1 <= number <= len(stack.panels):
        marks = ", ".join(f"{n} {panel.mark}" for n, panel in enumerate(stack.panels, start=1))
        raise CannotDoError(
            f"there is no panel {number} in stack {stack_id}.", f"Its panels are {marks}."
        )
    return stack
