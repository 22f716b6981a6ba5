"""On which line of a TOML text each key and value stands.

The parser of the standard library does not say, so this goes over a text that parser has accepted,
and is only run when there is something to point at. Paths count lists from 0, as its lists do.
"""

import re
import tomllib
from bisect import bisect_left
from collections.abc import Sequence

from pourdeck.plan.kinds import Path

DEEPEST = 12
_LONGEST = 10_000
"""So many values of a list are told apart; what comes after has the line of the list."""

_PART = r"""(?:[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')"""
_KEY = re.compile(rf"{_PART}(?:[ \t]*\.[ \t]*{_PART})*")
_PARTS = re.compile(_PART)
_PLAIN = re.compile(
    r"""([A-Za-z0-9_-]+)[ \t]*=[ \t]*([^"'\[{#\n]+|"[^"\\\n]*")[ \t]*(?:\#[^\n]*)?\n"""
)
"""A bare key with a number or a short string, the whole of a line: most lines of a plan are no more."""

_EQUALS = re.compile(r"[ \t]*=[ \t]*")
_SPACE = re.compile(r"[ \t\r\n]*(?:#[^\n]*[ \t\r\n]*)*")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"""(?:"{0,2})'
    r"|'''.*?'''(?:'{0,2})"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_SCALAR = re.compile(r"[^,\]}#\n]+")
_BRACKET = re.compile(r"[\[\]{}]")
_UNBRACKETED = re.compile(
    r"""(?:[^\[\]{}"'#]+|\#[^\n]*|(?!\"{3})"(?:[^"\\\n]|\\.)*"|(?!'{3})'[^'\n]*')+"""
)


class Lines:
    """The lines of one text. A path that is not there gives the nearest table round it.

    `deepest`: lists and tables in braces are gone into up to so many parts of a path.
    """

    def __init__(self, text: str, deepest: int = DEEPEST) -> None:
        self._text = text
        self._starts = _Scan(text, deepest).starts
        self._breaks = [match.start() for match in re.finditer("\n", text)]

    def line_of(self, path: Sequence[str | int]) -> int:
        """The line of a path, from 1; of what holds it where the path itself is not in the text."""
        whole = tuple(path)
        for length in range(len(whole), 0, -1):
            start = self._starts.get(whole[:length])
            if start is not None:
                return bisect_left(self._breaks, start) + 1
        return 1

    def has(self, path: Sequence[str | int]) -> bool:
        return tuple(path) in self._starts

    def string_at(self, path: Sequence[str | int]) -> str | None:
        """The text that stands at a path, None where none does."""
        start = self._starts.get(tuple(path))
        match = _STRING.match(self._text, start) if start is not None else None
        return _unquoted(match[0]) if match else None


class _Scan:
    """One pass over a text: where each value starts, and each table's header."""

    def __init__(self, text: str, deepest: int) -> None:
        self.text = text
        self.deepest = deepest
        self.starts: dict[Path, int] = {}
        self.lengths: dict[Path, int] = {}
        self._statements()

    def _statements(self) -> None:
        text, end = self.text, len(self.text)
        table: Path = ()
        at = 0
        while True:
            space = _SPACE.match(text, at)
            at = space.end() if space else at
            if at >= end:
                return
            begun = at
            if text[at] == "[":
                table, at = self._header(at)
            elif plain := _PLAIN.match(text, at):
                self.starts[(*table, plain[1])] = plain.start(2)
                at = plain.end()
            else:
                at = self._pair(at, table)
            if at <= begun:
                return  # not TOML after all

    def _header(self, at: int) -> tuple[Path, int]:
        start = at
        many = self.text.startswith("[[", at)
        space = _SPACE.match(self.text, at + (2 if many else 1))
        key = _KEY.match(self.text, space.end() if space else at)
        if key is None:
            return (), start
        path: Path = ()
        parts = _split(key[0])
        for part in parts[:-1]:
            path = (*path, part)
            if path in self.lengths:
                path = (*path, self.lengths[path] - 1)
            self.starts.setdefault(path, start)
        path = (*path, parts[-1])
        if many:
            self.starts.setdefault(path, start)
            index = self.lengths.get(path, 0)
            self.lengths[path] = index + 1
            path = (*path, index)
        self.starts[path] = start
        close = self.text.find("]", key.end())
        return path, close + (2 if many else 1) if close >= 0 else start

    def _pair(self, at: int, table: Path) -> int:
        """A key and its value; where it ends, or `at` itself where there is none."""
        key = _KEY.match(self.text, at)
        equals = _EQUALS.match(self.text, key.end()) if key else None
        if key is None or equals is None:
            return at
        text = key[0]
        if "." in text or '"' in text or "'" in text:
            path = table
            for part in _split(text):
                path = (*path, part)
                self.starts.setdefault(path, at)
        else:
            path = (*table, text)
        return self._value(equals.end(), path)

    def _value(self, at: int, path: Path) -> int:
        self.starts[path] = at
        first = self.text[at : at + 1]
        if first and first in "\"'":
            string = _STRING.match(self.text, at)
            return string.end() if string else len(self.text)
        if first and first in "[{":
            if len(path) > self.deepest:
                return self._past_brackets(at)
            return self._inside(at, path, "]" if first == "[" else "}")
        scalar = _SCALAR.match(self.text, at)
        return scalar.end() if scalar else len(self.text)

    def _inside(self, at: int, path: Path, close: str) -> int:
        """The values of a list, or the pairs of a table in braces."""
        text, index = self.text, 0
        at += 1
        while True:
            at = _SPACE.match(text, at).end()  # type: ignore[union-attr]
            if text[at : at + 1] in (close, ""):
                return at + 1
            if text[at] == ",":
                at += 1
                continue
            begun = at
            if close == "]":
                if index == _LONGEST:
                    return self._past_brackets(at, 1)
                at = self._value(at, (*path, index))
                index += 1
            else:
                at = self._pair(at, path)
            if at <= begun:
                return len(text)

    def _past_brackets(self, at: int, depth: int = 0) -> int:
        """The end of what no one asks for: nested too deeply, or too far on in a list."""
        text = self.text
        while at < len(text):
            if _BRACKET.match(text, at):
                depth += 1 if text[at] in "[{" else -1
                at += 1
                if depth == 0:
                    return at
                continue
            skipped = _STRING.match(text, at) or _UNBRACKETED.match(text, at)
            skipped = skipped or _SPACE.match(text, at)
            at = max(skipped.end() if skipped else at, at + 1)
        return at


def _split(key: str) -> list[str]:
    return [_unquoted(part) for part in _PARTS.findall(key)]


def _unquoted(part: str) -> str:
    if part[:1] not in ('"', "'"):
        return part
    if "\\" in part or part[:3] in ('"""', "'''"):
        return str(tomllib.loads(f"part = {part}")["part"])
    return part[1:-1]
