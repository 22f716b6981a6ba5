"""The walk as data: the template read from `steps.toml` into records.

A section has `id`, `name`, `place` (where it is done), `mode` (`do-confirm`: any order, `read-do`: one
item at a time), its items, and what may open and close it:

- `when`: conditions, all of which must hold for it to appear; see `conditions`.
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
- `expected`: a target of `targets`. `tolerance`: what judges it, see `tolerances`.
- `pair`: two that are judged by their difference.
- `second`: a second person answers. `critical`: shown in words, early in its section, or else with its
  `order_reason`.
- `records` `pour-start`, `pour-end`, `as_cast` (start of an as-cast key): the kind of entry it
  makes. `kept`: it cannot be deferred, left out or not applicable.
- `measured`: a number that cannot be left as "not measured", because other numbers rest on it, or because it
  is only read off a drawing.
"""

import hashlib
import tomllib
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, Literal

from attrs import field, frozen

from pourdeck.walk.records import AnswerKind, Dropped, Mode

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
