"""The day of the lift: every panel of the job in the order it goes, and what keeps the marked one down."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from pourdeck.deck.actions import bindings
from pourdeck.deck.choice_dialog import TellDialog
from pourdeck.deck.form import Form
from pourdeck.deck.form_fields import NOTING, Answers, FormField
from pourdeck.deck.paint import Spans, SteadyColumn, SteadyRow, line
from pourdeck.deck.recording import answer_for
from pourdeck.deck.screens.base import PanelScreen
from pourdeck.deck.views.lift_list import (
    card_rows,
    caution_lines,
    lift_heading,
    lift_key,
    lift_spots,
    list_rows,
    place_of,
)
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.prose import PlanView, Prose
from pourdeck.deck.widgets.row_list import GUTTER, Row, RowList
from pourdeck.plan.messages import Refusal
from pourdeck.walk import acts
from pourdeck.walk.lift_acts import Given, not_to_be_lifted, not_to_be_released
from pourdeck.walk.lift_seals import EXPOSED_CHECKS
from pourdeck.walk.lift_words import (
    CAUTIONS,
    lift_rows,
    out_of_order_words,
    release_rows,
    strength_words,
)
from pourdeck.walk.lifting import LiftView, goes_before
from pourdeck.walk.quantities import QUANTITIES
from pourdeck.walk.records import Act

TALL = 48
"""Lines of the window from which on every caution stands in full beside the card and the drawing."""


class LiftScreen(PanelScreen):
    """↑↓ go from panel to panel in the order of the lift; Enter reads all of the marked one."""

    ID = "lift"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("lift")]
    DEFAULT_CSS = """
    LiftScreen #both { layout: horizontal; height: 1fr; width: 1fr; }
    LiftScreen #lifts { width: 32; height: 1fr; }
    LiftScreen #right { width: 1fr; height: 1fr; }
    LiftScreen #heading { height: 1; }
    LiftScreen #card { height: 1fr; }
    LiftScreen #cautions { height: auto; }
    LiftScreen #plan { display: none; height: 16; }
    LiftScreen.-tall.-full #plan, LiftScreen.-tall.-wide #plan { display: block; }
    LiftScreen.-wide #lifts { width: 36; }
    LiftScreen.-narrow #both, LiftScreen.-slim #both { layout: vertical; }
    LiftScreen.-narrow #lifts, LiftScreen.-slim #lifts { width: 1fr; height: 5; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.asks = LiftAsks(self)
        self._views: tuple[LiftView, ...] = ()

    def compose_body(self) -> ComposeResult:
        with SteadyRow(id="both"):
            yield RowList(id="lifts", empty="The job has no panels.")
            with SteadyColumn(id="right"):
                yield Prose(id="heading")
                yield RowList(id="card")
                yield PlanView(id="plan")
        yield Prose(id="cautions")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#card").can_focus = False
        self.set_focus(self.list)

    @property
    def list(self) -> RowList:
        return self.query_one("#lifts", RowList)

    @property
    def view(self) -> LiftView | None:
        """The marked panel, as it stands now."""
        number = self.number
        return self.deck.desk.lift(*number) if number else None

    def reload(self) -> None:
        if not self.list.content_size.width:
            return
        self._views = self.deck.desk.lifts()
        self.query_one("#cautions", Prose).show(caution_lines(tall=self.app.size.height >= TALL))
        view = self.view
        width = self.list.content_size.width - GUTTER - 1
        self.list.set_rows(list_rows(self._views, width), select=lift_key(view) if view else None)
        self._show_card(view)

    def _show_card(self, view: LiftView | None) -> None:
        card = self.query_one("#card", RowList)
        if view is None:
            self.query_one("#heading", Prose).show([])
            card.set_rows(())
            return
        self.query_one("#heading", Prose).show([lift_heading(view)])
        width = max(20, card.content_size.width - GUTTER - 1)
        card.set_rows(tuple(Row(left=row) for row in card_rows(view, width)))
        self.query_one(PlanView).show(view.setout, spots=lift_spots(view))

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        if event.row_list.id != "lifts":
            return
        stack, number = place_of(event.key)
        self.deck.place(stack=stack, panel=number)
        self._show_card(self.view)
        self.refresh_frame()

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        event.stop()
        self.action_read_all()

    # What can be done.

    def can_do(self, action_id: str) -> bool:
        view = self.view
        if action_id in ("lift-release", "lift-record"):
            return view is not None and view.lifted is None
        if action_id == "look-exposed":
            return view is not None and view.bared_by is not None and view.lifted is None
        return True

    def action_lift_release(self) -> None:
        view = self.view
        if view is not None:
            self.asks.release(view)

    def action_lift_record(self) -> None:
        view = self.view
        if view is not None:
            self.asks.lift(view)

    def action_look_exposed(self) -> None:
        view = self.view
        if view is not None:
            self.asks.look(view)

    def action_read_all(self) -> None:
        view = self.view
        if view is None:
            return
        rows = [lift_heading(view)]
        last = ""
        for name, words in lift_rows(view):
            last = name or last
            rows.append(line((f"{last}: ", "quiet"), words))
        rows += [line((one, "quiet")) for one in CAUTIONS]
        self.app.push_screen(TellDialog("The lift", tuple(rows)))


