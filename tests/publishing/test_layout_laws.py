"""The pages of real documents keep the laws of `tests.pages.laws`: a fair sample of patterns, editions and papers.

`python -m tests.validation.documents` tries them all.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from grader.models.edition import EDITIONS
from grader.pipeline import Wanted as Worked
from grader.pipeline import check, open_pattern
from grader.setups import setup_names
from tests.pages.laws import broken

from .making import ON_PAPER, PAPERS, PATTERNS, TOGETHER, Wanted, chosen, edition_of, made

A_PATTERN = 3  # editions tried of each pattern


def _sample(turn: int, setups: tuple[str, ...], size: str) -> Iterator[Wanted]:
    """The documents of the pattern whose turn it is: other editions, papers and setups each time."""
    for step in range(A_PATTERN):
        number = turn * A_PATTERN + step
        kind = ON_PAPER[number % len(ON_PAPER)]
        paper = PAPERS[(number + 2 * (number // len(ON_PAPER))) % len(PAPERS)]
        single = EDITIONS[kind].single
        setup = setups[number % len(setups)] if single or step % 2 else TOGETHER
        yield Wanted(edition_of(kind, paper), setup, size if single else "")


@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: str(path.stem))
def test_pages_keep_the_laws(path: Path) -> None:
    turn = PATTERNS.index(path)
    names = setup_names()
    setups = (names[turn % len(names)], names[(turn + 1) % len(names)])
    pattern, _ = open_pattern(str(path))
    assert pattern is not None
    checked = check(pattern, Worked(setups, units="both"))
    middle = checked.sizes[len(checked.sizes) // 2].body.name
    faults = [
        f"{wanted.name}: {fault}"
        for wanted in _sample(turn, setups, middle)
        for each in made(chosen(checked, wanted), wanted.edition, ink=False)[:1]
        for fault in broken(each.laid_out)
    ]
    assert faults == []


def test_the_sample_takes_every_edition_and_paper() -> None:
    seen = {
        (each.edition.kind, each.edition.paper)
        for turn in range(len(PATTERNS))
        for each in _sample(turn, ("a", "b"), "M")
    }
    assert {kind for kind, _ in seen} == set(ON_PAPER)
    assert {paper for _, paper in seen} == set(PAPERS)
    assert len(seen) == A_PATTERN * len(PATTERNS)
