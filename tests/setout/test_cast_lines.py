"""Brackets from the line as cast: against scipy and shapely by another route, and what no bolt reaches."""

import random
from decimal import Decimal

import pytest
from shapely.geometry import LineString, Point, Polygon

from pourdeck.plan.records import SIDES, Job, Limits, Panel, Poured, Side, Sides
from pourdeck.setout.adjust import Corners
from pourdeck.setout.anchors import anchors
from pourdeck.setout.joints import least_shift
from pourdeck.setout.panel import set_out_stack
from pourdeck.setout.record import SetOut
from pourdeck.setout.resize import Resize, resize
from tests.campaign import some

from .builders import KIT, bolts, job, mm, panel, pile
from .test_adjust import readings, rectangle, scipy_corners, taped

EMPTY: Sides[tuple[Decimal, ...]] = Sides((), (), (), ())
RUNS: dict[Side, tuple[str, str]] = {
    "base": ("bl", "br"), "right": ("br", "hr"), "head": ("hl", "hr"), "left": ("bl", "hl"),
}  # fmt: skip


def cast(one: Panel, measured: dict[str, Decimal]) -> Poured:
    holes = Sides.of(lambda side: anchors(one, side, KIT))
    return Poured(mark=one.mark, anchors=holes, extra_anchors=EMPTY, measured=measured)


def two(
    below: Panel, new: Panel, measured: dict[str, Decimal], **more: object
) -> tuple[Job, SetOut, Poured]:
    stack = pile(below, new)
    found = job(stack, **more)  # type: ignore[arg-type]
    poured = cast(stack.panels[0], measured)
    return found, set_out_stack(found, stack, {poured.mark: poured})[1], poured


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(40)))
def test_every_bracket_is_out_from_the_line_that_another_route_finds(seed: int) -> None:
    """Corners by scipy, lines and distances by shapely: within 0.02 mm."""
    chance = random.Random(seed)
    width, height = (Decimal(chance.randrange(5000, 9000)) for _ in range(2))
    new = panel(
        width - 200, height - 100, align=chance.choice(("base-left", "centre", "head-right"))
    )
    planned = rectangle(float(width), float(height))
    true: Corners = {
        corner: (x + chance.gauss(0, 5), y + chance.gauss(0, 5))
        for corner, (x, y) in planned.items()
    }
    every = readings(planned, true)
    some = chance.sample(sorted(every), chance.randint(1, len(every)))
    values = {key: round(every[key], 2) for key in some}
    _, found, _ = two(panel(width, height), new, taped(values))
    corners = scipy_corners(planned, values, 1.0)
    ends = {name: corners[2 * n : 2 * n + 2] for n, name in enumerate(("bl", "br", "hr", "hl"))}
    x, y = (float(one) for one in found.position)
    outline = Polygon([ends[corner] for corner in ("bl", "br", "hr", "hl")])
    checked = 0
    for side in SIDES:
        line = LineString([ends[corner] for corner in RUNS[side]])
        for bracket in found.brackets[side]:
            along = float(bracket.anchor)
            face = {
                "base": (along, y), "head": (along, y + float(new.height)),
                "left": (x, along), "right": (x + float(new.width), along),
            }[side]  # fmt: skip
            # The distance across is the one to the line by the cosine of a few thousandths.
            away = line.distance(Point(face))
            assert abs(float(bracket.offset)) == pytest.approx(away, abs=0.02)
            if away > 0.05:
                assert (bracket.offset > 0) == outline.buffer(0).contains(Point(face))
            checked += 1
    assert checked > 10


def test_what_was_not_measured_is_out_as_planned() -> None:
    _, found, _ = two(panel(7500, 8900), panel(7200, 8700), {"rl_bl": Decimal("42.8")})
    assert found.cast_below is None
    for side, on in found.brackets.items():
        assert {one.offset for one in on} == {found.offsets[side] if found.offsets else None}


def test_offsets_taper_and_the_plan_stands_beside() -> None:
    """The head 12 mm wider than the base: the right side runs out from 4 to 16."""
    marks = {
        "out_right_br": mm(4),
        "out_right_hr": mm(16),
        "out_left_bl": mm(0),
        "out_left_hl": mm(0),
    }
    _, found, _ = two(panel(7300, 8700), panel(7200, 8700), marks)
    right = found.brackets.right
    assert {one.planned for one in right} == {Decimal(100)}
    first, last = right[0], right[-1]
    assert first.offset == pytest.approx(
        Decimal(104) + 12 * first.anchor / 8700, abs=Decimal("0.01")
    )
    assert last.offset == pytest.approx(Decimal(104) + 12 * last.anchor / 8700, abs=Decimal("0.01"))
    assert {one.offset for one in found.brackets.left} == {Decimal(0)}


