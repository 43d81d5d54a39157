"""The stage that draws a sock as it is knitted: its parts by name, the needles, the short rows, the shaping.

Every number in a drawing is one of the record's: what was knitted is what is shown.
"""

from __future__ import annotations

from grader.diagrams.stages import stage_diagrams

__all__ = ["stage_diagrams"]
