"""Ask at the pour for dockets, figures and times of a load, who lets it in; weather, delays, turning away."""

from collections.abc import Mapping
from datetime import timedelta
from decimal import Decimal

from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import UNMEASURED, Answers, FormField, Values
from pourdeck.deck.paint import line
from pourdeck.deck.recording import answer_for, record_act
from pourdeck.deck.screens.pour_place import PourPlace
from pourdeck.deck.widgets.frame import Said
from pourdeck.plan.amounts import unit_read
from pourdeck.plan.messages import Finding, Refusal, WhyNeeded, literal
from pourdeck.pour.fresh import WEATHER
from pourdeck.walk import acts
from pourdeck.walk.authority import Word
from pourdeck.walk.clock import Jump, set_back
from pourdeck.walk.loads import FIELDS, LoadLine, shown
from pourdeck.walk.pour_acts import (
    INTO_THE_FORM,
    START,
    load_not_measured,
    not_released,
    read_weather,
    turn_away,
    write_delay,
    write_load,
)
from pourdeck.walk.pour_findings import TO_DECIDE
from pourdeck.walk.pour_page import PourPage
from pourdeck.walk.quantities import QUANTITIES, Quantity, Typed, text_of
from pourdeck.walk.records import Act, Walk
from pourdeck.walk.words import folded

# What the pour asks in forms beside its loads: why one is turned away, the weather, delays and notes.

TURNING_AWAY = ("wrong mix", "too old", "too wet", "too stiff", "too hot", "not needed")
DELAYS = ("truck late", "pump blocked", "rain", "forms put back")


