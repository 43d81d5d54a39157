"""How long it takes to choose sizes, and how many more people they fit than evenly spaced ones.

    python -m tests.bench.cover [--counts 3,6,9]

Every pattern that ships, for each population, at its own gauge. The floor is the grading of the feet that are tried,
timed in the same run; what is over it is reading the population and the exact search with its proof.
"""

from __future__ import annotations

import argparse
import time
from pathlib import Path

from grader.covering import grid
from grader.pipeline import open_pattern
from grader.serving import choose_sizes, cover_sizes
from grader.sizing import grade
from grader.vocabulary.population import read_population

PATTERNS = Path(__file__).resolve().parents[2] / "patterns"


def main() -> None:
    """Print, for each pattern and population, the shares and the seconds."""
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--counts", default="3,6,9", metavar="LIST", help="how many sizes to choose")
    counts = [int(each) for each in arguments.parse_args().counts.split(",")]
    heads = "".join(f"   {count:>2} chosen    even    s" for count in counts)
    print(f"{'pattern':<18}{'people':<9}{'own':>6} floor s  cover s{heads}")
    for path in sorted(PATTERNS.glob("*.yaml")):
        pattern, _ = open_pattern(str(path))
        assert pattern is not None
        for population in ("women", "men", "adults", "children"):
            people = read_population(population)
            began = time.perf_counter()
            for body in grid(pattern, people):
                grade(pattern, body)
            floor = time.perf_counter() - began
            began = time.perf_counter()
            coverage, _ = cover_sizes(pattern, population)
            taken = time.perf_counter() - began
            told = f"{path.stem:<18}{population:<9}{coverage.served / coverage.people:>6.1%}{floor:>8.2f}{taken:>9.2f}"
            for count in counts:
                began = time.perf_counter()
                choice = choose_sizes(pattern, population, count)
                taken = time.perf_counter() - began
                chosen, even = (each.served / coverage.people for each in (choice.chosen, choice.even))
                told += f"{chosen:>12.1%} {even:>7.1%} {taken:>4.1f}"
            print(told, flush=True)


if __name__ == "__main__":
    main()
