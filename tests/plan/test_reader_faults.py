"""Faults of the file: each with its place, what was found and what would be right, all in one go."""

from decimal import Decimal

import pytest

from pourdeck.plan.lengths import format_length
from pourdeck.plan.reader import MOST_FAULTS
from tests.plan.jobs import HEAD, JOB, changed, faults


def line_of(text: str, part: str) -> int:
    assert text.count(part) == 1, part
    return text[: text.index(part)].count("\n") + 1


# What is put in place of `width = 7000` of panel W02, its code, and words its message must have.
WRONG_LENGTHS = [
    ('"7200"', "wrong-type", ['width is "7200"', "a length in mm", "Write 7200 without quotes"]),
    ('"7.2 m"', "wrong-type", ['width is "7.2 m"', "a length in mm", "no unit"]),
    ("true", "wrong-type", ["width is true"]),
    ("[7200]", "wrong-type", ["width is a list of 1", "without brackets"]),
    ("[]", "wrong-type", ["width is an empty list"]),
    ("{ mm = 7200 }", "wrong-type", ["width is a table"]),
    ("2024-02-01", "wrong-type", ["2024-02-01", "date"]),
    ("07:30:00", "wrong-type", ["07:30:00", "time"]),
    ("2024-02-01T07:30:00Z", "wrong-type", ["2024-02-01T07:30:00+00:00"]),
    ("nan", "out-of-range", ["width is nan"]),
    ("-nan", "out-of-range", ["width is nan"]),
    ("inf", "out-of-range", ["width is inf"]),
    ("-inf", "out-of-range", ["width is -inf"]),
    ("-7200", "out-of-range", ["width is -7200", "above 0"]),
    ("-7200.5", "out-of-range", ["width is -7200.5"]),
    ("0", "out-of-range", ["width is 0", "above 0"]),
    ("0.0", "out-of-range", ["width is 0.0"]),
    ("100000.5", "out-of-range", ["up to 100000"]),
    ("7000.00000000001", "out-of-range", ["At most 6 decimals", "write 7000"]),
    ("1e400", "out-of-range", ["width is 1e+400"]),
    ("1e99999999999999999999999", "out-of-range", ["width is 1e999999"]),
    ("9" * 80, "out-of-range", ["over sixty figures"]),
    ("0x" + "f" * 6000, "out-of-range", ["over sixty figures"]),
    ("1." + "1" * 9000, "out-of-range", ["width is 1.1111"]),
]


@pytest.mark.parametrize(("given", "code", "words"), WRONG_LENGTHS)
def test_a_wrong_length_says_where_what_and_what_would_be_right(
    given: str, code: str, words: list[str]
) -> None:
    text = changed("width = 7000", f"width = {given}")
    (fault,) = faults(text)
    assert (fault.code, fault.severity, fault.key) == (code, "error", "width")
    assert (fault.stack, fault.panel, fault.mark) == ("A", 2, "W02")
    assert (fault.file, fault.line) == ("job.toml", line_of(text, "width = " + given))
    assert fault.table == "[[stack.panel]] 2 of stack A"
    place = f"job.toml line {fault.line}, [[stack.panel]] 2 of stack A, panel W02: "
    assert fault.message.startswith(place)
    for word in words:
        assert word in fault.message
    assert len(fault.message) < 400


