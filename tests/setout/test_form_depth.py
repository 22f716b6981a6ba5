"""Rule 3: the form depth is the thickness."""

from decimal import Decimal

from pourdeck.setout.panel import form_depth, set_out_stack
from pourdeck.setout.runs import NO_RUNS

from .builders import KIT, job, panel, pile


def test_a_depth_that_is_held() -> None:
    assert form_depth(panel(thickness=175), KIT) == 175
    assert form_depth(panel(thickness="175.0"), KIT) == 175


def test_nothing_near_it_will_do() -> None:
    assert form_depth(panel(thickness="175.5"), KIT) is None
    stack = pile(panel(thickness=160))
    only = set_out_stack(job(stack), stack, {})[0]
    assert [(one.code, one.severity) for one in only.findings] == [("no-form", "error")]
    assert only.form_depth is None
    assert only.runs == NO_RUNS
    for shown in ("160 mm", "125 mm", "150 mm", "175 mm", "200 mm"):
        assert shown in only.findings[0].message
    assert only.quantities.volume > Decimal(9)
