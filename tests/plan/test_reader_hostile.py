"""Files that cannot be read at all: one clear refusal each, whatever is in them."""

import os
from pathlib import Path
from typing import NoReturn

import pytest

from pourdeck.plan.messages import JobFaulty, JobUnreadable
from pourdeck.plan.reader import LARGEST, LONGEST_KEY, read_job, read_job_text
from tests.plan.jobs import FOLDER, JOB, changed


def refused(path: Path) -> JobUnreadable:
    with pytest.raises(JobUnreadable) as caught:
        read_job(path)
    assert caught.value.title.isprintable()
    assert "\x1b" not in caught.value.body
    return caught.value


def refused_text(text: str) -> JobUnreadable:
    with pytest.raises(JobUnreadable) as caught:
        read_job_text(text, FOLDER)
    return caught.value


def written(folder: Path, content: bytes) -> Path:
    (folder / "job.toml").write_bytes(content)
    return folder


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    error = refused(tmp_path / "nowhere\x1b")
    assert "no such job folder" in error.title
    assert "nowhere\\x1b" in error.body
    assert "Give the folder that holds job.toml" in error.body
    assert "nowhere\\x1b" in str(error)


def test_a_folder_without_a_job_file(tmp_path: Path) -> None:
    error = refused(tmp_path)
    assert "no job.toml" in error.title
    assert str(tmp_path / "job.toml") in error.body


def test_a_job_file_that_is_not_there(tmp_path: Path) -> None:
    assert "does not exist" in refused(tmp_path / "job.toml").body


def test_a_path_through_a_file(tmp_path: Path) -> None:
    (tmp_path / "plain").write_text("x")
    assert "does not exist" in refused(tmp_path / "plain" / "deep").body


def test_a_file_of_another_name(tmp_path: Path) -> None:
    (tmp_path / "works.toml").write_text(JOB, encoding="utf-8")
    error = refused(tmp_path / "works.toml")
    assert "not a job folder" in error.title


def test_a_folder_named_job_toml(tmp_path: Path) -> None:
    (tmp_path / "job.toml").mkdir()
    assert "is a folder" in refused(tmp_path).title


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes in this system's folders")
def test_a_pipe_is_refused_and_never_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "job.toml")
    assert "not a file" in refused(tmp_path).title


def test_a_loop_of_links(tmp_path: Path) -> None:
    try:
        (tmp_path / "job.toml").symlink_to(tmp_path / "job.toml")
    except OSError:
        pytest.skip("no links here")
    assert "cannot be read" in refused(tmp_path).title


@pytest.mark.parametrize("name", ["a\0b", "n" * 5000])
def test_names_no_file_can_have(tmp_path: Path, name: str) -> None:
    assert name[:20].replace("\0", "\\x00") in refused(tmp_path / name).body


def test_no_leave_to_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written(tmp_path, JOB.encode())

    def refuse(*_: object, **__: object) -> NoReturn:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    error = refused(tmp_path)
    assert "Permission denied" in error.body
    assert "leave to read" in error.body


NOT_UTF8 = [
    (b'[job]\nname = "Caf\xe9"\n', "line 2, byte 12"),
    (b"\xff\xfe[\x00j\x00", "UTF-16"),
    (b"[job]\r\n\xc3", "line 2, byte 1"),
    (b"\xed\xa0\x80", "line 1, byte 1"),
]


@pytest.mark.parametrize(("content", "words"), NOT_UTF8)
def test_bytes_that_are_not_utf8(tmp_path: Path, content: bytes, words: str) -> None:
    error = refused(written(tmp_path, content))
    assert "not UTF-8" in error.title
    assert words in error.body
    assert "Save the file as UTF-8" in error.body


BROKEN = [
    ("[job]\nname = \n", 2, 8, "Invalid value"),
    ("[job]\nname Shed\n", 2, 6, "Expected '=' after a key"),
    ("[job\nname = 1\n", 1, 5, "Expected ']'"),
    ("[job]\r\nwidth = 7200 mm\r\n", 2, 14, "a number has no unit"),
    ('[job]\nname = "a\n', 2, 10, "Illegal character"),
    ("[job]\na = 1\na = 2\n", 3, 6, "stands twice in its table"),
    ("[job]\n[job]\n", 2, 5, "stands twice"),
    ("[job]\n= 1\n", 2, 1, "Invalid statement"),
    ("a = [1, 2\n\n\n", 1, 10, "closing bracket"),
    ("a = 'x", 1, 7, "a"),
    ("[job]\na\x0b = 1\n", 2, 2, "Expected '='"),
]


@pytest.mark.parametrize(("text", "line", "column", "words"), BROKEN)
def test_broken_toml_gives_line_and_column(text: str, line: int, column: int, words: str) -> None:
    error = refused_text(text)
    assert error.title == "job.toml is not valid TOML"
    assert f"job.toml, line {line}, column {column}: " in error.body
    assert (error.line, error.column) == (line, column)
    assert words in error.body


