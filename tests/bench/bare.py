"""The least a full-screen Textual program can be: a header and a footer."""

from textual.app import App, ComposeResult
from textual.widgets import Footer, Header

LAST_WORD = "Quit"


class Bare(App[None]):
    BINDINGS = [("q", "quit", LAST_WORD)]  # noqa: RUF012 - as everybody writes it

    def compose(self) -> ComposeResult:
        yield Header()
        yield Footer()


if __name__ == "__main__":
    Bare().run()
