"""The first line of a screen: what is open at the left, the time and who is on deck at the right."""

from textual.strip import Strip

from pourdeck.deck.looking import look_of
from pourdeck.deck.paint import strip
from pourdeck.deck.repaint import Steady
from pourdeck.deck.spans import Spans, cells, justify, line


class TitleLine(Steady):
    """`words` from the most to the least important; from the end they give way to what is at the right."""

    ALLOW_SELECT = False
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

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        left = line((" ", "bar"), *self.words)
        for right in self._rights():
            if cells(left) + cells(right) + 2 <= width:
                break
        return strip(justify(left, right, width, "bar"), look_of(self), width, base="bar")

    def _rights(self) -> tuple[Spans, ...]:
        who = self.who or "nobody on deck"
        clock = self.time.rpartition(" ")[2]
        return (
            line((f"{self.time} · {who} ", "bar")),
            line((f"{clock} · {who} ", "bar")),
            line((f"{clock} ", "bar")),
        )
