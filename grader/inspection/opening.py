"""Whether the leg and its edge stretch over heel and ankle bend, and whether the leg holds to the ankle above them."""

from __future__ import annotations

import math
from fractions import Fraction

from grader.inspection.measures import width_of
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.record import Record, WorkedLine
from grader.vocabulary.bodies import Body
from grader.vocabulary.conditioning import expected, together
from grader.vocabulary.findings import Ledger, Severity
from grader.vocabulary.stretch import stretch_of

_HEEL, _ANKLE = "heel_diagonal", "ankle"
_LEG, _BELOW_THE_CUFF = ("cuff", "leg"), ("leg", "calf", "ankle")
_NINE_IN_TEN = 1.645  # standard deviations to either side that hold nine in ten
_SLACK = Fraction(1, 1000)  # of the stretch: nobody measures as closely


def check_opening(pattern: Pattern, graded: Graded, record: Record, ledger: Ledger) -> None:
    """A remark where the narrowest round of cuff or leg does not go over the heel, for feet whose heel is known."""
    heel = graded.body.measures.get(_HEEL)
    rounds = [line for line in record.lines if line.kind == "round" and line.after and _is_leg(line.section)]
    if heel is None or not rounds:
        return
    narrowest = min(rounds, key=lambda line: _reach(pattern, line))
    most = _reach(pattern, narrowest)
    if most >= heel * (1 - _SLACK):
        return
    fabric, factor = fabric_of(narrowest)
    needed = math.ceil(heel * pattern.gauge.stitches / factor / 4) * 4
    estimated = ", estimated from the foot" if _HEEL in graded.body.estimated else ""
    ledger.add(
        "opening",
        f"{narrowest.after} sts of {fabric} stretch to about {_cm(most)}, and the heel is {_cm(heel)} round{estimated}",
        narrowest.span,
        severity=Severity.REMARK,
        sizes=(record.size,),
        setups=(record.setup,),
        section=narrowest.section,
        line=narrowest.text,
        expected=f"{_cm(heel)} or more, which takes {needed} sts",
        found=_cm(most),
        mend=_mend(fabric),
    )


def check_hold(pattern: Pattern, graded: Graded, record: Record, ledger: Ledger) -> None:
    """A remark where even the narrowest round of a plain leg is wider at rest than the ankle, so that it hangs loose.

    A measured ankle is taken as it is. Of a size, and where nobody measured, the leg must be wider than the ankles of
    nine in ten such feet reach. A leg in rib closes round any ankle: how far is nowhere published.
    """
    legs = [line for line in record.lines if line.kind == "round" and line.after and _is_below_the_cuff(line.section)]
    if not legs or any("rib" in fabric_of(line)[0] for line in legs):
        return
    widths = [(width_of(pattern, line, line.after), line) for line in legs if line.after]
    width, line = min(widths, key=lambda each: each[0])
    ankle, whose = _widest_ankle(graded.body)
    if width <= ankle * (1 + _SLACK):
        return
    most = math.floor(ankle * pattern.gauge.stitches / 4) * 4
    ledger.add(
        "loose",
        f"{line.after} sts at the ankle are {_cm(width)} round, and {whose} {_cm(ankle)}: the leg will hang loose",
        line.span,
        severity=Severity.REMARK,
        sizes=(record.size,),
        setups=(record.setup,),
        section=line.section,
        line=line.text,
        expected=f"{_cm(ankle)} or less, which {most} sts make",
        found=_cm(width),
        mend="knit the leg with fewer stitches down to the ankle, or in rib",
    )


def _widest_ankle(body: Body) -> tuple[Fraction, str]:
    """The ankle that a leg must not be wider than, in cm, and whose it is."""
    if _ANKLE in body.measures and body.usual and _ANKLE not in body.estimated:  # of a person
        return body.measures[_ANKLE], "the ankle is"
    foot = {name: float(body.measures[name]) for name in ("foot_circumference", "foot_length")}
    usual = together(expected(_ANKLE, foot))
    middle = body.measures.get(_ANKLE, Fraction(usual.mean))
    widest = round((middle + Fraction(_NINE_IN_TEN * usual.spread)) * 10) / Fraction(10)
    return widest, "of ankles beside such a foot nine in ten are at the most"


def _is_below_the_cuff(section: str) -> bool:
    return any(word in section.lower() for word in _BELOW_THE_CUFF)


def _is_leg(section: str) -> bool:
    return any(word in section.lower() for word in _LEG)


def _reach(pattern: Pattern, line: WorkedLine) -> Fraction:
    """How far round a line stretches, in cm; a stitch pattern that draws in has a gauge of its own."""
    assert line.after is not None
    own = next((each.gauge for each in pattern.stitch_patterns if each.gauge and each.name == line.fabric), None)
    return line.after / (own or pattern.gauge).stitches * fabric_of(line)[1]


def fabric_of(line: WorkedLine) -> tuple[str, Fraction]:
    """The fabric of a round, as far as stretch goes, and its factor."""
    colours = {colour for colour, _ in line.yarns if colour}
    if len(colours) > 1:
        return stretch_of("stranded knitting")
    longest = max((count for _, count in line.made), default=0)
    purls = sum(count for stitch, count in line.made if stitch == "p")
    if line.made and 3 * purls >= sum(count for _, count in line.made) and longest <= 2:
        return stretch_of("1 x 1 rib" if longest == 1 else "2 x 2 rib")
    return stretch_of("plain knitting")


def _mend(fabric: str) -> str:
    if fabric == "stranded knitting":
        return "knit the leg with more stitches or on larger needles: floats hardly stretch"
    if "rib" in fabric:
        return "cast on more stitches, with an edge that stretches, or knit the cuff on larger needles"
    return "knit the leg with more stitches, in rib, or on larger needles"


def _cm(amount: Fraction) -> str:
    return f"{float(amount):.1f} cm"
