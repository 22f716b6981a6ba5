"""Facts of the trade as consequences of the rules with such a kit. Each: common practice, no source."""

import itertools
from decimal import Decimal

import pytest
from attrs import evolve

from pourdeck.plan.records import SIDES
from pourdeck.setout.anchors import anchors
from pourdeck.setout.panel import chamfer_volume, diagonal, set_out_stack
from pourdeck.setout.place import bolt_for, reach_fault

from .builders import bolts, job, kit, opening, panel, pile

FILLET = Decimal(15)
FURTHEST = Decimal(300)
PITCH = Decimal(1000)
HOLE, BOLT = Decimal("12.5"), Decimal(12)

CREW = kit(
    chamfer=FILLET, first=500, pitch=PITCH, bolts=bolts(("outer", 0, 160), ("inner", 140, FURTHEST))
)


def test_fillets_of_15_make_the_surface_30_smaller_either_way() -> None:
    """15 mm fillets at both arrises. Common practice, no source."""
    found = diagonal(panel(7200, 8700), FILLET)
    assert found.arris == diagonal(panel(7170, 8670), Decimal(0)).face
    # two strips of ½ · 15² for each metre of edge, a little less where they meet at the corners
    lost = chamfer_volume(Decimal(7200), Decimal(8700), FILLET)
    strips = 2 * (FILLET**2 / 2) * 2 * (7200 + 8700)
    assert strips - 9000 == pytest.approx(lost, abs=Decimal("1e-18"))


def test_positions_count_from_the_face_line_not_from_the_fillet() -> None:
    """Whatever the fillet, nothing that is set out moves. Common practice, no source."""
    lower = panel(7200, 8700, openings=(opening("D", 900, 0, 1000, 2100),))
    stack = pile(lower, panel(6900, 8600, align="base-centre"))
    for chamfer in ("0", "20"):
        other = set_out_stack(job(stack, evolve(CREW, chamfer=Decimal(chamfer))), stack, {})
        for one, same in zip(other, set_out_stack(job(stack, CREW), stack, {}), strict=True):
            for name in (
                "position",
                "offsets",
                "bolts",
                "brackets",
                "anchors",
                "extra_anchors",
                "fill",
            ):
                assert getattr(one, name) == getattr(same, name)
            assert one.diagonal.face == same.diagonal.face
            assert one.diagonal.arris != same.diagonal.arris


def test_300_is_the_furthest_a_smaller_panel_steps_in() -> None:
    """300 mm on its brackets and no further. Common practice, no source."""
    assert CREW.longest_bolt.reach[1] == FURTHEST
    for side in SIDES:
        assert reach_fault(side, FURTHEST, CREW, Decimal(3), "metric") is None
        fault = reach_fault(side, FURTHEST + Decimal("0.5"), CREW, Decimal(3), "metric")
        assert fault is not None
        assert fault[0] == "out-of-reach"
    # so a panel may be 600 smaller than the one below if it is centred, 300 if it is not
    for align, narrower, works in (
        ("base-centre", 600, True),
        ("base-centre", 601, False),
        ("base-left", 300, True),
        ("base-left", 301, False),
    ):
        stack = pile(panel(7200, 8700), panel(7200 - narrower, 8700, align=align))
        codes = [one.code for one in set_out_stack(job(stack, CREW), stack, {})[1].findings]
        assert ("out-of-reach" not in codes) is works


def test_the_play_of_a_12_bolt_in_its_hole_is_no_overhang() -> None:
    """M12 in holes of 12.5. Common practice, no source.

    Half a millimetre out either way is inside the lap that a flush panel may have, and takes no other
    bolt unless the offset was at the end of a band already.
    """
    play = HOLE - BOLT
    assert play == Decimal("0.5")
    for off in (-play, Decimal(0), play):
        assert reach_fault("left", off, CREW, Decimal(3), "metric") is None
        assert bolt_for(off, CREW, Decimal(3)) == "outer"
    assert bolt_for(FURTHEST + play, CREW, Decimal(3)) is None


def test_holes_every_metre_carry_a_run_between_its_ends() -> None:
    """1 m hole pitch: neighbours are a metre apart, within any gap of 1.5 m. Common practice, no source."""
    for tenths in range(12, 130):
        one = panel(tenths * 100, 2400)
        for side in ("base", "head"):
            along = anchors(one, side, CREW)
            assert all(b - a == PITCH for a, b in itertools.pairwise(along))
    # losing one hole to a narrow opening leaves 2 m, which has to be closed by one added anchor
    slot = panel(7200, 8700, openings=(opening("S", 2400, 0, 200, 200),))
    stack = pile(slot, panel(7200, 8700))
    lower, upper = set_out_stack(job(stack, CREW), stack, {})
    assert Decimal(2500) not in lower.anchors.base
    assert [at for at in lower.extra_anchors.base if 1500 < at < 3500] != []
    at = [one.anchor for one in upper.brackets.base]
    assert all(b - a <= 1500 for a, b in itertools.pairwise(at))
