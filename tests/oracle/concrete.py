"""Long runs: `python -m tests.oracle.concrete --seeds 1:300`. Prints what differs, with the shortest day
that still does; exit 1 if anything.
"""

import argparse
import sys
import traceback
from collections.abc import Callable

from .concrete_days import Story, story
from .concrete_pours import Step
from .concrete_trial import told


def differing(one: Story, steps: tuple[Step, ...]) -> list[str]:
    try:
        return told(one, steps)
    except Exception:
        return [traceback.format_exc()]


def kind(line: str) -> str:
    """Say what a difference is about, without its figures."""
    words = line.split(":")[0].split(" --at ")
    return words[0].split()[0] + " ".join(words[-1].split()[1:] if len(words) > 1 else [])


def shortest(one: Story, what: str) -> tuple[Step, ...]:
    """The steps without those that the difference does not need, left out from the last to the first."""
    steps = one.steps
    size = max(len(steps) // 2, 1)
    while True:
        for start in range(len(steps) - size, -size, -size):
            fewer = steps[: max(start, 0)] + steps[max(start, 0) + size :]
            if any(kind(line) == what for line in differing(one, fewer)):
                steps = fewer
        if size == 1:
            return steps
        size = max(size // 2, 1)


def main(say: Callable[[str], object] = sys.stdout.write) -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", default="1:300", help="first:last, last not included")
    parser.add_argument("--lines", type=int, default=6, help="at most so many for each seed")
    parser.add_argument("--whole", action="store_true", help="do not look for the shortest day")
    given = parser.parse_args()
    first, last = (int(one) for one in given.seeds.split(":"))
    wrong = 0
    for seed in range(first, last):
        one = story(seed)
        found = differing(one, one.steps)
        wrong += bool(found)
        for line in found[: given.lines]:
            say(f"seed {seed}: {line}\n")
        if found and not given.whole:
            steps = shortest(one, kind(found[0]))
            say("".join(f"    {step}\n" for step in steps))
    say(f"{last - first} days, {wrong} with something that differs\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
