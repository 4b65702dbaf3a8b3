"""By the thousand, outside the default run: random recipes built and proved, their papers made, faults planted, recipes
fuzzed, and what must hold of any corner or box tried on others each time.

    .venv/bin/python -m tests.campaign build 5000
    .venv/bin/python -m tests.campaign paper 2000
    .venv/bin/python -m tests.campaign faults 2000
    .venv/bin/python -m tests.campaign fuzz 100000
    .venv/bin/python -m tests.campaign boxes 200 --seed 17     # also: arithmetic, proof, plain-boxes, *-advice
    .venv/bin/python -m tests.campaign odd 5000
    .venv/bin/python -m tests.campaign irregular 5000          # nothing alike; also irregular-faults, irregular-boxes
    .venv/bin/python -m tests.campaign drawers 200             # drawers to an opening, with backs that end lower
    .venv/bin/python -m tests.campaign divided-boxes 200       # dividers both ways, in housings and sliding dovetails
    .venv/bin/python -m tests.campaign pieces 2000             # all that a box can have, mixed
    .venv/bin/python -m tests.campaign waste 20                # plain boards less their waste, ten pieces to a case
    .venv/bin/python -m tests.campaign cutting 200             # cutting plans; cutting-lists: long ones, 50 of them
    .venv/bin/python -m tests.campaign hostile 250             # bad files, kills, probes of the local page
    .venv/bin/python -m tests.campaign slice 180               # some of each but the last, for so many seconds

Every case has a number, counted on from the first: `--seed`, or a fresh one, which is printed. A case that went
wrong is told with the command that does it again, and the exit code is then 1. Two processes.
"""

from __future__ import annotations

import argparse
import itertools
import math
import random
import sys
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor

from tests import hostile
from tests.campaign.jobs import JOBS

BAD = ("wrong", "missed")


def outcome(name: str, number: int) -> str:
    """What comes of one case, whatever gets out of it."""
    try:
        return JOBS[name](number)
    except Exception as err:
        notes = getattr(err, "__notes__", ())
        return f"wrong: {type(err).__name__}: {err}" + "".join(f"\n  {note}" for note in notes)


def outcomes(pool: Executor, name: str, first: int, count: float, seconds: float) -> Iterator[tuple[int, str]]:
    """Numbers from the first on and what comes of each, until there are so many or so much time has passed."""
    end, size = time.perf_counter() + seconds, 2
    numbers = iter(itertools.count(first))
    while count > 0 and time.perf_counter() < end:
        batch = list(itertools.islice(numbers, int(min(size, count))))
        start = time.perf_counter()
        yield from zip(batch, pool.map(outcome, [name] * len(batch), batch, chunksize=-(-len(batch) // 8)), strict=True)
        count -= len(batch)
        # About four seconds of work are handed out at once: enough that both processes stay busy. The first few may all
        # be refused in no time, so each batch is at most four times as large as the last.
        size = max(2, min(4 * len(batch), round(4 * len(batch) / (time.perf_counter() - start))))


def run(pool: Executor, name: str, first: int, count: float = math.inf, seconds: float = math.inf) -> bool:
    """Does one job and prints its figures and each case that went wrong. True where none did."""
    start = time.perf_counter()
    found: Counter[str] = Counter()
    for number, said in outcomes(pool, name, first, count, seconds):
        head = said.partition(":")[0]
        found[head] += 1
        if head in BAD:
            print(f"{name} {number}: {said}\n  again: .venv/bin/python -m tests.campaign {name} 1 --seed {number}")
    print(f"{name} {found.total()}: {dict(found)} in {time.perf_counter() - start:.0f} s", flush=True)
    return not any(found[head] for head in BAD)


def main() -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.campaign")
    asked.add_argument("job", choices=[*JOBS, "slice", "hostile"])
    asked.add_argument("count", type=int, help="how many cases; for a slice, how many seconds")
    asked.add_argument("--seed", type=int, default=random.randrange(1, 10**9), help="number of the first case")
    given = asked.parse_args()
    print(f"campaign {given.job} {given.count} --seed {given.seed}", flush=True)
    if given.job == "hostile":
        sys.exit(bool(hostile.main(given.count, given.seed)))
    with ProcessPoolExecutor(2) as pool:
        if given.job == "slice":
            share = given.count / len(JOBS)
            good = [run(pool, name, given.seed, seconds=share) for name in JOBS]
        else:
            good = [run(pool, given.job, given.seed, given.count)]
    sys.exit(not all(good))


if __name__ == "__main__":
    main()
