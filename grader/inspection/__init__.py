"""Inspection: the worked record against what was aimed at, across sizes and setups.

This is the technical editor's table. It looks at what was knitted and at the stated targets, never at
the rules that made them.
"""

from grader.inspection.foot import Foot, foot_made, measure_foot
from grader.inspection.inspecting import Run, inspect

__all__ = ["Foot", "Run", "foot_made", "inspect", "measure_foot"]