# One place changed, and the one fault there: code, key, table, words of its message.
ONE_FAULT = [
    ("format = 1", "", "missing-key", "format", "top of the file", ["format this deck reads"]),
    ("format = 1", "format = 2", "bad-value", "format", "top of the file", ["1, the format"]),
    ("format = 1", "format = true", "wrong-type", "format", "top of the file", []),
    ("format = 1", 'format = "1"', "wrong-type", "format", "top of the file", []),
    ('number = "J-1"', "", "missing-key", "number", "[job]", []),
    ('number = "J-1"', "number = 12", "wrong-type", "number", "[job]", ["in quotes"]),
    ('number = "J-1"', 'number = " "', "bad-value", "number", "[job]", ["blank"]),
    ('number = "J-1"', f'number = "{"x" * 81}"', "out-of-range", "number", "[job]",
     ["81 characters"]),
    ('name = "Ada Rowe"\n', "", "missing-key", "name", "[[person]] 1", []),
    ('role = "foreman"', 'role = "forman"', "bad-value", "role", "[[person]] 1",
     ['nearest is "foreman"']),
    ('role = "foreman"', "role = 1", "wrong-type", "role", "[[person]] 1", ["one of"]),
    ('"Australia/Hobart"', '"Australia/Hobert"', "bad-value", "zone", "[site]",
     ['"Australia/Hobart"']),
    ('"Australia/Hobart"', '"../../etc/passwd"', "bad-value", "zone", "[site]", ["IANA"]),
    ('"Australia/Hobart"', '"Australia"', "bad-value", "zone", "[site]", ["IANA"]),
    ('"Australia/Hobart"', '"a\\u0000b"', "bad-value", "zone", "[site]", ["a\\x00b"]),
    ('"Australia/Hobart"', "10", "wrong-type", "zone", "[site]", ["IANA"]),
    ("chamfer = 15", "", "missing-key", "chamfer", "[kit]", []),
    ("chamfer = 15", "chamfer = -1", "out-of-range", "chamfer", "[kit]", []),
    ("chamfer = 15", "chamfer = 75", "out-of-range", "chamfer", "[kit]", ["half of 150"]),
    ("[125, 150, 175, 200]", "[]", "bad-value", "depths", "[kit]", ["empty"]),
    ("[125, 150, 175, 200]", "150", "wrong-type", "depths", "[kit]", []),
    ("[125, 150, 175, 200]", '[125, "150"]', "wrong-type", "depths", "[kit]",
     ["value 2 of depths", "Write 150"]),
    ("pitch = 1000", "pitch = 0", "out-of-range", "pitch", "holes of [kit]", []),
    (", pitch = 1000", "", "missing-key", "pitch", "holes of [kit]", []),
    ("end_min = 150", "end_min = 1001", "bad-value", "end_min", "anchors of [kit]", ["end_max"]),
    ("{ min = 0, max = 1000 }", "{ min = 9, max = 8 }", "bad-value", "min", "overrun of [kit]",
     ["at most max, which is 8"]),
    ("length = 1000,", "length = 49,", "out-of-range", "length", "stock 1 of [kit]", ["from 50"]),
    ("count = 12", "count = -1", "out-of-range", "count", "stock 2 of [kit]", []),
    ("count = 12", "count = 12.0", "wrong-type", "count", "stock 2 of [kit]",
     ["without a decimal point"]),
    ("brackets = 60", "brackets = 0.5", "wrong-type", "brackets", "[kit]", ["whole number"]),
    ("[140, 300]", "[300, 140]", "bad-value", "reach", "bolts 2 of [kit]", ["Turn the two round"]),
    ("[140, 300]", "[140]", "wrong-type", "reach", "bolts 2 of [kit]", ["It has 1"]),
    ("[140, 300]", "160", "wrong-type", "reach", "bolts 2 of [kit]", ["two numbers"]),
    ('"inner"', '"outer"', "bad-value", "name", "bolts 2 of [kit]", ["no other bolt"]),
    ('"engineer\'s note 14"', "14", "wrong-type", "climb", "sources of [limits]", ["in quotes"]),
    ('sources = { climb = "engineer\'s note 14" }', "", "missing-key", "climb",
     "sources of [limits]", ["climb.strength"]),
    ("climb = {", "lift = { eccentricity = 50 }\nclimb = {", "missing-key", "lift",
     "sources of [limits]", ["lift.eccentricity"]),
    ("climb = {", "lift = { factor = 1.5 }\nclimb = {", "missing-key", "lift",
     "sources of [limits]", ["lift.factor"]),
    ("climb = {", "lift = { factor = 0.9 }\nclimb = {", "out-of-range", "factor",
     "lift of [limits]", ["1 or more"]),
    ("climb = { strength = 10, hours = 18 }\nsources = { climb", 'climb = { hours = 18, by = "estimate" }\n'
     "sources = { lap", "missing-key", "climb", "sources of [limits]", ["climb.by"]),
    ("climb = {", "strip = { strength = 5 }\nclimb = {", "missing-key", "strip",
     "sources of [limits]", ["strip.strength"]),
    ("climb = {", 'strip = { hours = 5, by = "estimate" }\nclimb = {', "missing-key", "strip",
     "sources of [limits]", ["strip.by"]),
    ("hours = 18", 'hours = 18, by = "guess"', "bad-value", "by", "climb of [limits]",
     ['one of "test", "estimate"']),
    ("hours = 18", "hours = 18, by = 1", "wrong-type", "by", "climb of [limits]", []),
    ("climb = {", "temperature_gap = 0\nclimb = {", "out-of-range", "temperature_gap", "[limits]",
     ["hours"]),
    ("climb = {", "temperature_gap = 169\nclimb = {", "out-of-range", "temperature_gap", "[limits]", []),
    ("climb = {", "lift = { eccentricity = -1 }\nclimb = {", "out-of-range", "eccentricity",
     "lift of [limits]", []),
    ('source = "specification, table 2"', "", "missing-key", "source", "[tolerance]", ["bands"]),
    ('source = "specification, table 2"', "source = 2", "wrong-type", "source", "[tolerance]", []),
    ("upto = 6000, ", "", "missing-key", "upto", "width 1 of [tolerance]", ["only the last"]),
    ("{ plus = 10, minus = 10 }", "{ upto = 6000, plus = 10, minus = 10 }", "bad-value", "upto",
     "width 2 of [tolerance]", ["above 6000"]),
    ("{ plus = 10, minus = 10 }", "{ plus = 10 }", "missing-key", "minus",
     "width 2 of [tolerance]", []),
    ("[ { plus = 13 } ]", "{ plus = 13 }", "wrong-type", "diagonals", "[tolerance]",
     ["list of tables"]),
    ('id = "B"', "id = 2", "wrong-type", "id", "[[stack]] 2", ["in quotes"]),
    ('id = "B"', 'id = "A"', "bad-value", "id", "[[stack]] 2", ["no other stack"]),
    ('id = "B"', 'id = "a"', "bad-value", "id", "[[stack]] 2", ["no other stack"]),
    ("bed_rl = 41.2\n", "", "missing-key", "bed_rl", "[[stack]] 2", ["in m"]),
    ("bed_rl = 41.2", "bed_rl = 2024-02-01", "wrong-type", "bed_rl", "[[stack]] 2", []),
    ('align = "base-left"', 'align = "center-left"', "bad-value", "align",
     "[[stack.panel]] 2 of stack A", ['nearest is "centre-left"']),
    ("shift = [0, 12.5]", "shift = 12.5", "wrong-type", "shift",
     "[[stack.panel]] 2 of stack A", []),
    ("lift = 3", "lift = 0", "out-of-range", "lift", "[[stack.panel]] 2 of stack A", []),
    ("lift = 3", "lift = 3.5", "wrong-type", "lift", "[[stack.panel]] 2 of stack A", []),
    ('drawn_from = "outside"', 'drawn_from = "out"', "bad-value", "drawn_from",
     "[[stack.panel]] 2 of stack A", ['"outside"']),
    ("thickness = 200", "thickness = 2001", "out-of-range", "thickness",
     "[[stack.panel]] 1 of stack B", []),
    ('mark = "W03"', 'mark = ""', "bad-value", "mark", "[[stack.panel]] 1 of stack B", ["blank"]),
    ("y = 0, ", "", "missing-key", "y", "openings 1 of [[stack.panel]] 1 of stack A", []),
    ("width = 1000", "width = 0", "out-of-range", "width",
     "openings 1 of [[stack.panel]] 1 of stack A", []),
    ('kind = "lifter", x', 'kind = "liftr", x', "bad-value", "kind",
     "castins 1 of [[stack.panel]] 1 of stack A", ['nearest is "lifter"']),
    (", y = 6200", "", "missing-key", "y", "castins 1 of [[stack.panel]] 1 of stack A",
     ["either x and y"]),
    (", at = 1500", "", "missing-key", "at", "castins 2 of [[stack.panel]] 1 of stack A", []),
    (', edge = "head", at = 1500', "", "missing-key", None,
     "castins 2 of [[stack.panel]] 1 of stack A", ["either x and y"]),
    ("at = 1500", "at = 1500, x = 1, y = 2", "bad-value", "edge",
     "castins 2 of [[stack.panel]] 1 of stack A", ["one pair"]),
    ('edge = "head"', 'edge = "top"', "bad-value", "edge",
     "castins 2 of [[stack.panel]] 1 of stack A", ['"head"']),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "code", "key", "table", "words"), ONE_FAULT)
