"""One entry of the site log, and the line it is kept as.

A line is one JSON object in ASCII: `n`, `at`, `clock` (only where the clock had jumped), `by`,
`kind`, `data`, `prev`, `seal`, in that order. Whatever keys a later program adds, `seal` stays the
last one, so that the line's own bytes are what is sealed and nothing has to be written out again
to verify them:

    seal = SHA-256, in lower-case hexadecimal, of
           prev, as ASCII (nothing for the first entry)
           + the bytes of the line up to and not including  ,"seal":
"""

import hashlib
import json
from datetime import datetime, timedelta, timezone
from typing import Any, NoReturn

from attrs import define, field, setters

Key = tuple[str, int]
"""Station and n: what names an entry for good."""

_SEAL_MARK = b',"seal":"'
_SEAL_SIZE = 64
_TAIL = len(_SEAL_MARK) + _SEAL_SIZE + len('"}')
_MARK = slice(-_TAIL, -_TAIL + len(_SEAL_MARK))
_SEAL = slice(-_SEAL_SIZE - 2, -2)


class UnwritableEntryError(ValueError):
    """What was to be written cannot stand in a log; the message says what and why."""


class BadLineError(ValueError):
    """A line that is not an intact entry. `code` is the code of the fault."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


@define(kw_only=True, on_setattr=setters.frozen)
class Entry:
    """One act. `station` is the name of the file it stands in, without `.jsonl`.

    `clock` says how the clock had jumped against the entry before, empty where it had not. `order`
    is the place in the log of all stations, from 0, or -1 before it is known: only the fold sets
    it.
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
    order: int = field(default=-1, eq=False, on_setattr=setters.NO_OP)

    @property
    def key(self) -> Key:
        return self.station, self.n

    @property
    def panel(self) -> str | None:
        """The mark of the panel it is about, None where it is about none."""
        mark = self.data.get("panel")
        return mark if isinstance(mark, str) else None


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
) -> tuple[Entry, bytes]:
    """The entry as it will be read again, and its line, newline included.

    Raises UnwritableEntryError.
    """
    record: dict[str, Any] = {"n": n, "at": time_text(at)}
    if clock:
        record["clock"] = clock
    record |= {"by": by, "kind": kind, "data": data, "prev": prev}
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
        return _entry(_decode(text)[0], prev, seal, station), line
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


_decode = json.JSONDecoder(parse_constant=_no_constant).raw_decode


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
            return _entry(record, prev, text[_SEAL], station)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError, OverflowError):
        pass
    raise _what_is_wrong(raw)


def _entry(record: dict[str, Any], prev: str, seal: str, station: str) -> Entry:
    n, by, kind, data = record["n"], record["by"], record["kind"], record["data"]
    at = datetime.fromisoformat(record["at"])
    clock = record.get("clock", "")
    if (
        type(n) is not int
        or type(by) is not str
        or type(kind) is not str
        or type(data) is not dict
        or type(clock) is not str
        or at.tzinfo is None
    ):
        raise TypeError
    return Entry(
        station=station, n=n, at=at, by=by, kind=kind, data=data, prev=prev, seal=seal, clock=clock
    )


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
