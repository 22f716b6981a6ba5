"""Check what a command loads: screens for the deck alone, nothing to colour text with for other programs."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.commands.conftest import Job
from tests.commands.kit import READING, WRITING, one_panel_cast
from tests.commands.kit_terminal import environment
from tests.walk.kit import JOB

LOADED = """
import sys
sys.argv = ["pourdeck", *sys.argv[1:]]
from pourdeck.cli import main
code = main()
print(*sorted({name.partition(".")[0] for name in sys.modules}), file=sys.stderr)
raise SystemExit(code)
"""

PRINTING = {**READING, "stations": ()}

ALWAYS_TOO_MUCH = {"textual", "asyncio", "email", "http", "ssl", "markdown_it", "unittest"}
FOR_PEOPLE = {"rich"}
FOR_RECORDING = {"platformdirs", "filelock", "tomli_w", "getpass"}


def loads(state: Path, *words: str | Path) -> set[str]:
    """The packages in memory at the end of a command."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *map(str, words)],
        capture_output=True,
        check=False,
        text=True,
        env=environment(state, {}),
    )
    assert done.returncode in (0, 1, 2), done.stderr
    return set(done.stderr.splitlines()[-1].split())


@pytest.mark.parametrize("name", PRINTING)
def test_reading_for_another_program_loads_neither_screens_nor_colours(name: str, tmp_path: Path):
    folder = one_panel_cast(tmp_path)
    loaded = loads(tmp_path, name, folder, *PRINTING[name], "--json")
    assert loaded & (ALWAYS_TOO_MUCH | FOR_PEOPLE | FOR_RECORDING) == set()


@pytest.mark.parametrize("name", PRINTING)
def test_reading_for_people_loads_no_screens(name: str, tmp_path: Path):
    loaded = loads(tmp_path, name, one_panel_cast(tmp_path), *PRINTING[name])
    assert loaded & (ALWAYS_TOO_MUCH | FOR_RECORDING) == set()
    assert "rich" in loaded, "or this would prove nothing"


@pytest.mark.parametrize("name", WRITING)
def test_recording_loads_no_screens(name: str, tmp_path: Path):
    loaded = loads(tmp_path, name, one_panel_cast(tmp_path), *WRITING[name], "--json")
    assert loaded & (ALWAYS_TOO_MUCH | FOR_PEOPLE) == set()


FINDINGS = {
    "a faulty file": JOB.replace("width = 3000", 'width = "3000"', 1),
    "an overhang": JOB.replace('mark = "P2"\nwidth = 3000', 'mark = "P2"\nwidth = 3200'),
    "an opening outside": JOB.replace(
        "rev = ", 'openings = [ { name = "D", x = 9000, y = 0, width = 9, height = 9 } ]\nrev = ', 1
    ),
    "a broken file": JOB + "[[",
}


@pytest.mark.parametrize("what", FINDINGS)
def test_findings_load_no_screens_and_no_colours_either(what: str, tmp_path: Path, job: Job):
    folder = job(FINDINGS[what])
    for name in ("check", "setout"):
        loaded = loads(tmp_path, name, folder, *READING[name], "--json")
        assert loaded & (ALWAYS_TOO_MUCH | FOR_PEOPLE | FOR_RECORDING) == set(), name


def test_check_needs_neither_walk_nor_board_nor_acts(tmp_path: Path, job: Job):
    """They take as long to load as a large plan takes to check."""
    words = LOADED.replace('partition(".")[0]', 'removeprefix("pourdeck.")')
    done = subprocess.run(
        [sys.executable, "-c", words, "check", str(job(JOB)), "--json"],
        capture_output=True,
        check=False,
        text=True,
        env=environment(tmp_path, {}),
    )
    loaded = set(done.stderr.splitlines()[-1].split())
    assert "setout.joints" in loaded
    assert (
        loaded & {"walk.panel_walk", "walk.items", "walk.board", "walk.acts", "walk.steps"} == set()
    )


BELOW_THE_DECK = """
import importlib, pkgutil, sys
import pourdeck
for name in {names!r}:
    package = importlib.import_module("pourdeck." + name)
    for one in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
        importlib.import_module(one.name)
print(*sorted({{name.partition(".")[0] for name in sys.modules}}))
"""


@pytest.mark.parametrize(
    ("names", "never"),
    [
        (("plan", "setout", "sitelog", "walk"), {"textual", "rich"}),
        (("paper", "commands"), {"textual"}),
    ],
    ids=["below", "beside"],
)
def test_no_module_below_the_deck_loads_a_screen(
    names: tuple[str, ...], never: set[str], tmp_path: Path
):
    done = subprocess.run(
        [sys.executable, "-c", BELOW_THE_DECK.format(names=names)],
        capture_output=True,
        check=True,
        text=True,
        env=environment(tmp_path, {}),
    )
    assert set(done.stdout.split()) & never == set()
