"""Whether what was found passes. Limits themselves pass."""

from decimal import Decimal

from pourdeck.walk.records import Verdict


def verdict(
    value: Decimal, expected: Decimal | None, plus: Decimal | None, minus: Decimal | None
) -> Verdict:
    """Judge a value by how far it may be above and below; None: no limit on that side.

    Without an expected value or any limit it is recorded and not judged.
    """
    if expected is None:
        return "recorded"
    low = None if minus is None else expected - minus
    high = None if plus is None else expected + plus
    return within(value, low, high)


def within(value: Decimal, low: Decimal | None, high: Decimal | None) -> Verdict:
    """Judge a value by its limits, ends included; None: no limit on that side."""
    if low is None and high is None:
        return "recorded"
    too_low = low is not None and value < low
    too_high = high is not None and value > high
    return "fail" if too_low or too_high else "pass"
