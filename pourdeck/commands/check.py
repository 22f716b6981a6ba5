"""`check`: read plan and log, list what is wrong."""

from argparse import Namespace
from contextlib import closing
from typing import TYPE_CHECKING

from pourdeck.commands.jobs import job_folder, open_desk, with_lines
from pourdeck.commands.outcome import DONE, FAULTY, show
from pourdeck.paper.documents import check_document
from pourdeck.plan.messages import Finding, JobFaulty, has_error

if TYPE_CHECKING:
    from rich.console import Console


def run(arguments: Namespace) -> int:
    """Exit 1 where there is an error, faults of the file among them."""
    folder = job_folder(arguments)
    try:
        with closing(open_desk(arguments, read_only=True)) as desk:
            name, findings = desk.plan.name, desk.findings()
    except JobFaulty as faulty:
        name, findings = str(folder), faulty.findings

    placed = with_lines(folder, findings)
    show(
        arguments,
        lambda: check_document(name, placed),
        lambda console: check_page(console, name, placed),
    )
    return FAULTY if has_error(findings) else DONE


def check_page(console: "Console", name: str, findings: tuple[Finding, ...]) -> None:
    """Each finding with the line of job.toml it is about, then how many there are."""
    from pourdeck.paper.console import findings_page, say

    findings_page(console, findings)
    errors = sum(finding.is_error for finding in findings)
    warnings = len(findings) - errors
    say(console, f"{name}: {count(errors, 'error')}, {count(warnings, 'warning')}", "bold")


def count(number: int, noun: str) -> str:
    return f"{number or 'no'} {noun}{'' if number == 1 else 's'}"
