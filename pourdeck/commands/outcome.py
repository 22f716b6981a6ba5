"""End a command: print on streams that take any text, and give the exit code that others rely on."""

import codecs
import json
import os
import sys
from argparse import Namespace
from collections.abc import Callable, Iterable, Sequence
from io import TextIOWrapper
from pathlib import Path
from typing import Any

from pourdeck.plan.messages import Finding, literal

DONE = 0
"""Done, and nothing wrong."""

FAULTY = 1
"""Done, and what was asked about has errors."""

COULD_NOT = 2
"""Could not be done; one clear message on standard error."""

PLAIN = {
    "×": "x", "²": "2", "³": "3", "°": " deg ", "±": "+-", "−": "-", "–": "-", "→": "->",
    "≤": "<=", "≥": ">=", "…": "...", "“": '"', "”": '"', "’": "'", "\u00a0": " ",
}  # fmt: skip
"""Replace the signs of the trade where only older character sets can be shown."""

HANDLER = "pourdeck"


class CannotDoError(Exception):
    """A command could not be done: a title, and what would put it right."""

    def __init__(self, title: str, body: str) -> None:
        super().__init__(title)
        self.title = title
        self.body = body


def say_why(title: str, body: str) -> None:
    """One message on standard error, harmless whatever text it quotes."""
    _say(f"pourdeck: {title}", *body.splitlines())


def mention(notes: Iterable[str]) -> None:
    """Print notes that people should know though the command was done, on standard error."""
    for note in notes:
        _say(f"pourdeck: note: {note}")


def _say(*lines: str) -> None:
    if sys.stderr is not None:
        sys.stderr.write("\n".join(literal(line) for line in lines) + "\n")


def show(
    arguments: Namespace,
    document: Callable[[], dict[str, Any]],
    page: Any,
    log: Sequence[Finding] = (),
) -> None:
    """Print one JSON document and nothing else, or a page for people.

    `page` is a function that takes a rich console and prints on it. `log` is what is wrong with the log that
    it rests on: it comes with the document's own findings, and after the page. Where the reader of a pipe has
    had enough, the rest is dropped. Raises CannotDoError where it cannot be written.
    """
    try:
        if arguments.json:
            found = document()
            if log:
                from pourdeck.paper.documents import findings_document

                found["findings"] = [*found.get("findings", ()), *findings_document(log)]
            sys.stdout.write(json.dumps(found, allow_nan=False) + "\n")
        else:
            from pourdeck.paper.console import findings_page, people, say

            console = people()
            page(console)
            if log:
                say(console, "The log that this rests on:", "bold")
                findings_page(console, log)
        sys.stdout.flush()
    except BrokenPipeError:
        _drop_output()
    except OSError as error:
        _drop_output()
        raise CannotDoError(
            f"the output cannot be written: {(error.strerror or str(error)).lower()}.",
            "Only the output is lost: what was recorded stands.",
        ) from error


def _drop_output() -> None:
    """Send what is still to be written nowhere, or Python would complain once more at its end."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


def in_plain_signs(error: UnicodeError) -> tuple[str, int]:
    """An error handler for encoding: a plain sign where there is one, else an escape."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    plain = PLAIN.get(error.object[error.start])
    if plain is not None:
        return plain, error.start + 1
    found = codecs.backslashreplace_errors(
        UnicodeEncodeError(error.encoding, error.object, error.start, error.start + 1, error.reason)
    )
    return str(found[0]), found[1]


def prepare() -> None:
    """Make both streams take any text, and be there even where they were closed."""
    codecs.register_error(HANDLER, in_plain_signs)
    if sys.stdout is None:
        sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115 - until the end
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors=HANDLER)
