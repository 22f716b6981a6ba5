"""Entries of the site log: the line each is kept as, who and what they name, which are undone.

A line is one JSON object in ASCII: `n`, `at`, `clock` (only where the clock had jumped), `by`,
`kind`, `data`, `id` (only where an installation takes over an older file), `seen` (only where other
stations' entries were in view), `prev`, `seal`, in that order. Whatever keys a later program adds, `seal`
stays the last one, so that the line's own bytes are what is sealed and nothing has to be written out
again to verify them:

    seal = SHA-256, in lower-case hexadecimal, of
           prev, as ASCII (nothing for the first entry)
           + the bytes of the line up to and not including  ,"seal":
"""

import hashlib
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta, timezone
from math import isinf
from sys import intern
from typing import Any, NoReturn

from attrs import define, field, frozen, setters

# What a station may be called, and which files of a log folder are read.
#
# Names work on every file system: lower case, no colon, no reserved device name, unique whatever the
# case.

LONGEST_STATION = 40

_STATION = re.compile(rf"[a-z0-9_][a-z0-9._-]{{0,{LONGEST_STATION - 1}}}")
_LOG_FILE = re.compile(r"([a-z0-9_][a-z0-9._-]{0,73})\.jsonl")
INSTALLATION = re.compile(r"[0-9a-f]{16}")
"""The id of an installation: of one state folder of one computer."""
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?")


def station_fault(name: str) -> str | None:
    """Say what is wrong with a station's name and what would be right, or None where it is fit."""
    if not _STATION.fullmatch(name) or name.endswith("."):
        return (
            f"station {name!r}: a name is 1 to {LONGEST_STATION} of a to z, 0 to 9, '.', '_', '-', "
            "begins with a letter, a digit or '_' and does not end in '.'"
        )
    if _DEVICE.fullmatch(name):
        return f"station {name!r}: Windows keeps that name for a device; choose another"
    return None


def log_name(stem: str) -> str:
    """A file's name as people and messages write it: `log/shed.jsonl`."""
    return f"log/{stem}.jsonl"


FORK = "~"
"""Between the name of a file and the first digits of a branch's first seal."""


def station_words(name: str) -> str:
    """Name who made an entry; of a fork's second branch the file and the branch: `shed, branch ab12cd`."""
    file, fork, digits = name.partition(FORK)
    return f"{file}, branch {digits}" if fork else file


def file_words(name: str) -> str:
    """Name the file an entry stands in, and of a fork the branch: `log/shed.jsonl, branch ab12cd`."""
    file, fork, digits = name.partition(FORK)
    return f"{log_name(file)}, branch {digits}" if fork else log_name(file)


def station_of(file_name: str) -> str | None:
    """The station whose log a file is, None where the file is no log: set aside, temporary, a
    copy.
    """
    match = _LOG_FILE.fullmatch(file_name)
    return match[1] if match else None


# One entry of the site log, and the line it is kept as.

Key = tuple[str, int]
"""Station and n: what names an entry for good."""


@frozen
class Head:
    """The last entry of a file that somebody had seen."""

    station: str
    n: int
    seal: str


NOTHING_SEEN: Mapping[str, int] = {}
NOTHING_MEANT: Mapping[Key, Key] = {}

_SEAL_MARK = b',"seal":"'
_SEAL_SIZE = 64
_TAIL = len(_SEAL_MARK) + _SEAL_SIZE + len('"}')
_MARK = slice(-_TAIL, -_TAIL + len(_SEAL_MARK))
_SEAL = slice(-_SEAL_SIZE - 2, -2)


class UnwritableEntryError(ValueError):
    """Refuse what cannot stand in a log; the message says what and why."""


