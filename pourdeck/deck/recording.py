"""Record acts of a screen: with a reason, a second person and whose word it is; and take them back."""

from collections.abc import Callable

from pourdeck.deck.choice_dialog import ChoiceDialog
from pourdeck.deck.desk_shell import DeskShell, nothing, saved
from pourdeck.deck.form import Form, Make
from pourdeck.deck.form_fields import Answers, FormField, WordStep
from pourdeck.deck.paint import Spans, line
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.row_list import Row
from pourdeck.plan.authority import rule_of
from pourdeck.plan.messages import Refusal, WhyNeeded
from pourdeck.sitelog.entries import Entry
from pourdeck.sitelog.state import undone
from pourdeck.walk.levels import ITEMS
from pourdeck.walk.quantities import QUANTITIES
from pourdeck.walk.records import Act
from pourdeck.walk.words import initials


def record_act(
    deck: DeskShell,
    make: Callable[[str, str], Act | Refusal],
    *,
    draft: str,
    done: Callable[[], None] = nothing,
    left: Callable[[], None] = nothing,
    refused: Callable[[Refusal], None] = nothing,
    unsaved: Callable[[], None] = nothing,
    second: bool = False,
) -> None:
    """Record an act in the name of who is signed in, or of a `second` person who is picked.

    `make` gives it for a name and a reason, "" where none was given; one that it needs is asked for.
    `draft`: the key under which what was typed for it is kept, and what is asked beside it.
    `done` is called once it is recorded, before the screen shows it; `left` where nobody gave a reason,
    `refused` after a refusal was said, `unsaved` where nobody signed in or it could not be written.
    """

    def finished() -> None:
        deck.keep_text(f"{other}.name", "")
        done()

    def named(by: str) -> None:
        act = make(by, "")
        if isinstance(act, WhyNeeded):
            ask_why(deck, act, lambda why: make(by, why), finished, left, unsaved, draft=draft)
        elif isinstance(act, Refusal):
            refused(act)
            deck.refuse(act)
        elif deck.record(act, finished) is None:
            unsaved()
            deck.kept.flush()
            if second:
                told = f"{deck.said.title} {deck.said.body}"
                ask_second(deck, named, unsaved, draft=other, picked=by, told=told)

    other = f"{draft}.second"
    if second:
        ask_second(deck, named, left, draft=other)
    else:
        deck.as_person(named, unsaved)


def ask_why(
    deck: DeskShell,
    needed: WhyNeeded,
    make: Callable[[str], Act | Refusal],
    done: Callable[[], None],
    left: Callable[[], None],
    unsaved: Callable[[], None],
    *,
    draft: str,
) -> None:
    """Ask for the reason with which an act is allowed, and record it."""
    form = Form(
        "What was done about it?" if needed.put_right else "Why does it change?", (),
        lambda told: make(told.why), why=needed, by_itself=True, signed=False, left=left,
        unsaved=unsaved, done=lambda _: done(), draft=draft,
    )  # fmt: skip
    deck.push_screen(form)


def ask_second(
    deck: DeskShell,
    then: Callable[[str], None],
    left: Callable[[], None],
    *,
    draft: str,
    picked: str = "",
    told: str = "",
) -> None:
    """Who read it: never the one signed in by itself, because a second person must answer.

    `picked`, `told`: who it was the time before, and why that was not saved.
    """
    people, title = deck.desk.job.people, "Who read it?"
    body = "A second person reads it off the drawing, not off this screen."

    def taken(name: str | None) -> None:
        if name is None:
            left()
        else:
            then(name)

    if not people:
        name = FormField(id="name", label="Name", quantity=QUANTITIES["name"])
        form = Form(
            title, (name,), lambda _: None, body=body, by_itself=True, signed=False, left=left,
            done=lambda answers: then(answers["name"]), draft=draft, leads_on=True, told=told,
        )  # fmt: skip
        deck.push_screen(form)
        return
    rows = tuple(
        Row(
            key=person.name,
            left=line((person.name, "strong"), (f"  {initials(person.name)}", "quiet")),
            right=line(person.role),
        )
        for person in people
    )
    picking = ChoiceDialog(
        title, rows, body, verb="Record", unmarked=True, by_itself=True, select=picked or None,
        told=told,
    )  # fmt: skip
    deck.push_screen(picking, taken)


def word_step(deck: DeskShell, act: str) -> WordStep:
    """The step that asks for the word of an act of the table, on this deck."""
    job = deck.desk.job
    return WordStep(
        rule=rule_of(job, act),
        people=job.people,
        signed_in=deck.present(),
        now=deck.desk.now,
        tries=deck.pins,
    )


