"""What a station may be called, and which files of a log folder are read.

Names work on every file system: lower case, no colon, no reserved device name, unique whatever the
case.
"""

import re

LONGEST_STATION = 40

_STATION = re.compile(rf"[a-z0-9_][a-z0-9._-]{{0,{LONGEST_STATION - 1}}}")
_LOG_FILE = re.compile(r"([a-z0-9_][a-z0-9._-]{0,73})\.jsonl")
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?")


def station_fault(name: str) -> str | None:
    """What is wrong with a station's name and what would be right, or None where it is fit."""
    if not _STATION.fullmatch(name) or name.endswith("."):
        return (
            f"station {name!r}: a name is 1 to {LONGEST_STATION} of a to z, 0 to 9, '.', '_', '-', "
            "begins with a letter, a digit or '_' and does not end in '.'"
        )
    if _DEVICE.fullmatch(name):
        return f"station {name!r}: Windows keeps that name for a device; choose another"
    return None


def log_name(station: str) -> str:
    """The file's name as people and messages write it: `log/shed.jsonl`."""
    return f"log/{station}.jsonl"


def station_of(file_name: str) -> str | None:
    """The station whose log a file is, None where the file is no log: set aside, temporary, a
    copy.
    """
    match = _LOG_FILE.fullmatch(file_name)
    return match[1] if match else None