def test_the_place_in_a_broken_line_is_marked_under_it() -> None:
    *_, source, mark = refused_text("[job]\nna\x1bme = 5\n").body.split("\n")
    assert source == "  na\\x1bme = 5"
    assert mark == "    ^"
    *_, source, mark = refused_text("a = " + "1" * 300 + " x").body.split("\n")
    assert len(source) < 80
    assert source[mark.index("^")] == "x"


def test_a_nul_character_is_named_with_its_place() -> None:
    error = refused_text("[job]\nname = 'a\0b'\n")
    assert "NUL" in error.title
    assert "line 2, column 10" in error.body


def test_forty_megabytes_are_refused_by_size(tmp_path: Path) -> None:
    with (tmp_path / "job.toml").open("wb") as file:
        file.truncate(40 * 1024 * 1024)
    error = refused(tmp_path)
    assert "too large" in error.title
    assert f"{LARGEST // 1024 // 1024} MiB" in error.body


def test_no_more_is_read_than_decides_the_size(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pourdeck.plan.reader.LARGEST", len(JOB.encode()))
    assert read_job(written(tmp_path, JOB.encode())).number == "J-1"
    refused(written(tmp_path, JOB.encode() + b"\n"))


NESTED = [
    "a = " + "[" * 200_000,
    "a = " + "[" * 3_000 + "]" * 3_000,
    "a = " + "{ b = " * 3_000 + "1" + " }" * 3_000,
    ".".join(["a"] * 1_000_000) + " = 1",
    "[" + ".".join(["a"] * 500_000) + "]",
    "[[" + ".".join(["a"] * 500_000) + "]]",
    "b = { " + " . ".join(['"a"'] * 200_000) + " = 1 }",
    "\n".join("[" + ".".join(["a"] * depth) + "]" for depth in range(1, 200)),
]


@pytest.mark.parametrize("text", NESTED, ids=range(len(NESTED)))
def test_deep_nesting_is_refused(text: str) -> None:
    assert "nested too deeply" in refused_text(text).title


def test_nesting_the_parser_can_take_is_a_fault_like_any_other() -> None:
    text = JOB.replace("width = 7000", "width = " + "[" * 150 + "]" * 150)
    with pytest.raises(JobFaulty) as caught:
        read_job_text(text, FOLDER)
    (fault,) = caught.value.findings
    assert (fault.code, fault.key, fault.mark) == ("wrong-type", "width", "W02")


def test_points_in_text_comments_and_numbers_are_no_dotted_keys() -> None:
    dots = ".".join("abcdefghijklmnop")
    text = JOB
    for old, new in (
        ('number = "J-1"', f"number = '{dots}'\ndrawings = '''\n{dots}\n'''"),
        ('"Ada Rowe"', f'"{dots} \\" {dots}"'),
        ('mark = "W02"', f'mark = """{dots}\n{dots}"""'),
        ("shift = [0, 12.5]", f'shift = [0.1, 2.3] # "{dots} 4.5 6.7 8.9 1.2'),
    ):
        text = changed(old, new, text)
    job = read_job_text(text, FOLDER)
    assert (job.number, job.drawings) == (dots, f"{dots}\n")
    assert job.people[0].name == f'{dots} " {dots}'
    assert job.stacks[0].panels[1].mark == f"{dots}\n{dots}"


def test_a_dotted_key_as_long_as_allowed_reads_on_to_its_fault() -> None:
    with pytest.raises(JobFaulty):
        read_job_text(".".join("a" * LONGEST_KEY) + " = 1\n" + JOB, FOLDER)


@pytest.mark.parametrize(
    "line",
    ['"\\"' * 200_000, '"a".' * 5 + "x" * 400_000, "'" * 300_001, '"""' + '\\"""' * 100_000,
     "a.b.c.d.e.f = " * 50_000, "1.1." * 200_000, "=." * 300_000],
    ids=range(7),
)  # fmt: skip
def test_looking_for_long_keys_ends_on_any_text(line: str) -> None:
    refused_text(f"......{line}\n")


@pytest.mark.parametrize("number", ["1" * 5_000, "-" + "9" * 100_000, "1_0" * 3_000])
def test_a_number_too_long_for_the_parser_is_given_with_its_line(number: str) -> None:
    error = refused_text(f"[kit]\nchamfer = {number}\n")
    assert "far too long" in error.title
    assert error.line == 2


def test_nothing_of_a_faulty_file_is_left_open(tmp_path: Path) -> None:
    path = written(tmp_path, b"\xff") / "job.toml"
    refused(tmp_path)
    path.rename(tmp_path / "moved.toml")
    assert not path.exists()
