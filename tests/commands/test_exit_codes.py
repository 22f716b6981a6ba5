"""Check how commands end: 0 nothing wrong, 1 errors found, 2 could not be done with one message."""

import errno
import json
import re
import shutil
from pathlib import Path

import pytest

from pourdeck.commands.jobs import open_job
from tests.commands.conftest import Job
from tests.commands.kit import READING, Command, Done, one_panel_cast
from tests.walk.kit import JOB

OVERHANG = JOB.replace('mark = "P2"\nwidth = 3000', 'mark = "P2"\nwidth = 3200')
FAULTY = JOB.replace("width = 3000", 'width = "3000"', 1)

every_reader = pytest.mark.parametrize("name", READING)
people_or_json = pytest.mark.parametrize("form", [(), ("--json",)], ids=["people", "json"])


def could_not(done: Done) -> str:
    """The message of a command that could not be done, once it is sure to be all there is."""
    assert done.code == 2
    assert done.out == ""
    assert done.err.startswith("pourdeck: ")
    assert done.err.count("pourdeck: ") == 1
    assert done.err.endswith("\n")
    assert "Traceback" not in done.err
    assert len(done.err.splitlines()) >= 2, "what to do about it is missing"
    return done.err


@every_reader
@people_or_json
def test_nothing_wrong_is_0(name: str, form: tuple[str, ...], command: Command, tmp_path: Path):
    done = command(name, one_panel_cast(tmp_path), *READING[name], *form)
    assert (done.code, done.err) == (0, "")
    assert done.out


@pytest.mark.parametrize("name", ["check", "board", "setout", "shrink"])
@people_or_json
def test_errors_of_the_plan_are_1(name: str, form: tuple[str, ...], command: Command, job: Job):
    words = ("--thickness", "175") if name == "shrink" else ()
    place = READING[name][:2]
    done = command(name, job(OVERHANG), *place, *words, *form)
    assert (done.code, done.err) == (1, "")
    assert "overhang" in done.out


def test_a_panel_is_judged_by_its_own_errors(command: Command, job: Job):
    assert command("setout", job(OVERHANG), "A", "1").code == 0


def test_a_size_change_is_judged_by_what_comes_of_it(command: Command, job: Job):
    folder = job(OVERHANG)
    assert command("shrink", folder, "A", "2", "--width", "3000").code == 0
    assert command("shrink", folder, "A", "2", "--width", "4000").code == 1


def test_check_lists_the_faults_of_the_file(command: Command, job: Job):
    done = command("check", job(FAULTY), "--json")
    assert (done.code, done.err) == (1, "")
    (finding,) = done.document["findings"]
    assert (finding["code"], finding["severity"]) == ("wrong-type", "error")
    line = FAULTY.splitlines().index('width = "3000"') + 1
    assert finding["where"] == {
        "stack": "A", "panel": 1, "mark": "P1", "file": "job.toml", "line": line,
        "table": "[[stack.panel]] 1 of stack A", "key": "width",
    }  # fmt: skip


def test_check_shows_people_each_fault_with_its_line(command: Command, job: Job):
    done = command("check", job(FAULTY))
    line = FAULTY.splitlines().index('width = "3000"') + 1
    assert done.code == 1
    assert f"job.toml line {line}, [[stack.panel]] 1 of stack A, panel P1: width is" in done.out
    assert "1 error, no warnings" in done.out


def test_check_shows_people_the_line_of_a_panel_that_does_not_fit(command: Command, job: Job):
    done = command("check", job(OVERHANG))
    line = OVERHANG.splitlines().index('mark = "P2"') + 1
    assert f"stack A panel 2 P2 (job.toml line {line}): right: overhangs" in done.out


@pytest.mark.parametrize("name", ["check", "board"])
def test_findings_of_the_plan_name_their_line_in_the_document(
    name: str, command: Command, job: Job
):
    findings = command(name, job(OVERHANG), "--json").document["findings"]
    (overhang,) = (one for one in findings if one["code"] == "overhang")
    assert overhang["where"] == {
        "stack": "A", "panel": 2, "mark": "P2", "side": "right", "file": "job.toml",
        "line": OVERHANG.splitlines().index('mark = "P2"') + 1,
        "table": "[[stack.panel]] 2 of stack A",
    }  # fmt: skip


def test_a_finding_about_one_key_names_it_in_the_document(command: Command, job: Job):
    text = JOB.replace('mark = "P2"', 'mark = "P1"')
    done = command("check", job(text), "--json")
    found = next(one for one in done.document["findings"] if one["code"] == "duplicate-mark")
    line = len(text[: text.rindex('mark = "P1"')].splitlines()) + 1
    assert (found["where"]["key"], found["where"]["line"]) == ("mark", line)