def test_one_slip_is_one_fault_at_its_place(
    old: str, new: str, code: str, key: str | None, table: str, words: list[str]
) -> None:
    (fault,) = faults(changed(old, new))
    assert (fault.code, fault.key, fault.table) == (code, key, table)
    assert fault.file == "job.toml"
    assert f"job.toml line {fault.line}, {table}" in fault.message
    for word in words:
        assert word in fault.message


UNKNOWN = [
    ("brackets = 60", "brackest = 60", "brackest", "[kit]", "nearest known key is brackets"),
    ("thickness = 200", "thickness = 200\nthicknes = 1", "thicknes",
     "[[stack.panel]] 1 of stack B", "nearest known key is thickness"),
    ("lift = 3", "Lift = 3", "Lift", "[[stack.panel]] 2 of stack A", "nearest known key is lift"),
    ("[site]", "[sites]", "sites", "top of the file", "nearest known key is site"),
    ("clear = 150", "clear = 150, clr = 1", "clr", "anchors of [kit]", "nearest known key is clear"),
    ("hours = 18", "hour = 18", "hour", "climb of [limits]", "nearest known key is hours"),
    ("[site]", '"[/x]\\u001b" = 1\n[site]', "[/x]\x1b", "[job]", "unknown key [/x]\\x1b"),
    ("[site]", '"" = 1\n[site]', "", "[job]", "Known here: name, number, units, drawings"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "key", "table", "words"), UNKNOWN)
