"""What comes next on a panel: an item, a hold, the end of a section, or a wait."""

from collections.abc import Sequence
from datetime import datetime

from pourdeck.setout.record import SetOut
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.gates import Gate
from pourdeck.walk.records import ItemView, NextAct, SectionView
from pourdeck.walk.words import item_name


def next_act(
    stack: str,
    setout: SetOut,
    sections: Sequence[SectionView],
    record: PanelState,
    barrier: Gate,
    items: Sequence[ItemView],
) -> NextAct | None:
    """None where the panel is cast and nothing more is to be done in its walk."""

    def act(
        text: str,
        section: SectionView | None = None,
        key: str | None = None,
        hold: str | None = None,
        until: datetime | None = None,
    ) -> NextAct:
        return NextAct(
            stack=stack,
            number=setout.number,
            mark=setout.mark,
            section=section.number if section else None,
            key=key,
            hold=hold,
            text=text,
            until=until,
            answered=sum(item.answered for item in items),
            total=len(items),
        )

    if record.closed:
        return None
    if barrier.refusal is not None and record.pour_start is None:
        return act(barrier.refusal.body, until=barrier.until)
    pour = next((one.number for one in sections if one.id == "pour"), 0)
    for section in sections:
        past = record.pour_start is not None and section.number < pour
        if section.state == "done" or past or section.locked_by:
            continue
        item = next((one for one in section.items if one.state in ("open", "void")), None)
        item = item or next((one for one in section.items if one.state == "failed"), None)
        if item:
            verb = "follow up: " if item.state == "failed" else ""
            return act(
                f"{section.number} {section.name}, {verb}{item_name(item)}", section, item.key
            )
        if section.hold and not section.hold.lets_pass:
            missing = f": {section.hold.needs[0]}" if section.hold.needs else ""
            return act(
                f"{section.number} {section.name}, hold {section.hold.name}{missing}",
                section,
                hold=section.hold.id,
            )
        if section.hold is None and section.complete is None:
            word = "close the panel" if section.id == "close" else "say it is complete"
            return act(f"{section.number} {section.name}, {word}", section)
    return None
