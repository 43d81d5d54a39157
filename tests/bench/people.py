"""Everybody of the survey gets a crew sock of her own: whom it fits everywhere, whom it is altered for, and whom not.

    python -m tests.bench.people [--every N] [--knit N]

The people are the 6,068 adults of ANSUR II (US Army Natick, 2014, public-use data) with their own foot, heel, ankle,
calf and knee. The sock is put together from parts: 2 x 2 rib, straight leg, slipped flap, round turn, gusset, wedge
toe. Each is graded, with the alterations that follow from the measures, and every Nth is written out and knitted
through. A sock fits everywhere if these limits hold; all but the ease of the pattern are estimates:

    foot     ease round and long as the pattern allows
    heel     the leg stretches over heel and ankle bend (grader/data/stretch.yaml)
    flap     the girth round the heel is within 4 % of what is usual for the foot, or the heel was altered
    ankle    the tube at rest is at the most 5 % wider than the ankle
    calf     the leg below the cuff stretches no more than plain knitting does; how wide the leg is there lies on a line
             from the ankle, 12 cm above the floor, to the calf, at two thirds of the height of the knee
"""

from __future__ import annotations

import argparse
import csv
import gzip
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from grader.cli.one_off import own_body
from grader.measuring import judge, usual
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.pipeline import Wanted, check, for_one, open_pattern, with_parts_for
from grader.setups import setup_names
from grader.sizing import alterations_for, grade
from grader.vocabulary.bodies import Body
from grader.vocabulary.stretch import stretch_of

SURVEY = Path(__file__).resolve().parents[2] / "grader" / "data" / "populations" / "ansur2_feet.csv.gz"
PATTERN = """
title: Crew socks for everybody
version: "1"
gauge: {stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}
yarn: {weight: super fine, metres: 420, per: 100 g}
fit: {foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}
sizes: {chart: adult-feet}
parts: [cuff-2x2-rib, leg-straight, heel-flap-slipped, turn-round, gusset, foot-plain, toe-wedge]
numbers:
  cast_on: {nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches, multiple_of: 4}
"""
COLUMNS = {
    "foot_length": "foot_length",
    "foot_circumference": "ball_girth",
    "heel_diagonal": "heel_ankle_girth",
    "ankle": "ankle_girth",
    "calf": "calf_girth",
    "knee_height": "tibial_height",
}
FLAP, SLACK = Fraction(4, 100), Fraction(105, 100)
ANKLE_AT, HEEL_UP, CALF_AT = Fraction(12), Fraction(8), Fraction(2, 3)  # cm, cm, share of the height of the knee


@dataclass(slots=True)
class Tally:
    """What came of everybody so far."""

    fits: int = 0
    plain: int = 0
    strange: int = 0
    altered: Counter[str] = field(default_factory=Counter)
    misfits: Counter[str] = field(default_factory=Counter)
    mended: Counter[str] = field(default_factory=Counter)


def read_people() -> list[tuple[str, dict[str, Fraction]]]:
    """Women or men, and the measures of each, in cm."""
    with gzip.open(SURVEY, "rt", encoding="utf-8") as lines:
        return [
            (
                "women" if row["sex"] == "F" else "men",
                {name: Fraction(row[column]) / 10 for name, column in COLUMNS.items()},
            )
            for row in csv.DictReader(lines)
        ]


def misfits_of(
    pattern: Pattern, graded: Graded | None, findings: list[str], body: Body, altered: set[str]
) -> list[str]:
    """Which of the limits do not hold; empty for a sock that fits everywhere."""
    if graded is None:
        return findings or ["not graded"]
    per_cm, measures = pattern.gauge.stitches, body.measures
    round_foot, round_top = graded.names["cast_on"].amount / per_cm, graded.names["top"].amount / per_cm
    plain = stretch_of("plain knitting")[1]
    share = measures["heel_diagonal"] / body.usual["heel_diagonal"] - 1
    told = []
    if round_foot * plain < measures["heel_diagonal"]:
        told.append("heel: the leg does not go over it")
    if share > FLAP and not any("instep" in name for name in altered):
        told.append("flap: too short for a high instep")
    if share < -FLAP and "Narrow heel" not in altered:
        told.append("flap: too wide for a narrow heel")
    if round_foot > measures["ankle"] * SLACK:
        told.append("ankle: slack")
    if round_top * plain < _leg_below_the_cuff(measures, graded):
        told.append("calf: the leg is too tight below the cuff")
    return told