def test_a_bolt_can_change_along_a_side() -> None:
    marks = {"out_right_br": mm(0), "out_right_hr": mm(12)}
    _, found, _ = two(panel(7354, 8700), panel(7200, 8700), marks)
    assert [one.bolt for one in found.brackets.right] == ["outer"] * 4 + ["inner"] * 5


def test_the_panel_stays_at_its_planned_place() -> None:
    """So that six panels that each lean 3 mm do not carry it on."""
    _, found, _ = two(panel(7300, 8700), panel(7200, 8700), {"out_right_br": mm(9)})
    assert found.position == (0, 0)
    assert found.offsets is not None
    assert found.offsets.right == 100


def codes(found: SetOut) -> list[tuple[str, str | None]]:
    return [(one.code, one.side) for one in found.findings if one.is_error]


def test_an_overhang_on_the_cast_line_names_bracket_and_cure() -> None:
    marks = {"out_right_br": mm(-2), "out_right_hr": mm(-8)}
    _, found, _ = two(panel(7200, 8700), panel(7200, 8700), marks)
    assert codes(found) == [("overhang", "right")]
    (message,) = [one.message for one in found.findings if one.code == "overhang"]
    assert "right: at R9, 8500 mm along the side" in message
    assert "overhangs P1 as cast by 7.9 mm" in message
    # 7.9 past the line and 3 may lap: 4.9 to the left, where the left side is flush and may take 3.
    assert "No shift of this panel brings every bracket into reach" in message


def test_the_least_shift_that_brings_all_into_reach_is_told() -> None:
    marks = {"out_right_br": mm(-6), "out_right_hr": mm(-6)}
    _, found, _ = two(panel(7200, 8700), panel(7200, 8700), marks)
    (message,) = [one.message for one in found.findings if one.code == "overhang"]
    assert "A shift of P2 by 3 mm to the left brings every bracket into reach." in message


def test_past_the_longest_bolt_is_out_of_reach_where_the_plan_was_not() -> None:
    _, found, _ = two(
        panel(7500, 8700), panel(7200, 8700), {"out_right_br": mm(5), "out_right_hr": mm(5)}
    )
    assert codes(found) == [("out-of-reach", "right")]
    (message,) = [one.message for one in found.findings if one.code == "out-of-reach"]
    assert "305 mm in from P1 as cast" in message
    assert "A shift of P2 by 5 mm to the right brings every bracket into reach." in message


def test_a_side_that_the_plan_has_in_fault_is_told_once() -> None:
    _, found, _ = two(panel(7800, 8700), panel(7200, 8700), {"out_right_br": mm(5)})
    assert codes(found) == [("out-of-reach", "right")]
    (message,) = [one.message for one in found.findings if one.code == "out-of-reach"]
    assert message.startswith("right: 600 mm in from the panel below")


BANDS = bolts(("outer", 0, 160), ("inner", 180, 300))


@pytest.mark.parametrize(
    ("opened", "closed", "shift"),
    [
        ([], [], 0),
        ([0], [0], 0),
        ([-3], [160], 0),
        ([-5], [100], 2),
        ([-5], [-2], None),
        ([170], [], -10),
        ([171], [], 9),
        ([170], [155], 10),
        ([100], [310], 10),
        ([310], [-3], -10),
        ([0, 160], [0], 0),
        ([-4, 160], [0], None),
        ([-4, 159], [5], 1),
    ],
)
def test_the_least_shift(opened: list[int], closed: list[int], shift: int | None) -> None:
    """Worked by hand: a shift adds to what it opens and takes from what it closes."""
    found = least_shift(map(mm, opened), map(mm, closed), BANDS, mm(3))
    assert found == (None if shift is None else Decimal(shift))


