"""People with measures out of the usual, and patterns put together for them."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from grader.cli.one_off import own_body
from grader.measuring import usual
from grader.models.pattern import Pattern
from grader.pipeline import open_pattern
from grader.vocabulary.bodies import Body

FOOT = {"foot_circumference": Fraction(21), "foot_length": Fraction(24)}
FLAPPED = ("cuff-2x2-rib", "leg-straight", "heel-flap-slipped", "turn-round", "gusset", "foot-plain", "toe-wedge")


def opened(folder: Path, text: str) -> Pattern:
    """The pattern of a text, which must load."""
    path = folder / "own.yaml"
    path.write_text(text, encoding="utf-8")
    pattern, findings = open_pattern(str(path))
    assert pattern is not None, findings
    assert not findings
    return pattern


def person(pattern: Pattern, shares: dict[str, str] | None = None, **foot: Fraction) -> Body:
    """Somebody with this foot; `shares` are other measures as a share of what is usual for it, such as "1.05"."""
    measures = {**FOOT, **foot}
    common = usual(measures)
    for name, share in (shares or {}).items():
        measures[name] = common[name] * Fraction(share)
    body = own_body(pattern, measures["foot_circumference"], measures["foot_length"], measures, "")
    untouched = frozenset(body.measures.keys() - measures.keys())
    return Body(body.name, body.measures, usual=common, estimated=untouched)