@pytest.mark.parametrize("name", ["board", "setout", "shrink"])
@people_or_json
def test_the_others_cannot_be_done_on_a_faulty_file(
    name: str, form: tuple[str, ...], command: Command, job: Job
):
    said = could_not(command(name, job(FAULTY), *READING[name], *form))
    assert "1 fault" in said
    assert 'width is "3000"' in said


def test_no_more_than_a_page_of_faults_is_told(command: Command, job: Job):
    text = JOB + "".join(f"x{n} = {n}\n" for n in range(100))
    said = could_not(command("board", job(text)))
    assert "100 faults" in said
    assert "60 more" in said
    assert len(said.splitlines()) < 50


def test_the_log_needs_no_plan(command: Command, tmp_path: Path):
    folder = one_panel_cast(tmp_path)
    (folder / "job.toml").write_text("broken [", encoding="utf-8")
    assert command("log", folder).code == 0


@pytest.mark.parametrize("name", READING)
def test_a_job_may_be_named_by_its_file(name: str, command: Command, tmp_path: Path):
    folder = one_panel_cast(tmp_path)
    by_folder = command(name, folder, *READING[name], "--json")
    assert command(name, folder / "job.toml", *READING[name], "--json") == by_folder


@pytest.mark.parametrize("name", READING)
def test_a_job_without_a_log_is_read(name: str, command: Command, job: Job):
    folder = job(JOB)
    assert command(name, folder, *READING[name]).code == 0
    assert [path.name for path in folder.iterdir()] == ["job.toml"], "reading writes nothing"


def test_a_job_without_a_log_says_so(command: Command, job: Job):
    assert "There is no log yet." in command("log", job(JOB)).out


def test_a_folder_that_is_no_job_has_no_log(command: Command, tmp_path: Path):
    assert "no job.toml" in could_not(command("log", tmp_path))


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("setout", "JOB", "Q", "1"), "there is no stack Q in Trial yard"),
        (("setout", "JOB", "A", "3"), "Its panels are 1 P1, 2 P2."),
        (("setout", "JOB", "A", "0"), "there is no panel 0"),
        (("setout", "JOB", "A", "-1"), "there is no panel -1"),
        (("setout", "JOB", "A", "one"), "'one' is no panel number"),
        (("setout", "JOB", "A", "1.0"), "'1.0' is no panel number"),
        (("setout", "JOB", "A", "1_0"), "'1_0' is no panel number"),
        (("setout", "JOB", "A", "9" * 5000), "is no panel number"),
        (("setout", "JOB", "A", "٣"), "is no panel number"),
        (("setout", "JOB", "A"), "required: N"),
        (("setout", "JOB"), "required: STACK, N"),
        (("setout",), "required: JOB"),
        (("setout", "", "A", "1"), "no job is named"),
        (("setout", "JOB", "A", "1", "more"), "unrecognized arguments: more"),
        (("setout", "JOB", "A", "1", "--jso"), "unrecognized arguments: --jso"),
        (("setout", "JOB", "A", "1", "--json=yes"), "--json"),
        (("nothing", "JOB"), "'nothing'"),
        (("check", "JOB", "--station", "a b"), "station 'a b'"),
        (("check", "JOB", "--station", "../x"), "station '../x'"),
        (("log", "JOB", "--head", "12"), "at least 12 characters"),
        (("log", "JOB", "--head", "xyzw"), "no head of a log"),
        (("shrink", "JOB", "A", "1", "--width", "wide"), "--width wide"),
        (("shrink", "JOB", "A", "1", "--width", "7,200"), "is it 7200 or 7.2000?"),
        (("shrink", "JOB", "A", "1", "--width=-5"), "cannot be below zero"),
        (("shrink", "JOB", "A", "1", "--width", "-5"), "cannot be below zero"),
        (("shrink", "JOB", "A", "1", "--width", "-5 mm"), "cannot be below zero"),
        (("shrink", "JOB", "A", "1", "--width", ""), "Nothing typed"),
        (("shrink", "JOB", "A", "1", "--width", "0"), "P1 cannot be 0 mm in width"),
        (("shrink", "JOB", "A", "1", "--width", "101 m"), "--width 101000 mm is above 100000 mm"),
        (("shrink", "JOB", "A", "1", "--height", "30"), "all chamfer"),
        (("shrink", "JOB", "A", "1", "--align", "base_left"), "Did you mean base-left?"),
        (("shrink", "JOB", "A", "1", "--align", "qqq"), "Take one of base-left, "),
        (("ascast", "JOB", "A", "1", "width_base=1"), "required: --by"),
        (("ascast", "JOB", "A", "1", "--by", "Ben Cole"), "required: KEY=VALUE"),
    ],
    ids=lambda value: " ".join(value)[:40] if isinstance(value, tuple) else "",
)
def test_words_that_do_not_fit_are_named(
    words: tuple[str, ...], says: str, command: Command, job: Job
):
    folder = str(job(JOB))
    assert says in could_not(command(*(folder if word == "JOB" else word for word in words)))


