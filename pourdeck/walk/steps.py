"""Steps of the walk: the template, the job's own, the conditions and context they are read in.

A section has `id`, `name`, `place` (where it is done), `mode` (`do-confirm`: any order, `read-do`: one
item at a time), its items, and what may open and close it:

- `when`: conditions, all of which must hold for it to appear; see `CONDITIONS`.
- `after`: `pour-start` or `pour-end`, without which it is locked.
- `cautions`: sentences shown with it.
- `hold`: `id`, `name`, `look` (what the releaser must look at), `covers` (sections), `requires`
  `below-closed`. Who may release it is in `plan/authority.toml`.
- `place_first`, `name_first`, `look_first`: the words on the panel that stands on the bed.

An item has `id`, `name` (at most 18 characters, for lists), `prompt`, `why`, `answer` and, where they
apply:

- `unit`, `decimals`, `signed` of a number; lengths have the unit mm or mm/form, heights m.
- `choices`, and `good`, those that pass; `choices_from` `bolts`: the kit's.
- `each`: one item for each of what `expand` knows by that name.
- `expected`: a target of `targets`. `tolerance`: what judges it, one of `TOLERANCES` there.
- `pair`: two that are judged by their difference.
- `second`: a second person answers. `critical`: shown in words, early in its section, or else with its
  `order_reason`.
- `records` `pour-start`, `pour-end`, `as_cast` (start of an as-cast key): the kind of entry it
  makes. `kept`: it cannot be deferred, left out or not applicable.
- `measured`: a number that cannot be left as "not measured", because other numbers rest on it, or because it
  is only read off a drawing.
"""

import hashlib
import json
import tomllib
from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, Literal

from attrs import evolve, field, frozen

from pourdeck.plan.messages import Finding, literal
from pourdeck.plan.records import Job, JobStep, Panel, Stack
from pourdeck.setout.record import SetOut
from pourdeck.sitelog.entries import Key
from pourdeck.sitelog.panel_state import PanelState
from pourdeck.walk.records import NOWHERE, AnswerKind, Dropped, ItemView, Mode, Place

# The walk as data: the template read from `steps.toml` into records.

STEPS = Path(__file__).with_name("steps.toml")


@frozen(kw_only=True, eq=False, repr=False)
class Step:
    """One item as the template has it. `own` items are the job's: their target stands in them."""

    id: str
    section: str
    name: str = ""
    prompt: str
    why: str = ""
    answer: AnswerKind
    unit: str = ""
    decimals: int | None = None
    signed: bool = False
    choices: tuple[str, ...] = ()
    choices_from: str | None = None
    good: tuple[str, ...] = ()
    each: str = "one"
    when: tuple[str, ...] = ()
    expected: str | None = None
    tolerance: str | None = None
    pair: bool = False
    second: bool = False
    critical: bool = False
    order_reason: str | None = None
    records: Literal["pour-start", "pour-end"] | None = None
    as_cast: str | None = None
    kept: bool = False
    measured: bool = False
    own: bool = False
    value: Decimal | str | None = None
    plus: Decimal | None = None
    minus: Decimal | None = None
    source: str | None = None

    @property
    def key(self) -> str:
        return f"{self.section}.{self.id}"

    @property
    def bare(self) -> bool:
        """True where it is answered with a key press, without measuring or writing."""
        return self.answer in ("choice", "count")


@frozen(kw_only=True, eq=False, repr=False)
class Hold:
    id: str
    section: str
    name: str
    look: str
    covers: tuple[str, ...]
    name_first: str | None = None
    look_first: str | None = None
    requires: Literal["below-closed"] | None = None


@frozen(kw_only=True, eq=False, repr=False)
class Section:
    """`number` counts from 1 over the whole template, whether or not a panel has the section."""

    id: str
    number: int
    name: str
    place: str
    mode: Mode
    steps: tuple[Step, ...]
    place_first: str | None = None
    when: tuple[str, ...] = ()
    after: Literal["pour-start", "pour-end"] | None = None
    cautions: tuple[str, ...] = ()
    hold: Hold | None = None
    dropped: tuple[Dropped, ...] = ()


@frozen(kw_only=True, eq=False, repr=False)
class Template:
    """The whole walk. `digest` is the SHA-256 of the file it was read from, and of the job's own items."""

    version: str
    date: str
    author: str
    digest: str
    sections: tuple[Section, ...]
    _steps: dict[str, Step] = field(init=False, eq=False, repr=False)

    @_steps.default
    def _by_key(self) -> dict[str, Step]:
        return {step.key: step for section in self.sections for step in section.steps}

    @property
    def holds(self) -> tuple[Hold, ...]:
        return tuple(section.hold for section in self.sections if section.hold)

    def section(self, section_id: str) -> Section | None:
        return next((one for one in self.sections if one.id == section_id), None)

    def step(self, key: str) -> Step | None:
        """The step of an item's key, such as `forms.offset` or `forms.offset/right-4`."""
        return self._steps.get(key.partition("/")[0])


