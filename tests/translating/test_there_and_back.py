"""An instruction line in another language says the same work: it is read back and compared as a tree."""

from __future__ import annotations

import pytest
from hypothesis import given

from grader.loading import languages, load_language
from grader.models.language import Language
from grader.notation import print_statement, read_line
from grader.notation.tree import Statement
from grader.translating import read_back, translate_line
from tests.strategies import QUICK, statements


def of(name: str) -> Language:
    language, findings = load_language(name)
    assert language is not None, findings
    assert not findings
    return language


LANGUAGES = [of(name) for name in languages()]


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
@given(tree=statements)
@QUICK
def test_whatever_is_said_reads_back_as_the_same_work(language: Language, tree: Statement) -> None:
    """Any line that the notation can print: in the language it is either not said at all, or said unmistakably."""
    text = print_statement(tree)
    told = translate_line(text, language) if "{" not in text else None
    if told is not None:
        back = read_back(told, language)
        assert back is not None, (text, told)
        assert read_line(back) == read_line(text), (text, told, back)