class BadLineError(ValueError):
    """A line that is not an intact entry. `code` is the code of the fault."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


@define(kw_only=True, on_setattr=setters.frozen)
class Entry:
    """One act. `station` is the name its file was begun with, without `.jsonl`; of a fork that of its
    branch.

    `clock` says how the clock had jumped against the entry before, empty where it had not. `seen`: the
    heads of other files that were in view. `installation`: whose the file is from here on, "" where nothing
    changes. `odd` says why it counts for nothing whatever its data, "" for
    nothing. `order` is the place in the log of all stations, from 0, or -1 before it is known, `past` the
    last number by station of what came before it, and `meant` the entries that it names by a number that is
    another's since their file forked: only who puts entries in order sets these.
    """

    station: str
    n: int
    at: datetime
    by: str
    kind: str
    data: dict[str, Any]
    prev: str
    seal: str
    clock: str = ""
    seen: tuple[Head, ...] = ()
    installation: str = ""
    odd: str = ""
    order: int = field(default=-1, eq=False, on_setattr=setters.NO_OP)
    past: Mapping[str, int] = field(default=NOTHING_SEEN, eq=False, on_setattr=setters.NO_OP)
    meant: Mapping[Key, Key] = field(default=NOTHING_MEANT, eq=False, on_setattr=setters.NO_OP)

    @property
    def key(self) -> Key:
        return self.station, self.n

    @property
    def panel(self) -> str | None:
        """The mark of the panel it is about, None where it is about none."""
        mark = self.data.get("panel")
        return mark if isinstance(mark, str) else None

    def had_seen(self, other: "Entry") -> bool:
        """Whether whoever made this had the other one in view, or came after it in the same file."""
        if self.station == other.station:
            return other.n < self.n
        return self.past.get(other.station, 0) >= other.n

    def named(self) -> Iterator[Key]:
        """The entries that its data names: it cannot have been made without them."""
        data = self.data
        replaced = {"station": data.get("replaces_station"), "n": data.get("replaces")}
        for part in (data, replaced, data.get("release"), data.get("result")):
            if (key := self.target(part)) is not None:
                yield key
        yield from settled_by(self)

    def target(self, part: object) -> Key | None:
        """Give the entry that a part of its data names by station and number; None where it names none."""
        if not isinstance(part, dict):
            return None
        station, n = part.get("station"), part.get("n")
        if not isinstance(station, str) or type(n) is not int:
            return None
        return self.meant.get((station, n), (station, n))


def settled_by(entry: Entry) -> Iterator[Key]:
    """The entries in conflict between which an entry decides."""
    listed = entry.data.get("settles")
    for one in listed if isinstance(listed, list) else ():
        if isinstance(one, list) and len(one) == 2 and type(one[0]) is str and type(one[1]) is int:
            key = one[0], one[1]
            yield entry.meant.get(key, key)


def seal_of(prev: str, body: bytes) -> str:
    """The seal of a line whose bytes before the seal are `body`, after an entry sealed `prev`."""
    return hashlib.sha256(prev.encode("ascii") + body).hexdigest()


_encode = json.JSONEncoder(ensure_ascii=True, allow_nan=False, separators=(",", ":")).encode


def write_line(
    *,
    station: str,
    n: int,
    at: datetime,
    by: str,
    kind: str,
    data: dict[str, Any],
    prev: str,
    clock: str = "",
    seen: Sequence[Head] = (),
    installation: str = "",
) -> tuple[Entry, bytes]:
    """The entry as it will be read again, and its line, newline included.

    Raises UnwritableEntryError.
    """
    record: dict[str, Any] = {"n": n, "at": time_text(at)}
    if clock:
        record["clock"] = clock
    record |= {"by": by, "kind": kind, "data": data}
    if installation:
        record["id"] = installation
    if seen:
        record["seen"] = [{"station": one.station, "n": one.n, "seal": one.seal} for one in seen]
    record["prev"] = prev
    try:
        text = _encode(record)
    except RecursionError:
        raise UnwritableEntryError("it is nested too deeply to be written") from None
    except (TypeError, ValueError) as error:
        raise UnwritableEntryError(f"it holds what cannot be written: {error}") from None
    if "\\ud" in text:
        _refuse_half_characters(record)
    body = text[:-1].encode("ascii")
    seal = seal_of(prev, body)
    line = body + _SEAL_MARK + seal.encode("ascii") + b'"}\n'
    try:
        return _entry(_decode(text)[0], prev, seal, station, len(text)), line
    except TypeError:
        raise UnwritableEntryError("its name, kind or data is of the wrong type") from None


def _refuse_half_characters(record: dict[str, Any]) -> None:
    """A surrogate without its other half is no character: no other program could read it back."""
    try:
        json.dumps(record, ensure_ascii=False).encode()
    except UnicodeEncodeError as error:
        half = error.object[error.start]
        raise UnwritableEntryError(
            f"it holds half a character (U+{ord(half):04X}); type that text again"
        ) from None


def time_text(at: datetime) -> str:
    """RFC 3339 to the second. Raises UnwritableEntryError without an offset from UTC."""
    offset = at.utcoffset()
    if offset is None:
        raise UnwritableEntryError(f"the time {at.isoformat()} has no offset from UTC")
    if offset.seconds % 60 or offset.microseconds:
        # Local mean times of long ago have seconds in their offset, which RFC 3339 does not know.
        whole = timedelta(minutes=round(offset / timedelta(minutes=1)))
        at = at.astimezone(timezone(whole))
    return at.isoformat(timespec="seconds")


def _no_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")


def _number(text: str) -> float | str:
    """A number of a line; one beyond what a computer holds stays the text it is."""
    value = float(text)
    return text if isinf(value) else value


_decode = json.JSONDecoder(parse_constant=_no_constant, parse_float=_number).raw_decode


def object_end(text: str) -> int:
    """Where the JSON value at the start of `text` ends. Raises ValueError."""
    try:
        return _decode(text)[1]
    except RecursionError:
        raise ValueError("nested too deeply") from None


def read_line(raw: bytes, station: str) -> Entry:
    """The entry of a line without its newline, its seal verified. Raises BadLineError.

    Verified is that the line is what was written after the entry it names as `prev`; whether it
    stands after that entry is for the reader of the file.
    """
    try:
        text = raw.decode()
        record, end = _decode(text)
        prev = record["prev"]
        if (
            end == len(text)
            and raw[_MARK] == _SEAL_MARK
            and seal_of(prev, raw[:-_TAIL]) == text[_SEAL]
        ):
            return _entry(record, prev, text[_SEAL], station, len(text))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError, OverflowError):
        pass
    raise _what_is_wrong(raw)


def read_lines(lines: Sequence[bytes], station: str) -> list[Entry]:
    """The entries of the first lines that are intact, as `read_line` reads each; fewer where one is not.

    Read together they share their keys, which are most of what an entry takes up in memory.
    """
    try:
        text = b",".join(lines).decode()
        records, end = _decode(f"[{text}]")
    except (ValueError, RecursionError):
        return []
    if end != len(text) + 2 or len(records) != len(lines):
        return []
    entries: list[Entry] = []
    prev = ""
    for raw, record in zip(lines, records, strict=True):
        try:
            if record["prev"] != prev:
                # Of two that are equal one is kept.
                prev = record["prev"]
            seal = seal_of(prev, raw[:-_TAIL])
            begun = raw[:1] == b"{" and raw[_MARK] == _SEAL_MARK
            if not begun or seal != record["seal"] or raw[_SEAL] != seal.encode():
                break
            entries.append(_entry(record, prev, seal, station, len(raw)))
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError, OverflowError):
            break
        prev = seal
    return entries


MOST_TEXT = 4_000
"""Characters of one text: ten times what any field takes."""

MOST_IN_LIST = 1_000
"""Of a list or table: far more than a side has anchors."""

MOST_READINGS = 20_000
"""What a logger's file may hold."""

