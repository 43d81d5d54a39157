"""Runs that are ended at some moment, and runs two at a time: whatever happens, no document is lost or torn.

    python -m tests.validation.kills [--count 60] [--pairs 20] [--seed 1]

A folder holds the documents of one version of a pattern while those of the next are being made. The run is ended by
SIGKILL, SIGTERM or SIGINT, in turn with one process and with two; a quarter of the runs while they write or have
others at work, all else at any moment. Then
every document must be, to the byte, the old one or the new one; no process may be left a few seconds later; and after
the next run all must be new, with nothing else in the folder. Two runs of two versions into one folder, begun at nearly
the same time, must leave all documents of the one or all of the other.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

ROOT = Path(__file__).resolve().parents[2]
SIGNALS = (signal.SIGKILL, signal.SIGTERM, signal.SIGINT)
LIST = "Name;Foot (cm);Length (cm)\nAda;21,5;24\nAdá;22;24\nAda;22,5;25\nBo;22;25\nCleo;23;25\n"
WAYS = ("publish", "class", "separate")
PATIENCE = 5.0  # seconds within which all processes must have ended

Moment = float | Literal["writing", "working"]


@dataclass(frozen=True, slots=True)
class Desk:
    """A folder to work in: two versions of a pattern, a list, and what each version makes in each way."""

    folder: Path
    made: Mapping[tuple[str, str], Mapping[str, bytes]]

    def files(self, way: str, version: str) -> Mapping[str, bytes]:
        """What a run of that way makes of that version."""
        return self.made[way, version]


def command(folder: Path, way: str, version: str, jobs: int, out: Path) -> list[str]:
    """The words of a run."""
    pattern, asked = str(folder / f"{version}.yaml"), ["--jobs", str(jobs), "--out", str(out), "--quiet"]
    if way == "publish":
        return [
            "publish",
            pattern,
            *("--sizes", "5", "--needles", "magic-loop", "--edition", "pattern,one-size,plain-text,web"),
            *asked,
        ]
    each = ["--separate"] if way == "separate" else []
    return ["class", pattern, str(folder / "list.csv"), "--gauge", "32x44", "--needles", "magic-loop", *each, *asked]


class Run:
    """A run in a session of its own, so that what it leaves can be found; to be used in a `with`."""

    def __init__(self, words: Sequence[str]) -> None:
        self._said = tempfile.TemporaryFile()  # noqa: SIM115 - no pipe, which what is left would hold open
        self.process = subprocess.Popen(
            [sys.executable, "-m", "grader", *words],
            cwd=ROOT,
            stdout=subprocess.DEVNULL,
            stderr=self._said,
            start_new_session=True,
        )

    def __enter__(self) -> Run:
        return self

    def __exit__(self, *_about: object) -> None:
        self.process.kill()
        self.process.wait()
        self._said.close()

    def end(self) -> tuple[int, str]:
        """Wait for it: its code, and what it said."""
        code = self.process.wait()
        self._said.seek(0)
        return code, self._said.read().decode()


def there(folder: Path) -> dict[str, bytes]:
    """All files of a folder, hidden ones too."""
    return {path.name: path.read_bytes() for path in folder.iterdir()} if folder.is_dir() else {}


def prepare(folder: Path, ways: Sequence[str] = WAYS) -> Desk:
    """Write both versions and the list, and make the documents of each once."""
    text = (ROOT / "patterns" / "ninepenny_bridge.yaml").read_text(encoding="utf-8")
    text = text[: text.index("# What each version changed")]
    (folder / "old.yaml").write_text(text, encoding="utf-8")
    (folder / "new.yaml").write_text(text.replace('version: "1.0"', 'version: "1.1"'), encoding="utf-8")
    (folder / "list.csv").write_text(LIST, encoding="utf-8")
    made = {}
    for way in ways:
        for version in ("old", "new"):
            out = folder / f"{way}-{version}"
            with Run(command(folder, way, version, 1, out)) as run:
                code, said = run.end()
            assert code == 0, said
            made[way, version] = there(out)
    return Desk(folder, made)


def left_running(session: int) -> list[int]:
    """The processes of a session that have not ended."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            told = stat.read_text().rpartition(")")[2].split()
        except (OSError, ProcessLookupError):
            continue
        if int(told[3]) == session and told[0] not in "ZX":
            found.append(int(stat.parent.name))
    return found


def _wait(run: Run, moment: Moment, out: Path) -> None:
    """Wait so many seconds, or until the run writes, or has processes at work."""
    if not isinstance(moment, str):
        time.sleep(moment)
        return
    while run.process.poll() is None:
        if moment == "writing" and any(name.startswith(".") for name in os.listdir(out)):
            break
        if moment == "working" and len(left_running(run.process.pid)) > 2:
            break
        time.sleep(0.0005)