class PourAsking:
    """Hold what every question of the pour needs: what stands, and the clock that times are read by."""

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
            draft=self.screen.draft(f"away.{number}"),
            done=lambda _: self.screen.go_on(number, "rejected"),
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
            done=lambda _: self.screen.go_on(number, key),
        )  # fmt: skip
        self.screen.app.push_screen(form)

    def weather(self) -> None:
        standing = self.standing()
        if standing is None:
            return
        walk, _ = standing
        fields = []
        for name in WEATHER:
            quantity = self.quantity(name)
            fields.append(
                FormField(
                    id=name,
                    label=f"{quantity.name}, {unit_read(quantity.unit, walk.job.units)}",
                    quantity=quantity,
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
            body="The mean wind over a few minutes, half a metre above the slab; gusts read too high. "
            f"{self._read_before(walk)}".strip(),
            draft=self.screen.draft("weather"),
        )  # fmt: skip
        self.screen.app.push_screen(form)

    def _read_before(self, walk: Walk) -> str:
        """Say what was read before the truck, to compare with: it is no reading of now."""
        items = [(name, walk.find(f"ready.{name}")) for name in WEATHER]
        read = [
            f"{self.quantity(name).name} {self.quantity(name).shown(item.found)}"
            for name, item in items
            if item is not None and isinstance(item.found, Decimal)
        ]
        return f"Before the pour: {', '.join(read)}." if read else ""

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


# Writing down a load on the Pour screen: its docket, a figure or a time, and what is asked beside it.

ADDED_BY = ("driver", "supplier")
LET_IN = "let-in"
UNREAD, AS_ORDERED, OTHER = "unread", "ordered", "other"

Written = Mapping[str, str | Typed]
"""Hold what is written down of a load, by its keys."""


def one_mix(values: Values, ordered: str) -> str | None:
    """Why the mix of a docket cannot be taken: two are named, or none where another was said to be."""
    picked, other = values["mix"], values["other"]
    if picked == AS_ORDERED and other and folded(other) != folded(ordered):
        return f"Two mixes: {ordered} as ordered, and {literal(other)}. Turn the one above, or take this out."
    if picked == OTHER and not other:
        return "Write the mix that the docket names."
    return None


class PourLoads(PourAsking):
    """Write down loads; ask why of a change, who added water, who lets in a load out of its limits."""

    # The docket.

    def docket(self, number: int) -> None:
        """Ask for a docket's fields; what is known of an existing load is filled in."""
        standing = self.standing()
        if standing is None:
            return
        walk, page = standing
        body = "Read it before anything comes out of the truck."
        if walk.job.mix.name:
            body += f" Ordered: {walk.job.mix.name}."

        def make(told: Answers) -> Act | Refusal:
            written, now = self._read_off(walk, told.values), self.screen.deck.desk.now()
            return write_load(self.walk, number, written, told.by, now, told.why, jumps=self.jumps)

        form = Form(
            f"Load {number}: its docket", self._fields(walk, page.line(number)), make, body=body,
            draft=self.screen.draft(f"docket-{number}"), done=lambda _: self.screen.go_on(number),
        )  # fmt: skip
        self.screen.app.push_screen(form)

    def _fields(self, walk: Walk, one: LoadLine | None) -> list[FormField]:
        load, mix = one.load if one else None, walk.job.mix.name
        fields = [
            FormField(
                id="docket", label="Docket", quantity=self.quantity("docket"),
                value=(load.docket or "") if load else "",
            )
        ]  # fmt: skip
        wrong = one is not None and one.wrong
        if mix is not None:
            read = load is not None and load.mix is not None
            stands = (OTHER if wrong else AS_ORDERED) if read else UNREAD
            choices = (
                (UNREAD, "not read yet"),
                (AS_ORDERED, f"{mix}, as ordered"),
                (OTHER, "another: write it below"),
            )
            fields.append(FormField(id="mix", label="Mix on it", value=stands, choices=choices))
        known = load is not None and (wrong or mix is None)
        fields.append(
            FormField(
                id="other", label="Mix" if mix is None else "Another mix", required=False,
                quantity=self.quantity("mix"), value=(load.mix or "") if load and known else "",
                check=None if mix is None else lambda values: one_mix(values, mix),
            )
        )  # fmt: skip
        if one is None:
            labels = {
                "batched": "Batched at",
                "volume": f"Volume, {unit_read('m³', walk.job.units)}",
                "arrived": "Arrived at",
            }
            fields += [
                FormField(id=key, label=label, required=False, quantity=self.quantity(key))
                for key, label in labels.items()
            ]
        return fields

    def _read_off(self, walk: Walk, values: Values) -> dict[str, str]:
        """Read what was written in the form, by the keys of a load."""
        keys = ("docket", "batched", "volume", "arrived")
        written = {key: values[key] for key in keys if values.get(key)}
        if values.get("mix") == AS_ORDERED and walk.job.mix.name:
            written["mix"] = walk.job.mix.name
        elif values.get("other"):
            written["mix"] = values["other"]
        return written

    # A figure or a time.

    def take(self, number: int, key: str, typed: Typed) -> None:
        """Record what was typed at a load."""
        standing = self.standing()
        one = standing[1].line(number) if standing else None
        if standing is None or one is None:
            return
        stands, units = getattr(one.load, key), standing[0].job.units
        goes_in = key in INTO_THE_FORM and one.load.begun is None and one.load.ended is None
        same = shown(FIELDS[key], typed.value, units)
        if stands is not None and same == shown(FIELDS[key], stands, units):
            self.screen.forget()
            words = f"Unchanged, nothing recorded: {FIELDS[key].name} {same}"
            self.screen.deck.say(Said("note", words))
        elif key == "water" and typed.value != Decimal(0) and one.load.water_by is None:
            self._ask_who(number, typed)
        elif goes_in and (off := self._off(number, key, typed)):
            self._ask_let_in(one, off, {key: typed})
        else:
            self._write(number, {key: typed})

    def _ask_who(self, number: int, water: Typed) -> None:
        people = tuple(one.name for one in self.screen.deck.desk.job.people)[:4]
        who = FormField(
            id="who", label="Name", quantity=self.quantity("water_by"), ready=(*ADDED_BY, *people)
        )

        def make(told: Answers) -> Act | Refusal:
            written: Written = {"water": water, "water_by": told["who"]}
            now = self.screen.deck.desk.now()
            return write_load(self.walk, number, written, told.by, now, told.why, jumps=self.jumps)

        form = Form(
            "Who added the water?", (who,), make,
            body="Water on site changes the mix: somebody answers for it.",
            draft=self.screen.draft(f"water.{number}"),
            done=lambda _: self._written(number, "water"), left=self.screen.forget,
            unsaved=lambda: self.screen.keep_typed((number, "water"), text_of(water)),
            by_itself=True,
        )  # fmt: skip
        self.screen.app.push_screen(form)

    def _off(self, number: int, key: str, typed: Typed) -> tuple[Finding, ...]:
        """List what is out of a limit with a load that would go in now, and that nobody has decided on."""
        standing = self.standing()
        one = standing[1].line(number) if standing else None
        if standing is None or one is None or one.load.let_in is not None:
            return ()
        walk, page = standing
        by, now = self.screen.deck.by, self.screen.deck.desk.now()
        if by is not None:
            act = write_load(walk, number, {key: typed}, by, now, starting=True, jumps=self.jumps)
            if isinstance(act, Refusal) and not isinstance(act, WhyNeeded):
                return ()
        return tuple(found for found in page.off[number] if found.code in TO_DECIDE)

    def _ask_let_in(
        self, one: LoadLine, off: tuple[Finding, ...], goes_in: dict[str, Typed]
    ) -> None:
        """Ask on whose word a load out of its limits goes in, and why."""
        deck, key = self.screen.deck, next(iter(goes_in))
        starts = self._starts(goes_in)

        def written(told: Answers) -> Written:
            return {**goes_in, "let_in": told["seen"]}

        def make(told: Answers) -> Act | Refusal | None:
            assert told.word is not None
            act = write_load(
                self.walk, one.number, written(told), told.by or told.word.of, deck.desk.now(),
                told.why, starting=True, jumps=self.jumps, word=told.word,
            )  # fmt: skip
            # Where it starts the pour that is recorded first, and why a time is odd is asked there.
            odd = isinstance(act, WhyNeeded) or not isinstance(act, Refusal)
            return None if starts and odd else act

        def done(told: Answers) -> None:
            if starts:
                self._offer_start(one.number, written(told), told.word)
            else:
                self._written(one.number, key)

        answer_for(
            deck,
            "let-in",
            f"Does load {one.number} go in all the same?",
            make,
            shown=[line(each.message) for each in off],
            verb="It goes in",
            leave="It does not go in",
            draft=self.screen.draft(LET_IN),
            done=done,
            left=self.screen.forget,
            unsaved=lambda: self.screen.keep_typed((one.number, key), text_of(goes_in[key])),
            by_itself=True,
            leads_on=starts,
        )

    def _starts(self, written: Written) -> bool:
        """Whether it is the first concrete of all."""
        walk = self.walk
        begins = any(key in written for key in INTO_THE_FORM)
        return begins and walk.record.pour_start is None and not_released(walk, "") is None

    def _written(self, number: int, key: str) -> None:
        self.screen.drop_draft((number, key))
        self.screen.go_on(number, key)

    def _write(self, number: int, written: Written) -> None:
        """Write it down, with the start of the pour before it where it is the first concrete of all."""
        deck = self.screen.deck
        if self._starts(written):
            self._offer_start(number, written, None)
            return
        key = next(iter(written))
        text = text_of(written[key])
        record_act(
            deck,
            lambda by, why: write_load(
                self.walk, number, written, by, deck.desk.now(), why, jumps=self.jumps
            ),
            draft=self.screen.draft(f"{number}.{key}"),
            done=lambda: self._written(number, key),
            left=self.screen.forget,
            refused=lambda _: self.screen.open_again(text),
            unsaved=lambda: self.screen.keep_typed((number, key), text),
        )  # fmt: skip

    def _offer_start(self, number: int, written: Written, word: Word | None) -> None:
        """The first concrete of all: the pour start of the walk is the same moment."""
        walk, deck = self.walk, self.screen.deck
        time = written.get("begun") or written["ended"]
        key = next(iter(written))

        def unsaved() -> None:
            self.screen.keep_typed((number, key), text_of(time))

        def left() -> None:
            deck.drop_texts(self.screen.draft(LET_IN))
            self.screen.open_again(text_of(time))

        def checked(by: str, why: str) -> Act | Refusal:
            """Whether the load may be begun at all is found out before the start is recorded."""
            return write_load(
                walk, number, written, by, deck.desk.now(), why, starting=True, jumps=self.jumps,
                word=word,
            )  # fmt: skip

        def start(told: Answers) -> Act | Refusal:
            found = checked(told.by, told.why)
            if isinstance(found, Refusal):
                return found
            return acts.answer(
                walk, START, time, told.by, deck.desk.now(), told.why, jumps=self.jumps
            )

        def begun(told: Answers) -> None:
            act = write_load(
                self.walk, number, written, told.by, deck.desk.now(), told.why, jumps=self.jumps,
                word=word,
            )  # fmt: skip
            if deck.record(act, refresh=False) is None:
                unsaved()
            else:
                deck.drop_texts(self.screen.draft(LET_IN))
                self._written(number, key)

        def named(by: str) -> None:
            found = checked(by, "")
            if isinstance(found, Refusal) and not isinstance(found, WhyNeeded):
                deck.refuse(found)
                self.screen.open_again(text_of(time))
                return
            body = (
                f"{literal(walk.mark)}: the pour starts at {text_of(time)}, with load {number}. From "
                "then on the panel is what it is: its size cannot change."
            )
            form = Form(
                "Record the start of the pour?", (), start, body=body, verb="Start the pour",
                done=begun, left=left, unsaved=unsaved, draft=self.screen.draft("start"),
                by_itself=True,
            )  # fmt: skip
            deck.push_screen(form)

        deck.as_person(named)
