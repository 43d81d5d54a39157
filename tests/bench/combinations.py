"""Every cuff with every leg, heel and toe that ships, in twelve sizes or more and four needle setups.

    python -m tests.bench.combinations

Prints how many socks were knitted through, how many findings there are, and how long it took, beside an
empty loop over the same combinations.
"""

from __future__ import annotations

import os
import time
from concurrent.futures import ProcessPoolExecutor

from grader.loading import load_text
from grader.pipeline import Wanted, check
from grader.resources import folder
from grader.vocabulary.size_charts import read_chart
from tests.parts.combining import combinations, pattern_of


def knitted(parts: tuple[str, ...]) -> tuple[tuple[str, ...], int, int, int, int]:
    """One combination in all sizes and setups: the parts, then sizes, records, findings and remarks."""
    here = str(folder("patterns") / "put_together.yaml")
    chart = "legs" if "leg-calf" in parts else "all-feet"
    pattern, findings = load_text(pattern_of(parts, chart), here, read_chart)
    assert pattern is not None, findings
    checked = check(pattern, Wanted())
    wrong = sum(finding.is_error for finding in checked.findings)
    records = sum(len(sock.records) for sock in checked.socks)
    return parts, len(checked.sizes), records, wrong, len(checked.findings) - wrong


def main() -> None:
    """Knit them all."""
    began = time.perf_counter()
    every = list(combinations())
    floor = time.perf_counter() - began
    sizes: set[int] = set()
    socks = errors = remarks = 0
    began = time.perf_counter()
    with ProcessPoolExecutor() as workers:
        for parts, count, records, wrong, told in workers.map(knitted, every, chunksize=4):
            if wrong:
                print(f"{wrong} findings: {', '.join(parts)}")
            sizes.add(count)
            socks, errors, remarks = socks + records, errors + wrong, remarks + told
    taken = time.perf_counter() - began
    print(
        f"{len(every)} combinations in {' or '.join(map(str, sorted(sizes)))} sizes, {socks} socks, {errors} findings,"
        f" {remarks} remarks of sizes too small for a needle"
    )
    print(
        f"{taken:.1f} s on {os.cpu_count()} cores, {socks / taken:.0f} socks a second"
        f" (empty loop {floor * 1000:.2f} ms)"
    )


if __name__ == "__main__":
    main()
