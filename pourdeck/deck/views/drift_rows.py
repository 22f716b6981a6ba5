"""Say how far a measured panel came out from its planned lines, as rows of the set-out."""

from collections.abc import Iterator
from decimal import Decimal
from functools import partial

from pourdeck.deck.views.number_rows import NumberRow, Page
from pourdeck.plan.records import SIDES
from pourdeck.setout import sums
from pourdeck.setout.drift import ACROSS, LEANS, read
from pourdeck.setout.place_sums import drift_of_set_out
from pourdeck.walk.records import Place


def drift_rows(page: Page) -> Iterator[NumberRow]:
    """Each side, then growth and lean; nothing of a panel that was not measured."""
    drift = drift_of_set_out(page.setout, page.job)
    if drift is None:
        return
    yield page.heading("Drift", "out from the planned lines")
    for side in SIDES:
        face, here = drift.faces[side], Place(side=side)
        if face is None:
            yield from page.row(f"{side}", "not taped", None, here)
            continue
        name = f"{side}, place not taped" if face.shared else side
        opens = partial(sums.out_sum, page.setout, side, page.job)
        yield from page.row(name, _signed(page, read(face.out.value)), opens, here)
        first, last = face.out.ends
        if face.out.uneven and first is not None and last is not None:
            ends = f"{_signed(page, read(first))} to {_signed(page, read(last))}"
            yield from page.row("   from end to end", ends, opens, here)
    for name in ACROSS:
        grown, lean = drift.growth[name], drift.lean(name)
        if grown is not None:
            opens = partial(sums.growth_sum, page.setout, name, page.job)
            yield from page.row(f"grown in {name}", _signed(page, read(grown.value)), opens)
        if lean is not None:
            opens = partial(sums.lean_sum, page.setout, name, page.job)
            way = LEANS[name][0 if lean >= 0 else 1]
            yield from page.row(f"leans {way}", page.length(abs(read(lean))), opens)


def _signed(page: Page, out: Decimal) -> str:
    sign = "+" if out > 0 else "−" if out < 0 else ""
    return f"{sign}{page.length(abs(out))}"
