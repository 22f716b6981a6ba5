"""Lines of keys and values, against the parser of the standard library: at the line found for a path
stands the value the parser found for it."""

import string
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
import tomli_w
from hypothesis import given
from hypothesis import strategies as st

from pourdeck.plan.lines import Lines
from tests.plan.jobs import JOB

# Every value has a number of three figures in its first line that stands nowhere else.
CORPUS = {
    "plain": "a = 101\nb = 102\n\n# c = 1\nc = 103 # d = 1\n",
    "no line at the end": "a = 101",
    "carriage returns": "a = 101\r\n\r\n[t] # [x]\r\nb = 102\r\n",
    "strings": (
        'a = \'x # 101\'\nb = "y \\" ] } , # 102"\n"c.d" = 103\n\'e"f\' = 104\n"" = 105\n'
        '"\\u0041" = 106\n'
    ),
    "many-line strings": (
        'a = """ 101\n[t]\nx = 1 \\\n """\nb = \'\'\' 102\n"""\n# \'\'\'\nc = """103"""""\n'
        "d = ''''104'''\ne = \"\"\"105\\\"\"\"\"\nf = 106\n"
    ),
    "tables": "[a]\nx = 101\n[a.b]\ny = 102\n[ c . 'd e' ]\nz = 103\n[c]\nw = 104\n",
    "lists of tables": (
        "[[s]]\nid = 101\n[[s.p]]\nm = 102\n[[s.p]]\nm = 103\n[s.p.q]\nr = 104\n[[s]]\nid = 105\n"
        "[[s.p]]\nm = 106\n[[s.p.o]]\nn = 107\n[[s.p.o]]\nn = 108\n[t]\nu = 109\n"
    ),
    "dotted keys": "a.b.c = 101\na.b.d = 102\n[t]\n'x y'.\"z\" = 103\nu . v = 104\nu.w.x = 105\n",
    "lists": (
        "a = [101, 102]\nb = [\n  103, # ]\n  104,\n\n  [ 105,\n 106 ],\n]\nc = [ [ 107 ], [],\n[108] ]\n"
        "d = ['109', \"1,10\", '''111\n''', 112]\ne = 113\n"
    ),
    "inline tables": (
        "a = { x = 101, y = 102 }\nb = [\n { x = 103, y = [104,\n 105] },\n # { x = 1 },\n"
        " { z.w = 106, 'v }' = \"107 }\" },\n]\nc = {}\nd = { e = { f = { g = 108 } } }\n"
    ),
    "dates": "a = 1101-05-27 07:32:00\nb = [ 1102-05-27, 1103-01-01T00:00:00Z ]\nc = 104\n",
    "numbers": "a = +101\nb = -102.5\nc = 1_03\nd = true\ne = inf\nf = 1.04e2\ng = 105\n",
    "deeper than anyone asks for": (
        "a = " + "[" * 30 + "'[', \"]\", # }\n{ b = 1 }" + "]" * 30 + "\nc = 102\n"
    ),
    "nothing": "",
    "only a comment": "# a",
}


