"""From the lines as the language prints them to lines that can be knitted: they must say what the English ones say."""

from __future__ import annotations

from dataclasses import replace

from grader.models.instructions import Block, Instructions, PrintedLine
from grader.models.language import Language
from grader.notation import NotationError, print_statement, read_line
from grader.notation.tree import Statement
from grader.translating.lines import read_back, translate_line
from grader.vocabulary.findings import Finding, Span


def knitted_from(instructions: Instructions, language: Language) -> tuple[Instructions, list[Finding]]:
    """The same sock with each line as it is read from its translation, for the test-knit to work.

    A line without a translation, or one that reads as other work, keeps its English text and is a finding.
    """
    findings: dict[str, Finding] = {}

    def line(printed: PrintedLine) -> PrintedLine:
        back, finding = _read(printed.text, printed.span, language, instructions.terms)
        if finding is not None:
            findings.setdefault(
                printed.text, replace(finding, sizes=(instructions.size,), setups=(instructions.setup,))
            )
        return replace(printed, text=back)

    def block(each: Block) -> Block:
        return replace(each, lines=tuple(line(printed) for printed in each.lines))

    sections = tuple(
        replace(section, blocks=tuple(block(each) for each in section.blocks)) for section in instructions.sections
    )
    return replace(instructions, sections=sections), list(findings.values())


def misread(text: str, language: Language, terms: str) -> Finding | None:
    """Why a line must not be printed in that language: its translation can't be read back, or as other work.

    None too for a line that there are no words for, which stays as it is.
    """
    found = _read(text, None, language, terms)[1] if _statement(text) is not None else None
    return found if found is not None and found.code == "misread" else None


def _read(text: str, span: Span | None, language: Language, terms: str) -> tuple[str, Finding | None]:
    told = translate_line(text, language)
    if told is None:
        message = f"there are no words in {language.name} for this line"
        mend = "add what is missing to the phrases of the catalogue"
        return text, Finding("untranslated", message, span, line=text, mend=mend)
    back = read_back(told, language)
    mend = "let no two phrases of the catalogue read alike"
    if back is None:
        message = f"the line as told in {language.name} can't be read"
        return text, Finding("misread", message, span, line=told, mend=mend)
    statement = _statement(back)
    if statement is None or statement != read_line(text):
        message = f"the line as told in {language.name} reads as other work"
        return text, Finding("misread", message, span, line=told, expected=text, found=back, mend=mend)
    return print_statement(statement, terms), None


def _statement(text: str) -> Statement | None:
    try:
        return read_line(text)
    except NotationError:
        return None
