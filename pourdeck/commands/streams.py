"""Standard output and error, able to take whatever is written to them."""

import codecs
import os
import sys
from io import TextIOWrapper
from pathlib import Path

PLAIN = {
    "×": "x", "²": "2", "³": "3", "°": " deg ", "±": "+-", "−": "-", "–": "-", "→": "->",
    "≤": "<=", "≥": ">=", "…": "...", "“": '"', "”": '"', "’": "'", "\u00a0": " ",
}  # fmt: skip
"""Replace the signs of the trade where only older character sets can be shown."""

HANDLER = "pourdeck"


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
