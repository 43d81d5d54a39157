"""The yarn command: what a pair takes, and whether the ball at hand is enough."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from grader.cli.arguments import LONGEST_VALUE, UsageError
from grader.cli.gauging import LEAST_RUN, MOST_RUN
from grader.vocabulary.quantities import GRAMS_PER_OUNCE, METRES_PER_YARD

if TYPE_CHECKING:
    from grader.cli.console import Console
    from grader.models.pattern import Pattern
    from grader.models.yarn import Ball
    from grader.pipeline import Checked

_YARD = float(METRES_PER_YARD)
_METRES = {"m": 1.0, "yd": _YARD, "yds": _YARD, "yards": _YARD, "metres": 1.0}
_GRAMS = {"g": 1.0, "oz": float(GRAMS_PER_OUNCE), "grams": 1.0}
_COUNT = re.compile(r"\s*+(\d{1,3})\s*+[x×*]\s*+(.*)")
_AMOUNT = re.compile(r"\s*(\d{1,5}(?:[.,]\d{1,3})?)\s*([a-z]+)\s*", re.IGNORECASE)
MOST_METRES, MOST_GRAMS = 5000, 1000
LIKE = "write it like 50g/210m, 2x50g/210m or 1.75oz/230yd"


def ball_of(text: str, pattern: Pattern) -> Ball:
    """Balls from "50g/210m", "2x100g/400m", "230yd/1.75oz"; what is missing is as in the pattern's yarn."""
    from grader.models.yarn import Ball

    if len(text) > LONGEST_VALUE:
        raise UsageError(f"ball: this is too long for a ball; {LIKE}")
    counted = _COUNT.fullmatch(text)
    count, rest = (int(counted[1]), counted[2]) if counted else (1, text)
    if not count:
        raise UsageError("ball: no ball can't be enough")
    found: dict[str, float] = {}
    for part in rest.split("/"):
        match = _AMOUNT.fullmatch(part)
        unit = match[2].lower() if match else ""
        what = "metres" if unit in _METRES else "grams" if unit in _GRAMS else ""
        if not match or not what or what in found:
            raise UsageError(f"ball: {text!r} should be grams and metres; {LIKE}")
        found[what] = float(match[1].replace(",", ".")) * (_METRES | _GRAMS)[unit]
    yarn = pattern.colours[0] if pattern.colours else pattern.yarn
    ratio = float(yarn.metres / yarn.grams)
    metres = found.get("metres", found.get("grams", 0) * ratio)
    grams = found.get("grams", metres / ratio)
    for amount, most, unit in ((metres, MOST_METRES, "m"), (grams, MOST_GRAMS, "g")):
        if not 1 <= amount <= most:
            raise UsageError(f"ball: {amount:g} {unit} can't be; a ball has 1 to {most} {unit}")
    if not LEAST_RUN <= metres / grams <= MOST_RUN:
        raise UsageError(f"ball: {metres / grams:g} m to the gram can't be; sock yarns have about 1 to 5")
    return Ball(metres, grams, count)


def tell_yarn(checked: Checked, ball: Ball | None, units: str, console: Console) -> int:
    """Print the table of the yarn, or the answer about a ball; 1 if the pattern has findings."""
    from grader.publishing import yarn_uses
    from grader.reporting import print_enough, print_yarn

    pattern = checked.pattern
    if not checked.socks:
        return 1
    if ball is None:
        console.result(print_yarn(pattern, yarn_uses(checked.socks, checked)))
    else:
        from grader.one_ball import is_it_enough

        colour = pattern.colours[0].name if pattern.colours else ""
        console.result(print_enough(is_it_enough(checked, ball, console.progress), ball, units, colour))
    return 0 if checked.is_sound else 1
