"""Keeping the records of finished panels in step with the log.

A record is never replaced by one that rests on less: where the log is damaged or something of it is gone, the
one that is there stays, and what can still be told is written beside it, with what is damaged.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from attrs import frozen

from pourdeck.paper.record import record_bytes, record_file, record_name, write_record
from pourdeck.sitelog.disk import DISK, reason
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import panel_of

if TYPE_CHECKING:
    from pourdeck.walk.desk import Desk
    from pourdeck.walk.records import Walk

BESIDE = "-damaged.toml"
"""End of the name of a record that rests on a damaged log."""


@frozen
class Written:
    """The name of a record that was written, and why another one stays, "" where none does."""

    name: str
    kept: str = ""


def keep_record(desk: "Desk", entry: Entry) -> str | None:
    """Write the record anew of a finished panel an entry speaks of. What went wrong, if anything did.

    The entry itself is saved by then: the record can be built again at any time.
    """
    mark = panel_of(desk.state, entry)
    if mark is None or desk.state.panel(mark).closed is None:
        return None
    damage = _damage(desk)
    for stack in desk.job.stacks:
        for number, panel in enumerate(stack.panels, start=1):
            if panel.mark == mark:
                try:
                    written = _write(desk.walk(stack.id, number), damage)
                except OSError as error:
                    return f"The record of {mark} is not written: {reason(error)}."
                if written.kept:
                    return written.kept
    return None


def build_records(desk: "Desk", *, missing_only: bool = False) -> tuple[Written, ...]:
    """Write the record of every finished panel anew. Raises OSError.

    `missing_only` leaves those that are there as they are.
    """
    written = []
    damage = _damage(desk)
    for stack in desk.job.stacks:
        for number, panel in enumerate(stack.panels, start=1):
            if desk.state.panel(panel.mark).closed is None:
                continue
            there = desk.job.folder / "record" / record_file(stack.id, number, panel.mark)
            if not (missing_only and there.is_file()):
                written.append(_write(desk.walk(stack.id, number), damage))
    return tuple(written)


def _damage(desk: "Desk") -> tuple[str, ...]:
    """List what is wrong with the log that a record would rest on."""
    return tuple(one.message for one in desk.damage() if one.is_error)


def _write(walk: "Walk", damage: Sequence[str]) -> Written:
    """Raises OSError."""
    path = walk.job.folder / "record" / record_name(walk)
    beside = path.with_name(path.name.removesuffix(".toml") + BESIDE)
    if not damage:
        write_record(walk)
        if beside.is_file():
            DISK.unlink(beside)
        return Written(path.name)
    if path.is_file() and path.read_bytes() == record_bytes(walk):
        return Written(path.name)
    write_record(walk, name=beside.name, damage=damage)
    stays = f"record/{path.name} stays as it was: " if path.is_file() else ""
    return Written(
        beside.name,
        f"{stays}the log is damaged. What it still tells is in record/{beside.name}: {damage[0]}",
    )