def answer_for(
    deck: DeskShell,
    act: str,
    title: str,
    make: Make,
    *,
    reason: str = "Reason",
    ready: tuple[str, ...] = (),
    first: tuple[FormField, ...] = (),
    more: tuple[FormField, ...] = (),
    body: str = "",
    shown: tuple[Spans, ...] | list[Spans] = (),
    verb: str = "Record",
    leave: str = "Leave it",
    draft: str,
    done: Callable[[Answers], None] = nothing,
    left: Callable[[], None] = nothing,
    unsaved: Callable[[], None] | None = None,
    by_itself: bool = False,
    leads_on: bool = False,
) -> None:
    """Ask for the word of somebody who answers for an act of the table, and record it.

    `first` and `more` are fields before and after the name; `reason` is what the words are called.
    """
    step = word_step(deck, act)
    words = (FormField(id="seen", label=reason, ready=ready),) if step.rule.reason else ()
    form = Form(
        title,
        (*first, *step.fields(), *more, *words),
        make,
        body=f"{step.needed} {body}".rstrip(),
        shown=shown,
        word=step,
        verb=verb,
        leave=leave,
        draft=draft,
        done=done,
        left=left,
        unsaved=unsaved,
        by_itself=by_itself,
        leads_on=leads_on,
    )
    deck.push_screen(form)


def ask_time(app: DeskShell) -> None:
    """Ask whether the time of this computer is right, after its clock has jumped."""
    clocks = app.desk.clocks()
    if not clocks.here:
        app.refuse(Refusal(title="The clock has not jumped.", body="There is nothing to confirm."))
        return
    # No clock jumps in most runs.
    from pourdeck.walk.acts import confirm_time

    now = app.desk.now()
    jumped = "; ".join(f"this computer's clock {one}" for one in clocks.here)
    form = Form(
        f"Is it {now:%a %d %b %Y %H:%M}?",
        (),
        lambda told: confirm_time(app.desk.clocks(), told.by, app.desk.now()),
        body=f"{jumped[0].upper()}{jumped[1:]}. Where it is not, set the computer's clock right first.",
        verb="It is",
        leave="It is not",
        draft="time",
    )
    app.push_screen(form)


# Taking back the last act, and taking that back, from every screen.

AT_THE_POUR = frozenset({"load", "weather", "specimen"})
"""Kinds that are undone where they were made."""


def undo(deck: DeskShell) -> None:
    record_act(deck, deck.desk.undo, draft="undo", done=lambda: _show_undone(deck))


def redo(deck: DeskShell) -> None:
    record_act(
        deck, lambda by, _: deck.desk.redo(by), draft="redo", done=lambda: _show_undone(deck)
    )


def _show_undone(deck: DeskShell) -> None:
    """Go to what it changed: an undo that nobody sees is a trap."""
    entry = deck.desk.state.last
    target = undone(deck.desk.state, entry) if entry else None
    while target is not None and target.kind == "undo":
        target = undone(deck.desk.state, target)
    if target is None or target.panel is None:
        return
    for stack in deck.desk.job.stacks:
        for number, panel in enumerate(stack.panels, 1):
            if panel.mark == target.panel:
                said = _undone_words(deck, entry, target)
                key = _stop_of(deck, stack.id, number, target)
                screen = "levels" if _is_levelled(deck, target) else "walk"
                if target.kind in AT_THE_POUR:
                    screen = "pour"
                deck.go(screen, stack=stack.id, panel=number, item=key or deck.here.item)
                deck.say(said)


def _is_levelled(deck: DeskShell, target: Entry) -> bool:
    """A line of the level book; one that answers an item too is gone to where the crew stands."""
    return target.kind == "sight" or (
        deck.here.screen == "levels"
        and ("staff" in target.data or target.data.get("item") in ITEMS)
    )


def _undone_words(deck: DeskShell, entry: Entry | None, target: Entry) -> Said:
    """Give what was said of it, and in words what it undid or did again."""
    if entry is None or deck.said.kind != "saved":
        return deck.said
    # Most starts take nothing back.
    from pourdeck.paper.diary import diary_line

    before = target.key in deck.desk.state.voided
    words = f"{target.panel} {diary_line(target, deck.desk.job.units)}"
    return saved(entry, f"{'undone' if before else 'done again'}: {words}")


def _stop_of(deck: DeskShell, stack: str, number: int, entry: Entry) -> str | None:
    """The key of the stop that an entry was made at."""
    key = entry.data.get("item")
    if isinstance(key, str):
        return key
    if isinstance(entry.data.get("section"), str):
        return f"complete:{entry.data['section']}"
    values = entry.data.get("values")
    if isinstance(values, dict):
        walk = deck.desk.walk(stack, number)
        return next((item.key for item in walk.items() if item.cast_key in values), None)
    return None
