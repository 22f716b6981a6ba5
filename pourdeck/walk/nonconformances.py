"""Holds that were passed without release: in sight until somebody closes each."""

from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.records import NonConformance
from pourdeck.walk.steps import Template


def nonconformances(
    record: PanelState, template: Template, stack: str, number: int
) -> tuple[NonConformance, ...]:
    """Those of a panel, closed ones too, oldest first."""
    names = {hold.id: hold.name for hold in template.holds}
    entries = [entry for passed in record.passed.values() for entry in passed]
    return tuple(
        _nonconformance(record, entry, names, stack, number)
        for entry in sorted(entries, key=lambda entry: entry.order)
    )


def _nonconformance(
    record: PanelState, entry: Entry, names: dict[str, str], stack: str, number: int
) -> NonConformance:
    closed = record.closed_ncs.get(entry.key)
    hold = str(entry.data["hold"])
    return NonConformance(
        stack=stack,
        number=number,
        mark=record.mark,
        hold=hold,
        name=names.get(hold, hold),
        reason=str(entry.data.get("reason", "")),
        by=entry.by,
        at=entry.at,
        entry=entry,
        closed=closed,
        action=str(closed.data.get("action", "")) if closed else None,
    )
