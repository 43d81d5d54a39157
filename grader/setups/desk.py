"""The desk at which one sock is written out: the pattern, its numbers, and the hands as they stand."""

from __future__ import annotations

import re
from collections import ChainMap
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from grader.models.graded import Graded
from grader.models.instructions import Block, Claim, PrintedLine, Regions
from grader.models.pattern import Condition, Pattern, Placeholder, RegionCount, Section, Step, Work, Written
from grader.notation import NotationError, print_statement, read_line
from grader.notation.counting import fill
from grader.notation.tree import Arrange, Line, Round, Statement
from grader.setups.hands import Hands
from grader.setups.holding import Setup
from grader.setups.plain_lines import fault_in
from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.findings import Ledger, Severity, Span
from grader.vocabulary.formulas import Formula, FormulaError, read_formula
from grader.vocabulary.lengths import print_quantity
from grader.vocabulary.quantities import Quantity, UnitError, stitches

REARRANGE = "Rearrange the sts"
_SLOT = re.compile(r"\{([^{}]*)\}")


class Unwritable(Exception):
    """A step that can't be written out; the ledger already holds why. Never leaves this stage."""


@dataclass(slots=True)
class Desk:
    """Everything a step writer needs, and the blocks written so far in this section."""

    pattern: Pattern
    graded: Graded
    hands: Hands
    setup: Setup
    terms: str
    units: str
    section: Section
    ledger: Ledger = field(default_factory=Ledger)
    blocks: list[Block] = field(default_factory=list)
    _rearranged: Block | None = None  # the last block that only rearranges, and the needles before it
    _before: tuple[int, ...] = ()

    # -- findings

    def refuse(self, code: str, message: str, span: Span, **details: Any) -> Unwritable:
        """Note a finding and give the exception that stops this sock."""
        self.ledger.add(
            code,
            message,
            span,
            sizes=(self.graded.body.name,),
            setups=(self.hands.setup.name,),
            section=self.section.name,
            **details,
        )
        return Unwritable(message)

    def remark(self, code: str, message: str, span: Span, **details: Any) -> None:
        """Note something worth knowing that stops nothing."""
        self.ledger.add(
            code,
            message,
            span,
            severity=Severity.REMARK,
            sizes=(self.graded.body.name,),
            setups=(self.hands.setup.name,),
            section=self.section.name,
            **details,
        )

    def afford(self, limit: str, amount: int, span: Span) -> None:
        """Refuse what goes beyond a limit of the budget."""
        if amount > allowed(limit):
            message, mend = too_much(limit, amount)
            raise self.refuse("budget", message, span, mend=mend)

    # -- numbers and words

    def count(self, formula: Formula, span: Span, limit: str = "operations") -> int:
        """A formula as a whole count, within a limit of the budget."""
        try:
            value = formula.value(ChainMap({"live": stitches(self.hands.total)}, self.graded.names))
            number = value.whole()
        except (FormulaError, UnitError) as mistake:
            raise self.refuse("formula", f"{{{formula.text}}}: {mistake}", span) from None
        if not value.is_count or number < 0:
            raise self.refuse("formula", f"{{{formula.text}}} comes to {number}, which can't be counted", span)
        self.afford(limit, number, span)
        return number

    def length(self, formula: Formula, span: Span) -> Fraction:
        """A formula as a length in cm."""
        try:
            value = formula.value(self.graded.names)
        except (FormulaError, UnitError) as mistake:
            raise self.refuse("formula", f"{{{formula.text}}}: {mistake}", span) from None
        if not value.is_length:
            raise self.refuse("unit", f"{{{formula.text}}} is {value.unit_name}; a length belongs here", span)
        return value.amount

    def regions(self, counts: tuple[RegionCount, ...]) -> Regions:
        """Region counts of the pattern file, counted."""
        return tuple((each.name, self.count(each.count, each.span)) for each in counts)

    def prose(self, written: Written | None) -> str:
        """The designer's words with their numbers filled in."""
        if written is None:
            return ""

        numbers = iter(written.placeholders)
        return _SLOT.sub(lambda _: print_quantity(self._value(next(numbers)), self.units), written.text)

    def claims(self, written: Written | None, where: str) -> tuple[Claim, ...]:
        """What the numbers in the designer's words state of the work; `where` is say, why or check."""
        found = []
        for each in (each for each in (written.placeholders if written else ()) if each.kind):
            value = self._value(each)
            shown = print_quantity(value, self.units)
            found.append(Claim(each.kind, each.of, value.amount, shown, where, each.span))
        return tuple(found)

    def _value(self, placeholder: Placeholder) -> Quantity:
        try:
            return placeholder.formula.value(self.graded.names)
        except (FormulaError, UnitError) as mistake:
            message = f"{{{placeholder.formula.text}}}: {mistake}"
            raise self.refuse("formula", message, placeholder.span) from None

    def holds(self, condition: Condition | None) -> bool:
        """True if a step is worked in this size."""
        if condition is None:
            return True
        try:
            left = condition.left.value(self.graded.names).amount
            right = condition.right.value(self.graded.names).amount
        except (FormulaError, UnitError) as mistake:
            raise self.refuse("formula", f"when: {mistake}", condition.span) from None
        return {
            "<": left < right,
            "<=": left <= right,
            "=": left == right,
            "!=": left != right,
            ">=": left >= right,
            ">": left > right,
        }[condition.sign]

    def work(self, step: Step) -> Work:
        """The work of a step, or what it says for this setup instead."""
        own = next((each.work for each in step.overrides if each.setup == self.hands.setup.name and each.work), None)
        return own or step.work

    # -- lines

    def read(self, written: Written) -> Statement:
        """A line of the pattern file with its formulas counted."""
        try:
            tree = read_line(written.text)
            if "{" not in written.text:
                return tree
            return fill(tree, lambda text: self.count(read_formula(text), written.span))  # type: ignore[no-any-return]
        except NotationError as mistake:
            raise self.refuse(
                "notation", str(mistake), written.span.shifted(mistake.offset), line=written.text
            ) from None
        except FormulaError as mistake:
            raise self.refuse("formula", str(mistake), written.span, line=written.text) from None

    def read_plain(self, written: Written) -> Line:
        """A line without needles or regions of its own, as every line of a region is."""
        statement = self.read(written)
        if not isinstance(statement, Round) or len(statement.parts) != 1 or statement.parts[0].needles:
            raise self.refuse(
                "notation",
                "write the stitches only; needles and regions come from the setup",
                written.span,
                line=written.text,
            )
        line = statement.parts[0].line
        message, mend = fault_in(line)
        if message:
            raise self.refuse("notation", message, written.span, line=written.text, mend=mend)
        return line

    def printed(self, statement: Statement, kind: str, span: Span, **details: Any) -> PrintedLine:
        """A statement as the knitter reads it."""
        return PrintedLine(print_statement(statement, self.terms), kind, span, **details)

    # -- blocks

    def put(
        self,
        key: tuple[int, ...],
        lines: tuple[PrintedLine, ...],
        step: Step,
        *,
        last: bool = True,
        first: bool = True,
        **details: Any,
    ) -> None:
        """Add a block; the step's own words go with its first or last block."""
        self.blocks.append(
            Block(
                key,
                lines,
                say=self.prose(step.say) if first else "",
                why=self.prose(step.why) if first else "",
                check=self.prose(step.check) if last else "",
                claims=(
                    *(self.claims(step.say, "say") if first else ()),
                    *(self.claims(step.why, "why") if first else ()),
                    *(self.claims(step.check, "check") if last else ()),
                ),
                **details,
            )
        )

    def put_words(self, key: tuple[int, ...], **words: list[Written]) -> None:
        """A block of words only; `words` are lists of what to say, explain or check."""
        told = {which: " ".join(self.prose(each) for each in several) for which, several in words.items()}
        spoken = [(each, which) for which, several in words.items() for each in several]
        claims = tuple(claim for each, which in spoken for claim in self.claims(each, which))
        self.blocks.append(Block(key, (), claims=claims, **told))  # type: ignore[arg-type]

    def end_with(self, note: str, check: Written | None) -> None:
        """Put a note and a check beside the last block."""
        claims = self.claims(check, "check")
        self.blocks[-1] = replace(self.blocks[-1], note=note, check=self.prose(check), claims=claims)

    def rearrange(self, key: tuple[int, ...], span: Span, before: tuple[int, ...]) -> None:
        """Print the needles as they now are, if they are not as `before`.

        What was rearranged just before, with nothing worked since, would have been in vain: it is taken back.
        """
        last = next((block for block in reversed(self.blocks) if block.lines), None)
        if last is not None and last is self._rearranged:
            self.blocks.remove(last)
            before = self._before
        if self.hands.needles != before:
            self.arrange(key, REARRANGE, span, before=before)
            self._rearranged, self._before = self.blocks[-1], before

    def arrange(self, key: tuple[int, ...], how: str, span: Span, note: str = "", before: tuple[int, ...] = ()) -> None:
        """Print the needles as they now are, as a step that works nothing; they were as `before`, on the same set."""
        statement = Arrange(self.hands.needles, how, self.hands.setup.marker)
        line = self.printed(statement, "arrange", span, regions=self.hands.spans())
        self.blocks.append(Block(key, (line,), note=note, held_before=before))
