"""Opening a job for a command: where it is, whose station this is, and which panel is meant."""

import os
from argparse import Namespace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from pourdeck.commands.outcome import CannotDoError
from pourdeck.plan.records import Job, Stack

if TYPE_CHECKING:
    from pourdeck.walk.desk import Desk

STATION_VARIABLE = "POURDECK_STATION"
STATE_VARIABLE = "POURDECK_STATE"
STATION = "shed"
"""The station that writes, where nothing else is said."""


def clock() -> datetime:
    return datetime.now(UTC)


def state_folder() -> Path:
    """Where this computer keeps locks, drafts and the like: never in the job folder."""
    given = os.environ.get(STATE_VARIABLE)
    if given:
        return Path(given)
    from platformdirs import user_state_path

    return user_state_path("pourdeck", appauthor=False)


def station(arguments: Namespace) -> str:
    return arguments.station or os.environ.get(STATION_VARIABLE) or STATION


def open_desk(arguments: Namespace, *, read_only: bool) -> "Desk":
    """The job of a command with its log replayed."""
    from pourdeck.walk.desk import Desk

    return Desk.open(
        Path(arguments.job),
        station=station(arguments),
        clock=clock,
        state_folder=state_folder(),
        read_only=read_only,
    )


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
