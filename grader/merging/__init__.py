"""Merging: the socks of all sizes and setups laid together as one printed document."""

from grader.merging.documents import Choice, merge
from grader.merging.numbers import LONGEST_BRACKET
from grader.merging.sections import Knitted

__all__ = ["LONGEST_BRACKET", "Choice", "Knitted", "merge"]
