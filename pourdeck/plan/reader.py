"""Reading job.toml: the job, or every fault of it in one go.

A fault of the file (a key, a type, a range) makes the job unreadable as a plan. A fault of the plan
(an opening outside its panel) does not: the job reads, and `checks` finds it. Where the file has
faults, those of the plan are reported with them, as far as its panels could be read.
"""

import re
from collections.abc import Iterable, Iterator
from itertools import count, islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from attrs import evolve

from pourdeck.plan.checks import Named, feature_faults, lift_order, repeated
from pourdeck.plan.fault import JobFaulty
from pourdeck.plan.findings import Finding
from pourdeck.plan.jobfile import FILE_NAME, job_path, parse, read_text
from pourdeck.plan.kinds import Fault
from pourdeck.plan.kinds import Path as Place
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job, Panel, Units
from pourdeck.plan.schema import FILE, PANEL

if TYPE_CHECKING:
    from pourdeck.plan.lines import Lines

MOST_FAULTS = 1000
"""So many are written out, the rest is counted: such a file is no plan with slips in it."""

_FEATURE = re.compile(r"(openings|castins) (\d+)\Z")

PANEL_DEEP = 4
"""Parts of a path to a key of a panel: stack, which, panel, which; its lists are deeper."""


def read_job(folder: Path) -> Job:
    """The job of a folder, or of the job.toml itself. Raises JobUnreadable, JobFaulty."""
    path = job_path(folder)
    return read_job_text(read_text(path), path.parent)


def read_job_text(text: str, folder: Path, file: str = FILE_NAME) -> Job:
    """The job that stands in `text`; `file` names it. Raises JobUnreadable, JobFaulty."""
    text = text.removeprefix("\ufeff")
    data = parse(text, file)
    faults: list[Fault] = []
    top = FILE.take(data, (), faults)
    if faults:
        raise JobFaulty(_findings(faults, data, text, file))
    top.pop("format")
    return Job(folder=folder, **top.pop("job"), **top)


def locate(findings: Iterable[Finding], text: str, file: str = FILE_NAME) -> tuple[Finding, ...]:
    """The same findings, those that name a stack with the file and line they are about.

    `text` is that of the job.toml the findings were made from.
    """
    given = tuple(findings)
    if all(one.stack is None or one.line is not None for one in given):
        return given
    # Loaded here so that a job with nothing wrong never pays for it.
    from pourdeck.plan.lines import DEEPEST, Lines

    # What stands in the lists of a panel takes the most time, and is seldom asked for.
    inside = any(one.table and _FEATURE.match(one.table) for one in given)
    lines = Lines(text.removeprefix("\ufeff"), DEEPEST if inside else PANEL_DEEP)
    places: dict[str, int] = {}
    for index in count():
        if not lines.has(("stack", index)):
            break
        stack_id = lines.string_at(("stack", index, "id"))
        if stack_id is not None:
            places.setdefault(stack_id, index)
    return tuple(_located(one, places, lines, file) for one in given)


def _located(finding: Finding, places: dict[str, int], lines: "Lines", file: str) -> Finding:
    index = places.get(finding.stack) if finding.stack is not None else None
    if index is None or finding.line is not None:
        return finding
    path: Place = ("stack", index)
    table = f"[[stack]] {index + 1}"
    key = finding.key or "id"
    if finding.panel is not None:
        path = (*path, "panel", finding.panel - 1)
        table = f"[[stack.panel]] {finding.panel} of stack {literal(finding.stack or '')}"
        key = finding.key or "mark"
        feature = _FEATURE.match(finding.table or "")
        if feature:
            path = (*path, feature[1], int(feature[2]) - 1)
            table = f"{finding.table} of {table}"
            key = finding.key or "name"
    return evolve(finding, file=file, line=lines.line_of((*path, key)), table=table)


def _findings(
    faults: list[Fault], data: dict[str, Any], text: str, file: str
) -> tuple[Finding, ...]:
    from pourdeck.plan.lines import Lines
    from pourdeck.plan.wording import at_line, finding_of

    lines = Lines(text)
    found = [finding_of(fault, data, lines, file) for fault in faults[:MOST_FAULTS]]
    units: Units = "imperial" if _get(data, "job", "units") == "imperial" else "metric"
    for one in locate(islice(_plan_findings(data, units), MOST_FAULTS), text, file):
        where = at_line(file, one.line or 1, one.table or "", one.mark)
        found.append(evolve(one, message=f"{where}: {one.message}"))
    found.sort(key=lambda finding: finding.line or 0)
    if len(faults) > MOST_FAULTS:
        found.append(_more(len(faults) - MOST_FAULTS, file))
    return tuple(found)


def _more(left: int, file: str) -> Finding:
    message = f"{literal(file)}: {left} more faults. Correct these first, then read the file again."
    return Finding(code="more-faults", severity="error", message=message, file=file)


def _plan_findings(data: dict[str, Any], units: Units) -> Iterator[Finding]:
    """What `checks` finds among the panels of a faulty file, as far as they can be read."""
    stacks = [(stack["id"], _list(stack, "panel")) for stack in _list(data, "stack") if _id(stack)]
    everyone = [list(_named(stack, panels)) for stack, panels in stacks]
    yield from repeated(one for panels in everyone for one in panels)
    for panels in everyone:
        yield from lift_order(panels)
    for stack, given in stacks:
        for number, one in enumerate(given, 1):
            faults: list[Fault] = []
            panel = PANEL.take(one, (), faults) if isinstance(one, dict) else None
            if panel is not None and not faults:
                yield from feature_faults(stack, number, Panel(**panel), units)


def _named(stack: str, panels: list[Any]) -> Iterator[Named]:
    for number, panel in enumerate(panels, 1):
        mark, lift = _get(panel, "mark"), _get(panel, "lift")
        if isinstance(mark, str):
            yield Named(stack, number, mark, lift if type(lift) is int else None)


def _id(stack: object) -> bool:
    return isinstance(_get(stack, "id"), str)


def _list(table: object, key: str) -> list[Any]:
    value = _get(table, key)
    return value if isinstance(value, list) else []


def _get(table: object, *keys: str) -> Any:
    for key in keys:
        table = table.get(key) if isinstance(table, dict) else None
    return table
