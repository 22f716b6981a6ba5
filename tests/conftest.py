"""What holds for every test: the same examples on every machine, unless others are asked for.

`HYPOTHESIS_PROFILE=search` looks for new ones; a failure then says how to repeat it.
"""

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

from tests.walk.kit import OPENED

settings.register_profile("same", derandomize=True, deadline=None, print_blob=True)
settings.register_profile("search", deadline=None, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))


@pytest.fixture(autouse=True)
def _desks_are_closed() -> Iterator[None]:
    """So that files left open do not add up: many systems let a program have a thousand."""
    before = len(OPENED)
    yield
    while len(OPENED) > before:
        OPENED.pop().close()
