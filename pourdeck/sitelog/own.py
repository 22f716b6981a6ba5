"""Which files of a log an installation may write to, and what its next one is called.

A station's files are named after it and its installation, `shed-7f3a`, and those that go on after a failed
sync or damage `shed-7f3a-2`, `shed-7f3a-3`. Older files have no id, `shed`, `shed-2`: the first installation
that opens them takes them over.
"""

import re
from collections.abc import Iterable
from itertools import chain, count

from attrs import frozen

from pourdeck.sitelog.entries import FORK, log_name, station_of
from pourdeck.sitelog.scan import Scan
from pourdeck.sitelog.union import Union

_NUMBERED = re.compile(r"(.+)-([1-9][0-9]{0,5})")


@frozen(kw_only=True, eq=False, repr=False)
class Own:
    """`base` is what the names of the files begin with, `scans` are the files, in their order.

    `owned`: the last one says whose it is. `beside`: a copy holds more than the last one. `shared`: somebody
    else wrote to it as well.
    """

    base: str
    scans: tuple[Scan, ...] = ()
    owned: bool = True
    beside: Scan | None = None
    shared: bool = False

    def next_name(self, names: Iterable[str]) -> str:
        """A name for the next file that none in the folder has."""
        taken = {name.lower().removesuffix(".jsonl") for name in names}
        numbers = [
            int(match[2])
            for name in taken
            if (match := _NUMBERED.fullmatch(name)) and match[1] == self.base
        ]
        if self.base not in taken and not numbers and not self.scans:
            return self.base
        return f"{self.base}-{max(numbers, default=1) + 1}"


def own_files(union: Union, station: str, installation: str) -> Own:
    """Those of an installation, "" for one without an id."""
    families = _families(union, station)
    mine = {base: files for base, files in families.items() if _owner(files) == installation}
    older = {base: files for base, files in families.items() if not _owner(files)}
    found = mine or older
    if not found:
        return _none_yet(union, station, installation)
    base = max(found, key=lambda one: (found[one][-1].entries[-1].at, one))
    files = found[base]
    last = files[-1]
    end = union.lines[last.chain][-1]
    complete = last.file == log_name(last.chain) and last.head == end.seal
    return Own(
        base=base,
        scans=files,
        owned=bool(mine),
        beside=None if complete else next(one for one in union.scans if one.head == end.seal),
        shared=any(
            name.startswith(f"{each.chain}{FORK}") for name in union.lines for each in files
        ),
    )


def _families(union: Union, station: str) -> dict[str, tuple[Scan, ...]]:
    """The files of a station under what their names begin with, each once, by their numbers."""
    found: dict[str, dict[int, Scan]] = {}
    for each in union.scans:
        if each.named != station or not each.entries:
            continue
        base, number = each.chain, 1
        match = _NUMBERED.fullmatch(each.chain)
        if each.continues is not None and match:
            base, number = match[1], int(match[2])
        files = found.setdefault(base, {})
        if number not in files or each.file == log_name(each.chain):
            files[number] = each
    return {base: tuple(files[one] for one in sorted(files)) for base, files in found.items()}


def _owner(files: tuple[Scan, ...]) -> str:
    return next((each.owner for each in reversed(files) if each.owner), "")


def _none_yet(union: Union, station: str, installation: str) -> Own:
    """Where it has no file with an entry yet: the name of its first, and what lies there under it."""
    there = {station_of(each.name): each for each in union.scans}
    there |= {each.chain: each for each in union.scans if each.entries}
    digits = (4, 6, 8, 16) if installation else ()
    names = [f"{station}-{installation[:size]}" for size in digits] or [station]
    for name in chain(names, (f"{station}-{number}" for number in count(2))):
        each = there.get(name)
        if each is None or not each.entries:
            return Own(base=name, scans=() if each is None else (each,))
    raise AssertionError("numbers do not end")
