"""Which panel a screen is about, in the words that never change, the most important first."""

from pourdeck.deck.spans import Spans, cut, line
from pourdeck.setout.record import SetOut

LONGEST_MARK = 20


def panel_title(setout: SetOut, *, rejected: bool = False) -> Spans:
    """`W07 · panel 3 of 6 · REJECTED · MIRRORED · stack A · rev C · inside up`."""
    mark = cut(line((setout.mark, "bar-strong")), LONGEST_MARK)
    pieces: list[tuple[str, str]] = [*mark, (f" · panel {setout.number} of {setout.of}", "bar")]
    if rejected:
        pieces += [(" · ", "bar"), ("REJECTED", "bar-strong")]
    if setout.mirrored:
        pieces += [(" · ", "bar"), ("MIRRORED", "bar-strong")]
    pieces.append((f" · stack {setout.stack}", "bar"))
    if setout.panel.rev:
        pieces.append((f" · rev {setout.panel.rev}", "bar"))
    pieces.append((f" · {setout.panel.face_up} up", "bar"))
    return line(*pieces)
