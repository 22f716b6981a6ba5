"""Keeping the records of finished panels in step with the log."""

from typing import TYPE_CHECKING

from pourdeck.paper.record import record_file, write_record
from pourdeck.sitelog.disk import reason
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import panel_of

if TYPE_CHECKING:
    from pourdeck.walk.desk import Desk


def keep_record(desk: "Desk", entry: Entry) -> str | None:
    """Write the record anew of a finished panel an entry speaks of. What went wrong, if anything did.

    The entry itself is saved by then: the record can be built again at any time.
    """
    mark = panel_of(desk.state, entry)
    if mark is None or desk.state.panel(mark).closed is None:
        return None
    for stack in desk.job.stacks:
        for number, panel in enumerate(stack.panels, start=1):
            if panel.mark == mark:
                try:
                    write_record(desk.walk(stack.id, number))
                except OSError as error:
                    return f"The record of {mark} is not written: {reason(error)}."
    return None


def build_records(desk: "Desk", *, missing_only: bool = False) -> tuple[str, ...]:
    """Write the record of every finished panel anew, and give the names of the files.

    `missing_only` leaves those that are there as they are. Raises OSError.
    """
    written = []
    for stack in desk.job.stacks:
        for number, panel in enumerate(stack.panels, start=1):
            if desk.state.panel(panel.mark).closed is None:
                continue
            there = desk.job.folder / "record" / record_file(stack.id, number, panel.mark)
            if not (missing_only and there.is_file()):
                written.append(write_record(desk.walk(stack.id, number)).name)
    return tuple(written)