def test_an_unknown_key_is_named_with_the_nearest_known_one(
    old: str, new: str, key: str, table: str, words: str
) -> None:
    (fault,) = faults(changed(old, new))
    assert (fault.code, fault.key, fault.table) == ("unknown-key", key, table)
    assert words in fault.message
    assert fault.message.isprintable()


EMPTY_STACKS = [
    (HEAD, "missing-key", "stack"),
    (HEAD.replace("format = 1", "format = 1\nstack = []"), "bad-value", "stack"),
    (HEAD + '[[stack]]\nid = "A"\nbed_rl = 1\n', "missing-key", "panel"),
    (HEAD + '[[stack]]\nid = "A"\nbed_rl = 1\npanel = []\n', "bad-value", "panel"),
]


@pytest.mark.parametrize(("text", "code", "key"), EMPTY_STACKS)
def test_an_empty_stack_is_a_fault(text: str, code: str, key: str) -> None:
    (fault,) = faults(text)
    assert (fault.code, fault.key) == (code, key)


WRONG_TABLES = [
    ("[job]", "[[job]]", "job", "single brackets"),
    ("[kit]", "[[kit]]", "kit", "single brackets"),
    ("[[person]]", "[person]", "person", "two brackets"),
]


@pytest.mark.parametrize(("old", "new", "key", "words"), WRONG_TABLES)
def test_brackets_round_a_header_are_put_right(old: str, new: str, key: str, words: str) -> None:
    (fault,) = faults(changed(old, new))
    assert (fault.code, fault.key) == ("wrong-type", key)
    assert words in fault.message


@pytest.mark.parametrize("value", ["5", '"x"', "[]", "[1]", "[[]]", "true", "2024-01-01", "{}"])
@pytest.mark.parametrize(
    "key", ["job", "site", "person", "kit", "mix", "limits", "tolerance", "stack", "step"]
)
def test_a_table_of_another_kind_is_a_fault_or_nothing(key: str, value: str) -> None:
    lines = JOB.split("\n")
    head = next((i for i, line in enumerate(lines) if line in (f"[{key}]", f"[[{key}]]")), None)
    if head is not None:
        end = next(
            (i for i in range(head + 1, len(lines)) if lines[i].startswith("[")
             and not lines[i].startswith(f"[[{key}")), len(lines)
        )  # fmt: skip
        del lines[head:end]
    text = "\n".join([f"{key} = {value}", *lines])
    whole = {"{}": ("site", "mix", "limits", "tolerance"), "[]": ("person", "step")}
    if key in whole.get(value, ()):
        return
    assert {fault.code for fault in faults(text)} <= {"wrong-type", "missing-key", "bad-value"}


