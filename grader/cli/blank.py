"""A blank catalogue for a translator: `python -m grader.cli.blank LANGUAGE PATTERN` prints what is to be translated.

LANGUAGE is one that ships, a catalogue file, or the name of a new one. What it has already is left out; for a new one
the phrases of instruction lines and the abbreviations stand there too. Last come the messages of other documents:
errata, plans of stripes, the last page of a class.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from grader.cli.arguments import UsageError
from grader.cli.console import Console
from grader.cli.main import carried_out
from grader.cli.program import guarded
from grader.loading import languages, load_language
from grader.models.edition import Edition
from grader.models.language import Language
from grader.models.pattern import Pattern, Written
from grader.pipeline import Wanted, check, open_pattern
from grader.publishing import draft
from grader.reporting import print_findings
from grader.translating import blank, left_in_english
from grader.vocabulary.statements import without_kinds


def main(arguments: list[str]) -> int:
    """Print the blank catalogue; 1 where the pattern or the catalogue can't be read."""
    console = Console()
    return carried_out(lambda: _print(arguments, console), console)


def _print(arguments: list[str], console: Console) -> int:
    if len(arguments) != 2:
        raise UsageError("usage: python -m grader.cli.blank LANGUAGE PATTERN")
    named, path = arguments
    pattern, findings = open_pattern(path)
    is_new = named not in languages() and not named.endswith((".yaml", ".yml"))
    language, told = load_language(languages()[0] if is_new else named, path)
    if pattern is None or language is None:
        console.warn(print_findings([*findings, *told]))
        return 1
    known = replace(language, messages=()) if is_new else language
    checked = check(pattern, Wanted(units="both"))
    drafted = draft(checked, Edition(), "pattern", "pattern")
    drawings = tuple(each for each in (drafted.main, *drafted.drawings.values()) if each)
    left = left_in_english(drafted.document, known, drawings)
    further = _shipped(known)
    text = blank(left, _prose(pattern), language, further) if is_new else blank(left, further=further)
    console.file(text.removesuffix("\n"))
    return 0


def _shipped(known: Language) -> list[str]:
    """The English of every message in the catalogues that ship which a language lacks, whatever it is printed in."""
    there = {each.english for each in known.messages}
    catalogues = [load_language(each)[0] for each in languages()]
    found = [each for one in catalogues if one for each in one.messages if each.span and _ours(each.span.file)]
    return [each for each in dict.fromkeys(each.english for each in found) if each not in there]


def _ours(file: str) -> bool:
    """True for a catalogue itself, not the translations of a pattern's prose."""
    return Path(file).parent.parent.name == "data"


def _prose(pattern: Pattern) -> Iterator[str]:
    """The designer's own words, as she wrote them."""
    for section in pattern.sections:
        yield section.name
        yield from _words(section.say, section.why, section.check)
        for step in section.steps:
            yield from _words(step.say, step.why, step.check)


def _words(*texts: Written | None) -> Iterator[str]:
    yield from (without_kinds(each.text) for each in texts if each)


if __name__ == "__main__":
    raise SystemExit(guarded(lambda: main(sys.argv[1:])))
