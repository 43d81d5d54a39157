"""The errata sheet in every language that ships: nothing in English, and lines that say the same work."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader

from grader.cli import main
from grader.comparing import compare_patterns, write_errata
from grader.comparing.telling import Translating
from grader.loading import languages, load_language
from grader.models.errata import Correction, Errata, Touched
from grader.models.language import Language
from grader.notation import read_line
from grader.translating import misread, read_back, translate_line, translator

from .conftest import Change, Version, base, changed

NEXT: Change = ('version: "1.0"\ndate: "2026-11-25"', 'version: "1.1"\ndate: "2026-12-01"')
GUSSET = 'sole: "K1, ssk, K to last 3 sts, k2tog, K1"}\n          - round: "K"\n        until: "{cast_on} sts"'
VERSIONS: dict[str, tuple[Change, ...]] = {
    "stitch": ((GUSSET, GUSSET.replace("ssk", "skp")), ("- A wool needle for grafting and for the ends\n  ", "")),
    "rows": (("    nearest: heel\n    multiple_of: 2", "    nearest: heel * 110 %\n    multiple_of: 2"),),
    "sizes": (('"4", "8"', '"4", "7"'), ("double-pointed set of 5]", "double-pointed set of 4]")),
    "section": (("  - name: Foot\n", '  - name: Cuff ridge\n    steps:\n      - round: "P"\n  - name: Foot\n'),),
    "gauge": (("stitches: 32", "stitches: 31"), ("metres: 420", "metres: 400"), ("intermediate", "easy")),
    "gone": (("    check: The count is back to what you cast on.\n", ""),),
    "broken": (("heel_rows / 2 + 1", "heel_rows / 2 + 2"),),
    "title": (("Ninepenny Bridge plain socks", "Quayside lace socks"),),
}
OWN = ("Cuff ridge",)  # the designer's words, which no catalogue of ours has
LANGUAGES = [language for language, _ in map(load_language, languages()) if language]


@cache
def compared(version: Version, name: str, language: Language) -> Errata:
    """What changed from the version that ships to one of `VERSIONS`."""
    return compare_patterns(version(), version(NEXT, *VERSIONS[name]), "UK", "both", language)


def sheet(errata: Errata, language: Language) -> tuple[str, tuple[str, ...]]:
    """The sheet in that language, and what it left in English."""
    to = translator(language)
    text = write_errata(errata, entry=False, tell=Translating(to))
    return text, tuple(to.left)


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
@pytest.mark.parametrize("name", VERSIONS)
def test_nothing_is_left_in_english(version: Version, language: Language, name: str) -> None:
    errata = compared(version, name, language)
    text, left = sheet(errata, language)
    assert set(left) <= set(OWN)
    odd = re.findall(r"\b(?:the|with|sts|rounds|rows|instead|read|sizes|setups|terms)\b", text)
    assert not odd
    assert "1.0" in text
    assert "1.1" in text


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
def test_letters_and_dots_of_many_sizes_are_told(version: Version, language: Language) -> None:
    many: Change = ('sizes: {chart: all-feet, choose: ["4", "8"]}', "sizes: {chart: all-feet}")
    errata = compare_patterns(version(many), version(many, NEXT, *VERSIONS["rows"]), "UK", "both", language)
    text, left = sheet(errata, language)
    assert left == ()
    assert "ZZZ" not in text
    assert text.count("…") == write_errata(errata, entry=False).count("…")
    assert {"**A**", "**B**"} <= set(re.findall(r"\*\*[A-Z]\*\*", text))


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
def test_changed_lines_go_there_and_back(version: Version, language: Language) -> None:
    """What stands on the sheet is what was knitted, before and after."""
    seen = 0
    for name in VERSIONS:
        for each in compared(version, name, language).corrections:
            for text in (text for reading in each.readings for text in reading[2:] if text and each.sort == "line"):
                told = translate_line(text, language)
                assert told is not None
                back = read_back(told, language)
                assert back is not None
                assert read_line(back) == read_line(text)
                assert misread(text, language, "UK") is None
                seen += 1
    assert seen > 20


def test_german_is_that_of_the_trade(version: Version) -> None:
    german = next(language for language in LANGUAGES if language.tag == "de-DE")
    text, _ = sheet(compared(version, "stitch", german), german)
    assert text.startswith(
        "# Berichtigung: Glatte Socken Neunpfennigbrücke\n\nVon Version 1.0, 2026-11-25 zu Version 1.1"
    )
    assert "**Alle Größen werden anders gestrickt.**" in text
    assert "- **2 M übz zus:** neu: 1 Masche wie zum Rechtsstricken abheben" in text
    assert (
        "- **1\\. Rd:** Alle Größen, lange Rundstricknadel (Magic Loop)  \n"
        "  statt: Nd 1 (Rist): re. Nd 2 (Sohle): 1 M re, 2 M re abgeh zus, re bis 3 M vor Ende, 2 M re zus, 1 M re  \n"
        "  richtig: **Nd 1 (Rist): re. Nd 2 (Sohle): 1 M re, 2 M übz zus, re bis 3 M vor Ende, 2 M re zus, 1 M re**"
    ) in text


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
@pytest.mark.parametrize(
    "errata",
    [
        Errata("T", ("1", "1"), ("", ""), "UK"),
        Errata("T", ("1", "2"), ("", ""), "UK", (Touched(("3",)), Touched(("4", "5", "9"), ("short circular",))), 9),
        Errata(
            "T", ("1", "2"), ("", ""), "UK", (Touched(("M",), ("double-pointed, set of 5",)),), 2, left_out=("S", "L")
        ),
        Errata("T", ("1", "2"), ("", ""), "UK", (), 0, unsound=("old", "new")),
        Errata(
            "T",
            ("1", "2"),
            ("", ""),
            "UK",
            (),
            3,
            ("Size A is now called B.", "Sizes 3 to 5 and 9 are new.", "Leave out the section “Heel”."),
            (
                Correction("line", "Heel", "Rounds 4 to 6 and 9", "K", "P"),
                Correction("line", "Heel", "After Round 4 (RS)", "", "K", label="Round 5"),
                Correction("why", "Heel", "Cast-on and Round 4", "", "Graft"),
                Correction("often", "Toe", "", "Work 3 rounds.", "", ("1", "2", "3", "7"), ("short circular",)),
                Correction("fact", "Why the numbers are what they are", "heel stitches", "", "Graft"),
                Correction("fact", "Charts", "2 x 2 rib", "The chart as printed", "The chart of the new version. Cuff"),
            ),
        ),
    ],
)
def test_rare_words_are_told_too(language: Language, errata: Errata) -> None:
    text, left = sheet(errata, language)
    assert left == ()
    assert not re.search(r"\b(?:After|Rounds?|size|and|sizes|new|old)\b", text)


@pytest.mark.parametrize(("tag", "page"), [("de", "Seite 1 von"), ("fr", "page 1 sur")])
def test_the_command_writes_the_sheet(tag: str, page: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    small = changed(base(), ('"4", "8"', '"4"'), ("[long circular, ", "["))
    Path("old.yaml").write_text(small, encoding="utf-8")
    Path("new.yaml").write_text(changed(small, NEXT, *VERSIONS["gone"][:1]), encoding="utf-8")
    assert main(["compare", "old.yaml", "new.yaml", "--language", tag, "--quiet"]) == 0
    names = sorted(each.name for each in Path("build").iterdir())
    assert names == [f"ninepenny-bridge-plain-socks-errata-1.0-to-1.1-{tag}.{each}" for each in ("md", "pdf")]
    reader = PdfReader(Path("build") / names[1])
    assert reader.trailer["/Root"]["/Lang"].startswith(tag)  # type: ignore[index]
    assert page in reader.pages[0].extract_text()
    assert "changelog" not in (Path("build") / names[0]).read_text(encoding="utf-8")


def test_json_and_unknown_languages_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("old.yaml").write_text(base(), encoding="utf-8")
    assert main(["compare", "old.yaml", "old.yaml", "--json", "--language", "de"]) == 2
    assert "changes as JSON are in English" in capsys.readouterr().err
