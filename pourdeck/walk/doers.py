"""Who did the work of a section: whoever checks or releases it must be somebody else."""

from collections.abc import Iterable, Mapping, Sequence

from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.panels import PanelState
from pourdeck.walk.people import folded
from pourdeck.walk.steps import Template

Work = Mapping[str, Sequence[Entry]]
"""The acts on ordinary items of a panel, by section."""


def ordinary_work(record: PanelState, template: Template) -> Work:
    """Answers to ordinary items, and what says that one does not apply.

    Items for a second person do not count: who read a size as the second person has checked it.
    """
    work: dict[str, list[Entry]] = {}

    def add(key: str, acts: Iterable[Entry]) -> None:
        step = template.step(key)
        if step is not None and not step.second:
            work.setdefault(step.section, []).extend(acts)

    for key, answers in record.answers.items():
        add(key, answers)
    for key, entry in record.latest.items():
        if entry.kind == "not-applicable":
            add(key, [entry])
    return work


def doers(work: Work, sections: Iterable[str], before: Entry | None = None) -> set[str]:
    """Who did the work of these sections, folded. `before`: only what came before that entry."""
    return {
        folded(entry.by)
        for section in sections
        for entry in work.get(section, ())
        if before is None or entry.order < before.order
    }
