"""Prose in a pattern file: its placeholders, and what each of them states of the work."""

from __future__ import annotations

import re
from bisect import bisect
from collections.abc import Callable

from grader.loading.checks import Checks
from grader.loading.naked import check_typed
from grader.loading.tree import Node
from grader.loading.values import closest, holes, statements
from grader.models.pattern import Placeholder, Written
from grader.vocabulary.findings import Span
from grader.vocabulary.formulas import Formula
from grader.vocabulary.quantities import Quantity
from grader.vocabulary.statements import TAIL, kind_named, kinds_for, names_a_tail, unlike

_BRACES = re.compile(r"\{[^{}]*\}")
_STOP = re.compile(r"[.!?;:](?=\s)")  # a sentence, or the part of one, ends here
_NO_WORDS = "say it in words alone, or in what a step says"


def written(text: str, node: Node) -> Written:
    """A line with the place of its first character."""
    return Written(text, node.at())


def placeholders(text: str, node: Node, checks: Checks, counted: Callable[[str, str], str]) -> None:
    """Check the formulas in the braces of a line; `counted` says what is wanted by what stands round them."""
    for offset, formula in holes(text):
        after = text[offset + len(formula.text) + 1 :]
        checks.formula(formula, node, counted(text[: offset - 1], after), offset)


def spoken(text: str | None, node: Node | None, checks: Checks) -> Written | None:
    """What a step or a section says, explains or checks: every number in it states something of the work."""
    if text is None or node is None:
        return None
    check_typed(text, node, checks)
    bare = _BRACES.sub(lambda match: " " * len(match[0]), text)
    stops = [0, *(match.end() for match in _STOP.finditer(bare)), len(bare)]
    found = []
    for each in statements(text):
        after = bisect(stops, each[0])
        end = text.index("}", each[2])
        found.append(
            _placeholder(each, (bare[stops[after - 1] : each[0] - 1], bare[end + 1 : stops[after]]), node, checks)
        )
    return Written(text, node.at(), tuple(found))


def words(text: str | None, node: Node | None, checks: Checks, typed: str = "all") -> Written | None:
    """Prose that stands for all sizes at once, such as a note: no number can be filled in.

    `typed` says which digits are findings: "all", "counted" (with a unit beside them) or "" for none.
    """
    if text is None or node is None:
        return None
    for offset, _, _, _ in statements(text):
        message = "no number is filled in here, as these words stand for all sizes at once"
        checks.add("formula", message, node.at(offset - 1), _NO_WORDS)
    if typed:
        check_typed(text, node, checks, counted_only=typed == "counted")
    return Written(text, node.at())


def _placeholder(
    each: tuple[int, Formula, int, str], beside: tuple[str, str], node: Node, checks: Checks
) -> Placeholder:
    """A number in braces, after its formula and its kind were checked; `beside` is its sentence before and after it."""
    offset, formula, at, words = each
    value = checks.bound(formula, node, "any", offset)
    if value is not None and not (value.is_count or value.is_length):
        value = None  # told already
    named = kind_named(words)
    span = node.at(offset - 1)
    if named is None:
        if value is not None or words:
            _refuse_kind(formula.text.strip(), words, value, node.at(at if words else offset - 1), checks)
        return Placeholder(formula, "", "", span)
    kind, of = named
    if value is not None and not kind.fits(value.unit_name):
        message = f"{formula.text.strip()!r} is {value.unit_name}, and {words!r} is told by {kind.unit}"
        checks.add("kind", message, node.at(offset), _mend(formula.text.strip(), value))
        return Placeholder(formula, "", "", span)
    if kind.name == TAIL and formula.term.kind != "name":
        message = f"{formula.text.strip()!r} works a tail out within a sentence, where nothing can tell if it is right"
        checks.add("kind", message, node.at(offset), "give it a number of its own under numbers, with its why")
        return Placeholder(formula, "", "", span)
    if kind.name == TAIL and not names_a_tail(f"{formula.term.word} {checks.labels.get(formula.term.word, '')}"):
        label = checks.labels.get(formula.term.word, formula.term.word)
        message = f"{formula.term.word!r} is called {label}, and that is no end of yarn"
        checks.add("kind", message, node.at(offset), "take the number of the tail, or call this one so in its label")
        return Placeholder(formula, "", "", span)
    if kind.name.endswith("REGION"):
        regions = {*checks.all_regions, *checks.regions}
        if not checks.named("unknown-region", "region", of, sorted(regions), node.at(at + len(kind.stem))):
            return Placeholder(formula, "", "", span)
    if kind.name.endswith("MEASURE"):
        known = [each.replace("_", " ") for each in checks.measures]
        if not checks.named("unknown-measure", "finished measure", of, known, node.at(at + len(kind.stem))):
            return Placeholder(formula, "", "", span)
    mend = unlike(kind, of, *beside)
    if mend:
        checks.add("kind", f"the sentence doesn't say what its number is: {words}", node.at(at), mend)
    return Placeholder(formula, kind.name, of, span)


def _refuse_kind(formula: str, words: str, value: Quantity | None, span: Span, checks: Checks) -> None:
    """Nothing says what the number states, or what stands there is no kind."""
    if words:
        known = [each.stem.strip() for each in (kinds_for(value.unit_name) if value else ())]
        near = closest(words, known)
        mend = f"did you mean {near!r}?" if near else _mend(formula, value)
        checks.add("kind", f"{words!r} is nothing that a number can state of the work", span, mend)
        return
    checks.add("kind", f"nothing says what {formula!r} states of the work", span, _mend(formula, value))


def _mend(formula: str, value: Quantity | None) -> str:
    """The kinds that fit the unit, the first of them as it would be written."""
    if value is None:
        return "write its kind after a comma, such as {cast_on, sts}"
    fitting = [each.name for each in kinds_for(value.unit_name)]
    return f"write {{{formula}, KIND}}, where KIND is {', '.join(fitting[:-1])} or {fitting[-1]}"
