"""What the measurements come to, in words: at the foot of the screen, and all of it to read."""

from pourdeck.deck.spans import Spans, cells, cut, line, wrap
from pourdeck.deck.views.cast_rows import cast_rows
from pourdeck.plan.messages import Refusal
from pourdeck.walk.ascast import CastSheet, misclosure_text, state_words

WIDE = 2000
"""So wide that nothing is broken or cut."""

REST = " w reads it all"


def state_spans(sheet: CastSheet, width: int, most: int) -> list[Spans]:
    """The sentences of the foot in at most so many lines of `width` cells."""
    words = line(*((f"{said} ", _ink(sheet, said)) for said in state_words(sheet)))
    rows = wrap(words, width)
    if len(rows) > most:
        tail = line((REST, "quiet"))
        # With the words of the next line it is too long in any case, and ends in the sign of that.
        last = (*rows[most - 1], (" ", "text"), *rows[most])
        rows = [*rows[: most - 1], (*cut(last, width - cells(tail)), *tail)]
    return rows


def _ink(sheet: CastSheet, said: str) -> str:
    wrong = said.startswith("They do not fit") or isinstance(sheet.adjusted, Refusal)
    return "error" if wrong else "text"


def all_words(sheet: CastSheet) -> list[Spans]:
    """Every sentence, every measurement, and how each fits the others; the dialog breaks the lines."""
    units = sheet.walk.job.units
    rows = [line((said, _ink(sheet, said))) for said in state_words(sheet)]
    checked = [one.checked for one in sheet.lines if one.checked is not None]
    if checked:
        rows.append(line(("How each fits the others", "heading")))
    rows += [line(f"{misclosure_text(one, units)}.") for one in checked]
    rows += [
        (*row.left, *(line("  ") if row.right else ()), *row.right)
        for row in cast_rows(sheet, WIDE)
    ]
    return rows
