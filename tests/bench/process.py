"""Whole-process times of the commands, beside two floors measured in the same run.

    python -m tests.bench.process [--runs N]

Floors: `python -c pass`, and a bare reportlab canvas that draws the same lines of text as the
published PDF (no layout at all). Commands and floors run by turns, so that a slow moment of the
machine falls on all of them; medians and ratios of medians are printed.
"""

from __future__ import annotations

import argparse
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PATTERN = str(Path(__file__).resolve().parents[2] / "patterns" / "ninepenny_bridge.yaml")
ONE_OFF = ["--foot", "22.5cm", "--length", "24cm", "--gauge", "31x43", "--needles", "magic-loop", "--quiet"]
CANVAS = """
import sys
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
pdfmetrics.registerFont(TTFont("Body", sys.argv[3]))
canvas = Canvas(sys.argv[2], invariant=1)
for page in open(sys.argv[1], encoding="utf-8").read().split("\\f"):
    canvas.setFont("Body", 10)
    for number, line in enumerate(page.split("\\n")):
        canvas.drawString(50, 800 - 12 * number, line)
    canvas.showPage()
canvas.save()
"""


def timed(command: list[str], folder: str) -> tuple[float, float]:
    """Wall and processor seconds of one run."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    began = time.perf_counter()
    subprocess.run(command, cwd=folder, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    wall = time.perf_counter() - began
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Time them all by turns and print medians and ratios."""
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--runs", type=int, default=9)
    runs = arguments.parse_args().runs
    from pypdf import PdfReader

    from grader.resources import folder as shipped

    font = str(shipped("patterns").parent / "grader" / "pages" / "fonts" / "SourceSans3-Regular.ttf")
    grader = [sys.executable, "-m", "grader"]
    os.environ.setdefault("PYTHONPATH", str(Path(__file__).resolve().parents[2]))
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([*grader, "publish", PATTERN, "--quiet"], cwd=folder, check=True)
        pdf = next(Path(folder, "build").glob("*.pdf"))
        pages = PdfReader(pdf).pages
        text = Path(folder, "lines.txt")
        text.write_text("\f".join(page.extract_text() for page in pages), encoding="utf-8")
        canvas = [sys.executable, "-c", CANVAS, str(text), str(Path(folder, "bare.pdf")), font]
        commands = {
            "python -c pass": [sys.executable, "-c", "pass"],
            f"bare canvas, {len(pages)} pages": canvas,
            "check, all sizes and setups": [*grader, "check", PATTERN],
            "one-off": [*grader, "one-off", PATTERN, *ONE_OFF],
            "publish": [*grader, "publish", PATTERN, "--quiet"],
        }
        times: dict[str, list[tuple[float, float]]] = {name: [] for name in commands}
        for run in range(runs + 1):
            for name, command in commands.items():
                found = timed(command, folder)
                if run:  # the first turn warms the caches
                    times[name].append(found)
    floor, bare = (statistics.median(wall for wall, _ in each) for each in list(times.values())[:2])
    print(f"{'median of ' + str(runs):<30}{'wall s':>8}{'cpu s':>8}{'x pass':>9}{'x canvas':>10}")
    for name, each in times.items():
        wall, cpu = (statistics.median(column) for column in zip(*each, strict=True))
        print(f"{name:<30}{wall:>8.3f}{cpu:>8.3f}{wall / floor:>9.1f}{wall / bare:>10.2f}")


if __name__ == "__main__":
    main()
