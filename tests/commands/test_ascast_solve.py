"""`ascast`, then `setout --json`: every bracket against an adjustment by another route, on jobs of any size.

Corners by scipy with derivatives by differences; lines by plain proportion.
"""

import random
from pathlib import Path

import pytest

from tests.campaign import some
from tests.commands.kit import Command
from tests.setout.test_adjust import KEYS, readings, rectangle, scipy_corners
from tests.walk.kit import FOREMAN, HEAD, KIT, LIMITS, PEOPLE, crew

CORNERS = ("bl", "br", "hr", "hl")
RUNS = {
    "base": ("bl", "br", 0),
    "head": ("hl", "hr", 0),
    "right": ("br", "hr", 1),
    "left": ("bl", "hl", 1),
}
"""The corners of a side as positions along it rise, and the coordinate that runs along it."""


def poured(folder: Path, chance: random.Random) -> tuple[Path, float, float]:
    """A stack of two whose first panel is poured and not measured."""
    width, height = (chance.randrange(4000, 8500) + 0.5 for _ in range(2))
    less = [chance.randrange(0, 500), chance.randrange(0, 500)]
    align = chance.choice(("base-left", "centre", "head-right", "centre-left"))
    sizes = ((width, height, ""), (width - less[0], height - less[1], f'align = "{align}"\n'))
    panels = "".join(
        f'[[stack.panel]]\nmark = "P{n}"\nwidth = {w}\nheight = {h}\nthickness = 150\n{more}'
        f'lift = {3 - n}\nrev = "B"\n'
        for n, (w, h, more) in enumerate(sizes, 1)
    )
    text = HEAD + PEOPLE + KIT + LIMITS + '[[stack]]\nid = "A"\nbed_rl = 100.850\n' + panels
    one = crew(folder, text)
    one.go_to("close")
    one.desk.close()
    return folder / "job", width, height


@pytest.mark.campaign
@pytest.mark.parametrize("seed", some(range(8)))
def test_what_the_commands_say_of_every_bracket(
    tmp_path: Path, command: Command, seed: int
) -> None:
    chance = random.Random(seed)
    job, width, height = poured(tmp_path, chance)
    planned = rectangle(width, height)
    true = {
        corner: (x + chance.gauss(0, 5), y + chance.gauss(0, 5))
        for corner, (x, y) in planned.items()
    }
    every = readings(planned, true)
    keys = list(KEYS[:6]) if seed == 0 else chance.sample(KEYS, chance.randint(1, len(KEYS)))
    values = {key: round(every[key] + chance.gauss(0, 0.5), 1) for key in keys}
    said = [f"{key}={value}" for key, value in values.items()]
    done = command("ascast", job, "A", "1", *said, "--by", FOREMAN)
    assert done.code in (0, 1), done.err
    document = command("setout", job, "A", "2", "--json").document
    found = dict(zip(CORNERS, scipy_corners(planned, values, 1.0).reshape(4, 2), strict=True))
    x, y = document["position"]
    faces = {"base": y, "head": y + document["height"], "left": x, "right": x + document["width"]}
    inwards = {"base": 1, "left": 1, "head": -1, "right": -1}
    checked = 0
    for side, (first, last, along) in RUNS.items():
        (start, end), across = (found[first], found[last]), 1 - along
        for bracket in document["brackets"][side]:
            part = (bracket["anchor"] - start[along]) / (end[along] - start[along])
            line = start[across] + part * (end[across] - start[across])
            assert bracket["offset"] == pytest.approx(
                inwards[side] * (faces[side] - line), abs=0.02
            )
            checked += 1
    assert checked > 10
