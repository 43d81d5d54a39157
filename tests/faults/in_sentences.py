"""Wrong figures in sentences: every number that a pattern states in words is made another one, without a sample.

`python -m tests.faults.in_sentences` tries all of them in every pattern that ships, with its parts, and in socks of
other parts, and prints what was found by kind of sentence and kind of mistake, and every survivor. A mistake counts
if it changes a figure that some size prints; it is found if any stage gives an error.

A sentence changes no stitch, so that every sock is knitted once: each mistake is loaded anew, and where that lets it
pass its figure takes the place of the right one in the record. `as_a_whole` checks one without that short cut.
"""

from __future__ import annotations

import argparse
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from grader.inspection.claims import check_claims
from grader.loading import load_text
from grader.models.graded import Graded
from grader.models.pattern import Pattern, Placeholder, Written
from grader.models.record import WorkedClaim
from grader.pipeline import check
from grader.vocabulary.findings import Ledger
from grader.vocabulary.formulas import FormulaError, read_formula
from grader.vocabulary.lengths import print_quantity
from grader.vocabulary.quantities import Quantity
from grader.vocabulary.size_charts import read_chart
from grader.vocabulary.statements import LENGTH, kind_named, parted
from tests.shipped import NAMES, PATHS

from .constructions import CONSTRUCTIONS, text_of
from .flattening import HERE, flat
from .words import ALIKE, FOUND, SURVIVED

_STATED = re.compile(r"\{([^{}]+), ([^{},]+)\}")
_REASON = re.compile(r"why: ([^\n]*?\d[^\n]*)")
_SAMPLE = re.compile(r"^sample:\n(?:[ ].*\n)*", re.MULTILINE)
_FACTORS = ("* 2", "* 3", "/ 2", "/ 3", "* 3 / 2", "* 2 / 3", "* 5 / 4", "* 4 / 5")
_COUNTS_OFF = ("+ 1", "- 1", "+ 2", "- 2", "+ 10")
_LENGTHS_OFF = ("+ 1 cm", "- 1 cm", "+ 2 cm", "- 2 cm", "+ 10 cm")
REASON = "reason of a rule"


@dataclass(frozen=True, slots=True)
class Slip:
    """A figure made another: the characters from `start` to `end` become `new`.

    `stated` is the kind of what the sentence states, `kind` that of the mistake.
    """

    stated: str
    kind: str
    start: int
    end: int
    new: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one: found (`by` is the code of the finding), survived, or alike where nothing prints otherwise."""

    slip: Slip
    verdict: str
    by: str = ""


def sentence_slips(text: str, sizes: Sequence[Graded]) -> Iterator[Slip]:
    """Every mistake there is in the figures of the sentences and the reasons of a text, which has these sizes."""
    for match in _STATED.finditer(text):
        named = kind_named(match[2])
        if named:
            yield from _of_formula(match, named[0].unit == LENGTH, sizes[0])
            yield from _of_other_sentences(match, text)
            yield from _typed(match, sizes[len(sizes) // 2])
    for match in _REASON.finditer(text):
        for number in re.finditer(r"(?<![\w.{])\d+(?![\w.]|-ply)", match[1]):
            start = match.start(1) + number.start()
            for new in (int(number[0]) + 1, int(number[0]) * 2):
                yield Slip(REASON, "typed", start, start + len(number[0]), str(new))


def _of_formula(match: re.Match[str], is_length: bool, graded: Graded) -> Iterator[Slip]:
    formula, kind = match.groups()
    for change in (*_FACTORS, *(_LENGTHS_OFF if is_length else _COUNTS_OFF)):
        what = "factor" if change[0] in "*/" else "offset"
        yield Slip(kind, what, match.start(1), match.end(1), f"({formula}) {change}")
    dims = _value(formula, graded).dims
    for figure in graded.figures:
        if figure.value.dims == dims and figure.name != formula:
            yield Slip(kind, "another number", match.start(1), match.end(1), figure.name)


def _of_other_sentences(match: re.Match[str], text: str) -> Iterator[Slip]:
    """What another sentence states, with its kind: right there, and wrong by the words here."""
    for other in dict.fromkeys(each[0] for each in _STATED.finditer(text)):
        if other != match[0]:
            yield Slip(match[2], "another sentence's", match.start(), match.end(), other)


def _typed(match: re.Match[str], middle: Graded) -> Iterator[Slip]:
    """The figure of the middle size for all, in braces with its kind or by hand, and one that no size has."""
    value = _value(match[1], middle)
    in_braces = f"{float(value.amount):g} cm" if value.is_length else f"{float(value.amount):g}"
    yield Slip(match[2], "one for all sizes", match.start(1), match.end(1), in_braces)
    other = replace(value, amount=value.amount + 1)
    for typed in (print_quantity(value), print_quantity(other), print_quantity(value).removesuffix(" cm")):
        yield Slip(match[2], "typed by hand", match.start(), match.end(), typed)


def _value(formula: str, graded: Graded) -> Quantity:
    return read_formula(formula.strip()).value(graded.names)


class Sentences:
    """A sound pattern in one text that needs no parts, knitted through once."""

    def __init__(self, text: str) -> None:
        self.text = text
        pattern, findings = load_text(self.text, HERE, read_chart)
        if pattern is None or findings:
            raise ValueError(f"the pattern is not sound: {findings}")
        self.checked = check(pattern)
        if not self.checked.is_sound:
            raise ValueError(f"the pattern is not sound: {self.checked.findings}")
        self.runs = [(sock.graded, record) for sock in self.checked.socks for record in sock.records]

    def slips(self) -> Iterator[Slip]:
        """Every mistake there is in the figures of the sentences and the reasons."""
        yield from sentence_slips(self.text, self.checked.sizes)

    def judge(self, slip: Slip) -> Outcome:
        """Load the text with the mistake in it; if that lets it pass, hold its figure against the socks as knitted."""
        if not self._changes(slip):
            return Outcome(slip, ALIKE)
        pattern, findings = load_text(self.with_slip(slip), HERE, read_chart)
        code = next((each.code for each in findings if each.is_error), "")
        if pattern is not None and not code:
            code = self._held_against_the_work(pattern, slip)
        return Outcome(slip, FOUND if code else SURVIVED, code)

    def as_a_whole(self, slip: Slip) -> str:
        """The code of the first error that the whole check gives; none where it is passed."""
        pattern, findings = load_text(self.with_slip(slip), HERE, read_chart)
        told = [*findings, *(check(pattern).findings if pattern else ())]
        return next((each.code for each in told if each.is_error), "")

    def with_slip(self, slip: Slip) -> str:
        return self.text[: slip.start] + slip.new + self.text[slip.end :]

    def _changes(self, slip: Slip) -> bool:
        """True if a size prints another figure, or can't print any."""
        found = _STATED.match(self.text, self.text.rfind("{", 0, slip.start + 1)) if slip.stated != REASON else None
        if found is None:
            return True
        for graded in self.checked.sizes:
            right = print_quantity(_value(found[1], graded))
            if "typed" in slip.kind:
                other = slip.new
            else:
                try:
                    other = print_quantity(_value(parted(slip.new.strip("{}"))[0], graded))
                except FormulaError:
                    return True
            if other != right:
                return True
        return False

    def _held_against_the_work(self, pattern: Pattern, slip: Slip) -> str:
        line = self.text.count("\n", 0, slip.start) + 1
        placeholders = [each for each in _placeholders(pattern) if each.span.line == line]
        ledger = Ledger()
        for graded, record in self.runs:
            wrong = [each for each in record.claims if each.claim.span.line == line]
            claims = tuple(_restated(each, placeholders, graded) for each in wrong)
            check_claims(pattern, graded, replace(record, claims=claims), ledger)
            if ledger.entries:
                return ledger.entries[0].code
        return ""


