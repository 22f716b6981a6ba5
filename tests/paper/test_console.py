"""Lines and tables for people: broken between words, never cut, nothing read out of what is printed."""

import io

import pytest

from pourdeck.paper.console import People, flow, people, pieces, say, table, words
from tests.campaign import some


def shown(width: int) -> People:
    return People(file=io.StringIO(), width=width, color_system=None, force_terminal=True)


def lines(console: People) -> list[str]:
    file = console.file
    assert isinstance(file, io.StringIO)
    return file.getvalue().splitlines()


def test_a_line_goes_on_under_its_first_part():
    console = shown(40)
    flow(console, "base   ", [str(n) * 4 for n in range(1, 10)], joint=", ")
    assert lines(console) == [
        "base   1111, 2222, 3333, 4444, 5555,",
        "       6666, 7777, 8888, 9999",
    ]


@pytest.mark.campaign
@pytest.mark.parametrize("width", some(range(40, 60)))
def test_no_line_is_wider_with_what_joins_its_parts(width: int):
    console = shown(width)
    flow(console, "", ["12345"] * 40, joint=", ")
    assert max(map(len, lines(console))) <= width
    assert " ".join(lines(console)) == ", ".join(["12345"] * 40)


def test_a_part_longer_than_the_line_is_not_cut():
    console = shown(40)
    flow(console, "A ", ["x" * 90, "y"])
    assert "".join(lines(console)).replace(" ", "") == "A" + "x" * 90 + "y"


def test_a_long_lead_leaves_room_for_what_follows():
    console = shown(40)
    flow(console, "L" * 60, ["one", "two", "three"])
    assert lines(console)[1] == " " * 20 + "two three"


def test_wide_characters_count_as_two():
    console = shown(40)
    flow(console, "", ["漢字漢字"] * 6)
    assert [len(line.split()) for line in lines(console)] == [4, 2]


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("at 4925 mm along", ["at", "4925 mm", "along"]),
        ("from 14' 8\" to 19' 0\" here", ["from", "14' 8\"", "to", "19' 0\"", "here"]),
        ("8.80 m³ of 58.74 m² and 5 m, 3 mmx", ["8.80 m³", "of", "58.74 m²", "and", "5 m,", "3", "mmx"]),
        ("  two", ["", "", "two"]),
    ],
)  # fmt: skip
def test_a_length_is_one_piece(text: str, parts: list[str]):
    assert pieces(text) == parts
    assert " ".join(parts) == text


def test_a_table_has_heads_units_and_gaps():
    console = shown(80)
    table(console, ("side", ">at\nmm"), [("base", 5), None, ("head", 1500)])
    assert lines(console) == [
        "        at",
        "side    mm",
        "──────────",
        "base     5",
        "",
        "head  1500",
    ]


def test_a_table_without_heads_is_bare():
    console = shown(80)
    table(console, ("", ""), [("face", "7200 mm"), ("arris line", "7170 mm")])
    assert lines(console) == ["face        7200 mm", "arris line  7170 mm"]


@pytest.mark.parametrize("rows", [[], [None], [None, None]])
def test_a_table_of_nothing_is_not_printed(rows: list[None]):
    console = shown(80)
    table(console, ("side", "at"), rows)
    assert lines(console) == []


def test_a_table_wider_than_the_screen_is_not_cut():
    console = shown(40)
    table(console, ("name", "mark"), [("n" * 30, "m" * 30)])
    assert lines(console)[-1] == "n" * 30 + "  " + "m" * 30


def test_piped_a_line_stays_one_line_and_a_table_is_ascii():
    file = io.StringIO()
    console = people(file)
    say(console, "word " * 100)
    table(console, ("side",), [("base",)])
    assert file.getvalue().splitlines() == [("word " * 100).rstrip(), "side", "----", "base"]


def test_nothing_is_read_out_of_what_is_printed():
    file = io.StringIO()
    console = people(file)
    say(console, "[bold]x[/bold] :smile: http://x 'a' \x1b[31m", "bold")
    assert file.getvalue() == "[bold]x[/bold] :smile: http://x 'a' \\x1b[31m\n"


def test_words_take_anything():
    assert words(3).plain == "3"
    assert words("\u202e").plain == "\\u202e"


def test_a_pipe_nobody_reads_is_told_to_whoever_prints():
    class Closed(io.StringIO):
        def write(self, text: str) -> int:
            raise BrokenPipeError

    with pytest.raises(BrokenPipeError):
        say(people(Closed()), "x")
