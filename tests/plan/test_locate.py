"""Findings about a plan that reads, given the line of job.toml they are about."""

import pytest

from pourdeck.plan.checks import job_faults, panel_faults
from pourdeck.plan.messages import Finding
from pourdeck.plan.reader import locate
from tests.plan.jobs import JOB, changed, job


def finding(**where: object) -> Finding:
    return Finding(code="x", severity="error", message="m", **where)  # type: ignore[arg-type]


PANEL_2 = "[[stack.panel]] 2 of stack A"

PLACES = [
    ({"stack": "A", "panel": 2, "mark": "W02"}, 'mark = "W02"', PANEL_2),
    ({"stack": "A", "panel": 2, "key": "lift"}, "lift = 3", PANEL_2),
    ({"stack": "A", "panel": 2, "key": "rev"}, 'W02"', PANEL_2),
    ({"stack": "B"}, 'id = "B"', "[[stack]] 2"),
    ({"stack": "B", "key": "bed_rl"}, "bed_rl = 41.2", "[[stack]] 2"),
    ({"stack": "A", "panel": 1, "table": "castins 2"}, '"E1"',
     "castins 2 of [[stack.panel]] 1 of stack A"),
    ({"stack": "A", "panel": 1, "table": "openings 1", "key": "x"}, '"D1"',
     "openings 1 of [[stack.panel]] 1 of stack A"),
]  # fmt: skip


@pytest.mark.parametrize(("where", "source", "table"), PLACES)
def test_a_finding_gets_its_line(where: dict[str, object], source: str, table: str) -> None:
    (found,) = locate([finding(**where)], JOB)
    assert found.file == "job.toml"
    assert found.line is not None
    near = JOB.split("\n")[found.line - 1 if where.get("key") != "rev" else found.line]
    assert source in near
    assert found.table == table


def test_what_names_no_stack_or_has_its_line_stays_as_it_is() -> None:
    given = (finding(), finding(stack="A", line=3), finding(stack="no such"))
    assert locate(given, JOB) == given


def test_line_ends_and_a_byte_order_mark_move_nothing() -> None:
    given = [finding(stack="B", panel=1)]
    text = "\ufeff" + JOB.replace("\n", "\r\n")
    assert locate(given, text) == locate(given, JOB)


def test_stacks_written_in_braces_and_escaped_ids() -> None:
    text = 'stack = [\n { id = "\\u0041", bed_rl = 1, panel = [\n  { mark = "W" } ] },\n]\n'
    (found,) = locate([finding(stack="A", panel=1)], text)
    assert found.line == 3


def test_the_findings_of_checks_are_placed() -> None:
    text = changed("x = 900,", "x = 7000,", changed("lift = 3", "lift = 4"))
    read = job(text)
    found = locate([*panel_faults(read.stacks[0], 1), *job_faults(read)], text)
    lines = text.split("\n")
    assert [lines[(one.line or 0) - 1].split(" ")[0] for one in found] == ["openings", "lift"]


def test_text_that_has_changed_under_the_findings_places_what_it_can() -> None:
    given = [finding(stack="A", panel=9), finding(stack="Z", panel=1)]
    first, second = locate(given, '[[stack]]\nid = "A"\n[[stack]]\nid = "A"\n[[stack]]\nid = 5\n')
    assert (first.line, second.line) == (1, None)
