"""Sizing: one pattern and one foot make the numbers of one size.

Every number comes from a rule of the pattern file; this stage only evaluates it exactly, finds
the nearest legal number and says why, or says which rule can't be met and what would mend it.
"""

from grader.sizing.altering import alterations_for
from grader.sizing.grading import grade

__all__ = ["alterations_for", "grade"]
