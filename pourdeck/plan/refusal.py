"""An act that is not allowed: what was refused, why, and what would allow it."""

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from attrs import frozen

P = ParamSpec("P")
T = TypeVar("T")


@frozen(kw_only=True)
class Refusal:
    """`title` says what was refused in one line, `body` why and what would allow it."""

    title: str
    body: str


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
    """What was asked for. Raises Refused where it is refused."""
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
