"""Names that people may type, shown literally and harmlessly wherever a command prints or writes them.

Markup, control, bidirectional and zero-width characters, line breaks, half characters, long names.
"""

import re
import tomllib
from pathlib import Path

import pytest

from pourdeck.plan.messages import literal
from tests.commands.conftest import Job
from tests.commands.kit import READING, Command, log_of, one_panel_cast
from tests.walk.kit import FOREMAN, JOB, on_second

MARKUP = "[/x] [A-1] [Foo] ["
CONTROL = "\x1b[31mred\x07\x9b2J"
TURNED = "W\u202e70\u2066\u200b\ufeff"
BROKEN = "one\ntwo\r\tthree\u2028four\x85"
HOSTILE = [MARKUP, CONTROL, TURNED, BROKEN, "'\"\\ = # {x}", ":smile: $(rm) %s {0}", "é漢字🙂"]

ESCAPES = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2066-\u2069\ufeff]")
"""Match characters that no printed line may hold; the end of a line is left out."""


def quoted(text: str) -> str:
    """As a TOML string, every character that is not plain written as an escape."""
    return '"' + "".join(
        char if char.isalnum() and char.isascii() else f"\\U{ord(char):08x}" for char in text
    ) + '"'  # fmt: skip


def named(text: str) -> str:
    """The small job with every name in it changed to `text`, or made different by a number."""
    parts = {
        '"Trial yard"': text, '"TY-1"': text, '"TBM"': text, '"P1"': text, '"P2"': f"{text}2",
        'rev = "B"': None, '"outer"': text, '"inner"': f"{text}2", '"A"': text,
    }  # fmt: skip
    changed = JOB
    for old, new in parts.items():
        changed = changed.replace(old, f"rev = {quoted(text)}" if new is None else quoted(new))
    width = "width = 3000"
    opening = (
        f"openings = [ {{ name = {quoted(text)}, x = 900, y = 900, width = 90, height = 90 }} ]"
    )
    castin = f'castins = [ {{ name = {quoted(text)}, kind = "plate", x = 300, y = 300 }} ]'
    return changed.replace(width, f"{width}\n{opening}\n{castin}")


def words(name: str, text: str) -> tuple[str, ...]:
    return tuple(text if word == "A" else word for word in READING[name])


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("name", ["check", "board", "setout", "shrink"])
def test_names_are_shown_as_they_are(name: str, text: str, command: Command, job: Job):
    done = command(name, job(named(text)), *words(name, text))
    assert (done.code, done.err) == (0, "")
    assert literal(text) in done.out
    assert not ESCAPES.search(done.out)


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("name", ["check", "board", "setout", "shrink"])
def test_json_holds_names_exactly(name: str, text: str, command: Command, job: Job):
    done = command(name, job(named(text)), *words(name, text), "--json")
    document = done.document
    if name == "board":
        assert [stack["stack"] for stack in document["stacks"]] == [text]
        assert document["stacks"][0]["panels"][0]["mark"] == text
    elif name == "check":
        assert document["job"] == text
    else:
        assert (document["stack"], document["mark"]) == (text, f"{text}2")
    if name == "setout":
        assert (document["job"], document["rev"]) == (text, text)
        assert (document["openings"][0]["name"], document["castins"][0]["name"]) == (text, text)
        assert document["bolts"]["base"] == text
    assert not ESCAPES.search(done.out)


@pytest.mark.parametrize("text", HOSTILE)
def test_messages_quote_names_harmlessly(text: str, command: Command, job: Job):
    folder = job(named(text))
    for given in (
        ("setout", folder, text, "9"),
        ("setout", folder, f"{text}?", "1"),
        ("setout", folder, text, text),
        ("shrink", folder, text, "1", "--width", text),
        ("shrink", folder, text, "1", "--align", text),
        ("ascast", folder, text, "1", f"{text}=1", "--by", FOREMAN),
        ("ascast", folder, text, "1", "width_base=1", "--by", text),
        ("check", folder, "--station", text),
        ("log", folder, "--head", text),
        ("check", f"{folder}{text}"),
        ("check", folder, text),
        (text,),
    ):
        done = command(*given)
        assert (done.code, done.out) == (2, ""), given
        assert not ESCAPES.search(done.err), given
        assert "Start it again" not in done.err, given


@pytest.mark.parametrize("text", HOSTILE)
def test_faults_quote_names_harmlessly(text: str, command: Command, job: Job):
    faulty = named(text).replace("lift = 2", f"lift = 2\n{quoted(text)} = {quoted(text)}", 1)
    folder = job(faulty)
    check = command("check", folder)
    assert check.code == 1
    assert not ESCAPES.search(check.out)
    assert command("check", folder, "--json").document["findings"][0]["code"] == "unknown-key"
    board = command("board", folder)
    assert board.code == 2
    assert not ESCAPES.search(board.err)


@pytest.mark.parametrize("text", HOSTILE)
def test_reasons_stand_in_the_log_as_typed_and_are_shown_harmlessly(
    text: str, command: Command, tmp_path: Path
):
    folder = one_panel_cast(tmp_path)
    typed = text.strip()
    done = command(
        "shrink", folder, "A", "2", "--width", "2900", "--apply", "--by", FOREMAN, "--reason", text
    )
    assert done.code == 0
    page = command("log", folder)
    assert page.code == 0
    assert literal(typed) in page.out
    assert not ESCAPES.search(page.out)
    entry = command("log", folder, "--json").document["entries"][-1]
    assert entry["data"]["reason"] == typed
    assert log_of(folder).isascii()


def test_half_a_character_in_a_name_is_refused_not_recorded(command: Command, tmp_path: Path):
    """Give the bytes that are no UTF-8 as a shell hands them over."""
    folder = one_panel_cast(tmp_path)
    log = log_of(folder)
    done = command(
        "shrink", folder, "A", "2", "--width", "2900", "--apply", "--by", FOREMAN,
        "--reason", "caf\udce9",
    )  # fmt: skip
    assert (done.code, done.out) == (2, "")
    assert "half a character" in done.err
    assert log_of(folder) == log


@pytest.mark.parametrize("text", HOSTILE)
def test_the_record_of_a_panel_of_any_mark_is_a_plain_file(
    text: str, command: Command, tmp_path: Path
):
    crew = on_second(tmp_path, JOB.replace('"P2"', quoted("P3")).replace('"P1"', quoted(text)))
    crew.desk.close()
    folder = tmp_path / "job"
    assert (
        command(
            "ascast", folder, "A", "1", "width_base=3001", "--by", FOREMAN, "--reason", "again"
        ).code
        == 0
    )
    (record,) = (folder / "record").iterdir()
    assert re.fullmatch(r"A-1-[A-Za-z0-9._-]+\.toml", record.name)
    written = record.read_text(encoding="utf-8")
    assert not ESCAPES.search(written)
    assert tomllib.loads(written)["panel"]["mark"] == literal(text)


def test_long_names_are_not_cut(command: Command, job: Job):
    text = "W" * 70
    for name in ("board", "setout", "shrink"):
        assert text in command(name, job(named(text)), *words(name, text)).out
