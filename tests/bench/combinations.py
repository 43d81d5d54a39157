"""Every cuff with every heel and every toe that ships, in 14 sizes and four needle setups.

    python -m tests.bench.combinations

Prints how many socks were knitted through, how many findings there are, and how long it took, beside an
empty loop over the same combinations.
"""

from __future__ import annotations

import time

from grader.loading import load_text
from grader.pipeline import Wanted, check
from grader.resources import folder
from grader.vocabulary.size_charts import read_chart
from tests.parts.combining import combinations, pattern_of


def main() -> None:
    """Knit them all."""
    began = time.perf_counter()
    for _ in combinations():
        pass
    floor = time.perf_counter() - began
    here = str(folder("patterns") / "put_together.yaml")
    socks = errors = remarks = 0
    began = time.perf_counter()
    for parts in combinations():
        pattern, findings = load_text(pattern_of(parts, "all-feet"), here, read_chart)
        assert pattern is not None, findings
        checked = check(pattern, Wanted())
        wrong = sum(finding.is_error for finding in checked.findings)
        if wrong:
            print(f"{wrong} findings: {', '.join(parts)}")
        socks, errors = socks + len(checked.socks), errors + wrong
        remarks += len(checked.findings) - wrong
    taken = time.perf_counter() - began
    combined = sum(1 for _ in combinations())
    print(
        f"{combined} combinations, {socks} socks, {errors} findings, {remarks} remarks of sizes too small for a needle"
    )
    print(f"{taken:.1f} s, {socks / taken:.0f} socks a second (empty loop {floor * 1000:.2f} ms)")


if __name__ == "__main__":
    main()
