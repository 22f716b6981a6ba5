"""What the pour asks in forms beside its loads: why one is turned away, the weather, delays and notes."""

from datetime import timedelta
from decimal import Decimal

from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import UNMEASURED, Answers, FormField
from pourdeck.deck.screens.pour_place import PourPlace
from pourdeck.plan.amounts import unit_read
from pourdeck.plan.messages import Refusal
from pourdeck.walk.loads import FIELDS
from pourdeck.walk.pour_acts import load_not_measured, read_weather, turn_away, write_delay
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.quantities import QUANTITIES, Quantity
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.typed import Jump, set_back
from pourdeck.walk.weather_log import WEATHER

TURNING_AWAY = ("wrong mix", "too old", "too wet", "too stiff", "too hot", "not needed")
DELAYS = ("truck late", "pump blocked", "rain", "forms put back")


class PourAsking:
    """What every question of the pour has: what stands, and the clock that times are read by."""

    def __init__(self, screen: PourPlace) -> None:
        self.screen = screen

    def standing(self) -> tuple[Walk, PourPage] | None:
        walk, page = self.screen.walk, self.screen.page
        return (walk, page) if walk is not None and page is not None else None

    @property
    def walk(self) -> Walk:
        walk = self.screen.walk
        assert walk is not None
        return walk

    @property
    def jumps(self) -> tuple[Jump, ...]:
        """Where clocks were set back during this pour."""
        page = self.screen.page
        return page.jumped if page is not None else ()

    def quantity(self, name: str) -> Quantity:
        """A quantity of the table in this job, a time by the clock of this pour."""
        desk = self.screen.deck.desk
        back = set_back(self.jumps) if self.jumps else timedelta()
        return QUANTITIES[name].in_job(desk.job.units, now=desk.now, set_back=back)


class PourAsks(PourAsking):
    """Each opens a form of its own."""

    def turn_away(self, number: int) -> None:
        standing = self.standing()
        one = standing[1].line(number) if standing else None
        if one is None:
            return
        value = "wrong mix" if one.wrong and one.load.rejected is None else ""
        reason = FormField(
            id="reason", label="Reason", quantity=QUANTITIES["rejected"], value=value,
            ready=TURNING_AWAY,
        )  # fmt: skip

        def make(told: Answers) -> Act | Refusal:
            now = self.screen.deck.desk.now()
            return turn_away(self.walk, number, told["reason"], told.by, now, told.why)

        docket = f", docket {one.load.docket}" if one.load.docket else ""
        form = Form(
            f"Turn away load {number}{docket}", (reason,), make,
            body="Nothing of it goes into the form.", verb="Turn away",
            draft=self.screen.draft("away"), done=lambda _: self.screen.go_on(),
        )  # fmt: skip
        self.screen.app.push_screen(form)

    def not_measured(self, number: int, key: str) -> None:
        """Why a value of a load is missing; what must be written down is refused before it is asked."""
        standing = self.standing()
        if standing is None:
            return
        deck = self.screen.deck
        people = deck.desk.job.people
        somebody = deck.by or (people[0].name if people else "anybody")
        refused = load_not_measured(standing[0], number, key, "asked", somebody)
        if isinstance(refused, Refusal):
            deck.refuse(refused)
            return
        form = Form(
            "Not measured", (FormField(id="text", label="Reason", ready=UNMEASURED),),
            lambda told: load_not_measured(self.walk, number, key, told["text"], told.by),
            body=f"Load {number}, {FIELDS[key].name}",
            draft=self.screen.draft(f"not-measured.{number}.{key}"),
            done=lambda _: self.screen.go_on(number),
        )  # fmt: skip
        self.screen.app.push_screen(form)

    def weather(self) -> None:
        standing = self.standing()
        if standing is None:
            return
        walk, page = standing
        fields = []
        for name in WEATHER:
            quantity = self.quantity(name)
            fields.append(
                FormField(
                    id=name,
                    label=f"{quantity.name}, {unit_read(quantity.unit, walk.job.units)}",
                    quantity=quantity,
                    value=self._last_weather(walk, page, quantity, name),
                    offered=True,
                )
            )
        now = self.screen.now_text()
        time = FormField(
            id="time", label="Read at", quantity=self.quantity("time"), value=now, offered=True
        )

        def make(told: Answers) -> Act | Refusal:
            at = self.screen.deck.desk.now()
            return read_weather(self.walk, told.values, told["time"], told.by, at, told.why)

        form = Form(
            "The weather at the slab", (*fields, time), make,
            body="The mean wind over a few minutes, half a metre above the slab; gusts read too high.",
            draft=self.screen.draft("weather"),
        )  # fmt: skip
        self.screen.app.push_screen(form)

    def _last_weather(self, walk: Walk, page: PourPage, quantity: Quantity, name: str) -> str:
        """The first reading of the pour is what the walk was told before it; later ones are read anew."""
        item = walk.find(f"ready.{name}")
        if page.weather or item is None or not isinstance(item.found, Decimal):
            return ""
        return quantity.entry(item.found)

    def note(self) -> None:
        if self.standing() is None:
            return
        time = self.quantity("time")

        def make(told: Answers) -> Act | Refusal:
            now = self.screen.deck.desk.now()
            return write_delay(
                self.walk, told["text"], told["from"], told["to"], told.by, now, told.why,
                jumps=self.jumps,
            )  # fmt: skip

        fields = (
            FormField(id="text", label="Note", ready=DELAYS),
            FormField(id="from", label="From, of a delay", quantity=time, required=False),
            FormField(id="to", label="To", quantity=time, required=False),
        )
        form = Form(
            "A delay, or a note to the pour", fields, make, body=f"To the panel {self.walk.mark}.",
            draft=self.screen.draft("note"),
        )  # fmt: skip
        self.screen.app.push_screen(form)
