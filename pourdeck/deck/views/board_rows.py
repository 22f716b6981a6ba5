"""Give what the board says: the piles as they are drawn, and what today needs in rows."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from attrs import frozen

from pourdeck.deck.drawing.pile import PilePanel, PileStack
from pourdeck.deck.paint import Span, Spans, cells, cut, fit, line
from pourdeck.deck.views.values import day_text
from pourdeck.deck.widgets.row_list import Row
from pourdeck.plan.amounts import format_amount
from pourdeck.plan.lengths import format_bare, format_out, format_rl
from pourdeck.plan.messages import Finding
from pourdeck.plan.records import Units
from pourdeck.setout.drift import ACROSS, read
from pourdeck.walk.board import Board, BoardPanel, BoardStack, Owed, PouredToday
from pourdeck.walk.conflicts import Conflict, both_words, thing_words
from pourdeck.walk.lift_words import top_words
from pourdeck.walk.lifting import TopLift
from pourdeck.walk.out_of_tolerance import short_words, state_words
from pourdeck.walk.pour_findings import CODES
from pourdeck.walk.records import NextAct, NonConformance, OutOfTolerance
from pourdeck.walk.steps import template

KIND = 10
"""Cells of the column that says what kind of need it is."""

MARK = 12
"""Most cells of a mark in a row."""


@frozen(kw_only=True, eq=False, repr=False)
class Target:
    """Where a row leads, and what is told there."""

    screen: str
    stack: str | None = None
    panel: int | None = None
    item: str | None = None
    told: str = ""


def pile_stacks(board: Board, units: Units) -> tuple[PileStack, ...]:
    """The stacks as the drawing takes them."""
    return tuple(_pile_stack(stack, units) for stack in board.stacks)


def _pile_stack(stack: BoardStack, units: Units) -> PileStack:
    panels = tuple(
        PilePanel(
            number=panel.number,
            mark=panel.mark,
            x=panel.position[0],
            width=panel.width,
            state=panel.state,
            lift=panel.lift,
            in_hand=panel.in_hand,
            flag=_flag(panel),
            tail=_tail(panel, units),
            rejected=panel.rejected,
            conflict=panel.conflicts > 0,
        )
        for panel in stack.panels
    )
    return PileStack(id=stack.id, bed=format_rl(stack.bed_rl, units), panels=panels)


def _flag(panel: BoardPanel) -> str:
    if panel.errors:
        return f"✗{panel.errors}"
    return f"!{panel.findings}" if panel.findings else ""


def _tail(panel: BoardPanel, units: Units) -> str:
    """Say how thick it is, what it came out at against the plan, and that it is mirrored."""
    words = [f"{format_bare(panel.thickness, units)} thick"]
    if panel.conflicts:
        words.insert(0, "in conflict" if panel.rejected else panel.state)
    if grown := _growth(panel, units):
        words.append(f"came out {grown}")
    if panel.mirrored:
        words.append("mirrored")
    return ", ".join(words)


def _signed(mm: Decimal, units: Units) -> str:
    sign = "+" if mm > 0 else "−" if mm < 0 else "±"
    return f"{sign}{format_bare(abs(mm), units)}"


def panel_line(stack: BoardStack, number: int, units: Units) -> Spans:
    """The marked panel in one line of words."""
    panel = stack.panels[number - 1]
    sizes = (panel.width, panel.height, panel.thickness)
    size = " × ".join(format_bare(one, units) for one in sizes)
    size = f"{size} mm" if units == "metric" else size
    words = [
        f"panel {panel.number} of {len(stack.panels)}",
        "REJECTED" if panel.rejected else "",
        f"IN CONFLICT: {panel.conflicts}" if panel.conflicts else "",
        size,
        panel.state,
        "MIRRORED" if panel.mirrored else "",
        f"came out {grown}" if (grown := _growth(panel, units)) else "",
        *_leans(panel, units),
        f"lift {panel.lift}" if panel.lift is not None else "",
        f"{panel.answered}/{panel.total} answered" if panel.total else "",
    ]
    return line(
        (f" Stack {stack.id}  ", "bar"),
        (f"{panel.mark}  ", "bar-strong"),
        (" · ".join(word for word in words if word), "bar"),
    )


def _leans(panel: BoardPanel, units: Units) -> Iterator[str]:
    """Which way it leans, and how far, where the place of its sides was taped."""
    drift = panel.drift
    for name in ACROSS:
        lean = drift.lean(name) if drift else None
        if lean is not None and read(lean):
            side = ACROSS[name][1 if lean > 0 else 0]
            yield f"leans {format_out(abs(read(lean)), units).lstrip('+')} {side}"


def _growth(panel: BoardPanel, units: Units) -> str:
    return " × ".join(_signed(one, units) for one in panel.growth if one is not None)


def need_rows(board: Board, units: Units) -> tuple[Row, ...]:
    """List what today needs: what comes next, what failed, what was passed, what is owed, what is wrong."""
    rows = [_next_row(index, act) for index, act in enumerate(board.next)]
    rows += [_poured_row(index, one, board, units) for index, one in enumerate(board.poured_today)]
    rows += [_lift_row(index, one) for index, one in enumerate(board.lifts)]
    rows += owed_rows(board, units)
    rows += [_finding_row(index, one) for index, one in _findings(board)]
    return tuple(rows)


def owed_rows(board: Board, units: Units) -> list[Row]:
    """List what is in conflict, failed, out of tolerance, passed without release, or deferred.

    What is out of tolerance has a row of its own, whether anything was said of it or not.
    """
    out = {(one.mark, key) for one in board.out_of_tolerance for key in one.items}
    rows = [_conflict_row(index, one, units) for index, one in enumerate(board.conflicts)]
    rows += [
        _owed_row(f"failed:{index}", "Failed", one)
        for index, one in enumerate(board.failed)
        if (one.mark, one.key) not in out
    ]
    rows += [_out_row(index, one, units) for index, one in enumerate(board.out_of_tolerance)]
    rows += [
        _passed_row(index, one)
        for index, one in enumerate(board.nonconformances)
        if one.closed is None
    ]
    rows += [_owed_row(f"owed:{index}", "Owed", one) for index, one in enumerate(board.deferred)]
    return rows


DAMAGE = "damage"
"""Begin the key of a row that leads to the log."""

CLOCK = "clock"
"""Begin the key of a row that leads to confirming the time."""


def finding_rows(kind: str, words: str, those: Sequence[Finding]) -> list[Row]:
    """List what is wrong with the log, or how the clock jumped; each leads to what can be done about it."""
    return [
        Row(
            key=f"{kind}:{index}",
            left=line((f"{words:<{KIND}}", "error"), one.message),
            wrap=True,
            indent=KIND,
        )
        for index, one in enumerate(those)
    ]


def _conflict_row(index: int, one: Conflict, units: Units) -> Row:
    body = f"{thing_words(one.thing)} is {both_words(one.thing, one.entries, units)}"
    return _row(f"conflict:{index}", ("Conflict", "failed"), one.stack, one.mark, line(body))


def _row(key: str, kind: Span, where: str, mark: str, body: Spans, right: str = "") -> Row:
    label, ink = kind
    name = cut(line((mark, "strong")), MARK)
    lead = (
        *line((f"{label:<{KIND}}", ink), f"{where:<3}"),
        *fit(name, max(5, len(mark[:MARK]) + 1)),
    )
    return Row(
        key=key,
        left=(*lead, *line(" "), *body),
        right=line((right, "quiet")) if right else (),
        wrap=True,
        indent=min(cells(lead) + 1, 24),
    )


def _poured_row(index: int, one: PouredToday, board: Board, units: Units) -> Row:
    """A panel that was poured today; the last one with the sum of the day."""
    day = ""
    if index and index == len(board.poured_today) - 1:
        total = sum((panel.placed for panel in board.poured_today), Decimal(0))
        day = f"{format_amount(total, 'm³', units, 1)} today"
    placed = f"{format_amount(one.placed, 'm³', units, 1)} placed today, from {one.begun:%H:%M}"
    return _row(f"poured:{index}", ("Poured", "text"), one.stack, one.mark, line(placed), day)


def _next_row(index: int, act: NextAct) -> Row:
    count = f"{act.answered}/{act.total}" if act.total else ""
    return _row(
        f"next:{index}",
        ("Next", "heading"),
        act.stack,
        act.mark,
        line(act.text),
        count,
    )


def _lift_row(index: int, one: TopLift) -> Row:
    kind: Span = ("Lift", "done" if one.fit else "heading")
    right = f"lift {one.lift}" if one.lift is not None else ""
    return _row(f"lift:{index}", kind, one.stack, one.mark, line(top_words(one)), right)


def _owed_row(key: str, kind: str, one: Owed) -> Row:
    ink = "failed" if kind == "Failed" else "deferred"
    body = f"{one.text}: {one.reason}" if one.reason else one.text
    if kind == "Failed":
        right = f"since {one.at:%H:%M}, needs a fix"
    else:
        owner = one.owner or "no owner"
        right = f"{owner}, before {one.before}" if one.before else owner
    return _row(key, (kind, ink), one.stack, one.mark, line(body), right)


def _out_row(index: int, one: OutOfTolerance, units: Units) -> Row:
    body = f"out of tolerance, {short_words(one, units)}: {state_words(one)}"
    return _row(
        f"out:{index}",
        ("Failed", "failed"),
        one.stack,
        one.mark,
        line(body),
        day_text(one.entry.at),
    )


def _passed_row(index: int, one: NonConformance) -> Row:
    body = f"{one.name}, passed without release by {one.by}: {one.reason}"
    return _row(
        f"passed:{index}", ("Passed", "failed"), one.stack, one.mark, line(body), day_text(one.at)
    )


def _findings(board: Board) -> list[tuple[int, Finding]]:
    """Errors first, each with its place in the board's list; what is in conflict has rows of its own."""
    every = [one for one in enumerate(board.findings) if one[1].code != "in-conflict"]
    return [one for one in every if one[1].is_error] + [one for one in every if not one[1].is_error]