@pytest.mark.parametrize("words", [("--help",), ("shrink", "--help"), ("--version",)])
def test_help_and_version_end_with_0(words: tuple[str, ...], command: Command):
    with pytest.raises(SystemExit) as ended:
        command(*words)
    assert ended.value.code == 0


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (RuntimeError("Wilhelmina\nmeasured it"), "wrong in pourdeck itself.\nRuntimeError. What"),
        (MemoryError(), "no memory left for it."),
        (OSError(errno.ENOMEM, "Cannot allocate memory"), "no memory left for it."),
        (RuntimeError("can't start new thread"), "no memory left for it."),
        (RecursionError("Wilhelmina"), "nested too deeply."),
    ],
    ids=lambda value: type(value).__name__ if isinstance(value, Exception) else "",
)
def test_what_nobody_foresaw_is_told_and_kept_without_names_or_values(
    error: Exception,
    says: str,
    command: Command,
    job: Job,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
):
    def fail(*_: object, **__: object) -> None:
        name = "Wilhelmina"
        try:
            raise KeyError(name)
        except KeyError:
            raise error  # noqa: B904 - the chain is what is looked at

    monkeypatch.setattr("pourdeck.commands.check.open_desk", fail)
    said = could_not(command("check", job(JOB)))
    (kept,) = (tmp_path / "state" / "crashes").iterdir()
    text = kept.read_text(encoding="utf-8")
    assert says in said
    assert str(kept) in said
    assert "What was said to be saved is saved." in said
    assert "Wilhelmina" not in said + text
    assert str(tmp_path) not in text
    assert re.search(rf"^{type(error).__name__}$", text, re.MULTILINE)
    assert re.search(r"^  pourdeck/commands/check\.py:\d+ run$", text, re.MULTILINE)
    assert re.search(
        r"^KeyError\n  (tests/)?commands/test_exit_codes\.py:\d+ fail$", text, re.MULTILINE
    )


def test_stopping_a_command_ends_it_as_the_shell_expects(
    command: Command, job: Job, monkeypatch: pytest.MonkeyPatch
):
    """130: what shells say of a program ended by Ctrl-C; from memory."""

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("pourdeck.commands.check.open_desk", stop)
    done = command("check", job(JOB))
    assert (done.code, done.out, done.err) == (130, "", "")


@pytest.mark.parametrize("name", READING)
def test_one_document_stands_on_one_line(name: str, command: Command, tmp_path: Path):
    done = command(name, one_panel_cast(tmp_path), *READING[name], "--json")
    assert done.out.count("\n") == 1
    assert done.out.isascii(), "any terminal and any pipe can take it"
    assert json.loads(done.out) == done.document


def test_the_deck_needs_a_terminal(command: Command, job: Job):
    assert "needs a terminal" in could_not(command("open", job(JOB)))


def test_alone_it_looks_for_a_job_here(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    here = tmp_path / "site"
    here.mkdir()
    monkeypatch.chdir(here)
    assert "no job here" in could_not(command())
    for name in ("east", "west"):
        (here / "jobs" / name).mkdir(parents=True)
        (here / "jobs" / name / "job.toml").write_text(JOB, encoding="utf-8")
    assert "There are jobs/east, jobs/west." in could_not(command())
    (here / "jobs" / "west" / "job.toml").unlink()
    assert "needs a terminal" in could_not(command())


def test_the_demo_is_copied_once_and_then_kept(command: Command, tmp_path: Path):
    said = could_not(command("demo", tmp_path / "copy"))
    assert f"pourdeck open {tmp_path / 'copy'}" in said
    assert command("check", tmp_path / "copy").code == 0
    assert {path.name for path in (tmp_path / "copy" / "record").iterdir()}
    (tmp_path / "copy" / "mine").touch()
    assert command("demo", tmp_path / "copy").code == 2
    assert (tmp_path / "copy" / "mine").exists()


def test_the_demo_is_copied_anew_where_it_was_thrown_away(command: Command, tmp_path: Path):
    folder = tmp_path / "demo"
    for n in (1, 2):
        assert "the deck needs a terminal" in could_not(command("demo", folder)), n
        assert command("check", folder).code == 0
        assert command("log", folder, "--verify").code == 0
        open_job(folder, "shed", read_only=False).close()
        shutil.rmtree(folder)


def test_the_demo_does_not_cover_what_is_there(command: Command, tmp_path: Path):
    (tmp_path / "mine").touch()
    assert "is not empty" in could_not(command("demo", tmp_path))
