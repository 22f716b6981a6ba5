"""What is half typed comes back, and nothing about a draft ever stops the work."""

import errno
import os
from pathlib import Path

import pytest

from pourdeck.sitelog.disk import Drafts
from tests.sitelog.kit import FakeDisk, fail

DRAFT = {"screen": "walk", "item": "forms.offset/right-4", "text": "30\u202e [/x]", "cursor": 2}


def test_a_draft_comes_back(tmp_path: Path) -> None:
    assert Drafts(tmp_path / "state", tmp_path).load() == {}
    drafts = Drafts(tmp_path / "state", tmp_path)
    assert drafts.save(DRAFT)
    assert drafts.save(DRAFT | {"text": "300"})
    again = Drafts(tmp_path / "state", tmp_path)
    assert again.load() == DRAFT | {"text": "300"}
    assert again.message is None


def test_each_job_has_its_own(tmp_path: Path) -> None:
    Drafts(tmp_path / "state", tmp_path / "one").save(DRAFT)
    assert Drafts(tmp_path / "state", tmp_path / "other").load() == {}


def test_a_draft_is_synced_before_it_takes_the_place_of_the_old_one(tmp_path: Path) -> None:
    disk = FakeDisk()
    Drafts(tmp_path / "state", tmp_path, disk=disk).save(DRAFT)
    assert disk.calls == ["create", "write", "fsync", "replace", "sync folder"]


@pytest.mark.parametrize("bytes_", [b"", b"\0" * 30, b"{", b"[1]", b"\xff\xfe", b"[" * 100_000])
def test_a_draft_that_cannot_be_read_is_told_and_passed_over(tmp_path: Path, bytes_: bytes) -> None:
    drafts = Drafts(tmp_path / "state", tmp_path)
    drafts.save(DRAFT)
    (path,) = (tmp_path / "state/drafts").iterdir()
    path.write_bytes(bytes_)
    assert drafts.load() == {}
    assert "cannot be read" in (drafts.message or "")
    assert drafts.save(DRAFT)
    assert drafts.message is None
    assert drafts.load() == DRAFT


@pytest.mark.parametrize("call", ["create", "write", "fsync", "replace"])
def test_a_full_disk_keeps_the_draft_before(tmp_path: Path, call: str) -> None:
    Drafts(tmp_path / "state", tmp_path).save(DRAFT)
    disk = FakeDisk()
    disk.before[call] = fail(OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)))
    drafts = Drafts(tmp_path / "state", tmp_path, disk=disk)
    assert not drafts.save({"text": "31"})
    assert "no space left" in (drafts.message or "")
    assert drafts.load() == DRAFT


def test_what_json_has_no_word_for_is_not_kept(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path / "state", tmp_path)
    assert not drafts.save({"text": object()})
    assert not drafts.save({"text": float("nan")})
    assert "not kept" in (drafts.message or "")
