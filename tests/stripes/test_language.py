"""The plan of stripes in every language that ships: words of ours are told, colours stay as they were typed."""

from __future__ import annotations

import io
import re
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader

from grader.cli import main
from grader.loading import languages, load_language
from grader.models.language import Language
from grader.models.stripes import Ask, Stripe
from grader.pipeline import Checked
from grader.publishing import Made, make_stripes

from .socks import FOUR, PAIR, PATTERNS, PLAIN, TOE_UP, sock, striped

LANGUAGES = [language for language, _ in map(load_language, languages()) if language]
ODD = tuple(Stripe(f"farbe {each}", Fraction(each, 3)) for each in range(2, 9))
ASKS = {
    "plain": (PLAIN, Ask(FOUR, start=Fraction(1))),
    "contrast": (PLAIN, Ask(FOUR, contrast=("Heel flap", "Heel turn"), ball=Fraction(200))),
    "cuff": (PLAIN, Ask(FOUR, contrast=("Cuff",), ball=Fraction(250))),
    "many": (PLAIN, Ask(ODD, ball=Fraction(284))),
    "short ball": (PLAIN, Ask(FOUR, ball=Fraction(278))),
    "just enough": (PLAIN, Ask(FOUR, ball=Fraction(290))),
    "toe up": (TOE_UP, Ask(FOUR)),
    "short rows": (PAIR, Ask((*FOUR, Stripe("blue", Fraction(1)), Stripe("blue", Fraction(3))))),
}


@cache
def made(name: str, language: Language | None = None) -> Made:
    pattern, ask = ASKS[name]
    pair = striped(pattern, ask)
    one = sock(pattern)
    return make_stripes(Checked(PATTERNS[pattern], (one.graded,), (one,), ()), pair, "a4", language)


def of(plan: Made, ending: str) -> bytes:
    return next(data for name, data in plan.files.items() if name.endswith(ending))


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
@pytest.mark.parametrize("name", ASKS)
def test_nothing_is_left_in_english(name: str, language: Language) -> None:
    plan = made(name, language)
    assert plan.left == ()
    told = re.sub(r"\(\S+\.svg\)", "", of(plan, ".md").decode()) + "".join(
        re.findall(r">([^<]+)</text>", of(plan, ".svg").decode())
    )
    assert not re.findall(r"\b(?:the|sock|socks|of|rounds|rows|cuff|stripes|stripe|yarn|and|is|from)\b", told)
    for colour in {each.colour for each in ASKS[name][1].repeat}:
        assert colour in told


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
def test_every_figure_of_the_plan_is_that_of_the_english_one(language: Language) -> None:
    """The tables of both plans hold the same numbers, with the decimal sign of the language."""
    figures = re.compile(r"(?<![\w.,])\d+(?:[.,]\d+)?(?![\w.,]*\d)")
    tables = [
        [figures.findall(line) for line in of(plan, ".md").decode().splitlines() if line.startswith("| ")]
        for plan in (made("many"), made("many", language))
    ]
    told = [[each.replace(",", ".") for each in row] for row in tables[1]]
    assert [sorted(row) for row in tables[0]] == [sorted(row) for row in told]


@pytest.mark.parametrize(("tag", "foot"), [("de-DE", "Seite 1 von 1"), ("fr-FR", "page 1 sur 1")])
def test_one_page_is_printed_in_the_language(tag: str, foot: str) -> None:
    language = next(each for each in LANGUAGES if each.tag == tag)
    for name in ASKS:
        reader = PdfReader(io.BytesIO(of(made(name, language), ".pdf")))
        assert len(reader.pages) == 1
        assert reader.trailer["/Root"]["/Lang"] == tag  # type: ignore[index]
        assert foot in reader.pages[0].extract_text().replace("\xa0", " ")


def test_the_command_asks_for_the_language_of_the_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["stripes", "ninepenny_bridge", "--size", "8", "--repeat", "4m blau, 2m creme", "--language", "de"]
    assert main(words) == 2
    assert "--out" in capsys.readouterr().err
    assert main([*words, "--out", str(tmp_path), "--quiet"]) == 0
    names = {path.name for path in tmp_path.iterdir()}
    assert names == {
        f"ninepenny-bridge-plain-socks-stripes-8-yarn-4m-blau,-2m-creme-de.{each}" for each in ("md", "svg", "pdf")
    }
    capsys.readouterr()
    assert main([*words[:-1], "tlh", "--out", str(tmp_path)]) == 2
    assert "language" in capsys.readouterr().err
