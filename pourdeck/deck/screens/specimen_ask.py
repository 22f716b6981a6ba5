"""What is asked of a specimen, at the truck and afterwards: its name, where it is kept, of which load."""

from pourdeck.deck.dialogs import Ask
from pourdeck.deck.screens.panel_asks import Make, ask_for, poured_walk, time_ask
from pourdeck.deck.screens.panel_screen import PanelScreen
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.loads import loads_of
from pourdeck.walk.pour_times import pour_ended
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.strength_acts import find_specimen, specimen
from pourdeck.walk.strength_log import Specimen, specimens

NO_LOAD = "none"
KEPT = (("field", "beside the panel, field"), ("standard", "in the laboratory, standard"))


def ask_specimen(screen: PanelScreen, name: str = "") -> None:
    """A cylinder or a cube; with a name the one that is put right."""
    walk = poured_walk(screen)
    if walk is None:
        return
    stands = find_specimen(walk.record, name) if name else None
    asks = (
        Ask(
            id="name",
            label="Name on it",
            value=stands.name if stands else _free_name(walk),
            offered=stands is None,
        ),
        Ask(id="cured", label="Kept", value=stands.cured if stands else "field", choices=KEPT),
        Ask(id="load", label="Of", value=_load(walk, stands), choices=_loads(walk)),
        time_ask(screen, walk, "Taken at", "specimen", _taken(screen, walk, stands)),
    )

    def make(values: dict[str, str]) -> Make:
        def act(walk: Walk, by: str, why: str) -> Act | Refusal:
            now = screen.deck.desk.now()
            load = "" if values["load"] == NO_LOAD else values["load"]
            return specimen(
                walk, values["name"], values["cured"], load, values["time"], by, now, why
            )

        return act

    body = "Only one that is kept beside this panel shows its strength for the lift."
    title = "Put a specimen right" if stands else "A specimen was taken"
    draft = screen.draft("correct" if stands else "specimen")
    ask_for(screen, title, asks, body, draft, make)


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
