"""Merging: the socks of all sizes and setups laid together as one printed document."""

from grader.merging.documents import Choice, merge
from grader.merging.sections import Knitted

__all__ = ["Choice", "Knitted", "merge"]
