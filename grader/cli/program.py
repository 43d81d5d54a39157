"""The program as the system starts it: round the commands, what holds whatever happens to them."""

from __future__ import annotations

import os
import platform
import sys
import tempfile
import traceback
from collections.abc import Callable
from importlib import metadata

from grader.cli.main import main
from grader.cli.streams import prepare

BUG = 3
SHOWN = "GRADER_TRACEBACK"  # set in the environment by who wants to see where a bug is


def guarded(command: Callable[[], int] = main) -> int:
    """Run the command that was typed and give its exit code, 3 for a bug of ours, which is told as one."""
    prepare()
    try:
        return command()
    except MemoryError:
        print("grader: there is not enough memory for this; nothing was written", file=sys.stderr)
        return BUG
    except Exception as bug:  # nothing else stands between a bug and whoever knits
        print(_told(bug), file=sys.stderr)
        return BUG


def _told(bug: Exception) -> str:
    """What is said of a bug; where it is stands in a file, for who mends it."""
    where = "".join(traceback.format_exception(bug))
    system = f"grader {version()}, Python {platform.python_version()}, {platform.platform()}"
    report = f"{system}\n{' '.join(map(repr, sys.argv[1:]))}\n\n{where}"
    said = f"grader: this is a bug in the grader (version {version()}), not a mistake of yours: {type(bug).__name__}"
    if os.environ.get(SHOWN):
        return f"{report}{said}"
    try:
        handle, path = tempfile.mkstemp(prefix="grader-bug-", suffix=".txt")
        with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace") as file:
            file.write(report)
    except OSError:
        return f"{report}{said}"
    return f"{said}\nPlease report it to whoever gave you the grader, with {path} and, if you may, your pattern."


def version() -> str:
    """The version that is installed."""
    try:
        return metadata.version("sock-grader")
    except metadata.PackageNotFoundError:
        return "unknown"
