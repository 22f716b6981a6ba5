"""What the pour asks in dialogs beside its loads: why one is turned away, the weather, delays and notes."""

from collections.abc import Callable
from decimal import Decimal

from pourdeck.deck.ask_dialog import Ask, AskDialog, TextDialog
from pourdeck.deck.screens.pour_ask import PourAsk
from pourdeck.deck.views.ready_words import CORRECTING, UNMEASURED
from pourdeck.plan.amounts import unit_read
from pourdeck.plan.refusal import Refusal
from pourdeck.plan.typed_amounts import entry_text
from pourdeck.walk.load_acts import load_not_measured, turn_away
from pourdeck.walk.load_fields import FIELDS
from pourdeck.walk.pour_notes import (
    WEATHER_FIELDS,
    WeatherField,
    read_weather,
    read_weather_value,
    write_delay,
)
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.records import Act, Walk

TURNING_AWAY = ("wrong mix", "too old", "too wet", "too stiff", "too hot", "not needed")
DELAYS = ("truck late", "pump blocked", "rain", "forms put back")


class PourAsks(PourAsk):
    """Each opens a dialog of its own."""

    def turn_away(self, number: int) -> None:
        standing = self.standing()
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
            self.record(act, self.screen.go_on)

        self.push(dialog, take)

    def not_measured(self, number: int, key: str) -> None:
        """Why a value of a load is missing; what must be written down is refused before it is asked."""
        standing = self.standing()
        if standing is None:
            return
        walk, deck = standing[0], self.screen.deck
        people = deck.desk.job.people
        somebody = deck.by or (people[0].name if people else "anybody")
        refused = load_not_measured(walk, number, key, "asked", somebody)
        if isinstance(refused, Refusal):
            deck.refuse(refused)
            return

        def take(values: dict[str, str], by: str) -> None:
            act = load_not_measured(walk, number, key, values["text"], by)
            self.record(act, lambda: self.screen.go_on(number))

        dialog = TextDialog(
            "Not measured", "Reason", f"Load {number}, {FIELDS[key].name}",
            ready=UNMEASURED, draft=self.screen.draft(f"not-measured.{number}.{key}"),
        )  # fmt: skip
        self.push(dialog, take)

    def weather(self) -> None:
        standing = self.standing()
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
        asks.append(self.now_ask("Read at"))
        body = "The mean wind over a few minutes, half a metre above the slab; gusts read too high."
        dialog = AskDialog(
            "The weather at the slab", tuple(asks), body, draft=self.screen.draft("weather")
        )

        def take(values: dict[str, str], by: str) -> None:
            def make(why: str) -> Act | Refusal:
                now = self.screen.deck.desk.now()
                return read_weather(walk, values, values["time"], by, now, why)

            self.record_with_reason(make, self.screen.reload)

        self.push(dialog, take)

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
        standing = self.standing()
        if standing is None:
            return
        walk = standing[0]

        def take(values: dict[str, str], by: str) -> None:
            def make(why: str) -> Act | Refusal:
                now, jumps = self.screen.deck.desk.now(), self.jumps
                begun, over = values["from"], values["to"]
                return write_delay(walk, values["text"], begun, over, by, now, why, jumps=jumps)

            self.record_with_reason(make, self.screen.reload)

        asks = (
            Ask(id="text", label="Note", ready=DELAYS),
            Ask(id="from", label="From, of a delay", required=False, check=self.time_fault),
            Ask(id="to", label="To", required=False, check=self.time_fault),
        )
        dialog = AskDialog(
            "A delay, or a note to the pour", asks, f"To the panel {walk.mark}.",
            draft=self.screen.draft("note"),
        )  # fmt: skip
        self.push(dialog, take)
