"""Random histories of three computers apart: whichever way their files meet, one state and every conflict."""

import random
from pathlib import Path

from tests.faults.promise import Promise
from tests.faults.world import STAGES, SYNC_NAMES, World

DAYS = (-3, -1, 0, 0, 1, 3)


def _live(case: str, folder: Path) -> int:
    """Some twenty things that people and sync programs do, by chance."""
    chance = random.Random(case)
    world = World(folder, chance.choice((*STAGES[:1], *STAGES)))
    computers = list(world.computers.values())
    for one in computers:
        world.jump(one, 24 * chance.choice(DAYS) if one.name != "a" else 0)
    try:
        for _ in range(chance.randrange(8, 24)):
            _step(world, chance)
        world.heal()
    finally:
        world.close()
    return 1


def _step(world: World, chance: random.Random) -> None:
    one, other = chance.sample(list(world.computers.values()), 2)
    match chance.randrange(16):
        case 0 | 1 | 2 | 3 | 4:
            world.answer(
                one, chance.randrange(2), chance.randrange(1, 4), careless=chance.random() < 0.2
            )
        case 5:
            world.answer(one, chance.randrange(40), 0)
        case 6:
            world.undo(one)
        case 7 | 8 | 9:
            world.revise(one, chance.choice([2900, 2950, 3000]))
        case 10:
            world.sign(one)
        case 11 | 12:
            world.bring(one, other, part=chance.random(), only=chance.randrange(9))
        case 13:
            name = chance.randrange(len(SYNC_NAMES))
            world.bring(one, other, only=chance.randrange(9), sync_name=name)
        case 14:
            world.bring(one, other)
        case 15:
            world.shut(one)
    if chance.random() < 0.7:
        world.follow(other)
    world.check(one)
    world.check(other)


PROMISES = (
    Promise(
        name="merges",
        words="three writers, any merges: one state, no answer missing, the conflicts there are",
        cases=lambda full: [str(number) for number in range(1000 if full else 20)],
        attempt=_live,
    ),
)