def leaves(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[Any, ...]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from leaves(inner, (*path, index))
    else:
        yield path, value


def digits(text: object) -> str:
    return "".join(char for char in str(text) if char in string.digits)


@pytest.mark.parametrize("name", [name for name in CORPUS if "deeper" not in name])
def test_the_line_of_every_value_of_a_corpus(name: str) -> None:
    text = CORPUS[name]
    lines = Lines(text)
    source = text.split("\n")
    for path, value in leaves(tomllib.loads(text)):
        assert lines.has(path)
        assert digits(value)[:3] in digits(source[lines.line_of(path) - 1]), path


def test_what_lies_very_deep_is_passed_over_and_what_follows_is_found() -> None:
    lines = Lines(CORPUS["deeper than anyone asks for"])
    assert lines.line_of(("a",)) == 1
    assert lines.line_of(("c",)) == 3


def test_the_rest_of_a_very_long_list_has_the_line_of_the_list() -> None:
    lines = Lines("a = [\n" + "'[',\n" * 12_000 + "[1], { b = ']' } # ]\n]\nc = 5\n")
    assert lines.line_of(("a", 9_000)) == 9_002
    assert lines.line_of(("a", 11_000)) == 1
    assert lines.line_of(("c",)) == 12_004


def test_a_path_that_is_not_there_gives_the_table_round_it() -> None:
    lines = Lines(CORPUS["lists of tables"])
    assert lines.line_of(("s", 0, "p", 1, "missing")) == 5
    assert lines.line_of(("s", 1, "p", 0, "o", 7)) == 13
    assert lines.line_of(("s", 9, "p")) == 1
    assert lines.line_of(("t", "v", 3)) == 17
    assert lines.line_of(("nothing", "of", "this")) == 1
    assert lines.line_of(()) == 1
    assert not lines.has(("s", 2))


def test_text_can_be_read_back_at_its_path() -> None:
    lines = Lines('a = "x\\u0041 # y"\nb = \'z\'\nc = """q\n"""\nd = 5\n')
    assert [lines.string_at((key,)) for key in "abcde"] == ["xA # y", "z", "q\n", None, None]


def test_the_lines_of_a_job() -> None:
    lines = Lines(JOB)
    source = JOB.split("\n")
    found = {path: source[lines.line_of(path) - 1] for path, _ in leaves(tomllib.loads(JOB))}
    assert len(found) > 70
    for path, line in found.items():
        key = next(part for part in reversed(path) if isinstance(part, str))
        assert key in line


@pytest.mark.parametrize("cut", range(0, len(JOB), 7))
def test_text_that_is_not_whole_ends_the_search_and_nothing_else(cut: int) -> None:
    Lines(JOB[:cut])
    Lines(JOB[cut:])


KEYS = st.text(st.sampled_from("ab-_ .\"'\\#[]=é\n"), min_size=0, max_size=4)
VALUES = st.recursive(
    st.none(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=12,
)


def numbered(shape: Any, numbers: Iterator[int]) -> Any:
    """The shape with a number of its own at every leaf."""
    if isinstance(shape, dict):
        return {key: numbered(inner, numbers) for key, inner in shape.items()}
    if isinstance(shape, list):
        return [numbered(inner, numbers) for inner in shape]
    return next(numbers)


@given(st.dictionaries(KEYS, VALUES, max_size=4), st.booleans())
def test_any_document_a_writer_makes(shape: dict[str, Any], many_lines: bool) -> None:
    document = numbered(shape, iter(range(1_000_001, 1_001_000)))
    text = tomli_w.dumps(document, multiline_strings=many_lines)
    lines = Lines(text)
    source = text.split("\n")
    for path, value in leaves(tomllib.loads(text)):
        if len(path) <= 12:
            assert str(value) in source[lines.line_of(path) - 1]


TEXTS = st.text(st.sampled_from("ab\"'\\#[]{}=,\n\t é"), max_size=8)


@given(st.lists(TEXTS, max_size=5), st.booleans())
def test_any_text_between_values_loses_no_line(texts: list[str], many_lines: bool) -> None:
    document: dict[str, Any] = {}
    for index, text in enumerate(texts):
        document[f"text{index}"] = text
        document[f"list{index}"] = [text, 2_000_001 + index]
        document[f"number{index}"] = 1_000_001 + index
    written = tomli_w.dumps(document, multiline_strings=many_lines)
    lines = Lines(written)
    source = written.split("\n")
    for index, text in enumerate(texts):
        line = source[lines.line_of((f"number{index}",)) - 1]
        assert line == f"number{index} = {1_000_001 + index}"
        assert str(2_000_001 + index) in source[lines.line_of((f"list{index}", 1)) - 1]
        assert lines.string_at((f"text{index}",)) == text


def test_what_is_not_gone_into_is_passed_over_whole() -> None:
    """Whatever stands in it: brackets in strings, remarks, quotes of every kind."""
    text = (
        'a = [ { b = "]" }, # ] "\n'
        '  { c = \'}\', d = "\\"]" }, """]\n" ]""", \'\'\']\'\'\', "", \'\' ]\n'
        "e = 1\n"
    )
    assert tomllib.loads(text)["e"] == 1
    lines = Lines(text, 0)
    assert lines.line_of(("e",)) == 4
    assert not lines.has(("a", 0))
    assert Lines(text).has(("a", 1, "d"))
