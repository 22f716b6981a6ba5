"""The job's own items in the walk, and the built-in ones it leaves out."""

import hashlib
import json
from collections.abc import Iterable
from decimal import Decimal

from attrs import evolve

from pourdeck.plan.findings import Finding
from pourdeck.plan.literal import literal
from pourdeck.plan.records import Job, JobStep
from pourdeck.walk.records import Dropped
from pourdeck.walk.steps import Section, Step, Template

PREFIX = "own-"
LONGEST_NAME = 18


def with_own_steps(template: Template, steps: tuple[JobStep, ...]) -> Template:
    """The template a job walks by: its own items last in their section, what it drops left out.

    What names no section or item, or an item that must stay, changes nothing: `step_findings` says so.
    """
    if not steps:
        return template
    listed = json.dumps([repr(step) for step in steps])
    digest = hashlib.sha256(f"{template.digest}\n{listed}".encode()).hexdigest()
    return evolve(
        template,
        digest=digest,
        sections=tuple(_section(section, steps) for section in template.sections),
    )


def _section(section: Section, steps: tuple[JobStep, ...]) -> Section:
    dropped = {step.drop: step.reason or "" for step in steps if step.drop}
    kept = [step for step in section.steps if step.key not in dropped or step.kept]
    return evolve(
        section,
        steps=(*kept, *_own(section, steps)),
        dropped=tuple(
            Dropped(item=step.key, prompt=step.prompt, reason=dropped[step.key])
            for step in section.steps
            if step.key in dropped and not step.kept
        ),
    )


def _own(section: Section, steps: tuple[JobStep, ...]) -> Iterable[Step]:
    seen: set[str] = set()
    for step in steps:
        if step.section == section.id and step.id and step.prompt and step.id not in seen:
            seen.add(step.id)
            yield _step(step, section.id, step.id, step.prompt)


def _step(step: JobStep, section: str, own_id: str, prompt: str) -> Step:
    good: tuple[str, ...] = ()
    if step.answer == "choice" and isinstance(step.expected, str):
        good = tuple(choice for choice in step.choices if choice == step.expected)
    places = [one for one in (step.expected, step.plus, step.minus) if isinstance(one, Decimal)]
    return Step(
        id=f"{PREFIX}{own_id}",
        section=section,
        name=own_id.replace("-", " ")[:LONGEST_NAME],
        prompt=prompt,
        why="An item of this job's own.",
        answer=step.answer,
        unit=step.unit or "",
        decimals=max((_places(one) for one in places), default=None),
        signed=True,
        choices=step.choices,
        good=good,
        second=step.second,
        own=True,
        value=None if step.answer == "choice" else step.expected,
        plus=step.plus,
        minus=step.minus,
        source=step.source or "the job's own item",
    )


def _places(number: Decimal) -> int:
    return max(0, -int(number.as_tuple().exponent))


def step_findings(job: Job, built_in: Template) -> tuple[Finding, ...]:
    """Warnings for `[[step]]` tables that change nothing in the walk, and why.

    `built_in` is the template without the job's own items.
    """
    sections = ", ".join(section.id for section in built_in.sections)
    found: list[Finding] = []
    seen: set[tuple[str | None, str | None]] = set()
    for number, step in enumerate(job.steps, 1):
        message = _fault(step, built_in, sections)
        if message is None and step.drop is None:
            if (step.section, step.id) in seen:
                message = f"item {literal(step.id or '')} stands twice in {step.section}; the first counts"
            seen.add((step.section, step.id))
        if message:
            found.append(
                Finding(
                    code="unused-step",
                    severity="warning",
                    message=f"[[step]] {number}: {message}.",
                    table=f"step {number}",
                )
            )
    return tuple(found)


def _fault(step: JobStep, template: Template, sections: str) -> str | None:
    if step.drop is not None:
        built_in = template.step(step.drop)
        if built_in is None:
            return f"no item {literal(step.drop)} to drop; write it as section.item"
        return (
            f"{step.drop} cannot be dropped: the panel's state hangs on it"
            if built_in.kept
            else None
        )
    if template.section(step.section or "") is None:
        return f"no section {literal(step.section or '')}; the sections are {sections}"
    if step.answer == "choice" and not step.choices:
        return f"item {literal(step.id or '')} asks for a choice and gives no choices"
    expected = step.expected
    if step.answer == "choice" and expected is not None and expected not in step.choices:
        return f"item {literal(step.id or '')}: what is expected is none of its choices"
    if step.answer in ("measure", "count") and isinstance(expected, str):
        return f"item {literal(step.id or '')}: expected must be a number"
    return None
