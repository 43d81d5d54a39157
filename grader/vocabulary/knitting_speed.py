"""How fast hands knit and how often they rest: common practice and estimates, see `grader/data/knitting_speed.yaml`."""

from __future__ import annotations

from fractions import Fraction

from grader.vocabulary.reference import exact, read_reference


def usual_speed() -> Fraction:
    """Stitches a minute of a practised hand in plain knitting: an estimate."""
    rows = read_reference("knitting_speed")["rows"]
    return next(exact(row["stitches"]) for row in rows if row["pace"] == "usual")


def speeds_possible() -> tuple[Fraction, Fraction]:
    """The slowest and the fastest speed that is taken for one, in stitches a minute."""
    limits = read_reference("knitting_speed")["limits"]
    return exact(limits["least"]), exact(limits["most"])


def breaks() -> tuple[Fraction, Fraction]:
    """After how many minutes of knitting hands rest, and for how many: a caution and an estimate."""
    told = read_reference("knitting_speed")["breaks"]
    return exact(told["every"]), exact(told["rest"])
