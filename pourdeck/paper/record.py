"""The record of a finished panel: `record/STACK-N-MARK.toml`, for the office and an editor.

It can be deleted at any time: it is built again from the plan and the log, byte for byte. What the
office asks for first stands first: what was cast and how big it came out, who released what, what went
wrong; then every answer, then the set-out, then the seal it rests on. Lengths mm, heights m, areas m²,
volumes m³, masses kg, whatever units the crew reads.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import tomli_w

from pourdeck.paper.documents import Document
from pourdeck.paper.levels_document import levels_record
from pourdeck.paper.lifting import lifting_part
from pourdeck.paper.pour_document import loads_record, weather_record
from pourdeck.paper.record_checks import section_part
from pourdeck.paper.record_events import (
    nonconformance,
    not_applicable,
    noted,
    out_of_tolerance,
    released,
    released_before,
    size_change,
)
from pourdeck.paper.record_history import (
    answered_again,
    deferred,
    failed,
    measured_again,
    put_right,
)
from pourdeck.paper.record_setout import setout_part
from pourdeck.paper.record_values import exact, height, tidy, value
from pourdeck.paper.strength_document import strength_record
from pourdeck.plan.ascast import AS_CAST_KEYS, is_height
from pourdeck.plan.messages import file_name
from pourdeck.sitelog.disk import DISK, Disk, ensure_folder, replace_file
from pourdeck.sitelog.entries import Entry, moment_of
from pourdeck.walk.answers import readings_in
from pourdeck.walk.items import last_measured
from pourdeck.walk.records import Walk
from pourdeck.walk.words import number_of

FORMAT = 1
UNITS = "lengths mm, heights m, areas m², volumes m³, masses kg"
INDENT = 2


def record_file(stack: str, number: int, mark: str) -> str:
    """`A-3-W07.toml`, safe on every file system whatever the mark is."""
    return f"{file_name(stack, str(number), mark)}.toml"


def record_name(walk: Walk) -> str:
    return record_file(walk.stack, walk.number, walk.mark)


def record_document(walk: Walk) -> Document:
    """Everything computed and done for a panel, what the office asks for first."""
    state, items = walk.record, walk.items()
    document: Document = {
        "format": FORMAT,
        "panel": _panel(walk),
        "summary": _summary(walk),
        "pour": _pour(state.pour_start, state.pour_end),
        "as_cast": {"measured": _measured(walk)},
        "release": [
            one
            for hold in walk.holds
            if hold.entry
            for one in (
                *released_before(hold, state.releases.get(hold.id, ())),
                released(hold, walk.nonconformances),
            )
        ],
        "nonconformance": [
            *(nonconformance(one) for one in walk.nonconformances),
            *(out_of_tolerance(one) for one in walk.out_of_tolerance),
        ],
        "odd": _odd(state.closed),
        "failed": [failed(item, state) for item in items if item.verdict == "fail"],
        "deferred": [one for item in items for one in deferred(item, state)],
        "not_applicable": [not_applicable(item) for item in items if item.own_state == "n/a"],
        "left_out": [
            {"asked": one.prompt, "reason": one.reason}
            for section in walk.sections
            for one in section.dropped
        ],
        "answered_again": [
            *(again for item in items for again in answered_again(item, state)),
            *measured_again(state, {item.cast_key: item for item in items}),
        ],
        "size_change": [size_change(one) for one in state.entries if one.kind == "revise"],
        "note": [noted(one, walk) for one in state.notes],
        "lifting": lifting_part(walk),
        "levels": levels_record(walk),
        "strength": strength_record(walk),
        "docket": loads_record(walk),
        "weather": weather_record(walk),
        "section": [section_part(section) for section in walk.sections],
        "setout": setout_part(walk.setout),
        "rests_on": _rests_on(walk.record.entries),
        "walk": {"template": _template(walk)},
    }
    tidied: Document = tidy(document)
    return tidied


def record_bytes(walk: Walk, damage: Sequence[str] = ()) -> bytes:
    """Build the bytes of a record, alike for the same plan and log. `damage`: what is wrong with that."""
    document = record_document(walk)
    if damage:
        document = {"format": FORMAT, "damaged": list(damage), **document}
    return tomli_w.dumps(document, indent=INDENT).encode("utf-8")


def write_record(
    walk: Walk, *, name: str = "", damage: Sequence[str] = (), disk: Disk = DISK
) -> Path:
    """Write the record into the job's folder: temporary file, sync, rename. Raises OSError.

    `name` is another name for one that rests on a damaged log.
    """
    folder = walk.job.folder / "record"
    ensure_folder(disk, folder)
    path = folder / (name or record_name(walk))
    replace_file(path, record_bytes(walk, damage), disk=disk)
    return path


def _panel(walk: Walk) -> Document:
    panel, state = walk.setout.panel, walk.record
    return {
        "job": walk.job.name,
        "number": walk.job.number,
        "stack": walk.stack,
        "panel": walk.number,
        "of": walk.of,
        "mark": walk.mark,
        "rev": walk.rev,
        "drawings": walk.job.drawings,
        "width": exact(panel.width),
        "height": exact(panel.height),
        "thickness": exact(panel.thickness),
        "units": UNITS,
        "align": panel.align,
        "drawn_from": panel.drawn_from,
        "face_up": panel.face_up,
        "mirrored": walk.mirrored,
        "lift": panel.lift,
        "state": walk.panel_state,
        "closed_by": state.closed.by if state.closed else None,
        "closed_at": state.closed.at if state.closed else None,
        "lifted_by": state.lifted.by if state.lifted else None,
        "lifted_at": state.lifted.at if state.lifted else None,
    }


def _summary(walk: Walk) -> Document:
    """Count what was asked and answered; failures count whether or not they were followed up."""
    return {
        "items": walk.total,
        "answered": walk.answered,
        "failed": sum(item.verdict == "fail" for item in walk.items()),
        "failed_then_put_right": sum(put_right(item, walk.record) for item in walk.items()),
        "deferred": walk.deferred,
        "nonconformances": len(walk.nonconformances) + len(walk.out_of_tolerance),
        "nonconformances_closed": sum(one.closed is not None for one in walk.nonconformances)
        + sum(one.settled for one in walk.out_of_tolerance),
        "rejected": True if walk.rejected else None,
    }


def _pour(start: Entry | None, end: Entry | None) -> Document:
    found: Document = {}
    if start:
        found |= {"started": _time(start), "start_by": start.by}
    if end:
        volume = end.data.get("volume")
        number = number_of(volume)
        found |= {
            "ended": _time(end),
            "end_by": end.by,
            "volume": volume if number is None else exact(number),
        }
    return found


def _time(entry: Entry) -> Any:
    return moment_of(entry.data.get("time")) or entry.at


def _measured(walk: Walk) -> list[Document]:
    """Each size as it came out, beside what it was to be and how it was judged."""
    judged = {item.cast_key: item for item in walk.items() if item.cast_key}
    measured = walk.record.measured
    rows = []
    for key in (*AS_CAST_KEYS, *(key for key in measured if key not in AS_CAST_KEYS)):
        if key in measured:
            item = judged.get(key)
            found = measured[key]
            entry = last_measured(walk.record, key)
            readings = readings_in(entry.data, key) if entry else ()
            rows.append(
                {
                    "what": key,
                    "found": height(found) if is_height(key) else exact(found),
                    "expected": value(item.expected, item) if item else None,
                    "verdict": item.verdict if item else None,
                    "readings": [height(one) if is_height(key) else exact(one) for one in readings],
                }
            )
    return rows


def _odd(closed: Entry | None) -> list[Document]:
    """List what was odd about the panel, as the one who closed it confirmed it."""
    listed = closed.data.get("odd") if closed else None
    if not isinstance(listed, list):
        return []
    return [
        {**one, "at": moment_of(one.get("at")) or one.get("at")}
        for one in listed
        if isinstance(one, dict)
    ]


def _template(walk: Walk) -> str:
    """The digest of the walk that the panel was closed by; before that of the one in use."""
    closed = walk.record.closed
    found = closed.data.get("template") if closed else None
    return found if isinstance(found, str) else walk.template


def _rests_on(entries: list[Entry]) -> Document:
    """The last entry of the log that is about this panel, and the ends of other files it had seen."""
    if not entries:
        return {}
    last = entries[-1]
    found: Document = {
        "station": last.station,
        "entry": last.n,
        "at": last.at,
        "seal": last.seal,
    }
    if last.seen:
        found["seen"] = [
            {"station": one.station, "entry": one.n, "seal": one.seal} for one in last.seen
        ]
    return found
