"""One item for each thing that is measured."""

from collections import Counter
from decimal import Decimal

from pourdeck.walk.expand import EACH
from pourdeck.walk.items import section_items
from pourdeck.walk.records import ItemView
from pourdeck.walk.steps import template
from tests.walk.kit import JOB, context_of, job_of
from tests.walk.test_conditions import EXTRA, WIDE_DOOR, WITH_THINGS


def items(text: str, number: int, section: str) -> tuple[ItemView, ...]:
    found = template().section(section)
    assert found is not None
    return section_items(found, context_of(job_of(text), number), ())


def keys(text: str, number: int, section: str, step: str) -> list[str]:
    return [
        item.key.partition("/")[2]
        for item in items(text, number, section)
        if item.key.partition("/")[0] == f"{section}.{step}"
    ]


def test_twelve_brackets_ask_for_twelve_offsets_and_twelve_bolts() -> None:
    context = context_of(job_of(), 2)
    assert len(context.setout.all_brackets()) == 12
    wanted = [
        f"{side}-{number}" for side in ("base", "right", "head", "left") for number in (1, 2, 3)
    ]
    assert keys(JOB, 2, "forms", "offset") == wanted
    assert keys(JOB, 2, "brackets", "bolt") == wanted
    assert keys(JOB, 2, "brackets", "hung") == wanted


def test_a_bracket_is_named_as_on_the_drawing() -> None:
    offsets = [item for item in items(JOB, 2, "forms") if item.key == "forms.offset/right-2"]
    (item,) = offsets
    assert (item.label, item.group) == ("R2", "right side")
    assert (item.place.side, item.place.at, item.place.bracket) == ("right", 1500, "R2")
    assert "1500 mm from the base" in item.note
    assert "from the arris -15 mm" in item.note


def test_one_for_each_side_corner_and_diagonal() -> None:
    counts = Counter(item.key.partition("/")[0] for item in items(JOB, 1, "forms"))
    assert counts["forms.between"] == counts["forms.line"] == counts["forms.corner"] == 4
    assert counts["forms.from-line"] == counts["forms.run"] == 4
    assert counts["forms.diagonal"] == 2
    assert counts["forms.offset"] == 0
    close = Counter(item.key.partition("/")[0] for item in items(JOB, 1, "close"))
    assert close["close.width"] == close["close.height"] == close["close.diagonal"] == 2
    assert close["close.rl"] == close["close.thickness"] == 4


def test_a_mirrored_opening_is_asked_for_where_it_lies() -> None:
    # As drawn from the left 900, 900 wide, in 3000: as cast 3000 − 900 − 900 = 1200.
    found = {item.key: item for item in items(WITH_THINGS, 1, "cast-ins")}
    assert found["cast-ins.opening/D1-x"].expected == Decimal(1200)
    assert found["cast-ins.opening/D1-right"].expected == Decimal(2100)
    assert found["cast-ins.opening/D1-head"].expected == Decimal(2100)
    assert "cast-ins.opening/D1-y" not in found, "it breaks the base: no edge to measure to"
    assert found["cast-ins.cast-in/L1-x"].expected == Decimal(2500)
    assert found["cast-ins.cast-in/L1-y"].expected == Decimal(2500)
    assert "from the arris 2485 mm" in found["cast-ins.cast-in/L1-x"].note
    assert found["cast-ins.kind-count/lifter"].expected == 1
    (jamb,) = [item for item in items(WITH_THINGS, 1, "drawing") if item.key == "drawing.jamb/left"]
    assert jamb.expected == Decimal(1200)


def test_an_opening_is_measured_to_the_edges_it_has() -> None:
    """Both edges across give its width, both edges up its height; a broken side has no form."""
    at = 'openings = [ { name = "N1", x = %s, y = %s, width = 900, height = 700 } ]'
    edges = {"x", "right", "y", "head"}
    for x, y, broken in ((600, 500, ""), (0, 500, "x"), (2100, 500, "right"), (600, 2300, "head")):
        text = JOB.replace('rev = "B"', f'rev = "B"\n{at % (x, y)}', 1)
        found = {key.removeprefix("N1-") for key in keys(text, 1, "cast-ins", "opening")}
        assert found == edges - {broken}


def test_a_cast_in_in_an_edge_is_measured_along_it() -> None:
    text = JOB.replace(
        'rev = "B"',
        'rev = "B"\ncastins = [ { name = "E1", kind = "lifter", edge = "head", at = 800 } ]',
        1,
    )
    (item,) = [one for one in items(text, 1, "cast-ins") if one.key == "cast-ins.cast-in/E1"]
    assert item.expected == Decimal(800)
    assert item.place.side == "head"


def test_two_of_one_name_keep_their_own_keys() -> None:
    both = ", ".join(f'{{ name = "L1", kind = "lifter", x = 500, y = {y} }}' for y in (800, 900))
    text = JOB.replace('rev = "B"', f'rev = "B"\ncastins = [ {both} ]', 1)
    found = keys(text, 1, "cast-ins", "cast-in")
    assert found == ["L1-x", "L1-y", "L1~2-x", "L1~2-y"]


def test_anchors_for_the_panel_above_are_counted_by_side() -> None:
    found = {item.key: item for item in items(JOB, 1, "cast-ins")}
    assert found["cast-ins.anchors/base"].expected == 3
    assert "at 500 mm, 1500 mm, 2500 mm from the left" in found["cast-ins.anchors/base"].note
    assert not keys(JOB, 2, "cast-ins", "anchors"), "the last panel carries no other"


def test_each_extra_anchor_is_measured() -> None:
    context = context_of(job_of(EXTRA), 1)
    wanted = [(side, at) for side, along in context.setout.extra_anchors.items() for at in along]
    found = [
        (item.place.side, item.expected)
        for item in items(EXTRA, 1, "cast-ins")
        if item.key.startswith("cast-ins.extra-anchor/")
    ]
    assert found == wanted
    assert found


def test_a_stretch_without_anchors_asks_for_its_prop() -> None:
    (item,) = [one for one in items(WIDE_DOOR, 2, "forms") if one.key.startswith("forms.prop/")]
    assert item.place.side == "base"
    # The door from 600 to 2500, and 150 clear of it.
    assert (item.place.at, item.place.end) == (450, 2650)


def test_each_filled_opening_is_pressed_on() -> None:
    context = context_of(job_of(WITH_THINGS), 2)
    assert len(keys(WITH_THINGS, 2, "surface", "fill")) == len(context.setout.fill) == 1


def test_keys_of_a_panel_are_unique() -> None:
    for text in (JOB, WITH_THINGS, WIDE_DOOR, EXTRA):
        for number in (1, 2):
            context = context_of(job_of(text), number)
            for name, expand in EACH.items():
                suffixes = [one.suffix for one in expand(context)]
                assert len(suffixes) == len(set(suffixes)), name
