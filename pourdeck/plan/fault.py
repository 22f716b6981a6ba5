"""What can be wrong with a job file: it cannot be read at all, or it reads and has faults."""

from pourdeck.plan.findings import Finding


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
