"""`python -m grader`, and what the command `grader` runs."""

import sys


def run() -> int:
    """The whole program; its exit code. An interruption while it still starts is one too."""
    try:
        from grader.cli.program import guarded

        return guarded()
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(run())