def test_bands_that_overlap_are_one_however_many_brackets_there_are() -> None:
    """Forty brackets on each side: were the bands kept apart, the ways would double with each."""
    overlap = bolts(("outer", 0, 160), ("inner", 140, 300))
    assert least_shift([mm(150)] * 40, [mm(150)] * 40, overlap, mm(3)) == 0
    assert least_shift([mm(-5)] * 40, [mm(150)] * 40, overlap, mm(3)) == 2
    assert least_shift([mm(-5)] * 40, [mm(-2)] * 40, overlap, mm(3)) is None


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(200)))
def test_the_least_shift_against_trying_all(seed: int) -> None:
    chance = random.Random(seed)
    opened = [mm(chance.randrange(-8, 320)) for _ in range(chance.randrange(3))]
    closed = [mm(chance.randrange(-8, 320)) for _ in range(chance.randrange(3))]

    def works(shift: int) -> bool:
        moved = [one + shift for one in opened] + [one - shift for one in closed]
        return all(-3 <= one <= 160 or 180 <= one <= 300 for one in moved)

    tried = [shift for shift in range(-700, 701) if works(shift)]
    found = least_shift(opened, closed, BANDS, mm(3))
    assert (found is None) == (not tried)
    if found is not None:
        assert abs(found) == min(map(abs, tried))


def test_tapes_that_contradict_each_other_are_an_error_of_the_panel_itself() -> None:
    planned = rectangle(7200, 8700)
    tapes = {k: v for k, v in readings(planned, planned).items() if not k.startswith("out_")}
    measured = taped(tapes | {"width_head": 7210.0})
    stack = pile(panel(7200, 8700), panel(7200, 8700))
    found = set_out_stack(job(stack), stack, {"P1": cast(stack.panels[0], measured)})
    assert [one.code for one in found[0].findings if one.is_error] == ["re-measure"]
    (message,) = [one.message for one in found[0].findings if one.code == "re-measure"]
    assert "width_head +10 mm" in message
    assert "re-measure" not in [one.code for one in found[1].findings]


def test_the_tape_of_the_job_says_what_a_slip_is() -> None:
    planned = rectangle(7200, 8700)
    tapes = {k: v for k, v in readings(planned, planned).items() if not k.startswith("out_")}
    measured = taped(tapes | {"width_head": 7210.0})
    stack = pile(panel(7200, 8700))
    rough = job(stack, limits=Limits(tape=Decimal(2)))
    (found,) = set_out_stack(rough, stack, {"P1": cast(stack.panels[0], measured)})
    assert "re-measure" not in [one.code for one in found.findings]


def test_lengths_that_no_panel_has_are_to_be_read_again() -> None:
    measured = taped({"width_base": 7200.0, "height_right": 8700.0, "diagonal_bl_hr": 16000.0})
    stack = pile(panel(7200, 8700), panel(7200, 8700))
    found = set_out_stack(job(stack), stack, {"P1": cast(stack.panels[0], measured)})
    (message,) = [one.message for one in found[0].findings if one.code == "re-measure"]
    assert message.startswith("diagonal_bl_hr cannot be 16000 mm.")
    assert {one.offset for one in found[1].all_brackets()} == {Decimal(0)}


def test_a_size_change_counts_bolts_from_the_cast_line() -> None:
    below = panel(7354, 8700)
    found, _, poured = two(
        below, panel(7200, 8700), {"out_right_br": mm(0), "out_right_hr": mm(12)}
    )
    changed = resize(found, found.stacks[0], 2, {"P1": poured}, height=mm(8650))
    assert isinstance(changed, Resize)
    (here,) = [one for one in changed.options if one.align == "base-left"]
    right = [one.bolt for one in changed.levels[0].after.brackets.right]
    assert here.moved_bolts == right.count("inner") > 0


def test_what_is_poured_already_is_out_of_nobodys_reach() -> None:
    """Its brackets did hold the form: what is measured below it afterwards is no error of it."""
    marks = {"out_right_br": mm(-6), "out_right_hr": mm(-6)}
    stack = pile(panel(7200, 8700), panel(7200, 8700))
    below, above = stack.panels
    log = {"P1": cast(below, marks), "P2": cast(above, {})}
    found = set_out_stack(job(stack), stack, log)[1]
    assert codes(found) == []
    assert codes(set_out_stack(job(stack), stack, {"P1": cast(below, marks)})[1]) != []


def test_tapes_that_are_built_on_are_a_warning() -> None:
    planned = rectangle(7200, 8700)
    tapes = {k: v for k, v in readings(planned, planned).items() if not k.startswith("out_")}
    stack = pile(panel(7200, 8700), panel(7200, 8700))
    below, above = stack.panels
    log = {"P1": cast(below, taped(tapes | {"width_head": 7210.0})), "P2": cast(above, {})}
    found = set_out_stack(job(stack), stack, log)[0]
    assert [(one.code, one.severity) for one in found.findings] == [("re-measure", "warning")]