def _finding_row(index: int, one: Finding) -> Row:
    kind: Span = ("✗ Error", "error") if one.is_error else ("! Warning", "warning")
    return _row(f"finding:{index}", kind, one.stack or "", one.mark or "", line(one.message))


def target_of(board: Board, key: str, units: Units = "metric") -> Target | None:
    """Where a row of `need_rows` leads; None for a key that it has not."""
    kind, _, rest = key.partition(":")
    index = int(rest) if rest.isdigit() else -1
    if kind == "next" and 0 <= index < len(board.next):
        act = board.next[index]
        item = act.key or (f"hold:{act.hold}" if act.hold else None)
        return Target(screen="walk", stack=act.stack, panel=act.number, item=item)
    if kind == "lift" and 0 <= index < len(board.lifts):
        top = board.lifts[index]
        return Target(screen="lift", stack=top.stack, panel=top.number)
    for name, owed in (("failed", board.failed), ("owed", board.deferred)):
        if kind == name and 0 <= index < len(owed):
            one = owed[index]
            return Target(screen="walk", stack=one.stack, panel=one.number, item=one.key)
    if kind == "poured" and 0 <= index < len(board.poured_today):
        poured = board.poured_today[index]
        return Target(screen="pour", stack=poured.stack, panel=poured.number)
    if kind == "out" and 0 <= index < len(board.out_of_tolerance):
        out = board.out_of_tolerance[index]
        return Target(screen="walk", stack=out.stack, panel=out.number, item=out.item)
    if kind == "passed" and 0 <= index < len(board.nonconformances):
        gap = board.nonconformances[index]
        return Target(screen="walk", stack=gap.stack, panel=gap.number, item=f"hold:{gap.hold}")
    if kind == "conflict" and 0 <= index < len(board.conflicts):
        return _decision(board.conflicts[index], units)
    if kind == DAMAGE:
        return Target(screen="log")
    if kind == "finding" and 0 <= index < len(board.findings):
        found = board.findings[index]
        if found.stack is None:
            return Target(screen="log")
        return Target(screen=_screen_of(found.code), stack=found.stack, panel=found.panel)
    return None