def _restated(worked: WorkedClaim, placeholders: list[Placeholder], graded: Graded) -> WorkedClaim:
    """The claim with the number of the placeholder that stands in its place."""
    there = next(each for each in placeholders if each.span == worked.claim.span)
    value = there.formula.value(graded.names)
    shown = print_quantity(value)
    return replace(
        worked, claim=replace(worked.claim, kind=there.kind, of=there.of, amount=value.amount, printed=shown)
    )


def _placeholders(part: object) -> Iterator[Placeholder]:
    if isinstance(part, Pattern):
        for section in part.sections:
            yield from _placeholders((section.say, section.why, section.check, section.steps))
    elif isinstance(part, tuple):
        for each in part:
            yield from _placeholders(each)
    elif isinstance(part, Written):
        yield from part.placeholders
    elif part is not None and hasattr(part, "overrides"):
        yield from _placeholders((part.say, part.why, part.check, part.steps, tuple(e.say for e in part.overrides)))


def table(outcomes: list[Outcome]) -> str:
    """Found, survived and alike by what is stated and by kind of mistake, and the sum."""
    rows = [f"{'':34} {FOUND:>7} {SURVIVED:>9} {ALIKE:>6}"]
    for by in (lambda each: each.slip.stated, lambda each: each.slip.kind, lambda _: "in all"):
        for name in sorted({by(each) for each in outcomes}):
            counts = Counter(each.verdict for each in outcomes if by(each) == name)
            counted = counts[FOUND] + counts[SURVIVED]
            share = f"{counts[FOUND] / counted:8.1%}" if counted else ""
            rows.append(f"{name:34} {counts[FOUND]:7} {counts[SURVIVED]:9} {counts[ALIKE]:6} {share}")
        rows.append("")
    return "\n".join(rows)


def main() -> None:
    """Run from the command line."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--of", choices=(*NAMES, *CONSTRUCTIONS), help="one of them instead of all")
    given = options.parse_args()
    for names in (NAMES, tuple(CONSTRUCTIONS)):
        outcomes = [each for name in names if given.of in (None, name) for each in _worked(name)]
        if outcomes:
            print(table(outcomes), flush=True)


def _worked(name: str) -> list[Outcome]:
    """All mistakes in one pattern; survivors are printed."""
    bench = Sentences(text_of(name) if name in CONSTRUCTIONS else shipped(name))
    outcomes = [bench.judge(slip) for slip in bench.slips()]
    for each in (each for each in outcomes if each.verdict == SURVIVED):
        was = bench.text[each.slip.start : each.slip.end]
        print(f"{name}: {was} as {each.slip.stated}: {each.slip.kind}, {each.slip.new}", flush=True)
    return outcomes


def shipped(name: str) -> str:
    """The text of a pattern that ships, with its parts written out in it and without its samples."""
    return flat(_SAMPLE.sub("", next(path for path in PATHS if path.stem == name).read_text(encoding="utf-8")))


if __name__ == "__main__":
    main()