# The release, the lift once more, and what was seen of the panel laid bare.

CHOICES = {
    "recesses": (("", "not looked at yet"), ("open, clean, undamaged", "open, clean, undamaged"),
                 ("not clean", "not clean"), ("damaged", "damaged")),
    "residue": (("", "not looked at yet"), ("none", "none"), ("cleaned off", "cleaned off"),
                ("left on", "left on")),
    "face": (("", "not looked at yet"), ("sound", "sound"), ("damaged", "damaged")),
}  # fmt: skip
"""The first of each is no answer: none is there by itself."""


class LiftAsks:
    def __init__(self, screen: PanelScreen) -> None:
        self.screen = screen

    def draft(self, view: LiftView, name: str) -> str:
        """The key under which what is half typed in a form is kept: that of the panel it is about."""
        return f"lift.{view.stack}.{view.number}.{name}"

    def _now(self, view: LiftView) -> LiftView:
        """Read the panel anew when the answer is given: the clock went on while it was typed."""
        return self.screen.deck.desk.lift(view.stack, view.number)

    def release(self, view: LiftView) -> None:
        """The engineer types the name and what was seen; what is missing is said first."""
        deck = self.screen.deck
        refused = not_to_be_released(view)
        if refused is not None:
            deck.refuse(refused)
            return

        def make(told: Answers) -> Act | Refusal:
            given = Given(strength=told["strength"], document=told["document"])
            return acts.release_to_lift(
                self._now(view), told.by, "", told["seen"], given, word=told.word
            )

        strength = QUANTITIES["strength"].in_job(view.job.units)
        limit = (
            FormField(id="strength", label="Strength needed", quantity=strength),
            FormField(id="document", label="Its document"),
        )
        answer_for(
            deck,
            "lift-release",
            f"Release {view.mark} to lift, panel {view.number} of {view.of}, stack {view.stack}",
            make,
            reason="What was seen",
            more=limit if view.job.limits.lift.strength is None else (),
            body="It is never undone.",
            shown=_shown(view),
            verb="Release to lift",
            leave="Leave it down",
            draft=self.draft(view, "release"),
        )

    def lift(self, view: LiftView) -> None:
        """Record that it is off the stack, once more asked; then what was seen of the one laid bare."""
        deck = self.screen.deck
        refused = not_to_be_lifted(view)
        if refused is not None:
            deck.refuse(refused)
            return

        def lifted(_: object) -> None:
            if view.number > 1:
                deck.place(stack=view.stack, panel=view.number - 1)
                self.look(deck.desk.lift(view.stack, view.number - 1))

        def ask(by: str) -> None:
            act = acts.lifted(self._now(view), by)
            if isinstance(act, Refusal):
                deck.refuse(act)
                return
            order = out_of_order_words(view, goes_before(view, deck.desk.lifts()))
            form = Form(
                f"Record the lift: {view.mark}, panel {view.number} of {view.of}, stack {view.stack}",
                (), lambda told: acts.lifted(self._now(view), told.by or by), verb="Record the lift",
                body=f"It says that the panel is off its stack. {order}".rstrip(), done=lifted,
                draft=self.draft(view, "lift"),
            )  # fmt: skip
            deck.push_screen(form)

        deck.as_person(ask)

    def look(self, view: LiftView) -> None:
        """Ask what was seen of the panel that a lift has laid bare."""
        deck = self.screen.deck
        if view.bared_by is None or view.lifted is not None:
            title = f"{view.mark} was not laid bare by a lift"
            deck.say(Said("note", title, "This is asked once the panel above is off."))
            return
        fields = (
            *(
                FormField(id=key, label=what, choices=CHOICES[key])
                for key, what in EXPOSED_CHECKS.items()
            ),
            FormField(id="more", label="What else", required=False, ready=NOTING),
        )

        def make(told: Answers) -> Act | Refusal:
            seen = {key: told[key] for key in EXPOSED_CHECKS}
            return acts.look_at_exposed(self._now(view), seen, told.by, told["more"])

        form = Form(
            f"{view.mark} lies bare: {view.bared_by} was lifted off it", fields, make,
            body=f"Its own strength: {strength_words(view)}.", draft=self.draft(view, "exposed"),
        )  # fmt: skip
        deck.push_screen(form)


def _shown(view: LiftView) -> list[Spans]:
    """List what the engineer should have read before the name is given."""
    return [
        line((f"{name}  ", "warning" if name in ("!", "lapsed") else "quiet"), words)
        for name, words in release_rows(view)
    ]
