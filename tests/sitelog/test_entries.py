"""A line is what the specification says, holds any text, and nothing that cannot be read back."""

import hashlib
import json
from datetime import datetime, timedelta, timezone
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.sitelog.entries import (
    BadLineError,
    Entry,
    UnwritableEntryError,
    read_line,
    seal_of,
    time_text,
    write_line,
)
from tests.sitelog.kit import MORNING


def written(**changes: Any) -> tuple[Entry, bytes]:
    given: dict[str, Any] = {
        "station": "shed",
        "n": 1,
        "at": MORNING,
        "by": "sam",
        "kind": "note",
        "data": {"panel": "W07", "text": "swept"},
        "prev": "",
    }
    return write_line(**given | changes)


def test_the_seal_is_sha_256_as_published() -> None:
    """FIPS 180-2, appendix B.1: the digest of the three bytes "abc"."""
    published = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert seal_of("", b"abc") == published
    assert seal_of("a", b"bc") == published


def test_a_line_is_exactly_these_bytes() -> None:
    """By hand from the specification in `logfile`."""
    prev = "0" * 64
    _, line = written(n=2, prev=prev, clock="back 3600 s")
    body = (
        b'{"n":2,"at":"2025-11-03T06:30:00+11:00","clock":"back 3600 s","by":"sam","kind":"note",'
        b'"data":{"panel":"W07","text":"swept"},"prev":"' + prev.encode() + b'"'
    )
    seal = hashlib.sha256(prev.encode() + body).hexdigest().encode()
    assert line == body + b',"seal":"' + seal + b'"}\n'


json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: (
        st.lists(inner) | st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), inner)
    ),
    max_leaves=8,
)


@given(
    data=st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), json_values),
    by=st.text(st.characters(exclude_categories=["Cs"])),
    at=st.datetimes(
        min_value=datetime(1970, 1, 1),
        max_value=datetime(2199, 12, 31),
        timezones=st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m))),
    ),
)
def test_any_text_comes_back_from_one_line_of_ascii(
    data: dict[str, Any], by: str, at: datetime
) -> None:
    entry, line = written(data=data, by=by, at=at)
    assert line.isascii()
    assert line.count(b"\n") == 1
    back = read_line(line[:-1], "shed")
    assert back == entry
    assert (back.data, back.by, back.at) == (data, by, at.replace(microsecond=0))


@pytest.mark.parametrize("half", ["\ud800", "x\udfffy", "\udc00\ud800"])
@pytest.mark.parametrize("place", ["by", "data", "key"])
def test_half_a_character_is_refused(half: str, place: str) -> None:
    changes = (
        {"by": half}
        if place == "by"
        else {"data": {"text": half} if place == "data" else {half: 1}}
    )
    with pytest.raises(UnwritableEntryError, match=r"half a character \(U\+D"):
        written(**changes)


def test_a_backslash_that_only_looks_like_half_a_character_is_kept() -> None:
    entry, line = written(data={"text": "\\ud800 😀"})
    assert read_line(line[:-1], "shed").data == entry.data == {"text": "\\ud800 😀"}


@pytest.mark.parametrize(
    "value", [float("nan"), float("inf"), Decimal("1.5"), b"x", {1, 2}, object()]
)
def test_what_json_has_no_word_for_is_refused(value: object) -> None:
    with pytest.raises(UnwritableEntryError, match="cannot be written"):
        written(data={"value": value})


def test_a_nest_without_end_is_refused() -> None:
    nest: list[Any] = []
    for _ in range(100_000):
        nest = [nest]
    with pytest.raises(UnwritableEntryError, match="too deep"):
        written(data={"value": nest})


@pytest.mark.parametrize("changes", [{"by": 7}, {"kind": None}, {"data": [1]}])
def test_a_key_of_the_wrong_type_is_refused(changes: dict[str, Any]) -> None:
    with pytest.raises(UnwritableEntryError, match="wrong type"):
        written(**changes)


def test_a_time_without_offset_is_refused() -> None:
    with pytest.raises(UnwritableEntryError, match="no offset"):
        written(at=datetime(2025, 11, 3, 6, 30))


