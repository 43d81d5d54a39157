"""Grades a sock pattern written once, knits every size of it through, and prints it."""

__version__ = "0.1.0"
