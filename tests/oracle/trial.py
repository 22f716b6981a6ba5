"""One seed: a job, perhaps poured up to somewhere, through the program and through the reading."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

from pourdeck.paper.documents import check_document, resize_document, setout_document
from pourdeck.plan.messages import Refusal
from pourdeck.plan.reader import read_job
from pourdeck.plan.records import Poured, Sides
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.resize import resize
from tests.plan_findings import job_findings

from . import compare, edges
from .jobs_random import job_text
from .plan import ALIGNS, SIDES, Job, read
from .reading import Reading, Recorded, check, readings


def disagreements(seed: int) -> list[str]:
    """Tell what differs for one seed, each line with the seed in front."""
    text = job_text(seed)
    chance = Random(seed + 10**6)
    job = read(text)
    found = list(trial(text, {}, chance))
    recorded = pours(job, chance)
    if recorded:
        found += [f"poured {sorted(recorded)}: {one}" for one in trial(text, recorded, chance)]
    return [f"seed {seed}: {one}" for one in found]


def trial(text: str, recorded: Recorded, chance: Random) -> Iterator[str]:
    mine = read(text)
    with TemporaryDirectory() as folder:
        path = Path(folder)
        (path / "job.toml").write_text(text, encoding="utf-8")
        theirs = read_job(path)
    poured = {mark: _poured(mark, sides) for mark, sides in recorded.items()}
    document = check_document(theirs.name, job_findings(theirs, poured))
    yield from compare.differs(mine.name, document["job"], "check.job")
    yield from compare.findings(check(mine, recorded), document["findings"], "check")
    for reading, stack in zip(readings(mine, recorded), theirs.stacks, strict=True):
        docs = [setout_document(one, theirs) for one in set_out_stack(theirs, stack, poured)]
        for number, doc in enumerate(docs, 1):
            yield from compare.setout(reading, number, doc)
            yield from compare.props(reading, number, doc["props"])
        yield from compare.levels_of_extra(reading, docs)
        number = chance.randint(1, len(docs))
        yield from _resized(theirs, stack, poured, reading, number, chance)


def _resized(
    job: Any, stack: Any, poured: dict[str, Poured], reading: Reading, number: int, chance: Random
) -> Iterator[str]:
    panel = reading.panel(number)
    news: dict[str, Any] = {}
    if chance.random() < 0.8:
        news["width"] = panel.width + Fraction(chance.choice([-300, -125, -1, "0.5", 3, 40, -900]))
    if chance.random() < 0.5:
        news["height"] = panel.height + Fraction(chance.choice([-200, -62, "-0.5", 2, -500]))
    if chance.random() < 0.2:
        news["thickness"] = chance.choice(reading.job.kit.depths)
    if chance.random() < 0.3:
        news["align"] = chance.choice(ALIGNS)
    news = {k: max(v, Fraction(50)) if k in ("width", "height") else v for k, v in news.items()}
    exact = {k: v if k == "align" else _decimal(v) for k, v in news.items()}
    told = ", ".join(f"{key}={value}" for key, value in exact.items())
    place = f"shrink {stack.id} {number} {told}"
    answer = resize(job, stack, number, poured, **exact)
    if panel.mark in poured:
        if not isinstance(answer, Refusal):
            yield f"{place}: a poured panel is revised"
        return
    if isinstance(answer, Refusal):
        marks = [one.mark for one in reading.stack.panels]
        if marks.count(panel.mark) > 1:
            return  # which of the two is meant the log could not say
        yield f"{place}: refused: {answer.title} {answer.body}"
        return
    document = resize_document(answer, [], False)
    yield from compare.shrink(reading.shrink(number, **news), document, place)


def pours(job: Job, chance: Random) -> dict[str, dict[str, dict[str, list[Fraction]]]]:
    """Some panels of the first stack poured, with anchors that are not quite the planned ones."""
    stack = job.stacks[0]
    marks = [panel.mark for one in job.stacks for panel in one.panels]
    if len(stack.panels) < 2 or len(set(marks)) < len(marks) or chance.random() < 0.4:
        return {}
    found = {}
    top = stack.panels[-1]
    for panel in stack.panels[: chance.randint(1, len(stack.panels))]:
        drop = chance.choice([0.0, 0.0, 0.3])
        anchors, extra = {}, {}
        for side in SIDES:
            planned = edges.holes(job.kit, panel, side)
            anchors[side] = [at for at in planned if chance.random() >= drop]
            extra[side] = _more(job, panel, side, chance)
            if panel is top:
                anchors[side], extra[side] = [], []
        found[panel.mark] = {"anchors": anchors, "extra_anchors": extra}
    return found


def _more(job: Job, panel: Any, side: str, chance: Random) -> list[Fraction]:
    """Recorded extra anchors: places where one may stand."""
    long = panel.length(side)
    places = {
        Fraction(chance.randint(0, int(long) * 2), 2) for _ in range(chance.choice([0, 0, 2]))
    }
    blocked = edges.obstacles(job.kit, panel, side)
    return sorted(
        at
        for at in places
        if job.kit.end_min <= at <= long - job.kit.end_min
        and not any(low < at < high for low, high in blocked)
        and at not in edges.holes(job.kit, panel, side)
    )


def _poured(mark: str, sides: Any) -> Poured:
    def four(key: str) -> Sides[tuple[Decimal, ...]]:
        return Sides(*(tuple(_decimal(at) for at in sides[key][side]) for side in SIDES))

    return Poured(mark=mark, anchors=four("anchors"), extra_anchors=four("extra_anchors"))


def _decimal(value: Fraction) -> Decimal:
    """Exact: every length of these jobs has a finite number of decimals."""
    return Decimal(value.numerator) / Decimal(value.denominator)
