"""The yarns of a pattern of several colours: what the file declares, and that nothing else is worked."""

from __future__ import annotations

import re
from dataclasses import replace

from grader.loading.checks import Checks
from grader.loading.file_model import PatternForm
from grader.loading.tree import Node
from grader.loading.values import suggestion
from grader.models.pattern import Colour, Section
from grader.vocabulary.findings import Span

_WORD = re.compile(r"\b(?:MC|CC[1-9]?)\b", re.I)
_HOLE = re.compile(r"\{[^{}]*\}")


def colours(form: PatternForm, root: Node) -> tuple[Colour, ...]:
    """The yarns in the order of the file; each goes as far as the pattern's yarn where it does not say otherwise."""
    block = root.child("colours")
    return tuple(
        Colour(
            name,
            each.label,
            each.metres or form.yarn.metres,
            each.per or form.yarn.per,
            ((block and block.key(name)) or root).span,
        )
        for name, each in form.colours.items()
    )


def check_colour(name: str, span: Span, checks: Checks) -> None:
    """A colour that is worked must be among those that the pattern declares."""
    if name in checks.colours:
        return
    mend = suggestion(name, checks.colours) if checks.colours else "add colours: {MC: {}, CC: {}}"
    checks.add("unknown-colour", f"the pattern has no colour {name}", span, mend)


def check_line_colours(text: str, node: Node, checks: Checks) -> None:
    """The colours that stand in an instruction line."""
    bare = _HOLE.sub(lambda match: "_" * len(match[0]), text)
    for match in _WORD.finditer(bare):
        check_colour(match[0].upper(), node.at(match.start()), checks)


def coloured(sections: tuple[Section, ...], form: PatternForm, root: Node, checks: Checks) -> tuple[Section, ...]:
    """The sections in the colours that the block `colours` gives them by name; that goes before what they say."""
    given: dict[str, str] = {}
    block = root.child("colours")
    for name, each in form.colours.items():
        listed = block and block.child(name) and block.child(name).child("sections")  # type: ignore[union-attr]
        for number, section in enumerate(each.sections):
            place = (listed and listed.child(number)) or root
            if not checks.named("unknown-section", "section", section, checks.sections, place.at()):
                continue
            if section in given:
                message = f"the section {section} is worked in {given[section]} already"
                checks.add("duplicate-name", message, place.at(), "give each section one colour")
            given.setdefault(section, name)
    return tuple(replace(each, colour=given.get(each.name, each.colour)) for each in sections)
