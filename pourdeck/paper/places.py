"""Where a finding is, in words."""

from pourdeck.plan.messages import Finding


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
