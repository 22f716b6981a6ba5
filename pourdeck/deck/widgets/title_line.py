"""The first line of a screen: what is open at the left, the time and who is signed in at the right."""

from pourdeck.deck.spans import Spans, cells, fit, line
from pourdeck.deck.who import initials
from pourdeck.deck.widgets.bar import Bar, Chip, Laid

PERSON = "person"
"""The action that a click on the name runs."""

LEAST_WIDTH = 12


class TitleLine(Bar):
    """`words` from the most to the least important; from the end they give way to what is at the right.

    The name, or that nobody is signed in, is a place to click.
    """

    DEFAULT_CSS = "TitleLine { width: 1fr; height: 1; }"

    def __init__(self) -> None:
        super().__init__()
        self.words: Spans = ()
        self.time = ""
        self.who = ""

    def show(self, words: Spans, time: str, who: str) -> None:
        if (words, time, who) != (self.words, self.time, self.who):
            self.words, self.time, self.who = words, time, who
            self.refresh()

    def laid(self, width: int) -> tuple[Laid, ...]:
        time, name = self._right(width)
        at = max(0, width - cells(time) - cells(name))
        words = Chip(fit(line((" ", "bar"), *self.words), at, "bar"))
        return (
            Laid(words, 0, at),
            Laid(Chip(time), at, at + cells(time)),
            Laid(Chip(name, PERSON), width - cells(name), width),
        )

    def _right(self, width: int) -> tuple[Spans, Spans]:
        """Time and name, as much of them as the words leave room for; of the name the initials at least."""
        clock = self.time.rpartition(" ")[2]
        name = self.who or "nobody signed in"
        least = initials(self.who) if self.who else "nobody"
        left = cells(line((" ", "bar"), *self.words))
        for time, who in ((self.time, name), (clock, name), (clock, least)):
            lead = line((f"{time} · ", "bar"))
            chip = line((f"{who} ".rjust(LEAST_WIDTH) if who == name else f"{who} ", "tab"))
            if left + cells(lead) + cells(chip) + 1 <= width:
                break
        return lead, chip