def kill_once(desk: Desk, way: str, jobs: int, sent: signal.Signals, moment: Moment) -> list[str]:
    """End a run after so many seconds, or while it writes or has others at work; what is wrong afterwards."""
    out = Path(tempfile.mkdtemp(dir=desk.folder))
    old, new = desk.files(way, "old"), desk.files(way, "new")
    for name, content in old.items():
        (out / name).write_bytes(content)
    words = command(desk.folder, way, "new", jobs, out)
    wrong = []
    with Run(words) as run:
        _wait(run, moment, out)
        run.process.send_signal(sent)
        _, said = run.end()
    if "Traceback" in said and (", in main\n" in said or "Process" in said):  # before `main` it is the interpreter's
        wrong.append(f"a traceback: {said[-300:]}")
    until = time.monotonic() + PATIENCE
    while (left := left_running(run.process.pid)) and time.monotonic() < until:
        time.sleep(0.05)
    if left:
        wrong.append(f"{len(left)} processes are left")
        for each in left:
            os.kill(each, signal.SIGKILL)
    stands = there(out)
    wrong += [f"{name} is lost" for name in old if name not in stands]
    wrong += [
        f"{name} is neither old nor new"
        for name, content in stands.items()
        if not name.startswith(".") and content not in (old.get(name), new.get(name))
    ]
    with Run(words) as again:
        code, said = again.end()
    if code:
        wrong.append(f"the next run ends with {code}: {said}")
    wrong += _differs(there(out), [new])
    shutil.rmtree(out)
    return wrong


def pair_once(desk: Desk, way: str, jobs: int, apart: float) -> list[str]:
    """Two runs into one folder, begun so many seconds apart; what is wrong afterwards."""
    out = Path(tempfile.mkdtemp(dir=desk.folder))
    wrong = []
    with Run(command(desk.folder, way, "old", jobs, out)) as one:
        time.sleep(apart)
        with Run(command(desk.folder, way, "new", jobs, out)) as other:
            for run in (one, other):
                code, said = run.end()
                if code:
                    wrong.append(f"a run ends with {code}: {said}")
    both = [desk.files(way, "old"), desk.files(way, "new")]
    if way == "separate":  # each person's document is written by itself
        stands = there(out)
        both = [{name: stands[name] if stands.get(name) == both[1][name] else both[0][name] for name in both[0]}]
    wrong += _differs(there(out), both)
    shutil.rmtree(out)
    return wrong


def _differs(stands: Mapping[str, bytes], sets: Sequence[Mapping[str, bytes]]) -> list[str]:
    if any(stands == each for each in sets):
        return []
    odd = sorted(name for name in {*stands, *sets[0]} if all(stands.get(name) != each.get(name) for each in sets))
    return [f"the folder holds no whole set: {', '.join(odd) or 'files of both'}"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Kill and pair as often as is asked, print what came of it; 1 where anything was lost, torn or left."""
    parser = argparse.ArgumentParser(description="Runs ended at some moment, and runs two at a time.")
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--pairs", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(arguments)
    dice, found, counts = random.Random(asked.seed), 0, Counter[str]()
    with tempfile.TemporaryDirectory() as scratch:
        desk = prepare(Path(scratch))
        began = time.monotonic()
        with Run(command(desk.folder, "publish", "new", 1, desk.folder / "timed")) as run:
            run.end()
        whole = time.monotonic() - began
        for number in range(asked.count):
            way, jobs, sent = dice.choice(WAYS), number % 2 + 1, SIGNALS[number // 2 % 3]
            at: Moment = dice.uniform(0, whole)
            if number % 4 == 3:
                at = dice.choice(["writing", "working"] if jobs > 1 else ["writing"])
            found += _told(f"{way}, jobs {jobs}, {sent.name}", kill_once(desk, way, jobs, sent, at), counts)
        for number in range(asked.pairs):
            way, jobs = WAYS[number % 3], number % 2 + 1
            wrong = pair_once(desk, way, jobs, dice.choice([0, dice.uniform(0, whole / 3)]))
            found += _told(f"{way}, jobs {jobs}, two runs", wrong, counts)
    for what, count in sorted(counts.items()):
        print(f"{count:3} {what}")
    print(f"{asked.count} kills, {asked.pairs} pairs: {found or 'nothing'} wrong")
    return 1 if found else 0


def _told(what: str, wrong: Sequence[str], counts: Counter[str]) -> int:
    counts[what] += 1
    for each in wrong:
        print(f"{what}: {each}", flush=True)
    return len(wrong)


if __name__ == "__main__":
    sys.exit(main())
