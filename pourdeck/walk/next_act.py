"""What comes next on a panel: an item, a hold, the end of a section, or a wait."""

from collections.abc import Sequence

from attrs import evolve

from pourdeck.setout.record import SetOut
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.records import Gate, NextAct, SectionView
from pourdeck.walk.words import item_name


def next_act(
    stack: str, setout: SetOut, sections: Sequence[SectionView], record: PanelState, barrier: Gate
) -> NextAct | None:
    """None where the panel is cast and nothing more is to be done in its walk."""
    if record.closed:
        return None
    blank = NextAct(
        stack=stack,
        number=setout.number,
        mark=setout.mark,
        section=None,
        key=None,
        hold=None,
        text="",
        answered=sum(section.answered for section in sections),
        total=sum(section.total for section in sections),
    )
    if barrier.refusal is not None and record.pour_start is None:
        return evolve(blank, text=barrier.refusal.body, until=barrier.until)
    pour = next((one.number for one in sections if one.id == "pour"), 0)
    for section in sections:
        past = record.pour_start is not None and section.number < pour
        if section.state == "done" or past or section.locked_by:
            continue
        found = _in_section(blank, section)
        if found is not None:
            return found
    return None


def _in_section(blank: NextAct, section: SectionView) -> NextAct | None:
    """The first open item, else the first failed one, else the hold or the end of the section."""
    here = f"{section.number} {section.name}"
    item = next((one for one in section.items if one.state in ("open", "void")), None)
    item = item or next((one for one in section.items if one.state == "failed"), None)
    if item:
        verb = ""
        if item.state == "failed":
            disposed = item.cast_key is not None and item.not_measured is None
            verb = "say the disposition: " if disposed else "follow up: "
        text = f"{here}, {verb}{item_name(item)}"
        return evolve(blank, text=text, section=section.number, key=item.key)
    hold = section.hold
    if hold and not hold.lets_pass:
        missing = f": {hold.needs[0]}" if hold.needs else ""
        text = f"{here}, hold {hold.name}{missing}"
        return evolve(blank, text=text, section=section.number, hold=hold.id)
    if hold is None and section.complete is None:
        word = "close the panel" if section.id == "close" else "say it is complete"
        return evolve(blank, text=f"{here}, {word}", section=section.number)
    return None
