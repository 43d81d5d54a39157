"""Covering: which of the people who were measured a range of sizes fits, and which sizes fit the most."""

from grader.covering.between import between_sizes
from grader.covering.ranges import even_range, grid
from grader.covering.serving import choose, cover

__all__ = ["between_sizes", "choose", "cover", "even_range", "grid"]
