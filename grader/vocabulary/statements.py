"""What a number in a sentence states of the work: "{heel_rows / 2, chains}" says that there are so many chains.

The kind stands after the last comma of the braces and is never printed. Which kinds there are stands here and nowhere
else; the test-knit notes where each sentence stood, and `grader.inspection.statements` says what the work gives there.
A kind that ends in REGION or MEASURE is said with a name in its place: "sts of the sole", "finished foot length".
"""

from __future__ import annotations

import re
from dataclasses import dataclass

STITCHES, ROUNDS, LENGTH, COUNT = "stitches", "rounds", "a length", "a count"
TAIL = "tail"
_PLAIN = "a plain number"
_PLACEHOLDER = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class StatementKind:
    """A kind by its name, the unit of its number, and what answers it, in words that end "there are" or "it is"."""

    name: str
    unit: str
    answer: str

    @property
    def stem(self) -> str:
        """The name without the word that is to be filled in."""
        return self.name.removesuffix("REGION").removesuffix("MEASURE")

    def fits(self, unit: str) -> bool:
        """True if a number of that unit can be of this kind; a plain number may count anything."""
        if unit in (LENGTH, self.unit) or self.unit == LENGTH:
            return unit == self.unit
        return unit == _PLAIN or (self.unit == COUNT and unit in (STITCHES, ROUNDS))


KINDS = (
    StatementKind("sts", STITCHES, "all stitches on the needles, those on hold among them"),
    StatementKind("sts of the REGION", STITCHES, "the stitches of a region"),
    StatementKind("sts without a wrap", STITCHES, "the stitches between the wrapped ones of a short-row heel or toe"),
    StatementKind(
        "sts between the double sts",
        STITCHES,
        "the stitches between the double ones, once the turn just made has its own",
    ),
    StatementKind("sts along each edge", STITCHES, "what this step picks up along each edge"),
    StatementKind("chains", COUNT, "the long chain stitches along each edge of what is worked to and fro"),
    StatementKind("divisor", COUNT, "a number that the stitches on the needles divide by after this step"),
    StatementKind("times", COUNT, "how often this step works its lines"),
    StatementKind("rounds", ROUNDS, "the rounds of this step"),
    StatementKind("rows", ROUNDS, "the rows of this step"),
    StatementKind("rounds so far", ROUNDS, "the rounds of this section up to here"),
    StatementKind("rows so far", ROUNDS, "the rows of this section up to here"),
    StatementKind("rounds of the section", ROUNDS, "all rounds of this section"),
    StatementKind("rows of the section", ROUNDS, "all rows of this section"),
    StatementKind("rounds from the cast-on", ROUNDS, "all rounds up to here"),
    StatementKind("from the cast-on", LENGTH, "the length of all rounds up to here"),
    StatementKind("from the top edge", LENGTH, "the length of the leg from its finished edge to here"),
    StatementKind("from the heel", LENGTH, "the length of the leg from the heel up to here"),
    StatementKind("from the back of the heel", LENGTH, "the length of the foot from the back of the heel to here"),
    StatementKind("from the tip of the toe", LENGTH, "the length of the foot from the tip of the toe to here"),
    StatementKind("of the section", LENGTH, "the length of this section up to here"),
    StatementKind("around", LENGTH, "how far it is round all stitches on the needles"),
    StatementKind("finished MEASURE", LENGTH, "a measure of the finished sock"),
    StatementKind(TAIL, LENGTH, "an end of yarn, long enough for what it must do and not absurdly long"),
)


def kind_named(words: str) -> tuple[StatementKind, str] | None:
    """The kind that the words name, with the region or measure they speak of; None where there is no such kind."""
    words = " ".join(words.split())
    named = (each for each in KINDS if each.stem != each.name and words.startswith(each.stem))
    plain = next((each for each in KINDS if each.stem == each.name == words), None)
    if plain:
        return plain, ""
    return next(((each, words.removeprefix(each.stem)) for each in named), None)


def kinds_for(unit: str) -> tuple[StatementKind, ...]:
    """The kinds that a number can be, by the name of its unit as `Quantity` has it."""
    return tuple(each for each in KINDS if each.fits(unit))


def parted(inside: str) -> tuple[str, str, int]:
    """What stands in braces as formula and kind, and where the kind begins: a comma within brackets parts nothing."""
    depth, comma = 0, -1
    for at, sign in enumerate(inside):
        depth += (sign == "(") - (sign == ")")
        if sign == "," and depth == 0:
            comma = at
    if comma < 0:
        return inside, "", len(inside)
    kind = inside[comma + 1 :]
    return inside[:comma], kind.strip(), comma + 1 + len(kind) - len(kind.lstrip())


def without_kinds(text: str) -> str:
    """Prose with its formulas alone in the braces, as it is known to translators."""
    return _PLACEHOLDER.sub(lambda found: "{" + parted(found[1])[0].rstrip() + "}", text)
