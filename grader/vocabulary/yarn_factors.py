"""What stitches, edges and ends take of yarn beside a plain knitted loop, and how sure that is.

Sources and status row by row in `grader/data/yarn_use.yaml`: the plain loop is geometry, what a hand takes beyond it a
calibration on weighed pairs, strands behind stitches are computed from their width, most others are estimates and carry
how far they may lie off.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from grader.vocabulary.loop_length import loop_length_cm, relaxation_state
from grader.vocabulary.reference import read_reference
from grader.vocabulary.stitches import MANNERS, Stitch, stitch_named


@dataclass(frozen=True, slots=True)
class Factor:
    """What one of a kind takes, in `unit` ("loops", or "widths" of a stitch), and how far that may lie off."""

    kind: str
    unit: str
    takes: float
    give: float
    status: str


@dataclass(frozen=True, slots=True)
class Hand:
    """How many times the geometry's loop a stitch knitted by hand takes, how far that may lie off, as a share, and from
    how many weighed pairs it was found."""

    takes: float
    give: float
    pairs: int


def stitch_cm(stitches_per_cm: float, rounds_per_cm: float) -> float:
    """The yarn in one plain stitch knitted by hand, in cm: the geometry's loop (Munden 1959) times the calibration."""
    return loop_length_cm(stitches_per_cm, rounds_per_cm) * hand().takes


@cache
def hand() -> Hand:
    """The calibration on pairs that others have knitted by hand and weighed."""
    row = read_reference("yarn_use")["hand"]
    return Hand(float(row["takes"]), float(row["give"]), int(row["pairs"]))


def factor(kind: str) -> Factor:
    """The factor of a kind of stitch or edge; `KeyError` if there is none."""
    return _factors()[kind]


def kind_of(made: str) -> str:
    """The kind of a stitch by its name in a worked line, such as "k tbl", "ssk", "2/2 LC", "sl wyif", "pick up"."""
    if made == "pick up":
        return made
    stitch = stitch_made(made)
    if stitch.crossing:
        return "cable"
    own = {"yo": "yarn over", "sl": "slip", "DS": "double"}.get(stitch.name)
    if own:
        return own
    if stitch.change:
        return "decrease" if stitch.change < 0 else "increase"
    return "twisted" if made.endswith("tbl") else "plain"


def stitch_made(made: str) -> Stitch:
    """The stitch of a name that may have its manners behind it; `KeyError` for what is no stitch."""
    words = made
    while (stitch := stitch_named(words)) is None:
        words, _, last = words.rpartition(" ")
        if last not in MANNERS:
            raise KeyError(f"no stitch {made!r}")
    return stitch


def beside(name: str) -> float:
    """`end_cm`, `swatch_cm` or `gauge_error` (stitches or rounds to 10 cm)."""
    return float(read_reference("yarn_use")["beside"][name]["amount"])


def ball_weights() -> tuple[float, float]:
    """The lightest and the heaviest ball beside what its band says, as shares: 0.92 and 1.04 (looked up)."""
    rows = read_reference("yarn_use")["balls"]
    return float(rows["lightest"]["amount"]), float(rows["heaviest"]["amount"])


@cache
def constants_give() -> float:
    """How far the length of a loop may lie off by the state of the fabric: half way from dry to fully relaxed."""
    dry, wet, full = (relaxation_state(name).k_s ** 0.5 for name in ("dry relaxed", "wet relaxed", "fully relaxed"))
    return float((full - dry) / 2 / wet)


@cache
def _factors() -> dict[str, Factor]:
    rows = read_reference("yarn_use")["rows"]
    found = (Factor(row["kind"], row["unit"], float(row["takes"]), float(row["give"]), row["status"]) for row in rows)
    return {each.kind: each for each in found}
