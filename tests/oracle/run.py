"""Long runs: `python -m tests.oracle.run --seeds 1:2000`. Prints what differs; exit 1 if anything."""

import argparse
import sys
import traceback
from collections.abc import Callable

from .trial import disagreements


def main(say: Callable[[str], object] = sys.stdout.write) -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", default="1:200", help="first:last, last not included")
    parser.add_argument("--lines", type=int, default=6, help="at most so many for each seed")
    given = parser.parse_args()
    first, last = (int(one) for one in given.seeds.split(":"))
    wrong = 0
    for seed in range(first, last):
        try:
            found = disagreements(seed)
        except Exception:
            found = [f"seed {seed}: {traceback.format_exc()}"]
        wrong += bool(found)
        for line in found[: given.lines]:
            say(line + "\n")
    say(f"{last - first} jobs, {wrong} with something that differs\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