MOST_NESTED = 20
"""Twice what a close seals."""


def _too_much(value: Any, most: int = MOST_IN_LIST, depth: int = 0) -> str:
    """Why nobody can have typed or measured what an entry holds, "" where somebody may have."""
    if depth > MOST_NESTED:
        return "it is nested too deeply"
    if isinstance(value, str) and len(value) > MOST_TEXT:
        return f"a text of it has {len(value)} characters, more than {MOST_TEXT}"
    if isinstance(value, list | dict) and len(value) > most:
        return f"a list of it has {len(value)} values, more than {most}"
    if isinstance(value, dict):
        if any(len(key) > MOST_TEXT for key in value):
            return f"a key of it has more than {MOST_TEXT} characters"
        parts = ((one, MOST_READINGS if key == "readings" else MOST_IN_LIST)
                 for key, one in value.items())  # fmt: skip
        return next((why for one, most in parts if (why := _too_much(one, most, depth + 1))), "")
    if isinstance(value, list):
        return next((why for one in value if (why := _too_much(one, depth=depth + 1))), "")
    return ""


def _entry(record: dict[str, Any], prev: str, seal: str, station: str, length: int) -> Entry:
    n, by, kind, data = record["n"], record["by"], record["kind"], record["data"]
    at = datetime.fromisoformat(record["at"])
    clock, seen = record.get("clock", ""), record.get("seen")
    installation = record.get("id", "")
    if (
        type(n) is not int
        or type(by) is not str
        or type(kind) is not str
        or type(data) is not dict
        or type(clock) is not str
        or type(installation) is not str
        or at.tzinfo is None
    ):
        raise TypeError
    # A shorter line holds too much of nothing that is worked with.
    odd = _too_much([by, kind, data]) if length > MOST_IN_LIST else ""
    if not EARLIEST <= at.year <= LATEST:
        odd = f"its time {record['at'][:40]} is none that can be"
        at = datetime(EARLIEST if at.year < EARLIEST else LATEST, 1, 2, tzinfo=UTC)
    return Entry(
        station=station, n=n, at=at, by=intern(by), kind=intern(kind), data=data, prev=prev, seal=seal,
        clock=clock,
        seen=() if seen is None else _heads(seen),
        installation=installation, odd=odd,
    )  # fmt: skip


