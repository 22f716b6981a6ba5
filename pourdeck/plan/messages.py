"""Words for people: typed text made harmless, refusals of acts, findings, and faults of a job file."""

import re
from collections.abc import Callable
from functools import wraps
from typing import Literal, ParamSpec, TypeVar

from attrs import frozen

from pourdeck.plan.records import Side

# Text that people typed, made harmless: for any terminal or table, and for a file name.

_PLAIN_SPACES = "Zs"
_NAME_LENGTH = 80
_HASH_LENGTH = 10
_UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")
_LOOKS_HASHED = re.compile(rf"-[0-9a-f]{{{_HASH_LENGTH}}}\Z")
_DEVICES = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?\Z", re.IGNORECASE)


def literal(text: str) -> str:
    r"""The text with all that does not print shown as an escape such as `\x1b` or `\u202e`.

    That is control, bidirectional and zero-width characters, line breaks, unpaired surrogates, and
    code points without an agreed look. The rest stays as typed, markup too: it is for the screen to
    show the result as it stands.
    """
    if text.isprintable():
        return text
    return "".join(char if _shows(char) else _escape(char) for char in text)


def file_name(*parts: str) -> str:
    """A file name for `parts`, joined by hyphens: `[A-Za-z0-9._-]`, at most 80 characters.

    Good on every common file system: no reserved device name, no leading or trailing dot, never
    empty. Where anything had to be changed, or a hyphen in a part makes the join ambiguous, a short
    hash of the parts ends the name, so that two different lists of parts never meet in one file.
    They may still differ in nothing but capitals, as the parts themselves may.
    """
    plain = "-".join(parts)
    ambiguous = any("-" in part for part in parts[:-1])
    safe = _UNSAFE.sub("_", plain).strip(".")
    fits = safe == plain and 0 < len(safe) <= _NAME_LENGTH
    if fits and not (ambiguous or _DEVICES.match(safe) or _LOOKS_HASHED.search(safe)):
        return safe
    kept = f"_{safe}" if _DEVICES.match(safe) else safe or "name"
    kept = kept[: _NAME_LENGTH - _HASH_LENGTH - 1].rstrip(".")
    return f"{kept}-{_hash(parts)}"


def _shows(char: str) -> bool:
    # Loaded only when a text needs it: nearly none does.
    from unicodedata import category

    return char.isprintable() or category(char) == _PLAIN_SPACES


def _escape(char: str) -> str:
    code = ord(char)
    if code < 0x100:
        return {9: r"\t", 10: r"\n", 13: r"\r"}.get(code, f"\\x{code:02x}")
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def _hash(parts: tuple[str, ...]) -> str:
    from hashlib import sha256

    # A length before each part, so that ("a", "b") and ("a-b",) differ.
    whole = b"".join(
        b"%d:%b" % (len(raw), raw)
        for raw in (part.encode("utf-8", "surrogatepass") for part in parts)
    )
    return sha256(whole).hexdigest()[:_HASH_LENGTH]


# An act that is not allowed: what was refused, why, and what would allow it.

P = ParamSpec("P")
T = TypeVar("T")


@frozen(kw_only=True)
class Refusal:
    """`title` says what was refused in one line, `body` why and what would allow it.

    `about`: the value that was refused, by its key where a form asks for it.
    """

    title: str
    body: str
    about: str = ""


@frozen(kw_only=True)
class WhyNeeded(Refusal):
    """An act that is allowed with a reason. `put_right`: it says what was done about a failure."""

    put_right: bool = False


class Refused(Exception):  # noqa: N818
    """Ends a function that is `refusable`, at its first refusal."""

    def __init__(self, refusal: Refusal) -> None:
        super().__init__(refusal)
        self.refusal = refusal


def refusable(act: Callable[P, T]) -> Callable[P, T | Refusal]:
    """The function with its first refusal given back, where `must` or `stop_if` met one."""

    @wraps(act)
    def run(*args: P.args, **kwargs: P.kwargs) -> T | Refusal:
        try:
            return act(*args, **kwargs)
        except Refused as refused:
            return refused.refusal

    return run


