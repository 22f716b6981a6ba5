"""The promises of the log in a short form; in full they are `python -m tests.faults`."""

import sys

import pytest

from tests.campaign import in_full
from tests.faults.__main__ import PROMISES
from tests.faults.promise import Promise, keep, workplace


@pytest.mark.skipif(sys.platform == "win32", reason="it forks and kills")
@pytest.mark.campaign
@pytest.mark.parametrize("promise", PROMISES, ids=[one.name for one in PROMISES])
def test_the_log_keeps_its_promise(promise: Promise) -> None:
    with workplace() as folder:
        found = keep(promise, promise.cases(in_full()), folder)
    again = f"python -m tests.faults --only {promise.name} --case"
    assert not found.broken, "\n".join(f"{why}\n{again} '{case}'" for case, why in found.broken)
    assert found.tries
