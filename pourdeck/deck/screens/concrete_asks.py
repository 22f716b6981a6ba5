"""Ask about a panel's concrete, at the truck and afterwards: a specimen, a temperature, a result."""

from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import Answers, FormField, Values, fault_words
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.plan.amounts import unit_read
from pourdeck.plan.messages import Refusal
from pourdeck.walk.clock import pour_ended
from pourdeck.walk.loads import loads_of
from pourdeck.walk.quantities import QUANTITIES
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength import Specimen, specimens, untested
from pourdeck.walk.strength_acts import (
    find_result,
    find_specimen,
    not_poured,
    result,
    specimen,
    temperature,
    time_since_pour,
)
from pourdeck.walk.strength_words import CURED

NO_LOAD = "none"
NOT_SAID = ("", "not said yet")
KEPT = (("field", "beside the panel, field"), ("standard", "in the laboratory, standard"))


def poured_walk(screen: PanelScreen) -> Walk | None:
    """The walk of the panel, once its pour has begun; else why not is said."""
    walk = screen.walk
    refusal = not_poured(walk) if walk else None
    if refusal is not None:
        screen.deck.refuse(refusal)
        return None
    return walk


def ask_specimen(screen: PanelScreen, name: str = "") -> None:
    """A cylinder or a cube; with a name the one that is put right."""
    walk = poured_walk(screen)
    if walk is None:
        return
    stands = find_specimen(walk.record, name) if name else None
    fields = (
        FormField(
            id="name",
            label="Name on it",
            quantity=QUANTITIES["specimen"],
            value=stands.name if stands else _free_name(walk),
            offered=stands is None,
        ),
        FormField(
            id="cured",
            label="Kept",
            value=stands.cured if stands else "",
            choices=KEPT if stands else (NOT_SAID, *KEPT),
        ),
        FormField(id="load", label="Of", value=_load(walk, stands), choices=_loads(walk)),
        _time_field(screen, walk, "Taken at", "specimen", _taken(screen, walk, stands)),
    )

    def make(told: Answers) -> Act | Refusal:
        load = "" if told["load"] == NO_LOAD else told["load"]
        now = screen.deck.desk.now()
        return specimen(
            screen.walk or walk, told["name"], told["cured"], load, told["time"], told.by, now,
            told.why,
        )  # fmt: skip

    form = Form(
        "Put a specimen right" if stands else "A specimen was taken", fields, make,
        body="Only one that is kept beside this panel shows its strength for the lift.",
        draft=screen.draft(f"correct.{stands.name}" if stands else "specimen"),
    )  # fmt: skip
    screen.app.push_screen(form)


def ask_temperature(screen: PanelScreen) -> None:
    """One reading and its time."""
    walk = poured_walk(screen)
    if walk is None:
        return
    units = walk.job.units
    fields = (
        FormField(
            id="value",
            label=f"Concrete, {unit_read('°C', units)}",
            quantity=QUANTITIES["reading"].in_job(units),
        ),
        _time_field(screen, walk, "Read at", "reading"),
    )

    def make(told: Answers) -> Act | Refusal:
        now = screen.deck.desk.now()
        return temperature(screen.walk or walk, told["value"], told["time"], told.by, now, told.why)

    form = Form(
        "A temperature", fields, make, draft=screen.draft("temperature"),
        body="In the concrete, not on it. Now, or a time such as 07:40.",
    )  # fmt: skip
    screen.app.push_screen(form)


def ask_result(screen: PanelScreen, name: str = "") -> None:
    """A test of one of the specimens of this panel; the first that has none is offered."""
    walk = poured_walk(screen)
    if walk is None:
        return
    taken, units = specimens(walk.record), walk.job.units
    if not taken:
        screen.deck.refuse(
            Refusal(
                title="No specimen of this panel yet.",
                body="Record the specimen first (s), and where it was cured.",
            )
        )
        return
    first = find_specimen(walk.record, name) if name else next(iter(untested(walk.record)), None)
    first = first or taken[-1]
    fields = (
        FormField(
            id="name",
            label="Specimen",
            value=first.name,
            choices=tuple((one.name, f"{one.name}, {CURED[one.cured]}") for one in taken),
        ),
        FormField(
            id="value",
            label=f"Strength, {unit_read('MPa', units)}",
            quantity=QUANTITIES["strength"].in_job(units),
        ),
        _time_field(screen, walk, "Tested at", "test", ""),
    )

    def make(told: Answers) -> Act | Refusal:
        now = screen.deck.desk.now()
        return result(
            screen.walk or walk, told["name"], told["value"], told["time"], told.by, now, told.why
        )

    known = find_result(walk.record, first.name)
    body = "It has a result: another one asks why." if known else "As the laboratory writes it."
    draft = screen.draft(f"result.{name}" if name else "result")
    form = Form("A result", fields, make, body=body, draft=draft)
    screen.app.push_screen(form)


def _time_field(
    screen: PanelScreen, walk: Walk, label: str, what: str, value: str = "now"
) -> FormField:
    """A time in the order of those that are recorded. `what`: its key in `times.NAMES`."""

    def fault(values: Values) -> str | None:
        return fault_words(time_since_pour(walk, values["time"], screen.deck.desk.now(), what))

    quantity = QUANTITIES["time"].in_job(walk.job.units, now=screen.deck.desk.now)
    return FormField(
        id="time", label=label, quantity=quantity, value=value, offered=True, check=fault
    )


def _free_name(walk: Walk) -> str:
    """`W07-3` where two are known."""
    names = {one.name for one in specimens(walk.record)}
    return next(name for n in range(1, 1000) if (name := f"{walk.mark}-{n}") not in names)


def _loads(walk: Walk) -> tuple[tuple[str, str], ...]:
    there = [one for one in loads_of(walk.record) if one.rejected is None]
    return ((NO_LOAD, "no load named"), *((str(one.number), f"load {one.number}") for one in there))


def _load(walk: Walk, stands: Specimen | None) -> str:
    """While concrete is placed the load at hand is offered; afterwards none, or the one that stands."""
    if stands is not None:
        return str(stands.load) if stands.load is not None else NO_LOAD
    taken = [one.number for one in loads_of(walk.record) if one.begun is not None]
    return str(taken[-1]) if taken and walk.record.pour_end is None else NO_LOAD


def _taken(screen: PanelScreen, walk: Walk, stands: Specimen | None) -> str:
    """Now while concrete is placed, its end afterwards; with its day, that no other one is meant."""
    now = screen.deck.desk.now()
    at = stands.taken if stands is not None else pour_ended(walk.record)
    return f"{now:%H:%M}" if at is None else f"{at.astimezone(now.tzinfo):%Y-%m-%d %H:%M}"
