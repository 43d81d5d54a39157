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
    """A kind by its name, the unit of its number, and what answers it.

    `said` are words of which one must stand in the sentence, those of more than three letters also as the beginning
    of another: a reader goes by the words, and a number of another kind would be right by its kind and wrong by them.
    """

    name: str
    unit: str
    answer: str
    said: tuple[str, ...] = ()

    @property
    def stem(self) -> str:
        """The name without the word that is to be filled in."""
        return self.name.removesuffix("REGION").removesuffix("MEASURE")

    def fits(self, unit: str) -> bool:
        """True if a number of that unit can be of this kind; a plain number may count anything."""
        if unit in (LENGTH, self.unit) or self.unit == LENGTH:
            return unit == self.unit
        return unit == _PLAIN or (self.unit == COUNT and unit in (STITCHES, ROUNDS))


_ENDS = ("tail", "end", "ends", "strand", "thread", "yarn")
_STS, _ROUND, _ROW = ("st", "sts", "stitch"), ("round", "rnd", "rnds"), ("row", "rows")
KINDS = (
    StatementKind("sts", STITCHES, "all stitches on the needles, those on hold among them", _STS),
    StatementKind("sts of the REGION", STITCHES, "the stitches of a region", _STS),
    StatementKind("sts without a wrap", STITCHES, "the stitches between the wrapped ones of short rows", ("wrap",)),
    StatementKind(
        "sts between the double sts",
        STITCHES,
        "the stitches between the double ones, once the turn just made has its own",
        ("double", "ds"),
    ),
    StatementKind("sts along each edge", STITCHES, "what this step picks up along each edge", ("edge", "side")),
    StatementKind("chains", COUNT, "the long chain stitches along each edge of what is worked to and fro", ("chain",)),
    StatementKind("divisor", COUNT, "what the stitches divide by after this step", ("divide", "divis", "multiple")),
    StatementKind("times", COUNT, "how often this step works its lines", ("time", "often", "repeat", "pair")),
    StatementKind("rounds", ROUNDS, "the rounds of this step", _ROUND),
    StatementKind("rows", ROUNDS, "the rows of this step", _ROW),
    StatementKind("rounds so far", ROUNDS, "the rounds of this section up to here", _ROUND),
    StatementKind("rows so far", ROUNDS, "the rows of this section up to here", _ROW),
    StatementKind("rounds of the section", ROUNDS, "all rounds of this section", _ROUND),
    StatementKind("rows of the section", ROUNDS, "all rows of this section", _ROW),
    StatementKind("rounds from the cast-on", ROUNDS, "all rounds up to here", _ROUND),
    StatementKind(
        "from the cast-on", LENGTH, "the length of all rounds up to here", ("cast-on", "cast", "beginning", "start")
    ),
    StatementKind("from the top edge", LENGTH, "the length of the leg from its finished edge to here", ("edge", "top")),
    StatementKind("from the heel", LENGTH, "the length of the leg from the heel up to here", ("heel",)),
    StatementKind("from the back of the heel", LENGTH, "the length of the foot from its heel to here", ("heel",)),
    StatementKind("from the tip of the toe", LENGTH, "the length of the foot from its toe to here", ("toe", "toes")),
    StatementKind("of the section", LENGTH, "the length of this section up to here"),
    StatementKind("around", LENGTH, "how far it is round all stitches", ("round", "around", "circumference", "girth")),
    StatementKind("finished MEASURE", LENGTH, "a measure of the finished sock"),
    StatementKind(
        TAIL,
        LENGTH,
        "an end of yarn, long enough for what it must do and not absurdly long",
        _ENDS,
    ),
)
_COUNTED = re.compile(
    r"\s{1,3}(?:(?:more|long|plain|live|edge|heel|instep|sole|foot)\s{1,3})?"
    r"(?:(chains?)|(sts?|stitch(?:es)?)|(rounds?|rnds?)|(rows?)|(times))\b",
    re.IGNORECASE,
)
_COUNTED_AS = ("chains", "sts", "rounds", "rows", "times")  # how the kinds begin that such a word names, group by group
_DIVIDES = re.compile(r"\b(?:divid|divis|multiple)\w{0,6} (?:by|of) \Z", re.IGNORECASE)
_FROM = re.compile(r"\bfrom (?:the|its|your)\b", re.IGNORECASE)


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


def unlike(kind: StatementKind, of: str, before: str, after: str) -> str:
    """What would make a sentence say what its number is, where the words before and after it don't; "" where they do.

    A length that is not one from somewhere must not be told as if it were, nor stitches as chains.
    """
    sentence = f"{before} {after}"
    words = re.findall(r"[a-z]+", sentence.lower())
    for several in (kind.said, (of.lower().split()[-1],) if of else ()):
        if several and not any(
            word == each or (each[3:] and word.startswith(each)) for each in several for word in words
        ):
            return f"name it there with a word such as {several[0]}, or give the number its own kind"
    counted = _COUNTED.match(after)
    if counted and counted.lastindex and not kind.name.startswith((_COUNTED_AS[counted.lastindex - 1], "divisor")):
        return f"it stands before {counted[counted.lastindex]}: give it the kind of that"
    if _DIVIDES.search(before[-30:]) and kind.name != "divisor":
        return "the words tell what the stitches divide by: give it the kind divisor"
    if kind.unit == LENGTH and kind.name != TAIL and not kind.name.startswith("from") and _FROM.search(sentence):
        return "the words tell a length from somewhere: give it the kind of that"
    return ""


def names_a_tail(words: str) -> bool:
    """True if a number is called after an end of yarn, by its name or its label."""
    return any(word.startswith(_ENDS) for word in re.findall(r"[a-z]+", words.lower().replace("_", " ")))
