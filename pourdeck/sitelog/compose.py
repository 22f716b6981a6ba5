"""Acts made into the lines that save them, and into the entries as they will be read again."""

from datetime import datetime
from typing import Any

from attrs import frozen

from pourdeck.sitelog.entries import Entry, write_line


@frozen(kw_only=True, eq=False, repr=False)
class Unsealed:
    """What is to be saved and has no number and seal yet. `data` holds JSON values only."""

    kind: str
    by: str
    data: dict[str, Any]


def compose(
    acts: list[Unsealed], *, station: str, at: datetime, clock: str, n: int, head: str
) -> tuple[list[Entry], bytes]:
    """Entries and lines that follow entry `n`, sealed `head`; `clock` goes to the first.

    Raises UnwritableEntryError.
    """
    entries: list[Entry] = []
    lines: list[bytes] = []
    for act in acts:
        n += 1
        entry, line = write_line(
            station=station,
            n=n,
            at=at,
            by=act.by,
            kind=act.kind,
            data=act.data,
            prev=head,
            clock=clock,
        )
        lines.append(line)
        entries.append(entry)
        head, clock = entry.seal, ""
    return entries, b"".join(lines)