def _decision(one: Conflict, units: Units) -> Target:
    """The place where somebody decides between what stations said."""
    kind, key = one.thing
    screens = {"size": "resize", "load": "pour", "specimen": "strength", "test": "strength"}
    screen = screens.get(kind)
    # The walk and the size change show both by themselves.
    told = screen in ("pour", "strength")
    words = f"{one.mark} {thing_words(one.thing)} is {both_words(one.thing, one.entries, units)}"
    return Target(
        screen=screen or "walk",
        stack=one.stack,
        panel=one.number,
        item=None if screen else _item_of(kind, key),
        told=words if told else "",
    )


def _item_of(kind: str, key: str) -> str:
    """The item of the walk that a thing was answered by."""
    for section in template().sections:
        for step in section.steps:
            if step.records == kind:
                return step.key
            if kind == "as-cast" and step.as_cast and key.startswith(f"{step.as_cast}_"):
                return f"{step.key}/{key.removeprefix(f'{step.as_cast}_').replace('_', '-')}"
    return key


def _screen_of(code: str) -> str:
    """The screen on which a finding of a panel is looked at."""
    from pourdeck.walk.strength_findings import HARM
    from pourdeck.walk.times import CODES as TIME_CODES

    if code in HARM:
        return "strength"
    return "pour" if code in CODES | TIME_CODES else "setout"
