"""The nine ways to lie as rows, why one does not work, and who is in the way where none does."""

from pourdeck.deck.spans import Spans, cut, fit, line, wrap
from pourdeck.deck.views.values import length
from pourdeck.deck.widgets.rows import Row
from pourdeck.paper.resize_moves import in_the_way
from pourdeck.plan.messages import Finding
from pourdeck.plan.records import Job, Stack, Units
from pourdeck.setout.resize import Option, Resize
from pourdeck.walk.words import count_of

NAME = 14

_SHORT = {
    "overhang": "overhangs",
    "out-of-reach": "out of reach",
    "no-form": "no form so deep",
    "short-of-forms": "short of forms",
    "opening-outside": "opening outside it",
    "openings-overlap": "openings overlap",
    "castin-outside": "cast-in outside it",
    "castin-in-opening": "cast-in in an opening",
}


def way_rows(change: Resize, units: Units, width: int) -> tuple[Row, ...]:
    """A heading and all nine, best first; the one that is shown above says so."""
    works = any(option.feasible for option in change.options)
    title = "Where it can sit, best first" if works else "It can sit nowhere"
    heads = line((f"{'':<{NAME}}{'extra':>6}{'moved':>7}{'largest':>10}", "quiet"))
    rows = [Row(left=line((title, "heading" if works else "error"))), Row(left=heads)]
    return (*rows, *(way_row(option, change, units, width) for option in change.options))


def way_row(option: Option, change: Resize, units: Units, width: int) -> Row:
    """`extra` anchors, brackets not on the kit's first bolt, the largest offset; or why it does not work."""
    here = option.align == change.after.align
    mark = ("•", "hand") if here else (" ", "text")
    name = line(mark, (f"{option.align:<{NAME - 1}}", "strong" if here else "text"))
    if option.feasible:
        numbers = f"{option.extra_anchors:>6}{option.moved_bolts:>7}"
        size = f"{length(option.largest_offset, units):>10}"
        spans: Spans = (*name, *line((f"{numbers}{size}", "done")))
    else:
        words = cut(line(("no ", "error"), (short_reason(option.finding, change), "text")),
                    max(4, width - NAME))  # fmt: skip
        spans = (*name, *words)
    return Row(left=fit(spans, width), key=option.align)


def short_reason(finding: Finding | None, change: Resize) -> str:
    """`right out of reach`, `W09 right overhangs`."""
    if finding is None:
        return ""
    word = _SHORT.get(finding.code, finding.code.replace("-", " "))
    whose = "" if finding.panel == change.number else f"{finding.mark} "
    return f"{whose}{finding.side + ' ' if finding.side else ''}{word}"


def about_way(option: Option | None, units: Units, width: int) -> list[Spans]:
    """What the numbers of the marked way mean, or the whole reason why it does not work."""
    if option is None:
        return []
    if not option.feasible:
        return wrap(line((f"{option.align}: ", "strong"), option.fault or ""), width, 2)
    fixed = (
        f" ({option.to_fix} to fix afterwards, the panel below is poured)" if option.to_fix else ""
    )
    words = (
        f"{count_of(option.extra_anchors, 'extra anchor')} in all panels from here up{fixed}, "
        f"{count_of(option.moved_bolts, 'bracket')} off the first bolt, "
        f"at most {length(option.largest_offset, units)} in."
    )
    return wrap(line((f"{option.align}: ", "strong"), words), width, 2)


def way_out_rows(change: Resize, job: Job, stack: Stack, width: int) -> list[Spans]:
    """Where none of the nine works: which neighbour stands in the way, and what it would take."""
    rows: list[Spans] = []
    for lead, words in in_the_way(change, job, stack):
        sign = ("! ", "warning") if lead else ("✗ ", "error")
        rows += wrap(line(sign, (lead, "strong"), words), width, 2)
    return rows
