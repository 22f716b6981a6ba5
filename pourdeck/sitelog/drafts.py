"""What is half typed, and where the crew was: kept on this computer, outside the log.

A draft is worth keeping and never worth stopping for: one that cannot be read or written is told,
and the work goes on.
"""

import hashlib
import json
import os
from pathlib import Path
from typing import Any

from pourdeck.sitelog.disk import DISK, Disk, replace_file


class Drafts:
    """The draft of one job folder. `message` says why the last call did not do what it should."""

    def __init__(self, state_folder: Path, folder: Path, *, disk: Disk = DISK) -> None:
        name = os.path.normcase(folder.resolve())
        digest = hashlib.sha256(os.fsencode(name)).hexdigest()[:32]
        self._path = state_folder / "drafts" / f"{digest}.json"
        self._disk = disk
        self.message: str | None = None

    def save(self, draft: dict[str, Any]) -> bool:
        """Keep a draft of JSON values in place of the one before, synced. False where it was not
        kept.
        """
        self.message = None
        try:
            data = json.dumps(draft, allow_nan=False).encode("ascii")
            self._path.parent.mkdir(parents=True, exist_ok=True)
            replace_file(self._path, data, disk=self._disk)
        except (OSError, ValueError, TypeError, RecursionError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            self.message = f"What is half typed is not kept: {reason.lower()}."
            return False
        return True

    def load(self) -> dict[str, Any]:
        """The draft that was kept last, empty where there is none or it cannot be read."""
        self.message = None
        try:
            draft = json.loads(self._disk.read(self._path))
            if not isinstance(draft, dict):
                raise TypeError("it is not a draft")
        except FileNotFoundError:
            return {}
        except (OSError, ValueError, TypeError, RecursionError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            self.message = (
                f"What was half typed is lost: {self._path} cannot be read: {reason.lower()}."
            )
            return {}
        return draft
