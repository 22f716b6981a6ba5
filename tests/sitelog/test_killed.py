"""A program killed at any moment: what it said was saved is there, and the next one can go on."""

import random
import subprocess
import sys
from pathlib import Path

import pytest

from pourdeck.sitelog.union import read_union
from pourdeck.sitelog.verify import verify
from tests.campaign import share
from tests.sitelog.kit import open_log

WRITER = """
import sys
from datetime import datetime, timezone
from pathlib import Path
from pourdeck.sitelog.logfile import LogFile
from tests.campaign import share
folder, run = Path(sys.argv[1]), sys.argv[2]
log = LogFile.open(folder, "shed", job="QL-31", clock=lambda: datetime.now(timezone.utc),
                   state_folder=folder / "state")
assert not log.read_only, log.messages
for number in range(100_000):
    log.append("note", "kim", {"panel": "W07", "item": None, "text": f"{run}.{number}"})
    print(f"{run}.{number}", flush=True)
"""


@pytest.mark.campaign
def test_killed_again_and_again(tmp_path: Path) -> None:
    chance = random.Random(11)
    acknowledged: list[str] = []
    for run in range(share(20)):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, str(tmp_path), str(run)],
            stdout=subprocess.PIPE,
            text=True,
        ) as writer:
            assert writer.stdout is not None
            lines = chance.randrange(1, 40)
            acknowledged += [writer.stdout.readline().strip() for _ in range(lines)]
            writer.kill()
            rest = writer.stdout.read()
        if rest:
            acknowledged += rest.split("\n")[:-1]
        recovered = [
            each.data["text"] for each in read_union(tmp_path).entries if each.kind == "note"
        ]
        assert set(acknowledged) <= set(recovered)
        assert len(recovered) == len(set(recovered))
    with open_log(tmp_path) as log:
        assert not log.read_only
    (report,) = verify(tmp_path).stations
    assert report.whole
    assert len(acknowledged) > 20
