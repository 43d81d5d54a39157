"""How long `check` takes as a pattern grows: numbers, sizes, rounds, sections, and lines of prose.

    python -m tests.bench.scaling [--runs N]

One sock of parts is made longer in one way at a time and worked through as `check` does (read, grade, write out, knit,
inspect) in one setup. Printed are processor seconds, the least of so many runs, and how much the last doubling cost:
2 is linear in what was doubled, less where other things take most of the time, 4 would be quadratic.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable

from grader.loading import load_text
from grader.pipeline import Wanted, check
from tests.budget.guarded import PATTERN, SETUP

FOOT = "foot_circumference: {} cm, foot_length: {} cm, leg_length: 18 cm"


def numbers(count: int) -> str:
    """So many numbers more, each the one before."""
    return PATTERN + "".join(f"  n{at}: {{exactly: {f'n{at - 1}' if at else 'cast_on'}}}\n" for at in range(count))


def sizes(count: int) -> str:
    """So many feet, each a little longer; from some on as wide as the one before."""
    feet = (f"{{name: s{at}, {FOOT.format(18 + at * 10 / count, 20 + at * 9 / count)}}}" for at in range(count))
    return PATTERN.replace("{chart: adult-feet, choose: [M]}", "\n  own:\n    - " + "\n    - ".join(feet))


def rounds(count: int) -> str:
    """A leg of so many rounds more, told one by one."""
    return PATTERN + "sections:\n  - name: Leg\n    steps:\n" + "      - round: K\n" * count


def decreases(count: int) -> str:
    """So many pairs of rounds that lose a stitch and win it again, in a repeat."""
    pair = ('{heel: "K1, ssk, K to end", instep: "K"}', '{heel: "K1, m1, K to end", instep: "K"}')
    lines = "".join(f"          - round: {each}\n" for each in pair)
    return PATTERN + f"sections:\n  - name: Leg\n    steps:\n      - repeat:\n{lines}        times: {count}\n"


def notes(count: int) -> str:
    """So many notes more."""
    return PATTERN + "notes:\n" + "  - Mind the *stitches* of the heel and the [others](there).\n" * count


WAYS: dict[Callable[[int], str], tuple[int, ...]] = {
    numbers: (50, 100, 200, 400, 800, 1600),
    sizes: (2, 4, 8, 16, 32, 64),
    rounds: (50, 100, 200, 400, 800),
    decreases: (25, 50, 100, 200, 400),
    notes: (50, 100, 200, 400, 800),
}


def timed(text: str, runs: int) -> float:
    """Processor seconds of the fastest of so many runs, nothing kept from one to the next but what a process keeps."""
    least = float("inf")
    for run in range(runs):
        fresh = f"{text}# {time.perf_counter_ns()} {run}\n"
        began = time.process_time()
        pattern, findings = load_text(fresh, "p.yaml")
        assert pattern is not None, findings[:1]
        check(pattern, Wanted(setups=(SETUP,)))
        least = min(least, time.process_time() - began)
    return least


def main() -> None:
    """Print a table for each way to grow."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=3)
    runs = parser.parse_args().runs
    timed(PATTERN, 1)
    for way, counts in WAYS.items():
        took = [timed(way(count), runs) for count in counts]
        print(f"\n{way.__name__:<10}" + "".join(f"{count:>8}" for count in counts) + "   last doubling")
        print(f"{'cpu s':<10}" + "".join(f"{each:>8.3f}" for each in took) + f"   x {took[-1] / took[-2]:.1f}")


if __name__ == "__main__":
    main()
