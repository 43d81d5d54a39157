"""Every measured foot gets its own sock: how many knit up clean, with what ease, and how fast.

    python -m tests.bench.feet [--every N]

The feet are the 6,068 adults of ANSUR II (US Army Natick, 2014, public-use data): ball girth as the
circumference, foot length as the length. Each foot is knitted at three gauges, in the four needle
setups by turns. The floor is an empty loop over the same feet, timed in the same run.
"""

from __future__ import annotations

import argparse
import csv
import gzip
import statistics
import time
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from grader.cli.one_off import own_body, own_gauge
from grader.pipeline import Wanted, check, for_one, open_pattern
from grader.setups import setup_names

HERE = Path(__file__).resolve().parent
FEET = HERE.parents[1] / "grader" / "data" / "populations" / "ansur2_feet.csv.gz"
PATTERN = HERE.parents[1] / "patterns" / "ninepenny_bridge.yaml"
GAUGES = ((28, 40), (32, 44), (36, 50))


def read_feet() -> list[tuple[Fraction, Fraction]]:
    """Circumference and length of every foot, in cm."""
    with gzip.open(FEET, "rt", encoding="utf-8") as lines:
        return [(Fraction(row["ball_girth"]) / 10, Fraction(row["foot_length"]) / 10) for row in csv.DictReader(lines)]


def main() -> None:
    """Knit them all and print the count, the spread of ease and the speed."""
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--every", type=int, default=1, metavar="N", help="only every Nth foot")
    every = arguments.parse_args().every
    pattern, _ = open_pattern(str(PATTERN))
    assert pattern is not None
    feet = read_feet()[::every]
    setups = setup_names()
    for stitches, rounds in GAUGES:
        began = time.perf_counter()
        for _ in feet:
            pass
        floor = time.perf_counter() - began
        reasons: Counter[str] = Counter()
        girths, lengths = [], []
        began = time.perf_counter()
        for index, (girth, length) in enumerate(feet):
            gauge = own_gauge(pattern, (Fraction(stitches), Fraction(rounds)))
            mine = for_one(pattern, own_body(pattern, girth, length, {}, "yours"), gauge)
            mine = replace(mine, samples=())
            checked = check(mine, Wanted((setups[index % len(setups)],)))
            if checked.is_sound and checked.socks:
                ease = checked.sizes[0].ease
                girths.append(float(ease["foot_circumference"]) * 100)
                lengths.append(float(ease["foot_length"]) * 100)
            else:
                reasons[next(iter(finding.code for finding in checked.findings), "?")] += 1
        taken = time.perf_counter() - began
        low, high = pattern.fit.allowed
        inside = sum(float(low) * 100 <= ease <= float(high) * 100 for ease in girths)
        print(
            f"{stitches} x {rounds}: {len(girths)} of {len(feet)} feet knitted clean, {inside} with ease inside"
            f" {float(low):+.0%} to {float(high):+.0%}; not served: {dict(reasons) or 'none'}"
        )
        for name, eases in (("round", girths), ("long", lengths)):
            cuts = statistics.quantiles(eases, n=100)
            print(
                f"    ease {name}: min {min(eases):.1f}, 5th {cuts[4]:.1f}, median {statistics.median(eases):.1f},"
                f" 95th {cuts[94]:.1f}, max {max(eases):.1f} %"
            )
        print(f"    {len(feet) / taken:.0f} socks a second ({taken:.1f} s; empty loop {floor * 1000:.1f} ms)")


if __name__ == "__main__":
    main()
