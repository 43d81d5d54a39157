"""Measuring: what is known of one foot is judged against the people that were measured, and what is missing estimated.

A stage beside the others: it knows bodies and populations, and nothing of patterns.
"""

from grader.measuring.estimating import estimate, usual
from grader.measuring.judging import judge

__all__ = ["estimate", "judge", "usual"]
