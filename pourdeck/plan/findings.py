"""A finding: something the plan or the log has wrong, with where it is and what would put it right."""

from typing import Literal

from attrs import frozen

from pourdeck.plan.sides import Side

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
        """What applies, and nothing else."""
        places = ("stack", "panel", "mark", "side", "file", "line", "table", "key")
        return {name: value for name in places if (value := getattr(self, name)) is not None}


def has_error(findings: tuple[Finding, ...] | list[Finding]) -> bool:
    return any(finding.is_error for finding in findings)
