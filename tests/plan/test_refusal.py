"""The first refusal ends an act; what is not refused goes through."""

import pytest

from pourdeck.plan.messages import Refusal, Refused, must, refusable, stop_if

NO = Refusal(title="No.", body="Ask first.")
LATER = Refusal(title="Later.", body="Wait.")


@refusable
def act(found: int | Refusal, then: Refusal | None = None) -> int | Refusal:
    number: int = must(found)
    stop_if(then)
    return number


def test_what_is_not_refused_goes_through():
    assert act(3) == 3


def test_the_first_refusal_is_given_back():
    assert act(NO, LATER) is NO
    assert act(3, LATER) is LATER


def test_outside_a_refusable_function_a_refusal_is_not_lost():
    with pytest.raises(Refused) as raised:
        must(NO)
    assert raised.value.refusal is NO
