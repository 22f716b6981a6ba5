"""The record of a finished panel: `record/STACK-N-MARK.toml`, for the office and an editor.

It can be deleted at any time: it is built again from the plan and the log. Lengths mm, heights m,
volumes m³, masses kg, whatever units the crew reads.
"""

from decimal import Decimal
from pathlib import Path
from typing import Any

import tomli_w

from pourdeck.paper.documents import Document, setout_document
from pourdeck.plan.lengths import format_length
from pourdeck.plan.literal import file_name, literal
from pourdeck.sitelog.disk import DISK, Disk, ensure_folder, replace_file
from pourdeck.sitelog.entries import Entry
from pourdeck.walk.records import HoldView, ItemView, NonConformance, SectionView, Walk

FORMAT = 1


def record_name(walk: Walk) -> str:
    """`A-3-W07.toml`, safe on every file system whatever the mark is."""
    return f"{file_name(walk.stack, str(walk.number), walk.mark)}.toml"


def record_document(walk: Walk) -> Document:
    """Everything computed and done for a panel, what the office asks for first."""
    panel, state = walk.setout.panel, walk.record
    units = walk.job.units
    size = " × ".join(
        format_length(value, units) for value in (panel.width, panel.height, panel.thickness)
    )
    document: Document = {
        "format": FORMAT,
        "panel": {
            "job": walk.job.name,
            "number": walk.job.number,
            "drawings": walk.job.drawings,
            "stack": walk.stack,
            "panel": walk.number,
            "of": walk.of,
            "mark": walk.mark,
            "rev": walk.rev,
            "lift": panel.lift,
            "size": size,
            "mirrored": walk.mirrored,
            "state": walk.panel_state,
        },
        "summary": {
            "answered": walk.answered,
            "items": walk.total,
            "failed": walk.failed,
            "deferred": walk.deferred,
            "nonconformances": len(walk.nonconformances),
            "template": walk.template,
        },
        "rests_on": _rests_on(state.closed or (state.entries[-1] if state.entries else None)),
        "pour": _pour(state.pour_start, state.pour_end),
        "as_cast": dict(state.measured),
        "nonconformance": [_nonconformance(one) for one in walk.nonconformances],
        "release": [_release(hold) for hold in walk.holds if hold.entry],
        "section": [_section(section) for section in walk.sections],
        "setout": setout_document(walk.setout, walk.job),
    }
    tidy: Document = _tidy(document)
    return tidy


def record_bytes(walk: Walk) -> bytes:
    return tomli_w.dumps(record_document(walk), multiline_strings=False).encode("utf-8")


def write_record(walk: Walk, *, disk: Disk = DISK) -> Path:
    """Write the record into the job's folder: temporary file, sync, rename. Raises OSError."""
    folder = walk.job.folder / "record"
    ensure_folder(disk, folder)
    path = folder / record_name(walk)
    replace_file(path, record_bytes(walk), disk=disk)
    return path


def _rests_on(entry: Entry | None) -> Document:
    if entry is None:
        return {}
    return {"station": entry.station, "entry": entry.n, "seal": entry.seal, "at": entry.at}


def _pour(start: Entry | None, end: Entry | None) -> Document:
    found: Document = {}
    if start:
        found |= {"started": start.data.get("time"), "start_by": start.by}
    if end:
        found |= {
            "ended": end.data.get("time"),
            "end_by": end.by,
            "volume": end.data.get("volume"),
        }
    return found


def _nonconformance(one: NonConformance) -> Document:
    return {
        "hold": one.name,
        "reason": one.reason,
        "by": one.by,
        "at": one.at,
        "entry": one.entry.n,
        "closed_by": one.closed.by if one.closed else None,
        "closed_at": one.closed.at if one.closed else None,
        "action": one.action,
    }


def _release(hold: HoldView) -> Document:
    return {
        "hold": hold.name,
        "state": hold.state,
        "by": hold.by,
        "role": hold.role,
        "at": hold.at,
        "seen": hold.seen,
        "reason": hold.reason,
        "entry": hold.entry.n if hold.entry else None,
        "covers": hold.entry.data.get("covers") if hold.entry else None,
    }


def _section(section: SectionView) -> Document:
    return {
        "name": section.name,
        "answered": section.answered,
        "items": section.total,
        "left_out": [{"item": one.prompt, "reason": one.reason} for one in section.dropped],
        "item": [_item(item) for item in section.items],
    }


def _item(item: ItemView) -> Document:
    """One answer with its target, tolerance, verdict and name."""
    return {
        "label": " ".join(part for part in (item.group, item.label) if part),
        "asked": item.prompt,
        "state": item.own_state,
        "found": item.found,
        "unit": item.unit if item.found is not None else None,
        "expected": item.expected,
        "limits": _limits(item),
        "source": item.source,
        "verdict": item.verdict,
        "by": item.by,
        "at": item.at,
        "reason": item.reason,
        "owner": item.owner,
        "before": item.before,
        "follow_up": item.follow_up,
        "fast": item.fast or None,
        "answers": item.history if item.history > 1 else None,
        "notes": [f"{note.by}: {note.data.get('text', '')}" for note in item.notes],
        "key": item.key,
        "entry": item.entry.n if item.entry else None,
    }


def _limits(item: ItemView) -> list[Decimal | str] | None:
    if item.low is None and item.high is None:
        return None
    return ["none" if limit is None else limit for limit in (item.low, item.high)]


def _tidy(value: Any) -> Any:
    """Without what is not there, and with text that shows as it is in any editor."""
    if isinstance(value, dict):
        kept = {literal(str(key)): _tidy(one) for key, one in value.items() if one is not None}
        return {key: one for key, one in kept.items() if one not in ([], {})}
    if isinstance(value, (list, tuple)):
        return [_tidy(one) for one in value]
    if isinstance(value, str):
        return literal(value)
    return value
