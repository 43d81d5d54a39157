"""The samples of the patterns that ship, and the block of any sound pattern's samples.

`python -m tests.faults.sampling` works three sizes of every pattern that ships and writes their samples anew; with
names of patterns behind it only theirs. Do that when numbers were changed on purpose, and read the difference.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from grader.inspection.samples import log_of
from grader.pipeline import Checked, check, open_pattern
from grader.reporting import print_sample
from grader.yarn_use import yarn_for_pair

PATTERN = "patterns/ninepenny_bridge.yaml"
_ROOT = Path(__file__).resolve().parents[2]
_BLOCK = re.compile(r"^# The designer's own samples: .*\nsample:\n(?:[ ].*\n)*", re.MULTILINE)


def chosen(names: Sequence[str]) -> tuple[str, ...]:
    """Three sizes to knit: a small one, one in the middle, a large one."""
    edge = len(names) // 8
    return tuple(dict.fromkeys((names[edge], names[len(names) // 2], names[-1 - edge])))


def sample_block(checked: Checked) -> str:
    """The text of the block for some sizes, from the first setup that holds each; both socks of a pair that differ."""
    logs = []
    for name in chosen([body.name for body in checked.pattern.bodies]):
        sock = next(each for each in checked.socks if each.graded.body.name == name)
        use = yarn_for_pair(checked.pattern, sock.record)
        logs.append(log_of(checked.pattern, sock.graded, sock.records, (use.metres_pair, use.grams_pair)))
    return print_sample(logs) + "\n"


def without_samples(text: str) -> str:
    """The text of a pattern file without the block of samples that the program writes."""
    return _BLOCK.sub("", text)


def sampled(path: Path) -> str:
    """The text of a pattern file with its samples made anew, where they stood or at its end."""
    text = path.read_text(encoding="utf-8")
    pattern, findings = open_pattern(str(path))
    if pattern is None:
        raise ValueError(f"{path} can't be read: {findings}")
    checked = check(replace(pattern, samples=()))
    if not checked.is_sound:
        raise ValueError(f"{path} is not sound: {[each for each in checked.findings if each.is_error]}")
    block = sample_block(checked)
    if _BLOCK.search(text):
        return _BLOCK.sub(lambda _: block, text)
    return f"{text.rstrip()}\n\n{block}"


def main() -> None:
    """Run from the command line."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("names", nargs="*", help="patterns that ship, such as quayside")
    given = options.parse_args()
    for path in sorted((_ROOT / "patterns").glob("*.yaml")):
        if given.names and path.stem not in given.names:
            continue
        text = sampled(path)
        if text != path.read_text(encoding="utf-8"):
            path.write_text(text, encoding="utf-8")
            print(f"{path.name}: its samples are written anew")


if __name__ == "__main__":
    main()
