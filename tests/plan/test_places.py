"""Check how a finding says where it is, in words."""

import pytest

from pourdeck.plan.messages import Finding, place_of, with_place


def finding(message: str = "it is so.", **where: object) -> Finding:
    return Finding(code="x", severity="error", message=message, **where)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("where", "place"),
    [
        ({}, "job"),
        ({"stack": "A"}, "stack A"),
        ({"stack": "A", "panel": 3, "mark": "W07"}, "stack A panel 3 W07"),
        ({"mark": "W07"}, "W07"),
        ({"file": "log/shed.jsonl"}, "log/shed.jsonl"),
        ({"file": "job.toml", "line": 12}, "job.toml line 12"),
        ({"stack": "A", "file": "job.toml", "line": 12}, "stack A (job.toml line 12)"),
    ],
)
def test_what_is_known_is_named(where: dict[str, object], place: str):
    assert place_of(finding(**where)) == place
    assert with_place(finding(**where)) == f"{place}: it is so."


def test_a_message_that_begins_with_its_file_is_left_alone():
    one = finding("job.toml line 12, [kit]: chamfer is true.", file="job.toml", line=12, stack="A")
    assert with_place(one) == one.message
