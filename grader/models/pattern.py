"""A pattern as its designer wrote it, with the place of every part in the file.

Nothing here is graded: counts are still formulas, and lines still hold `{...}`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grader.models.shown import Shown
from grader.vocabulary.bodies import Body
from grader.vocabulary.findings import Span
from grader.vocabulary.formulas import Formula
from grader.vocabulary.needles import setup_needles


@dataclass(frozen=True, slots=True)
class Gauge:
    """Stitches and rounds per centimetre, and the needle they were counted on (mm)."""

    stitches: Fraction
    rounds: Fraction
    per_cm: Fraction
    needle_mm: Fraction | None
    span: Span

    @property
    def per_stated(self) -> tuple[Fraction, Fraction]:
        """Stitches and rounds over the stated width, as the designer counted them."""
        return self.stitches * self.per_cm, self.rounds * self.per_cm


@dataclass(frozen=True, slots=True)
class Yarn:
    """The weight by its standard name, and how many metres a ball of so many grams holds."""

    weight: str
    metres: Fraction
    grams: Fraction
    note: str
    span: Span


@dataclass(frozen=True, slots=True)
class Colour:
    """One of several yarns: its word (MC, CC, CC1 to CC9), what its designer calls it, and how far a ball goes."""

    name: str
    label: str
    metres: Fraction
    grams: Fraction
    span: Span


@dataclass(frozen=True, slots=True)
class Fit:
    """Ease as a share of the foot: what is aimed at, and what is still allowed."""

    foot_circumference: Fraction
    foot_length: Fraction
    allowed: tuple[Fraction, Fraction]
    length_allowed: tuple[Fraction, Fraction]
    span: Span


@dataclass(frozen=True, slots=True)
class Counted:
    """What a number of rows or rounds counts in the knitting of one section.

    `lines` are "rounds" or "rows"; `of` is "" for all of them, "decrease" or "increase" for those that change the
    count. `pace` is "slow" for such as a plain one follows, "fast" for the others, "each" for how many rounds there
    are to each; `halved` counts one half of them.
    """

    lines: str
    section: str
    of: str = ""
    pace: str = ""
    halved: bool = False


@dataclass(frozen=True, slots=True)
class Rule:
    """One entry of `numbers`: a target, the congruences it must meet, its bounds and its why.

    `unit` is "stitches", "rounds" or "cm"; `aim` is exactly, nearest, at_least or at_most. `plus` goes with all of
    `multiple_of`; `also` holds further multiples, each with its own remainder. `counts` is what of the knitting adds
    up to it; None where neither the file nor the label says so. `allowed` are the limits that the number may not
    leave, whatever the rule comes to: a statement about it, no part of the rule.
    """

    name: str
    aim: str
    target: Formula
    multiple_of: tuple[Formula, ...]
    plus: Formula | None
    at_least: Formula | None
    at_most: Formula | None
    unit: str
    label: str
    why: str
    span: Span
    also: tuple[tuple[Formula, Formula | None], ...] = ()
    counts: tuple[Counted, ...] | None = None
    allowed: tuple[Formula, Formula] | None = None


@dataclass(frozen=True, slots=True)
class Placeholder:
    """A number in prose: its formula, the kind of what it states of the work, and whose ("" where nobody's).

    `kind` is the name of a `StatementKind`, "" where the file has none that is known; a finding says so.
    """

    formula: Formula
    kind: str
    of: str
    span: Span


@dataclass(frozen=True, slots=True)
class Written:
    """A line of the notation or a piece of prose as written, with its place; `placeholders` are those of prose."""

    text: str
    span: Span
    placeholders: tuple[Placeholder, ...] = ()

    @property
    def in_pattern(self) -> str:
        """The stitch pattern that "in NAME" names, which a region may be worked in; "" for a line of its own."""
        words = self.text.split()
        return words[1] if len(words) == 2 and words[0] == "in" and words[1] != "pattern" else ""


@dataclass(frozen=True, slots=True)
class StitchPattern:
    """Rounds (or rows, RS first) that repeat; the names `NAME.repeat` and `NAME.rounds` come from them.

    `chart` holds the lines of a chart as its designer drew it, top line first, where that is the source of the
    rounds. `sides` is the stitch at both sides of a panel of fixed width ("k" or "p"; "" where the rounds fill what
    they are worked over). `gauge` is the pattern's own where it draws in; `stops` the rounds after which it may end.
    """

    name: str
    rounds: tuple[Written, ...]
    rows: tuple[Written, ...]
    label: str
    span: Span
    chart: tuple[Written, ...] = ()
    sides: str = ""
    gauge: Gauge | None = None
    stops: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class RegionCount:
    """A named stretch of the live stitches, such as heel or instep, and its count."""

    name: str
    count: Formula
    span: Span


@dataclass(frozen=True, slots=True)
class Work:
    """What one step works: `whole` over all live stitches, or one line for each region.

    `in_pattern` names a stitch pattern instead. For rows, `whole` holds the RS line and `ws` the WS line.
    """

    whole: Written | None = None
    by_region: tuple[tuple[str, Written], ...] = ()
    ws: Written | None = None
    first_side: str = "RS"
    in_pattern: str = ""


@dataclass(frozen=True, slots=True)
class PickUpPart:
    """One stretch of a pick-up round: a region knitted across, or stitches from an edge."""

    region: str = ""
    line: Written | None = None
    edge: str = ""
    count: Formula | None = None


@dataclass(frozen=True, slots=True)
class Until:
    """When a repeated step stops: at a number of live stitches, or when no gap has stitches beyond."""

    stitches: Formula | None = None
    gaps_closed: bool = False


@dataclass(frozen=True, slots=True)
class Override:
    """What a step says or works differently in one needle setup."""

    setup: str
    work: Work | None = None
    say: Written | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a section. `kind` is the step word of the pattern file, `by` the way to cast on or to bind off.

    `colour` is the yarn it is worked in, "" for that of its section; `corner` how many stitches are lifted in each
    corner of a pick-up, one where nothing is said.
    """

    kind: str
    span: Span
    work: Work = Work()
    count: Formula | None = None
    parts: tuple[PickUpPart, ...] = ()
    steps: tuple[Step, ...] = ()
    regions: tuple[RegionCount, ...] = ()
    pair: tuple[str, ...] = ()
    by: str = ""
    start: tuple[tuple[str, str], ...] = ()
    times: Formula | None = None
    length: Formula | None = None
    until: Until | None = None
    leaves: tuple[RegionCount, ...] = ()
    when: Condition | None = None
    say: Written | None = None
    why: Written | None = None
    check: Written | None = None
    overrides: tuple[Override, ...] = ()
    colour: str = ""
    corner: Formula | None = None


@dataclass(frozen=True, slots=True)
class Condition:
    """`when`: two formulas compared; `sign` is one of < <= = != >= >."""

    left: Formula
    sign: str
    right: Formula
    span: Span


@dataclass(frozen=True, slots=True)
class Section:
    """A named part of the sock; `over` is the region it works to and fro, if any.

    `sock` is "left" or "right" where the two socks of a pair differ, "" where both are worked so. `colour` is the
    yarn it is worked in, "" for the first of the pattern.
    """

    name: str
    steps: tuple[Step, ...]
    over: str
    say: Written | None
    why: Written | None
    check: Written | None
    span: Span
    sock: str = ""
    colour: str = ""


@dataclass(frozen=True, slots=True)
class FinishedRule:
    """How one finished measure is stated (`stated`) and where it is found in the knitting.

    `around` names the section after which the stitches are counted round; `along` the
    sections whose rounds are added up, with the length `plus` for what is not rounds.
    """

    measure: str
    stated: Formula
    around: str
    along: tuple[str, ...]
    plus: Formula | None
    span: Span


@dataclass(frozen=True, slots=True)
class Alteration:
    """What is worked differently for a person whose measures are out of the usual: `when` says whose.

    `rules` take the place of the pattern's of the same name; `parts` are pairs of a part and the one in its place.
    """

    name: str
    when: Condition
    rules: tuple[Rule, ...]
    parts: tuple[tuple[str, str], ...]
    why: str
    span: Span


@dataclass(frozen=True, slots=True)
class Sample:
    """The designer's own knitted sample: figures of one size that must come out again.

    `counts` are the stitches after each round and row of a section, `stitches` how many of each kind it took, and
    `sentences` the numbers that its sentences state, in the order they are read. `measures` are the sock's as knitted,
    in cm; `yarn` is what a pair takes, metres and grams; `gauges` those of the stitch patterns.
    """

    size: str
    numbers: tuple[tuple[str, Fraction, Span], ...]
    counts: tuple[tuple[str, tuple[int, ...], Span], ...]
    span: Span
    stitches: tuple[tuple[str, tuple[tuple[str, int], ...], Span], ...] = ()
    measures: tuple[tuple[str, Fraction, Span], ...] = ()
    yarn: tuple[tuple[str, Fraction, Span], ...] = ()
    gauges: tuple[tuple[str, Gauge], ...] = ()
    sentences: tuple[tuple[str, tuple[Fraction, ...], Span], ...] = ()


@dataclass(frozen=True, slots=True)
class Change:
    """What one version changed, a sentence each; `date` as the designer writes it, "" if she doesn't."""

    version: str
    date: str
    changes: tuple[str, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Pattern:
    """One pattern file, for every size and every needle setup."""

    title: str
    version: str
    date: str
    summary: Written | None
    author: str
    copyright: str
    level: str
    gauge: Gauge
    yarn: Yarn
    fit: Fit
    bodies: tuple[Body, ...]
    setups: tuple[str, ...]
    needle_lengths: tuple[tuple[str, Fraction], ...]
    rules: tuple[Rule, ...]
    stitch_patterns: tuple[StitchPattern, ...]
    sections: tuple[Section, ...]
    finished: tuple[FinishedRule, ...]
    samples: tuple[Sample, ...]
    notions: tuple[Written, ...]
    notes: tuple[Written, ...]
    file: str
    span: Span
    gauge_changed: bool = False
    colours: tuple[Colour, ...] = ()
    alterations: tuple[Alteration, ...] = ()
    changelog: tuple[Change, ...] = ()  # the newest first
    pictures: tuple[Shown, ...] = ()  # that its texts and those of its parts show
    sizes_span: Span | None = None  # where the sizes stand

    @property
    def is_pair(self) -> bool:
        """True if the left sock and the right sock differ."""
        return any(section.sock for section in self.sections)

    @property
    def small_circular_cm(self) -> Fraction:
        """The length of the small circular needle, in cm."""
        return dict(self.needle_lengths).get("short circular") or setup_needles().short_circular

    @property
    def fewest_on_circular(self) -> int:
        """The fewest stitches that the small circular needle holds at this gauge: no round on it has fewer."""
        return setup_needles().fewest(self.gauge.stitches, self.small_circular_cm)

    def stitch_pattern(self, name: str) -> StitchPattern | None:
        """The stitch pattern of that name, if the file has one."""
        return next((each for each in self.stitch_patterns if each.name == name), None)