@pytest.mark.parametrize(
    ("at", "text"),
    [
        (datetime(1970, 1, 1, tzinfo=timezone.utc), "1970-01-01T00:00:00+00:00"),  # noqa: UP017
        (
            datetime(2038, 1, 19, 3, 14, 8, tzinfo=timezone(timedelta(hours=-14))),
            "2038-01-19T03:14:08-14:00",
        ),
        (
            datetime(2025, 1, 1, 12, 0, 0, 999_999, timezone(timedelta(hours=5.75))),
            "2025-01-01T12:00:00+05:45",
        ),
        # An offset with seconds, as local mean times had, is shown in whole minutes at the same instant.
        (
            datetime(1890, 1, 1, 12, tzinfo=timezone(timedelta(seconds=35_356))),
            "1890-01-01T11:59:44+09:49",
        ),
    ],
)
def test_times_are_rfc_3339_with_numeric_offset(at: datetime, text: str) -> None:
    assert time_text(at) == text
    assert datetime.fromisoformat(text) == at.replace(microsecond=0)


def test_keys_of_a_later_program_are_verified_and_do_no_harm() -> None:
    body = (
        b'{"n":1,"at":"2025-11-03T06:30:00+11:00","by":"sam","kind":"photo","data":{"a":1},"prev":""'
        b',"place":[1,2]'
    )
    line = body + b',"seal":"' + hashlib.sha256(body).hexdigest().encode() + b'"}'
    assert read_line(line, "shed").kind == "photo"
    with pytest.raises(BadLineError, match="seal"):
        read_line(line.replace(b"[1,2]", b"[1,3]"), "shed")


def sealed(**changes: Any) -> bytes:
    """A line whose seal fits, whatever it holds."""
    record: dict[str, Any] = {
        "n": 1, "at": "2025-11-03T06:30:00+11:00", "by": "sam", "kind": "x", "data": {}, "prev": "",
    }  # fmt: skip
    body = json.dumps(record | changes, separators=(",", ":")).encode()[:-1]
    return body + b',"seal":"' + hashlib.sha256(body).hexdigest().encode() + b'"}'


def test_the_sealed_line_of_these_tests_is_good() -> None:
    assert read_line(sealed(), "shed").kind == "x"


@pytest.mark.parametrize(
    "changes",
    [
        {"n": "1"}, {"n": True}, {"n": 1.0}, {"by": 7}, {"kind": None}, {"data": [1]}, {"data": "x"},
        {"at": "yesterday"}, {"at": "2025-11-03T06:30:00"}, {"at": 5}, {"clock": 5},
    ],
)  # fmt: skip
def test_a_sealed_line_that_is_no_entry_is_told(changes: dict[str, Any]) -> None:
    with pytest.raises(BadLineError) as bad:
        read_line(sealed(**changes), "shed")
    assert bad.value.code == "not-an-entry"


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        (b"", "empty-line"),
        (b"\0" * 40, "zero-bytes"),
        (b'{"n":1}\r', "line-ends"),
        (b'{"n":"\xff"}', "not-utf8"),
        (b"{", "not-json"),
        (b"[" * 100_000, "not-json"),
        (sealed() + b" ", "not-json"),
        (b"[1]", "not-an-entry"),
        (b'"seal"', "not-an-entry"),
        (b'{"n":1,"seal":"x"}', "not-an-entry"),
        (b'{"n":NaN}', "not-json"),
        (sealed().replace(b"sam", b"pam"), "wrong-seal"),
        (sealed()[:-66] + sealed()[-66:].upper(), "wrong-seal"),
        (sealed(prev="é"), "wrong-seal"),
        (sealed(prev=5), "wrong-seal"),
    ],
)
def test_each_way_a_line_is_bad_has_its_code(raw: bytes, code: str) -> None:
    with pytest.raises(BadLineError) as bad:
        read_line(raw, "shed")
    assert bad.value.code == code


def test_a_seal_after_the_end_of_the_object_seals_nothing() -> None:
    body = sealed() + b" "
    with pytest.raises(BadLineError) as bad:
        read_line(body + b',"seal":"' + hashlib.sha256(body).hexdigest().encode() + b'"}', "shed")
    assert bad.value.code == "not-json"


def test_an_entry_is_not_changed() -> None:
    entry, _ = written()
    with pytest.raises(AttributeError):
        entry.kind = "answer"
