"""Set up every test alike: the same examples on every machine, unless others are asked for.

`HYPOTHESIS_PROFILE=search` looks for new ones; a failure then says how to repeat it.
"""

import gc
import os
import sys
from collections.abc import Iterator

# Tests with their assertions worked in take long to compile. What was compiled is kept for the next run,
# and for the programs that tests start, also where the environment says that nothing should be.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

import pytest
from hypothesis import is_hypothesis_test, settings

from tests import campaign, kept
from tests.walk.kit import OPENED

EXAMPLES = 100
"""Of a property in a full run, where it says nothing else."""


def pytest_configure(config: pytest.Config) -> None:
    if config.option.markexpr == "campaign":
        campaign.go_in_full()
    settings.register_profile(
        "same",
        derandomize=True,
        deadline=None,
        print_blob=True,
        max_examples=campaign.share(EXAMPLES),
    )
    settings.register_profile("search", deadline=None, print_blob=True)
    settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))
    cache = getattr(config, "cache", None)
    kept.use(cache.mkdir("logs") if cache else None)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A property is a campaign like any other."""
    for item in items:
        if is_hypothesis_test(getattr(item, "obj", None)):
            item.add_marker(pytest.mark.campaign)


def pytest_collection_finish() -> None:
    """Thousands of collected tests stay to the end: the collector need not look at them again."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def _desks_are_closed() -> Iterator[None]:
    """So that files left open do not add up: many systems let a program have a thousand."""
    before = len(OPENED)
    yield
    while len(OPENED) > before:
        OPENED.pop().close()
