"""How a command ends: what it prints, and the exit code other programs rely on."""

import json
import sys
from argparse import Namespace
from collections.abc import Callable
from typing import Any

from pourdeck.plan.literal import literal

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
    lines = [f"pourdeck: {title}", *body.splitlines()]
    sys.stderr.write("\n".join(literal(line) for line in lines) + "\n")


def show(arguments: Namespace, document: Callable[[], dict[str, Any]], page: Any) -> None:
    """Print one JSON document and nothing else, or a page for people.

    `page` is a function that takes a rich console and prints on it.
    """
    if arguments.json:
        sys.stdout.write(json.dumps(document(), allow_nan=False) + "\n")
        return
    from pourdeck.paper.console import people

    page(people())