STEPS = [
    ('drop = "forms.line"', ["reason"]),
    ('drop = "forms.line"\nreason = "x"\nid = "y"', ["id"]),
    ('id = "y"', ["prompt", "section"]),
    ('section = 1\nid = "y"\nprompt = "p"', ["section"]),
    ('section = "s"\nid = "y"\nprompt = "p"\nanswer = "maybe"', ["answer"]),
    ('section = "s"\nid = "y"\nprompt = "p"\nsecond = "yes"', ["second"]),
    ('section = "s"\nid = "y"\nprompt = "p"\nexpected = true', ["expected"]),
    ('section = "s"\nid = "y"\nprompt = "p"\nchoices = ["a", 1]', ["choices"]),
    ('section = "s"\nid = "y"\nprompt = "p"\nplus = -1', ["plus"]),
]


@pytest.mark.parametrize(("step", "keys"), STEPS)
def test_a_step_of_the_job_adds_or_drops(step: str, keys: list[str]) -> None:
    found = faults(f"{JOB}\n[[step]]\n{step}\n")
    assert sorted(fault.key or "" for fault in found) == keys
    assert {fault.table for fault in found} == {"[[step]] 1"}


def test_all_faults_of_a_file_come_in_one_go_and_in_the_order_of_its_lines() -> None:
    text = JOB
    for old, new in (
        ("chamfer = 15", "chamfer = true"),
        ("brackets = 60", "brackest = 60"),
        ('role = "foreman"', 'role = "boss"'),
        ('"Australia/Hobart"', '"Mars/North"'),
        ("x = 900, y = 0", "x = 6900, y = -1"),
        ("width = 7000", 'width = "7000"'),
        ("lift = 3", "lift = 4"),
        ('mark = "W03"', 'mark = "W01"'),
        ("bed_rl = 41.2", "bed_rl = nan"),
        ("thickness = 200\n", ""),
    ):
        text = changed(old, new, text)
    found = faults(text)
    assert sorted(fault.code for fault in found) == sorted([
        "wrong-type", "unknown-key", "bad-value", "bad-value", "opening-outside", "wrong-type",
        "duplicate-lift", "lift-order", "duplicate-mark", "out-of-range", "missing-key",
    ])  # fmt: skip
    lines = [fault.line for fault in found if fault.line is not None]
    assert lines == sorted(lines)
    assert len(lines) == len(found)
    for fault in found:
        assert fault.message.startswith(f"job.toml line {fault.line}, {fault.table}")


def test_the_plan_of_an_imperial_job_is_spoken_of_in_feet() -> None:
    text = changed('number = "J-1"', 'number = "J-1"\nunits = "imperial"')
    text = changed("x = 900,", "x = 6504.8,", changed("brackets = 60", "brackets = -1", text))
    (plan,) = [fault for fault in faults(text) if fault.code == "opening-outside"]
    assert format_length(Decimal("304.8"), "imperial") in plan.message


def test_text_from_the_file_is_harmless_in_messages() -> None:
    hostile = "[/x] [A-1] [Foo] [\\u001b[2J\\u202e\\u0007\\u009b"
    text = JOB.replace("W02", hostile).replace('"A"', f'"{hostile}"')
    found = faults(text.replace("width = 7000", f'width = "{hostile}"'))
    assert found[0].mark == "[/x] [A-1] [Foo] [\x1b[2J\u202e\x07\x9b"
    for fault in found:
        assert fault.message.isprintable()
        assert "[/x] [A-1] [Foo] [\\x1b[2J\\u202e\\x07\\x9b" in fault.message
        assert (fault.table or "").isprintable()


def test_very_long_text_is_cut() -> None:
    text = JOB.replace('"W02"', f'"{"m" * 50_000}"').replace("lift = 3", f"{'k' * 50_000} = 1")
    for fault in faults(text):
        assert len(fault.message) < 600
        assert len(fault.mark or "") < 200
        assert len(fault.key or "") < 200


def test_beyond_a_thousand_faults_the_rest_is_counted() -> None:
    extra = "\n".join(f"key{number} = 1" for number in range(MOST_FAULTS + 25))
    found = faults(f"{extra}\n{JOB}")
    assert len(found) == MOST_FAULTS + 1
    assert found[-1].code == "more-faults"
    assert "25 more" in found[-1].message
