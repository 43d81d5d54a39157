"""Runs the console blocks of README.md, in their order, in a folder that looks like a checkout.

The words after `grader` are worked in this process, and the shell is given what they say: to start a program anew for
each command takes longer than most of the commands do.

`python -m tests.architecture.console` writes what the commands now say into README.md; read the difference.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import shutil
import subprocess
import tempfile
from pathlib import Path

from grader.cli import main

from .source import ROOT

README = ROOT / "README.md"
_BLOCK = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_JOINTS = (";", "&&", "|", ">")


def blocks(text: str) -> list[str]:
    """The console blocks of a document."""
    return _BLOCK.findall(text)


def commands(block: str) -> list[str]:
    """The lines of a block that are typed."""
    return [line.removeprefix("$ ") for line in block.splitlines() if line.startswith("$ ")]


def run(block: str, folder: Path) -> str:
    """The block anew: each command followed by what it says, results and remarks as they come."""
    told = []
    for command in commands(block):
        said = _said(command, folder).replace(str(ROOT) + os.sep, "")
        told.append(f"$ {command}\n{said}")
    return "".join(told)


def _said(command: str, folder: Path) -> str:
    """All that a command says, results and remarks; `grader` may stand at its beginning, and there alone."""
    with tempfile.TemporaryDirectory() as place:
        words = calls(command)
        assert len(words) == command.startswith("grader "), f"grader stands elsewhere than first: {command}"
        code = _worked(words[0], folder, Path(place)) if words else 0
        outcome = subprocess.run(
            ["sh", "-c", f"grader() {{ cat {place}/err >&2; cat {place}/out; return {code}; }}\n{command}"],
            cwd=folder,
            env={**os.environ, "LC_ALL": "C"},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            check=False,
        )
    return outcome.stdout


def _worked(words: list[str], folder: Path, place: Path) -> int:
    """Work a command line of the program in the folder; its code, and what it says in two files."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.chdir(folder), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(words)
    (place / "out").write_text(out.getvalue(), encoding="utf-8")
    (place / "err").write_text(err.getvalue(), encoding="utf-8")
    return code


def calls(command: str) -> list[list[str]]:
    """The words after each `grader` of a command line."""
    lexer = shlex.shlex(command, posix=True, punctuation_chars=True)
    lexer.whitespace_split = True
    found: list[list[str]] = []
    words: list[str] = []
    for word in [*lexer, ";"]:
        if word not in _JOINTS:
            words.append(word)
            continue
        if words[:1] == ["grader"]:
            found.append(words[1:])
        words = []
    return found


def groups(every: list[str]) -> list[list[str]]:
    """The blocks in their order; those that go on with what an earlier one left in the folder stand with it."""
    found: list[tuple[set[str], list[str]]] = []
    for block in every:
        typed = "\n".join(commands(block))
        left = set(re.findall(r" > (\S+)", typed))
        left |= {"build"} if re.search(r"^grader publish (?!.*--out)", typed, re.MULTILINE) else set()
        known, together = next((each for each in found if any(name in typed for name in each[0])), (set(), []))
        if not together:
            found.append((known, together))
        known |= left
        together.append(block)
    return [together for _, together in found]


def checkout(folder: Path) -> None:
    """Lay the patterns and templates out as in a checkout."""
    for name in ("patterns", "templates"):
        shutil.copytree(ROOT / name, folder / name)


def rewritten(text: str, folder: Path) -> str:
    """The document with the answers of all its console blocks anew."""
    return _BLOCK.sub(lambda found: f"```console\n{run(found[1], folder)}```", text)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        checkout(Path(place))
        README.write_text(rewritten(README.read_text(encoding="utf-8"), Path(place)), encoding="utf-8")
