"""End a command: print what it gives, and name the exit codes other programs rely on."""

import json
import os
import sys
from argparse import Namespace
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from pourdeck.plan.messages import Finding, literal

DONE = 0
"""Done, and nothing wrong."""

FAULTY = 1
"""Done, and what was asked about has errors."""

COULD_NOT = 2
"""Could not be done; one clear message on standard error."""


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
