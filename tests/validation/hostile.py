"""Damaged pictures and typefaces, and wild values of every option: none may end in a traceback or take too long.

    python -m tests.validation.hostile [--pictures N] [--typefaces N] [--seed N] [--options]

Pictures are decoded, typefaces that are taken are set on a page; the options of every command are given one wild value
after the other. Tells what was refused and why, the slowest of each kind in seconds of processor time, and what raised.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import random
import resource
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

from grader.cli import main as program
from grader.cli.arguments import parser
from grader.models.looks import Looks
from grader.pages import set_pages, style_named, usable_typeface
from grader.pictures import decoded, for_screens
from grader.vocabulary.unprintable import Unprintable
from tests.hostile.test_streams import COMMANDS
from tests.hostile.tiny import TINY, damaged, picture, write_tiny

FONT = Path(__file__).resolve().parents[2] / "grader" / "pages" / "fonts" / "SourceSans3-Regular.ttf"
PAGE = "# Größe\n\nK2, *P2* to end — **12 sts**\n"
WILD = ("\udcff", "", "x" * 5000, "-1", "٣", "1e400", "9" * 400, "0cm", "\x1b[2J", "a\nb", "½", "100000000", "NaN", "/")
WILD = (*WILD, "..", "1/0", "0x0", "0 over 0cm", "0g/0m", ",", "-", "S-", "S,,S", "5cm", "inf")


def main() -> int:
    """Work what is asked for and print what came of it; 1 if anything raised."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--pictures", type=int, default=2000, metavar="N")
    options.add_argument("--typefaces", type=int, default=200, metavar="N")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--options", action="store_true", help="wild values of every option too: some minutes")
    asked = options.parse_args()
    raised = 0
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        raised += _tried("pictures", _pictures(asked.pictures, random.Random(asked.seed)))
        raised += _tried("typefaces", _typefaces(asked.typefaces, random.Random(asked.seed)))
        if asked.options:
            raised += _tried("options", _options())
    print(f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB at the most")
    return 1 if raised else 0


def _tried(what: str, cases: Iterator[tuple[str, Callable[[], str]]]) -> int:
    """Work the cases of a kind and print what came of them; how many raised."""
    came: Counter[str] = Counter()
    slowest, raised = (0.0, ""), 0
    for name, case in cases:
        began = time.process_time()
        try:
            came[case()] += 1
        except Exception:
            raised += 1
            print(f"{what}: {name!r} raised\n{traceback.format_exc(limit=-3)}")
        slowest = max(slowest, (time.process_time() - began, name))
    print(f"{what}: {sum(came.values()) + raised} tried, {raised} raised; the slowest took {slowest[0]:.2f} s")
    for how, count in came.most_common(8):
        print(f"    {count:6} {how}")
    return raised


def _pictures(count: int, chance: random.Random) -> Iterator[tuple[str, Callable[[], str]]]:
    seeds = [picture(mode=mode) for mode in ("1", "L", "LA", "P", "RGB", "RGBA", "I;16")]
    seeds += [picture("JPEG", mode=mode) for mode in ("L", "RGB", "CMYK")]
    place = Path("x.png")

    def look() -> str:
        try:
            decoded(place)
            for_screens(place)
        except Unprintable as mistake:
            return str(mistake).removeprefix("the picture x.png ")[:70]
        return "taken"

    for number in range(count):
        place.write_bytes(damaged(chance.choice(seeds), chance))
        os.utime(place, ns=(number, number))  # saved anew
        yield str(number), look


def _typefaces(count: int, chance: random.Random) -> Iterator[tuple[str, Callable[[], str]]]:
    sound, place = FONT.read_bytes(), Path("x.ttf")

    def look() -> str:
        try:
            usable_typeface(place)
            style = style_named("standard").with_looks(Looks(regular=place, bold=place))
            set_pages(PAGE, title="T", version="", author="", style=style)
        except Unprintable as mistake:
            return str(mistake).rpartition(": ")[2][:70]
        return "taken"

    for number in range(count):
        place.write_bytes(damaged(sound, chance))
        yield str(number), look


def _options() -> Iterator[tuple[str, Callable[[], str]]]:
    """Each option of each command, and each of its words, with every wild value in its place."""
    write_tiny(Path())
    Path("new.yaml").write_text(TINY.replace('"1"', '"2"'), encoding="utf-8")
    Path("list.csv").write_text("name;foot (cm);length (cm);leg (cm)\nAda;20;22;8\n", encoding="utf-8")
    commands = next(each for each in parser()._actions if isinstance(each, argparse._SubParsersAction)).choices
    for name, command in commands.items():
        words = list(COMMANDS[name])
        plain = [each for each in command._actions if not each.option_strings]
        for action in command._actions:
            if action.nargs == 0 or "--preview" in action.option_strings:
                continue
            for value in WILD:
                line = [*words, f"{action.option_strings[0]}={value}"] if action.option_strings else list(words)
                if not action.option_strings:
                    place = 1 + plain.index(action)
                    line[place : place + 1] = [value]
                yield " ".join(line)[:60], lambda line=line: _said(line)  # type: ignore[misc]


def _said(line: list[str]) -> str:
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = program(line)
    said = out.getvalue() + err.getvalue()
    assert code in (0, 1, 2), code
    assert code == 0 or said.strip(), "nothing was said"
    assert "grader: :" not in said, "a message without a name"
    return f"exit code {code}"


if __name__ == "__main__":
    raise SystemExit(main())
