"""What a station may be called, and what is read from a log folder."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.sitelog.entries import station_fault, station_of


@pytest.mark.parametrize("name", ["shed", "a", "7", "shed-laptop.2", "x" * 40, "_x", "console"])
def test_fit_names(name: str) -> None:
    assert station_fault(name) is None
    assert station_of(f"{name}.jsonl") == name


@pytest.mark.parametrize(
    "name",
    ["", "Shed", "sh ed", "../shed", "a/b", "a:b", ".shed", "-x", "shed.", "x" * 41, "sché", "a\n"],
)
def test_unfit_names_are_told_what_is_fit(name: str) -> None:
    assert "a to z" in (station_fault(name) or "")


@pytest.mark.parametrize("name", ["con", "aux", "nul", "com1", "lpt9", "prn", "aux.txt"])
def test_device_names_are_unfit(name: str) -> None:
    """Names reserved by Windows, from memory of its documentation on naming files."""
    assert "device" in (station_fault(name) or "")


@given(st.text())
def test_a_fit_name_works_on_every_file_system(name: str) -> None:
    if station_fault(name) is None:
        assert re.fullmatch(r"[a-z0-9._-]{1,40}", name)


@pytest.mark.parametrize(
    "name",
    [
        "shed.jsonl.torn-20251103t063000z",
        "shed.jsonl.tmp-55",
        ".shed.jsonl",
        "~shed.jsonl",
        "shed (1).jsonl",
        "SHED.jsonl",
        "shed.sync-conflict-20251103-063000-ABCDEFG.jsonl",
        "shed.json",
        ".jsonl",
    ],
)
def test_what_no_station_is_called_is_not_taken_for_a_name(name: str) -> None:
    assert station_of(name) is None
