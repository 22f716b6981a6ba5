"""An act that is not allowed: what was refused, why, and what would allow it."""

from attrs import frozen


@frozen(kw_only=True)
class Refusal:
    """`title` says what was refused in one line, `body` why and what would allow it."""

    title: str
    body: str
