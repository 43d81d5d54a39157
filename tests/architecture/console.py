"""Runs the console blocks of README.md, in their order, in a folder that looks like a checkout.

`python -m tests.architecture.console` writes what the commands now say into README.md; read the difference.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from .source import ROOT

README = ROOT / "README.md"
_BLOCK = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def blocks(text: str) -> list[str]:
    """The console blocks of a document."""
    return _BLOCK.findall(text)


def commands(block: str) -> list[str]:
    """The lines of a block that are typed."""
    return [line.removeprefix("$ ") for line in block.splitlines() if line.startswith("$ ")]


def run(block: str, folder: Path) -> str:
    """The block anew: each command followed by what it says, results and remarks as they come."""
    told = []
    environment = {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "PYTHONUTF8": "1",
        "PYTHON": sys.executable,
        "LC_ALL": "C",
    }
    for command in commands(block):
        script = f'grader() {{ "$PYTHON" -m grader "$@"; }}\n{command}'
        outcome = subprocess.run(
            ["sh", "-c", script],
            cwd=folder,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            check=False,
        )
        told.append(f"$ {command}\n{outcome.stdout.replace(str(ROOT) + os.sep, '')}")
    return "".join(told)


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
