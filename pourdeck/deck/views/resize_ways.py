"""The nine ways to lie as rows, why one does not work, and who is in the way where none does."""

from collections.abc import Iterable

from pourdeck.deck.spans import Spans, cut, fit, line, wrap
from pourdeck.deck.views.values import length
from pourdeck.deck.widgets.rows import Row
from pourdeck.plan.findings import Finding
from pourdeck.plan.records import Job, Stack, Units
from pourdeck.setout.leeway import SIZES, Leeway, leeways
from pourdeck.setout.resize import Option, Resize

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
    title = "Ways to lie, best first" if works else "No way to lie works"
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
    words = (
        f"{_many(option.extra_anchors, 'extra anchor')} in all panels from here up, "
        f"{_many(option.moved_bolts, 'bracket')} off the first bolt, "
        f"at most {length(option.largest_offset, units)} in."
    )
    return wrap(line((f"{option.align}: ", "strong"), words), width, 2)


def _many(number: int, one: str) -> str:
    return f"{number} {one}{'' if number == 1 else 's'}"


def in_the_way(change: Resize, job: Job, stack: Stack, width: int) -> list[Spans]:
    """Where none of the nine works: which neighbour stands in the way, and what it would take."""
    if any(option.feasible for option in change.options):
        return []
    found = [option.finding for option in change.options if option.finding]
    reach = [one for one in found if one.code in ("overhang", "out-of-reach")]
    if len(reach) < len(found):
        first = next(one for one in found if one not in reach)
        return wrap(line(("✗ ", "error"), first.message), width, 2)
    rows: list[Spans] = []
    for size in SIZES:
        mine = [one for one in leeways(job, stack, change.number) if one.size == size]
        value = getattr(change.after, size)
        outside = [one for one in mine if not one.least <= value <= one.most]
        if outside:
            rows += wrap(line(("! ", "warning"), *_takes(size, mine, job.units)), width, 2)
    if not rows:
        marks = sorted({one.mark or "" for one in reach if one.panel != change.number})
        above = f"{', '.join(marks)} above" if marks else "the panel below"
        rows = wrap(
            line(("! ", "warning"), f"In the way: {above}. Change its size first."), width, 2
        )
    return rows


def _takes(size: str, mine: Iterable[Leeway], units: Units) -> Iterable[tuple[str, str] | str]:
    """`width: W04 below takes 6900 mm to 7506 mm, W09 above 7197 mm to 7500 mm.`"""
    parts = [
        f"{one.mark} {'above' if one.above else 'below'} takes "
        f"{length(one.least, units)} to {length(one.most, units)}"
        for one in mine
    ]
    yield (f"{size}: ", "strong")
    yield f"{'; '.join(parts)}. Change that panel first, or stay within."
