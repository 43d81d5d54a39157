"""The command line: the only part of the project that prints, asks and exits."""

from grader.cli.main import main

__all__ = ["main"]