@cache
def template() -> Template:
    """The built-in template."""
    return read_template(STEPS.read_bytes())


def read_template(raw: bytes) -> Template:
    """A template from the bytes of its file. Raises ValueError, TypeError or KeyError where faulty."""
    # So that a checkout with other line ends is the same template.
    raw = raw.replace(b"\r\n", b"\n")
    data = tomllib.loads(raw.decode("utf-8"), parse_float=Decimal)
    return Template(
        version=data["version"],
        date=data["date"],
        author=data["author"],
        digest=hashlib.sha256(raw).hexdigest(),
        sections=tuple(_section(number, one) for number, one in enumerate(data["section"], 1)),
    )


def _section(number: int, data: dict[str, Any]) -> Section:
    rest = _tuples(data)
    items, hold = rest.pop("item"), rest.pop("hold", None)
    return Section(
        number=number,
        steps=tuple(Step(section=rest["id"], **_tuples(item)) for item in items),
        hold=Hold(section=rest["id"], **_tuples(hold)) if hold else None,
        **rest,
    )


def _tuples(data: dict[str, Any]) -> dict[str, Any]:
    return {key: tuple(value) if isinstance(value, list) else value for key, value in data.items()}


# The job's own items in the walk, and the built-in ones it leaves out.

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
        sections=tuple(_with_own(section, steps) for section in template.sections),
    )


def _with_own(section: Section, steps: tuple[JobStep, ...]) -> Section:
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


# What the items of one panel are worked out from.


@frozen(kw_only=True, eq=False, repr=False)
class Context:
    """One panel: the job it is judged by, its set-out, and what the log says of it.

    `below`: what it says of the panel below, None on the bed and once this one is closed. The other three
    hold what was worked out: whoever makes another context of the same job, stack and set-out hands them on,
    since they cost more than all the rest. `blanks`: the items without their answers, by step. `from_log`:
    those whose target reads the log, with the entries it may have read. `orders`: the concrete to order, by
    the width, height and thickness that were measured.
    """

    job: Job
    stack: Stack
    setout: SetOut
    record: PanelState
    below: PanelState | None = None
    blanks: dict[str, tuple["Blank", ...]] = field(factory=dict)
    from_log: dict[str, tuple[tuple[Key, ...], tuple["Blank", ...]]] = field(factory=dict)
    orders: dict[tuple[Decimal | None, ...], "Offer"] = field(factory=dict)

    @property
    def panel(self) -> Panel:
        return self.setout.panel

    @property
    def first(self) -> bool:
        return self.setout.number == 1

    @property
    def last(self) -> bool:
        return self.setout.number == self.setout.of


@frozen(kw_only=True, eq=False, repr=False)
class Instance:
    """One of what a step asks about. `suffix` ends its key, "" where there is just one.

    `where` pins down what a number in the suffix stands for, so that an answer for a bracket that has
    moved is not taken for its successor's. `value` is what the instance itself expects.
    """

    suffix: str = ""
    label: str = ""
    group: str = ""
    place: Place = NOWHERE
    where: str | None = None
    value: Decimal | None = None
    note: str = ""


class Blank:
    """An item before anything was answered: the values it is made of by name, and how it is shown then.

    An answered item is made of `values` and what the log adds to them.
    """

    __slots__ = ("_view", "values")

    def __init__(self, values: dict[str, Any]) -> None:
        self.values = values
        self._view: ItemView | None = None

    @property
    def view(self) -> ItemView:
        if self._view is None:
            self._view = ItemView(**self.values)
        return self._view


@frozen(kw_only=True, eq=False, repr=False)
class Offer:
    """An answer that is offered: a value in the unit of the item, and what it is from."""

    value: Decimal | str
    note: str


# The conditions under which a section or an item of the walk appears.


def _shrinks(context: Context) -> bool:
    """Some side steps in from the panel below."""
    offsets = context.setout.offsets
    return offsets is not None and any(offset > 0 for offset in offsets.values())


CONDITIONS: dict[str, Callable[[Context], bool]] = {
    "first": lambda context: context.first,
    "not-first": lambda context: not context.first,
    "last": lambda context: context.last,
    "not-last": lambda context: not context.last,
    "shrinks": _shrinks,
    "has-openings": lambda context: bool(context.setout.openings),
    "has-cast-ins": lambda context: bool(context.setout.castins),
    "fills": lambda context: bool(context.setout.fill),
    "extra-anchors": lambda context: any(context.setout.extra_anchors.values()),
    "missing-anchors": lambda context: any(context.setout.missing.values()),
    "prop": lambda context: bool(context.setout.props),
    "mirrored": lambda context: context.setout.mirrored,
    "has-benchmark": lambda context: context.job.site.benchmark is not None,
    "climb-strength": lambda context: (
        not context.first and context.job.limits.climb.strength is not None
    ),
}


def holds(when: Iterable[str], context: Context) -> bool:
    """True where all of the conditions hold. Raises KeyError for one that is not known."""
    return all(CONDITIONS[name](context) for name in when)
