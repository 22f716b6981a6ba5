"""`python -m tests.faults`: what the log promises, tried by kills, cuts, flips, failing disks and merges.

Prints a row for each promise: cases and failures. Exit 1 with any failure, each with the words that try it
again.
"""

import argparse
import sys
import time
from collections.abc import Sequence

from tests.faults import damage, disks, histories, kills, machine
from tests.faults.promise import Promise, keep, workplace

PROMISES: tuple[Promise, ...] = (
    *kills.PROMISES,
    *damage.PROMISES,
    *disks.PROMISES,
    *histories.PROMISES,
    *machine.PROMISES,
)


def main(argv: Sequence[str] | None = None) -> int:
    """0 where every promise was kept, 1 where one was not, 2 where what is asked for is not there."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("--short", action="store_true", help="a small part of the cases")
    parser.add_argument("--only", metavar="PROMISE", choices=[one.name for one in PROMISES])
    parser.add_argument("--case", help="with --only: this case alone, with where it fails")
    given = parser.parse_args(argv)
    if given.case is not None and given.only is None:
        parser.error("--case needs --only PROMISE")
    failures = 0
    sys.stdout.write("| promise | cases | failures | s |\n|---|--:|--:|--:|\n")
    with workplace() as folder:
        for promise in PROMISES:
            if given.only not in (None, promise.name):
                continue
            cases = [given.case] if given.case is not None else promise.cases(not given.short)
            began = time.monotonic()
            found = keep(promise, cases, folder)
            failures += len(found.broken)
            took = time.monotonic() - began
            row = f"| {promise.words} | {found.tries:,} | {len(found.broken)} | {took:.0f} |\n"
            sys.stdout.write(row)
            for case, why in found.broken:
                again = f"python -m tests.faults --only {promise.name} --case '{case}'"
                sys.stdout.write(f"  {why}\n  {again}\n")
            sys.stdout.flush()
    return int(failures > 0)


if __name__ == "__main__":
    raise SystemExit(main())
