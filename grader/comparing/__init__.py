"""Comparing two versions of a pattern: what a knitter who has the old print must know, as an errata sheet.

Both versions are knitted through; what they print is laid side by side, sock by sock, and each change is told once.
"""

from grader.comparing.comparison import compare_patterns
from grader.comparing.sheet import changelog_entry, write_errata

__all__ = ["changelog_entry", "compare_patterns", "write_errata"]