def _leg_below_the_cuff(measures: dict[str, Fraction], graded: Graded) -> Fraction:
    """How wide the leg is there, in cm, on the line from the ankle to the calf."""
    up = HEEL_UP + measures["leg_length"] - graded.names["cuff_length"].amount
    share = (up - ANKLE_AT) / (measures["knee_height"] * CALF_AT - ANKLE_AT)
    return measures["ankle"] + (measures["calf"] - measures["ankle"]) * max(Fraction(0), min(share, Fraction(1)))


def main() -> None:
    """Count them all, and knit some."""
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--every", type=int, default=1, metavar="N", help="only every Nth person")
    arguments.add_argument("--knit", type=int, default=50, metavar="N", help="knit the sock of every Nth through")
    typed = arguments.parse_args()
    people = read_people()[:: typed.every]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "crew.yaml"
        path.write_text(PATTERN, encoding="utf-8")
        pattern, findings = open_pattern(str(path))
        assert pattern is not None, findings
        began = time.perf_counter()
        tally, knitted, unsound = _tried(pattern, people, typed.knit)
        taken = time.perf_counter() - began
    count = len(people)
    print(f"{count} people, {count / taken:.0f} a second ({taken:.1f} s)")
    print(f"fits everywhere: {tally.fits} ({tally.fits / count:.1%}); {tally.plain} of them without any alteration")
    print("altered, of all:")
    for name, number in tally.altered.most_common():
        print(f"    {number:5} ({number / count:6.1%})  {name}")
    print("mended by it:")
    for name, number in tally.mended.most_common():
        print(f"    {number:5} ({number / count:6.1%})  {name}")
    print("not served, and why (some for several reasons):")
    for name, number in tally.misfits.most_common():
        print(f"    {number:5} ({number / count:6.1%})  {name}")
    print(f"called strange by judge: {tally.strange} ({tally.strange / count:.2%})")
    print(f"knitted through: {knitted}, not clean: {unsound or 'none'}")


def _tried(
    pattern: Pattern, people: list[tuple[str, dict[str, Fraction]]], knit: int
) -> tuple[Tally, int, Counter[str]]:
    tally, unsound, knitted = Tally(), Counter[str](), 0
    others: dict[tuple[str, ...], Pattern] = {}
    setups = setup_names()
    for index, (whom, measures) in enumerate(people):
        nearest = own_body(pattern, measures["foot_circumference"], measures["foot_length"], measures, "")
        body = Body("yours", nearest.measures, usual=usual(measures, whom))
        tally.strange += bool(judge(measures, whom))
        unaltered, told = grade(pattern, Body("yours", body.measures))
        before = misfits_of(pattern, unaltered, sorted({each.code for each in told}), body, set())
        swaps = tuple(each.name for each in alterations_for(pattern, body) if each.parts)
        if swaps not in others:
            other, _, findings = with_parts_for(pattern, body)
            assert other is not None, findings
            others[swaps] = other
        mine = others[swaps]
        altered = {*swaps, *(each.name for each in alterations_for(mine, body) if each.rules)}
        graded, told = grade(mine, body)
        after = misfits_of(mine, graded, sorted({each.code for each in told}), body, altered)
        tally.altered.update(altered)
        tally.misfits.update(after)
        tally.mended.update(set(before) - set(after))
        tally.fits += not after
        tally.plain += not after and not altered
        if index % knit == 0:
            checked = check(for_one(mine, body), Wanted((setups[index // knit % len(setups)],)))
            knitted += 1
            unsound.update(each.code for each in checked.findings if each.is_error)
    return tally, knitted, unsound


if __name__ == "__main__":
    main()
