"""Refuse what no logger writes before anything is made of it: in little time and little memory."""

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

from pourdeck.plan.messages import Refusal
from pourdeck.walk.logger_cells import MOST_BYTES, MOST_COLUMNS, MOST_IN_LINE
from pourdeck.walk.logger_file import read_logger
from tests.walk.logger_kit import NOW, POUR, read

READING = "2026-11-25 14:00,21.5"
HEADING = "Time,Temperature (°C)"

TOO_MUCH = {
    "columns": (
        HEADING + "," + ",".join(f"T{n}" for n in range(100_000)) + f"\n{READING}",
        "Line 1: ",
    ),
    "columns below": (f"{HEADING}\n{READING}" + ",21.5" * 100_000, "Line 2: "),
    "spaces": ("Time Temp\n" + "21.5 " * 2000, "Line 2: 2000 columns wide"),
    "heading": (f"Time,{'T' * 1_000_000}\n{READING}", "Line 1: 1000005 characters long"),
    "line": ("1" * 17_000_000, "too long for the readings"),
    "zeros": ("\0" * 17_000_000, "too long for the readings"),
    "few zeros": ("\0" * 10_000, "no text file"),
    "quote": (f'{HEADING}\n"{READING}\n' + f"{READING}\n" * 10_000, "Line 2: "),
    "lines": (f"{READING}\n" * 20_001, "too long for the readings"),
}


@pytest.mark.parametrize("name", TOO_MUCH)
def test_it_is_refused_by_its_place(name: str, tmp_path: Path) -> None:
    text, says = TOO_MUCH[name]
    path = tmp_path / "logger.csv"
    path.write_text(text, encoding="utf-8")
    found = read_logger(path, "metric", NOW, POUR)
    assert isinstance(found, Refusal)
    assert says in f"{found.title} {found.body}"
    assert len(f"{found.title} {found.body}") < 500


def test_the_widest_file_that_is_read() -> None:
    wide = HEADING + "".join(f",Battery {n}" for n in range(MOST_COLUMNS - 2))
    assert len(wide) < MOST_IN_LINE
    found = read(f"{wide}\n{READING},{','.join('3' * (MOST_COLUMNS - 2))}")
    assert len(found.readings) == 1


def test_empty_columns_at_the_end_are_none() -> None:
    assert len(read(f"{HEADING}\n{READING}{',' * 20_000}").readings) == 1


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    found = read_logger(tmp_path / "pipe.csv", "metric", NOW, POUR)
    assert isinstance(found, Refusal)
    assert "no ordinary file" in found.title


@pytest.mark.skipif(sys.platform == "win32", reason="limits of memory are set otherwise there")
def test_a_huge_file_takes_no_memory(tmp_path: Path) -> None:
    """A sparse file of 10 GB in an address space of 300 MB."""
    path = tmp_path / "huge.csv"
    with path.open("wb") as file:
        file.truncate(10_000_000_000)
    program = (
        "import sys; from pathlib import Path; from tests.walk.logger_kit import NOW, POUR\n"
        "from pourdeck.walk.logger_file import read_logger\n"
        "print(read_logger(Path(sys.argv[1]), 'metric', NOW, POUR).title)"
    )
    most = 300_000_000

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (most, most))

    assert most > 4 * MOST_BYTES
    done = subprocess.run(
        [sys.executable, "-c", program, str(path)], capture_output=True, text=True, check=False,
        preexec_fn=limit, env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
    )  # fmt: skip
    assert "too long for the readings" in done.stdout, done.stderr
