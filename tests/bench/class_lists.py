"""How long a class takes, and how much memory: what a further person adds should be little more than her pages.

    python -m tests.bench.class_lists [--jobs 2] [--edition handout] [PEOPLE ...]

Each list is worked by a process of its own, whose greatest memory is told, and that of the largest that helped it.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

_ONE = """
import resource, sys
from grader.cli import main
code = main(sys.argv[1:])
whose = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
print(code, *(resource.getrusage(each).ru_maxrss // 1024 for each in whose))
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Print a line for each number of people."""
    parser = argparse.ArgumentParser(description="Seconds and memory of class lists in one document.")
    parser.add_argument("people", nargs="*", type=int, default=[100, 300, 1000])
    parser.add_argument("--jobs", default="2")
    parser.add_argument("--edition", default="handout")
    asked = parser.parse_args(arguments)
    print("people  seconds  of processor  MB  MB of a helper  MB of the PDF", flush=True)
    with tempfile.TemporaryDirectory() as scratch:
        for count in asked.people:
            path, out = Path(scratch, f"{count}.csv"), Path(scratch, str(count))
            lines = (f"Knitter {n};{20 + n % 12 / 2:.1f};{22 + n % 10 / 2:.1f}" for n in range(count))
            path.write_text("\n".join(("Name;Foot (cm);Length (cm)", *lines)), encoding="utf-8")
            line = ["class", "ninepenny_bridge", str(path), "--gauge", "32x44", "--needles", "magic-loop", "--quiet"]
            line += ["--jobs", asked.jobs, "--edition", asked.edition, "--out", str(out)]
            began, used = time.monotonic(), resource.getrusage(resource.RUSAGE_CHILDREN)
            told = subprocess.run([sys.executable, "-c", _ONE, *line], check=True, capture_output=True, text=True)
            took, after = time.monotonic() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
            worked = after.ru_utime + after.ru_stime - used.ru_utime - used.ru_stime
            code, most, helper = told.stdout.split()
            size = sum(each.stat().st_size for each in out.glob("*.pdf")) / 2**20
            print(f"{count:6}  {took:7.1f}  {worked:12.1f}  {most:>3}  {helper:>14}  {size:13.1f}", flush=True)
            if code != "0":
                print(f"exit code {code}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
