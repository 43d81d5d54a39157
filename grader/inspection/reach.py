"""Whether the stitches of every round go round the small circular needle that they are on."""

from __future__ import annotations

from grader.models.pattern import Pattern
from grader.models.record import Record
from grader.vocabulary.findings import Ledger

_SETUP = "short circular"


def check_reach(pattern: Pattern, record: Record, ledger: Ledger) -> None:
    """A round with too few stitches for the small circular one can't be knitted: other needles must have been taken."""
    if record.setup != _SETUP:
        return
    fewest = pattern.fewest_on_circular
    on_it = False
    for line in record.lines:
        if line.kind in ("cast_on", "open"):
            on_it = len(line.needles) == 1
        elif line.kind == "arrange" and line.text.startswith("Change to"):
            on_it = "circular" in line.text
        elif on_it and line.kind == "round" and line.after is not None and line.after < fewest:
            ledger.add(
                "reach",
                f"{line.after} sts do not go round the small circular needle: at this gauge it takes {fewest}",
                line.span,
                sizes=(record.size,),
                setups=(record.setup,),
                section=line.section,
                line=line.text,
                expected="other needles before this round",
                found=f"{line.after} sts",
            )
            return
