"""Gauging: what was counted in a swatch, what it means for a pattern, and what another gauge changes in it."""

from grader.gauging.averaging import average
from grader.gauging.comparing import compare
from grader.gauging.regrading import changes, suited

__all__ = ["average", "changes", "compare", "suited"]