def must(found: T | Refusal) -> T:
    """Give what was asked for. Raises Refused where it is refused."""
    if isinstance(found, Refusal):
        raise Refused(found)
    return found


def stop_if(refusal: Refusal | None) -> None:
    """Raises Refused where there is a refusal."""
    if refusal is not None:
        raise Refused(refusal)


def sentence(refusal: Refusal) -> str:
    """Title and body one after the other, the title with a full stop where it has no mark of its own."""
    stop = "" if refusal.title.endswith((".", "?", "!")) else "."
    return f"{refusal.title}{stop} {refusal.body}".rstrip()


# A finding: something the plan or the log has wrong, with where it is and what would put it right.

Severity = Literal["error", "warning"]


@frozen(kw_only=True)
class Finding:
    """`panel` counts from 1 on the bed. What does not apply is None. `file` and `line` where known."""

    code: str
    severity: Severity
    message: str
    stack: str | None = None
    panel: int | None = None
    mark: str | None = None
    side: Side | None = None
    file: str | None = None
    line: int | None = None
    table: str | None = None
    key: str | None = None

    @property
    def is_error(self) -> bool:
        return self.severity == "error"

    def where(self) -> dict[str, object]:
        """Give the places that are known, and no others."""
        places = ("stack", "panel", "mark", "side", "file", "line", "table", "key")
        return {name: value for name in places if (value := getattr(self, name)) is not None}


def place_of(finding: Finding) -> str:
    """Stack, panel, mark and side, and file and line, as far as they are known."""
    parts = []
    if finding.stack is not None:
        parts.append(f"stack {finding.stack}")
    if finding.panel is not None:
        parts.append(f"panel {finding.panel}")
    if finding.mark is not None:
        parts.append(finding.mark)
    if finding.file is not None:
        line = "" if finding.line is None else f" line {finding.line}"
        parts.append(f"({finding.file}{line})" if parts else f"{finding.file}{line}")
    return " ".join(parts) or "job"


def with_place(finding: Finding) -> str:
    """The message, with the place before it unless it begins with one."""
    if finding.file is not None and finding.message.startswith(finding.file):
        return finding.message
    return f"{place_of(finding)}: {finding.message}"


@frozen(kw_only=True, eq=False, repr=False)
class Spot:
    """A panel in its stack, for what is found there."""

    stack: str
    panel: int
    mark: str

    def error(self, code: str, message: str, side: Side | None = None) -> Finding:
        return self._finding(code, "error", message, side)

    def warning(self, code: str, message: str, side: Side | None = None) -> Finding:
        return self._finding(code, "warning", message, side)

    def _finding(self, code: str, severity: Severity, message: str, side: Side | None) -> Finding:
        return Finding(
            code=code,
            severity=severity,
            message=message,
            stack=self.stack,
            panel=self.panel,
            mark=self.mark,
            side=side,
        )


def has_error(findings: tuple[Finding, ...] | list[Finding]) -> bool:
    return any(finding.is_error for finding in findings)


# What can be wrong with a job file: it cannot be read at all, or it reads and has faults.


class JobUnreadable(Exception):  # noqa: N818
    """The job could not be read at all: no file, not text, not TOML, too large, too deeply nested.

    `title` is one line, `body` says where and what to do about it; both are harmless to print.
    `line` and `column` count from 1 where the file has such a place.
    """

    def __init__(
        self, title: str, body: str, *, line: int | None = None, column: int | None = None
    ) -> None:
        super().__init__(title, body)
        self.title = title
        self.body = body
        self.line = line
        self.column = column

    def __str__(self) -> str:
        return f"{self.title}\n{self.body}"


class JobFaulty(Exception):  # noqa: N818
    """The job was read and has faults: all of them, in the order of the file's lines."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__(findings)
        self.findings = findings

    def __str__(self) -> str:
        return "\n".join(finding.message for finding in self.findings)
