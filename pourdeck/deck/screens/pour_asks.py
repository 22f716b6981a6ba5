"""What the pour asks in dialogs: a docket, why a load is turned away, the weather, notes."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.deck.confirm_dialog import ConfirmDialog
from pourdeck.deck.dialogs import Ask, AskDialog, TextDialog
from pourdeck.deck.views.ready_words import CORRECTING
from pourdeck.deck.widgets.banner import Said
from pourdeck.plan.amounts import unit_read
from pourdeck.plan.literal import literal
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.typed_amounts import entry_text
from pourdeck.walk import acts
from pourdeck.walk.clock_jumps import Jump, set_back
from pourdeck.walk.load_acts import INTO_THE_FORM, START, not_released, turn_away, write_load
from pourdeck.walk.load_fields import FIELDS, read_field, shown
from pourdeck.walk.load_lines import LoadLine
from pourdeck.walk.people import folded
from pourdeck.walk.pour_notes import (
    WEATHER_FIELDS,
    WeatherField,
    read_weather,
    read_weather_value,
)
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.typed import read_time

if TYPE_CHECKING:
    from pourdeck.deck.screens.pour import PourScreen

UNREAD, AS_ORDERED, OTHER = "unread", "ordered", "other"
TURNING_AWAY = ("wrong mix", "too old", "too wet", "too stiff", "too hot", "not needed")
ADDED_BY = ("driver", "supplier")
DELAYS = ("truck late", "pump blocked", "rain", "forms put back")


def one_mix(values: Mapping[str, str], ordered: str) -> str | None:
    """Why the mix of a docket cannot be taken: two are named, or none where another was said to be."""
    picked, other = values["mix"], values["other"]
    if picked == AS_ORDERED and other and folded(other) != folded(ordered):
        return f"Two mixes: {ordered} as ordered, and {literal(other)}. Turn the one above, or take this out."
    if picked == OTHER and not other:
        return "Write the mix that the docket names."
    return None


class PourAsks:
    """Each ask ends in an act that is recorded, or in a refusal that is shown; Esc does nothing."""

    def __init__(self, screen: "PourScreen") -> None:
        self.screen = screen

    def _standing(self) -> tuple[Walk, PourPage] | None:
        walk, page = self.screen.walk, self.screen.page
        return (walk, page) if walk is not None and page is not None else None

    @property
    def _jumps(self) -> tuple[Jump, ...]:
        """Where clocks were set back during this pour."""
        page = self.screen.page
        return page.jumped if page is not None else ()

    def _push(self, dialog: AskDialog, take: Callable[[dict[str, str], str], None]) -> None:
        """Ask, and do it in the name of who is on deck."""
        deck = self.screen.deck

        def taken(values: dict[str, str] | None) -> None:
            if values is not None:
                deck.as_person(lambda by: take(values, by))

        self.screen.app.push_screen(dialog, taken)

    def _record(self, act: Act | Refusal, then: Callable[[], None] | None = None) -> bool:
        deck = self.screen.deck
        done = deck.record(act) is not None
        if done and then is not None:
            then()
        return done

    # A docket.

    def docket(self, number: int) -> None:
        """What is read off a docket: of a new load all of it, of one that is there what it has of it."""
        standing = self._standing()
        if standing is None:
            return
        walk, page = standing
        one = page.line(number)
        asks = self._docket_asks(walk, one)
        body = "Read it before anything comes out of the truck."
        if walk.job.mix.name:
            body += f" Ordered: {walk.job.mix.name}."
        draft = self.screen.draft(f"docket-{number}")
        dialog = AskDialog(f"Load {number}: its docket", asks, body, draft=draft)

        def take(values: dict[str, str], by: str) -> None:
            typed = self._read_docket(walk, values)
            now = self.screen.deck.desk.now()
            act = write_load(walk, number, typed, by, now, values.get("why", ""), jumps=self._jumps)
            if isinstance(act, Refusal):
                self._keep_docket(number, values)
            self._record(act, lambda: self.screen.go_on(number))

        self._push(dialog, take)

    def _docket_asks(self, walk: Walk, one: LoadLine | None) -> tuple[Ask, ...]:
        load = one.load if one else None
        mix = walk.job.mix.name
        docket = (load.docket or "") if load else ""
        asks = [Ask(id="docket", label="Docket", value=docket, check=self._fault("docket"))]
        if mix is None:
            asks.append(
                Ask(id="other", label="Mix", required=False, check=self._fault("mix"),
                    value=(load.mix or "") if load else "")
            )  # fmt: skip
        else:
            stands = UNREAD
            if one is not None and one.load.mix is not None:
                stands = OTHER if one.wrong else AS_ORDERED
            choices = (
                (UNREAD, "not read yet"),
                (AS_ORDERED, f"{mix}, as ordered"),
                (OTHER, "another: write it below"),
            )
            asks.append(Ask(id="mix", label="Mix on it", value=stands, choices=choices))
            other = (one.load.mix or "") if one is not None and one.wrong else ""
            asks.append(
                Ask(id="other", label="Another mix", required=False, value=other,
                    check=self._fault("mix"), beside=lambda values: one_mix(values, mix))
            )  # fmt: skip
        if one is None:
            asks += [
                Ask(id="batched", label="Batched at", required=False, check=self._fault("batched")),
                Ask(id="volume", label=f"Volume, {unit_read('m³', walk.job.units)}", required=False,
                    check=self._fault("volume")),
                Ask(id="arrived", label="Arrived at", required=False, check=self._fault("arrived")),
            ]  # fmt: skip
        if load is not None and (load.docket is not None or load.mix is not None):
            asks.append(Ask(id="why", label="Why it changes", required=False, ready=CORRECTING))
        return tuple(asks)

    def _read_docket(self, walk: Walk, values: Mapping[str, str]) -> dict[str, str]:
        """What was written in the dialog, by the keys of a load."""
        typed = {
            key: values[key]
            for key in ("docket", "batched", "volume", "arrived")
            if values.get(key)
        }
        if values.get("mix") == AS_ORDERED and walk.job.mix.name:
            typed["mix"] = walk.job.mix.name
        elif values.get("other"):
            typed["mix"] = values["other"]
        return typed

    def _keep_docket(self, number: int, values: Mapping[str, str]) -> None:
        """What was refused is there again when the docket is asked for again."""
        for key, text in values.items():
            if key != "why":
                self.screen.deck.keep_text(self.screen.draft(f"docket-{number}.{key}"), text)

    def _now_ask(self, label: str) -> Ask:
        """A time, for which now is offered."""
        now = f"{self.screen.deck.desk.now():%H:%M}"
        return Ask(id="time", label=label, value=now, offered=True, check=self._time_fault)

    def _time_fault(self, text: str) -> str | None:
        found = read_time(text, self.screen.deck.desk.now(), set_back(self._jumps))
        return f"{found.title} {found.body}" if isinstance(found, Refusal) else None

    def _fault(self, key: str) -> Callable[[str], str | None]:
        """What is wrong with what was written of a load, before it is given."""

        def fault(text: str) -> str | None:
            desk = self.screen.deck.desk
            found = read_field(FIELDS[key], text, desk.job.units, desk.now(), set_back(self._jumps))
            return f"{found.title} {found.body}" if isinstance(found, Refusal) else None

        return fault

    # A value.

    def value(self, number: int, key: str, typed: str) -> None:
        """Record what was typed at a load; what replaces something asks why, water asks who added it."""
        standing = self._standing()
        one = standing[1].line(number) if standing else None
        if standing is None or one is None:
            return
        walk, deck = standing[0], self.screen.deck
        now, stands = deck.desk.now(), getattr(one.load, key)
        read = read_field(FIELDS[key], typed, walk.job.units, now, set_back(self._jumps))
        if isinstance(read, Refusal):
            deck.refuse(read)
            self._open_again(typed)
            return
        same = shown(FIELDS[key], read, walk.job.units)
        if stands is not None and same == shown(FIELDS[key], stands, walk.job.units):
            self.screen.forget()
            deck.say(Said("note", f"Unchanged, nothing recorded: {FIELDS[key].name} {same}"))
            return

        def named(why: str) -> None:
            if key == "water" and read != Decimal(0) and one.load.water_by is None:
                self._ask_who(lambda who: self._write(number, {key: typed, "water_by": who}, why))
            else:
                self._write(number, {key: typed}, why)

        if stands is None:
            named("")
        else:
            self._ask_why(one, key, same, named)

    def _ask_why(self, one: LoadLine, key: str, now: str, then: Callable[[str], None]) -> None:
        was = shown(FIELDS[key], getattr(one.load, key), self.screen.deck.desk.job.units)
        body = (
            f"Load {one.number}, {FIELDS[key].name}: now {now}, was {was}. Both stay in the record."
        )

        def take(values: dict[str, str] | None) -> None:
            if values is None:
                self.screen.forget()
            else:
                then(values["text"])

        dialog = TextDialog("Why does it change?", "In a few words", body, ready=CORRECTING)
        self.screen.app.push_screen(dialog, take)

    def _ask_who(self, then: Callable[[str], None]) -> None:
        people = tuple(one.name for one in self.screen.deck.desk.job.people)[:4]

        def take(values: dict[str, str] | None) -> None:
            if values is None:
                self.screen.forget()
            else:
                then(values["text"])

        body = "Water on site changes the mix: somebody answers for it."
        dialog = TextDialog("Who added the water?", "Name", body, ready=(*ADDED_BY, *people))
        self.screen.app.push_screen(dialog, take)

    def _write(self, number: int, typed: Mapping[str, str], why: str) -> None:
        self.screen.deck.as_person(lambda by: self._write_by(number, typed, why, by))

    def _write_by(self, number: int, typed: Mapping[str, str], why: str, by: str) -> None:
        standing = self._standing()
        if standing is None:
            return
        walk = standing[0]
        begins = any(key in typed for key in INTO_THE_FORM)
        if begins and walk.record.pour_start is None and not_released(walk, "") is None:
            self._offer_start(number, typed, why, by)
            return
        now = self.screen.deck.desk.now()
        act = write_load(walk, number, typed, by, now, why, jumps=self._jumps)
        key = next(iter(typed))
        if isinstance(act, Refusal):
            self._refused(act, typed[key])
            return
        if self._record(act):
            self.screen.drop_draft((number, key))
            self.screen.go_on(number)

    def _refused(self, refusal: Refusal, text: str) -> None:
        """A time that was only offered is offered again; what somebody typed is kept."""
        self.screen.deck.refuse(refusal)
        if text == self.screen.now_text():
            self.screen.forget()
        else:
            self._open_again(text)

    def _open_again(self, text: str) -> None:
        """What was refused is still in the field, to be put right."""
        self.screen.field.load_draft(text, whole=True)
        self.screen.field.focus()

    def _offer_start(self, number: int, typed: Mapping[str, str], why: str, by: str) -> None:
        """The first concrete of all: the pour start of the walk is the same moment."""
        walk = self.screen.walk
        if walk is None:
            return
        time = typed.get("begun") or typed["ended"]
        # Whether the load may be begun at all is found out before the start is recorded.
        now = self.screen.deck.desk.now()
        checked = write_load(walk, number, typed, by, now, why, starting=True, jumps=self._jumps)
        if isinstance(checked, Refusal):
            self._refused(checked, time)
            return

        def take(done: str | None) -> None:
            if done is None:
                self._open_again(time)
                return
            now = self.screen.deck.desk.now()
            start = acts.answer(walk, START, time, by, now)
            if self._record(start):
                self._write_by(number, typed, why, by)

        body = (
            f"{literal(walk.mark)}: the pour starts at {time}, with load {number}. From then on "
            "the panel is what it is: its size cannot change."
        )
        dialog = ConfirmDialog("Record the start of the pour?", body, verb="Start the pour")
        self.screen.app.push_screen(dialog, take)

    # Turning away, weather, notes.

    def turn_away(self, number: int) -> None:
        standing = self._standing()
        one = standing[1].line(number) if standing else None
        if standing is None or one is None:
            return
        walk = standing[0]
        again = one.load.rejected is not None
        value = "wrong mix" if one.wrong and not again else ""
        asks = [Ask(id="reason", label="Reason", value=value, ready=TURNING_AWAY)]
        if again:
            asks.append(Ask(id="why", label="Why it changes", ready=CORRECTING))
        docket = f", docket {one.load.docket}" if one.load.docket else ""
        title = f"Turn away load {number}{docket}"
        body = "Nothing of it goes into the form."
        dialog = AskDialog(
            title, tuple(asks), body, verb="Turn away", draft=self.screen.draft("away")
        )

        def take(values: dict[str, str], by: str) -> None:
            now = self.screen.deck.desk.now()
            act = turn_away(walk, number, values["reason"], by, now, values.get("why", ""))
            self._record(act, self.screen.go_on)

        self._push(dialog, take)

    def weather(self) -> None:
        standing = self._standing()
        if standing is None:
            return
        walk, page = standing
        units = walk.job.units
        asks = [
            Ask(
                id=one.key,
                label=f"{one.name}, {unit_read(one.unit, units)}",
                value=self._last_weather(walk, page, one.key),
                offered=True,
                check=self._weather_fault(one),
            )
            for one in WEATHER_FIELDS.values()
        ]
        asks.append(self._now_ask("Read at"))
        body = "The mean wind over a few minutes, half a metre above the slab; gusts read too high."
        dialog = AskDialog(
            "The weather at the slab", tuple(asks), body, draft=self.screen.draft("weather")
        )

        def take(values: dict[str, str], by: str) -> None:
            now = self.screen.deck.desk.now()
            act = read_weather(walk, values, values["time"], by, now)
            self._record(act, self.screen.reload)

        self._push(dialog, take)

    def _weather_fault(self, one: WeatherField) -> Callable[[str], str | None]:
        def fault(text: str) -> str | None:
            found = read_weather_value(one, text, self.screen.deck.desk.job.units)
            return f"{found.title} {found.body}" if isinstance(found, Refusal) else None

        return fault

    def _last_weather(self, walk: Walk, page: PourPage, key: str) -> str:
        """The first reading of the pour is what the walk was told before it; later ones are read anew."""
        item = walk.find(f"ready.{key}")
        if page.weather or item is None or not isinstance(item.found, Decimal):
            return ""
        return entry_text(item.found, WEATHER_FIELDS[key].unit, walk.job.units)

    def note(self) -> None:
        standing = self._standing()
        if standing is None:
            return
        walk = standing[0]

        def take(values: dict[str, str], by: str) -> None:
            self._record(acts.note(walk, None, values["text"], by))

        dialog = TextDialog(
            "A delay, or a note to the pour", "Note", f"To the panel {walk.mark}.",
            ready=DELAYS, draft=self.screen.draft("note"),
        )  # fmt: skip
        self._push(dialog, take)
