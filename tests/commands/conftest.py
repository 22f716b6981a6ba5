"""Commands run in this process, on small jobs of their own and on the examples."""

from collections.abc import Callable
from pathlib import Path

import pytest

from pourdeck.cli import main
from tests.commands.kit import Command, Done


@pytest.fixture(autouse=True)
def _nothing_from_outside(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """No setting of whoever runs the tests reaches a command, and nothing is kept outside."""
    for name in ("POURDECK_STATION", "NO_COLOR", "FORCE_COLOR", "COLUMNS", "TTY_COMPATIBLE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("POURDECK_STATE", str(tmp_path / "state"))


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str]) -> Command:
    """Run a command as `main` does and give back its exit code and what it printed."""

    def run(*words: str | Path) -> Done:
        capsys.readouterr()
        code = main([str(word) for word in words])
        out, err = capsys.readouterr()
        return Done(code=code, out=out, err=err)

    return run


Job = Callable[[str], Path]


@pytest.fixture
def job(tmp_path: Path) -> Job:
    """Write a job.toml into a folder of its own."""

    def write(text: str) -> Path:
        folder = tmp_path / "job"
        folder.mkdir(exist_ok=True)
        (folder / "job.toml").write_text(text, encoding="utf-8")
        return folder

    return write
