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
