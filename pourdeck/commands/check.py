"""`check`: read plan and log, list what is wrong."""

from argparse import Namespace

from rich.console import Console

from pourdeck.commands.jobs import open_desk
from pourdeck.commands.outcome import DONE, FAULTY, show
from pourdeck.paper.documents import check_document
from pourdeck.plan.fault import JobFaulty
from pourdeck.plan.findings import Finding, has_error


def run(arguments: Namespace) -> int:
    """Exit 1 where there is an error, faults of the file among them."""
    try:
        desk = open_desk(arguments, read_only=True)
        name, findings = desk.plan.name, desk.findings()
    except JobFaulty as faulty:
        name, findings = str(arguments.job), faulty.findings
    show(
        arguments,
        lambda: check_document(name, findings),
        lambda console: page(console, name, findings),
    )
    return FAULTY if has_error(findings) else DONE


def page(console: Console, name: str, findings: tuple[Finding, ...]) -> None:
    from pourdeck.paper.console import findings_page, words

    findings_page(console, findings)
    errors = sum(finding.is_error for finding in findings)
    warnings = len(findings) - errors
    console.print(words(f"{name}: {count(errors, 'error')}, {count(warnings, 'warning')}"))


def count(number: int, noun: str) -> str:
    return f"{number or 'no'} {noun}{'' if number == 1 else 's'}"
