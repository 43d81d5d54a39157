"""Inspection: the worked record against what was aimed at, across sizes and setups.

This is the technical editor's table. It looks at what was knitted and at the stated targets, never at
the rules that made them.
"""

from grader.inspection.foot import foot_made
from grader.inspection.inspecting import Run, inspect

__all__ = ["Run", "foot_made", "inspect"]
