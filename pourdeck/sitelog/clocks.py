"""A computer's clock that has jumped, told from the entries it dates.

Order never comes from the clock, so a jump does no harm to the log; people should still see it.
"""

from datetime import UTC, datetime, timedelta

STEP = timedelta(seconds=2)
"""Clocks are set right by steps up to this without anybody being told, and `at` is in whole
seconds.
"""

AHEAD = timedelta(hours=12)


def jump(last: datetime, at: datetime, elapsed: timedelta | None = None) -> str:
    """How the clock jumped between two entries: `back 3600 s`, `ahead 50400 s`, or nothing.

    `elapsed` is what truly passed between them by a clock nobody sets, None where that is not
    known; then whatever passed is taken for a jump, back by more than STEP and ahead by more than
    AHEAD.
    """
    # In UTC: two times of one zone are subtracted by what the wall shows, and summer time ends.
    gone = at.astimezone(UTC) - last.astimezone(UTC) - (elapsed or timedelta())
    if gone < -STEP:
        return f"back {round(-gone.total_seconds())} s"
    if gone > AHEAD:
        return f"ahead {round(gone.total_seconds())} s"
    return ""


class Watch:
    """Remembers when the last entry was made, and by which reading of a clock nobody sets, s."""

    def __init__(self) -> None:
        self.last: datetime | None = None
        self._tick: float | None = None

    def jump(self, at: datetime, tick: float | None) -> str:
        """How the clock jumped since the last entry; nothing where that cannot be told."""
        if self.last is None or at.utcoffset() is None:
            return ""
        elapsed = None
        if tick is not None and self._tick is not None:
            elapsed = timedelta(seconds=tick - self._tick)
        return jump(self.last, at, elapsed)

    def note(self, at: datetime, tick: float | None) -> None:
        self.last, self._tick = at, tick
