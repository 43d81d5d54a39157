"""What must agree across a pattern file: names, units, regions and stitch patterns.

Formulas are tried on the first size, twice with different figures, only to learn their units;
no sizing is done here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction

from grader.loading.tree import Node
from grader.loading.units import Provenance, belongs, refusal, suits
from grader.loading.values import suggestion
from grader.vocabulary.findings import Finding, Span
from grader.vocabulary.formulas import Formula, FormulaError
from grader.vocabulary.quantities import Quantity
from grader.vocabulary.wording import joined

LARGEST = 100_000  # stitches, rounds or centimetres; no sock comes near
_FINEST = 10**6
_MOST_WORDED = 200  # findings for which a likely spelling is looked for, which takes its time
OF_THE_LEG = ("ankle", "calf", "knee_height")  # measures that not every chart has
_SKEW = (Fraction(17, 16), Fraction(23, 19), Fraction(31, 29), Fraction(13, 12), Fraction(41, 37), Fraction(29, 27))


@dataclass(slots=True)
class Checks:
    """Gathers findings while a file is converted from top to bottom.

    `declared`, `sections` and `all_regions` are the numbers, sections and regions that stand anywhere
    in the file; where a part was set aside (`lenient`), regions count as known. `first` and `second`
    hold two trial values of every number above; `unsure` the numbers whose unit is not known;
    `provenance` which of them lengths were turned into; `colours` the yarns that the file declares, `measures` what is
    finished, `labels` what the numbers are called.
    """

    declared: tuple[str, ...]
    sections: tuple[str, ...]
    all_regions: frozenset[str]
    lenient: bool = False
    findings: list[Finding] = field(default_factory=list)
    first: dict[str, Quantity] = field(default_factory=dict)
    second: dict[str, Quantity] = field(default_factory=dict)
    unsure: set[str] = field(default_factory=set)
    patterns: dict[str, str] = field(default_factory=dict)
    provenance: Provenance = field(default_factory=Provenance)
    colours: tuple[str, ...] = ()
    measures: tuple[str, ...] = ()
    labels: dict[str, str] = field(default_factory=dict)
    regions: tuple[str, ...] = ()

    def add(self, code: str, message: str, span: Span, mend: str = "") -> None:
        """Note one finding."""
        self.findings.append(Finding(code, message, span, mend=mend))

    def define(self, name: str, value: Quantity, trial: Quantity | None = None) -> None:
        """Make a number known; the second trial value is skewed where none is given."""
        self.first[name] = value
        skewed = Quantity(value.amount * _SKEW[len(self.first) % len(_SKEW)], value.dims)
        self.second[name] = trial or skewed

    def known(self, name: str) -> bool:
        """True if formulas may use the name here."""
        return name in self.first or name in self.unsure

    # -- formulas

    def formula(self, formula: Formula, node: Node, wanted: str = "any", offset: int | None = None) -> Quantity | None:
        """Check the names and the unit of a formula that something is worked by; its first trial value, or None.

        `wanted` is one of those in `suits`; `offset` is where the formula begins in the text of its node.
        """
        self.provenance.use(formula, wanted, self.first)
        return self.bound(formula, node, wanted, offset)

    def bound(self, formula: Formula, node: Node, wanted: str, offset: int | None = None) -> Quantity | None:
        """The same for a formula that limits a number, or tells it in prose, and works nothing."""
        values = self.values(formula, node, offset)
        if values is None:
            return None
        value = values[0]
        span = node.at(self._start(formula, node, offset))
        if not suits(value, wanted):
            message, mend = refusal(formula.text.strip(), value, wanted)
            self.add("unit", message, span, mend)
            return None if wanted != "any" else value
        self.provenance.recast(belongs(wanted), formula, value, wanted, span, self.first)
        return value

    def values(self, formula: Formula, node: Node, offset: int | None = None) -> tuple[Quantity, Quantity] | None:
        """Both trial values of a formula, after its names and its arithmetic were checked."""
        at = self._start(formula, node, offset)
        missing = [name for name in sorted(formula.names) if not self.known(name)]
        for name in missing:
            self._unknown(name, node.at(at + _place_of(name, formula.text)))
        if missing or any(name in self.unsure for name in formula.names):
            return None
        tried: list[Quantity] = []
        mistakes: list[FormulaError] = []
        for names in (self.first, self.second):
            try:
                tried.append(formula.value(names))
            except FormulaError as mistake:
                mistakes.append(mistake)
        if not tried:
            mend = "put amounts of one kind together; gauge.stitches and gauge.rounds turn lengths into counts"
            if "rounds" in str(mistakes[0]) and "stitches" in str(mistakes[0]):
                mend = "say how many of one go with one of the other, as in heel_rows / 2 rows + 1 st"
            zero = "zero" in str(mistakes[0])
            self.add(
                "formula",
                f"this formula can't be worked out: {mistakes[0]}",
                node.at(at + mistakes[0].offset),
                mistakes[0].mend or ("divide by a number above nothing" if zero else mend),
            )
            return None
        return tried[0], tried[-1]

    def compare(self, left: tuple[Formula, int], right: tuple[Formula, int], node: Node) -> None:
        """Both sides of a comparison must be of one kind."""
        a, b = (self.bound(formula, node, "any", offset) for formula, offset in (left, right))
        if a and b and a.dims != b.dims and not a.is_plain and not b.is_plain:
            message = f"this compares {a.unit_name} with {b.unit_name}"
            self.add("unit", message, node.at(left[1]), "compare amounts of one kind")

    @staticmethod
    def _start(formula: Formula, node: Node, offset: int | None) -> int:
        return max(node.text.find(formula.text), 0) if offset is None else offset

    def _unknown(self, name: str, span: Span) -> None:
        if name in self.declared:
            self.add(
                "unknown-name",
                f"{name!r} stands further down",
                span,
                "move it up; a rule may use only the numbers above it",
            )
            return
        if name in OF_THE_LEG:
            message = f"the feet of this pattern have no {name.replace('_', ' ')}"
            self.add("unknown-name", message, span, "take a chart that has it, such as adult-feet, or write it in own")
            return
        likely = len(self.findings) < _MOST_WORDED  # of more, none is told
        mend = suggestion(name, [*self.declared, *self.first]) if likely else ""
        self.add("unknown-name", f"no number is called {name!r}", span, mend)

    def bounded(self, name: str, values: tuple[Quantity, Quantity] | None, unit: Quantity, span: Span) -> None:
        """Make a rule's number known in its unit; a huge one is reported and left unsure."""
        if values is None:
            self.unsure.add(name)
            return
        if any(abs(value.amount) > LARGEST for value in values):
            self.add("too-large", f"{name!r} is far too large for a sock", span, "correct its formula")
            self.unsure.add(name)
            return
        first, second = (Quantity(each.amount.limit_denominator(_FINEST), unit.dims) for each in values)
        self.define(name, first, second)

    # -- regions and stitch patterns

    def region(self, name: str, span: Span) -> None:
        """A region that is used must be on the needles at this point."""
        if name in self.regions or (self.lenient and name in self.all_regions):
            return
        if name in self.all_regions:
            mend = f"the regions are now {joined(self.regions)}" if self.regions else "give the regions first"
            self.add("unknown-region", f"there is no region {name!r} at this point", span, mend)
            return
        self.add("unknown-region", f"there is no region {name!r}", span, suggestion(name, self.regions))

    def pattern(self, name: str, kind: str, span: Span) -> None:
        """A stitch pattern that is used must be in the file, and of rounds or rows as the step is."""
        found = self.patterns.get(name)
        if found is None:
            self.add("unknown-pattern", f"there is no stitch pattern {name!r}", span, suggestion(name, self.patterns))
        elif found not in ("", kind):
            self.add(
                "unknown-pattern",
                f"the stitch pattern {name!r} has {found}, not {kind}",
                span,
                f"write {found}: in {name}",
            )

    def named(self, code: str, what: str, name: str, known: Iterable[str], span: Span) -> bool:
        """True if a name is known; otherwise a finding with what it may have been."""
        words = list(known)
        if name in words:
            return True
        self.add(code, f"there is no {what} {name!r}", span, suggestion(name, words))
        return False


def _place_of(name: str, text: str) -> int:
    match = re.search(rf"(?<![\w.]){re.escape(name)}(?![\w.])", text)
    return match.start() if match else 0