EARLIEST, LATEST = 1970, 2200
"""Years a computer's clock may say; what it says beyond is kept, and counts for nothing."""


def moment_of(value: object) -> datetime | None:
    """Read a time of the log; None where it is none, has no offset, or no clock shows its year."""
    if not isinstance(value, str):
        return None
    try:
        moment = datetime.fromisoformat(value)
    except ValueError:
        return None
    # A year beyond cannot be told in another zone either.
    fits = moment.tzinfo is not None and EARLIEST <= moment.year <= LATEST
    return moment if fits else None


def _heads(seen: Any) -> tuple[Head, ...]:
    """Raises TypeError or KeyError."""
    heads = tuple(Head(one["station"], one["n"], one["seal"]) for one in seen)
    for one in heads:
        if type(one.station) is not str or type(one.n) is not int or type(one.seal) is not str:
            raise TypeError
    return heads


def _what_is_wrong(raw: bytes) -> BadLineError:
    if not raw:
        return BadLineError("empty-line", "the line is empty")
    if b"\0" in raw:
        return BadLineError("zero-bytes", f"the line holds {raw.count(0)} zero bytes")
    if raw.endswith(b"\r"):
        return BadLineError("line-ends", "the line ends in CR LF: another program rewrote the file")
    try:
        text = raw.decode()
    except UnicodeDecodeError as error:
        return BadLineError("not-utf8", f"byte {error.start + 1} of the line is not UTF-8")
    try:
        record, end = _decode(text)
    except (ValueError, RecursionError):
        return BadLineError("not-json", "the line is not JSON")
    if end != len(text):
        return BadLineError("not-json", "the line goes on after the end of the entry")
    needed = {"n", "at", "by", "kind", "data", "prev", "seal"}
    if not isinstance(record, dict) or not needed <= record.keys():
        return BadLineError("not-an-entry", "the line is JSON, but no entry of a site log")
    if raw[_MARK] == _SEAL_MARK and isinstance(record["prev"], str):
        with_prev = record["prev"].encode("ascii", "replace").decode()
        if seal_of(with_prev, raw[:-_TAIL]) == text[_SEAL]:
            return BadLineError("not-an-entry", "the entry is sealed, but a key has the wrong type")
    return BadLineError(
        "wrong-seal", "the entry was changed after it was written: its seal does not fit"
    )


# Acts made into the lines that save them, and into the entries as they will be read again.


@frozen(kw_only=True, eq=False, repr=False)
class Unsealed:
    """Hold what is to be saved and has no number and seal yet. `data` holds JSON values only."""

    kind: str
    by: str
    data: dict[str, Any]


def compose(
    acts: list[Unsealed],
    *,
    station: str,
    at: datetime,
    clock: str,
    n: int,
    head: str,
    seen: Sequence[Head] = (),
    installation: str = "",
) -> tuple[list[Entry], bytes]:
    """Entries and lines that follow entry `n`, sealed `head`; `clock` and `installation` go to the first.

    Raises UnwritableEntryError.
    """
    entries: list[Entry] = []
    lines: list[bytes] = []
    for act in acts:
        n += 1
        entry, line = write_line(
            station=station,
            n=n,
            at=at,
            by=act.by,
            kind=act.kind,
            data=act.data,
            prev=head,
            clock=clock,
            seen=seen,
            installation=installation,
        )
        lines.append(line)
        entries.append(entry)
        head, clock, installation = entry.seal, "", ""
    return entries, b"".join(lines)
