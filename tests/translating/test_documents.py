"""Whole documents in every language that ships: nothing is left in English, and its lines knit the same sock."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from grader.cli.blank import main as write_blank
from grader.loading import languages, load_language
from grader.models.document import Table
from grader.models.drawing import Drawing, Label
from grader.models.instructions import Instructions
from grader.models.language import Language, Phrase
from grader.pipeline import Checked, Wanted, check, open_pattern
from grader.publishing import Draft, Edition, draft
from grader.resources import folder
from grader.setups import setup_names
from grader.testknit import knit
from grader.translating import (
    blank,
    knitted_from,
    left_in_english,
    pronounced,
    spaced,
    told,
    translate,
    translate_drawing,
    translate_line,
    translator,
)
from grader.write_up import write_up

from .test_there_and_back import LANGUAGES, of

SHIPPED = sorted(path.stem for path in folder("patterns").glob("*.yaml"))
ENGLISH = re.compile(r"\b(the|and|with|each|stitch(?:es)?|sts?|rounds?|rows|needles?|of|to)\b")


@cache
def worked(name: str, terms: str = "UK", sizes: tuple[int, ...] = (1, 4), setups: tuple[str, ...] = ()) -> Checked:
    """Some sizes of a pattern that ships, in all of its setups or some."""
    pattern, findings = open_pattern(str(folder("patterns") / f"{name}.yaml"))
    assert pattern is not None, findings
    some = replace(pattern, bodies=tuple(pattern.bodies[size] for size in sizes), samples=())
    return check(some, Wanted(setups, (terms,), "both"))


def drawn(made: Draft) -> tuple[Drawing, ...]:
    return tuple(each for each in (made.main, *made.drawings.values()) if each)


@pytest.mark.parametrize("name", SHIPPED)
def test_nothing_is_left_in_english(name: str) -> None:
    """Many sizes by section and by setup, one size with boxes to tick: but for names and versions all is told."""
    for checked, edition in (
        (worked(name), Edition()),
        (worked(name), Edition(arrangement="by-setup")),
        (worked(name, "US", (2,), (worked(name).pattern.setups or setup_names())[-1:]), Edition("US", one_size=True)),
    ):
        made = draft(checked, edition, name, name)
        for language in LANGUAGES:
            assert left_in_english(made.document, language, drawn(made)) == ()


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
def test_the_page_reads_as_the_language(language: Language) -> None:
    """Headings and all: no line of the written-up document has two words that only English has."""
    made = draft(worked("quayside"), Edition(), "q", "q")
    text = write_up(translate(made.document, language), told=told(language))
    odd = [line for line in text.splitlines() if len(ENGLISH.findall(line)) > 1 and "Survey" not in line]
    assert not odd


def test_a_table_of_letters_and_fourteen_sizes_is_told(ninepenny_document: Draft) -> None:
    for language in LANGUAGES:
        assert left_in_english(ninepenny_document.document, language, drawn(ninepenny_document)) == ()
        document = translate(ninepenny_document.document, language)
        texts = [
            each.text
            for section in document.parts[0].sections
            for strand in section.strands
            for passage in strand.passages
            for each in passage.instructions
        ]
        assert any("**" in text for text in texts)


@pytest.fixture(scope="module")
def ninepenny_document() -> Draft:
    return draft(
        worked("ninepenny_bridge", sizes=tuple(range(9)), setups=("double-pointed, set of 5",)), Edition(), "n", "n"
    )


@pytest.mark.parametrize("name", SHIPPED)
def test_the_lines_of_the_language_are_knitted(name: str) -> None:
    """What is read back from the translated lines makes the very same record."""
    for language in LANGUAGES:
        for place, sock in enumerate(worked(name).socks):
            back, findings = knitted_from(sock.instructions, language)
            assert not findings
            if place == 0 and sock.right is None:
                record, mistakes = knit(back)
                assert not mistakes
                assert [(line.before, line.after) for line in record.lines] == [
                    (line.before, line.after) for line in sock.record.lines
                ]


def _first(instructions: Instructions, text: str) -> Instructions:
    """The instructions with another text in their first line."""
    section = instructions.sections[0]
    block = section.blocks[0]
    lines = (replace(block.lines[0], text=text), *block.lines[1:])
    section = replace(section, blocks=(replace(block, lines=lines), *section.blocks[1:]))
    return replace(instructions, sections=(section, *instructions.sections[1:]))


def test_a_line_that_the_catalogue_lacks_is_a_finding() -> None:
    german = of("de")
    odd = _first(worked("quayside").socks[0].instructions, "Take the 12 elbow sts back into the work")
    same, findings = knitted_from(odd, german)
    assert [finding.code for finding in findings] == ["untranslated"]
    assert same.sections[0].blocks[0].lines[0].text.startswith("Take the 12 elbow")


def test_two_stitches_that_are_told_alike_are_found() -> None:
    """A catalogue in which ssk reads as k2tog does: the test-knit would work the wrong lean."""
    german = of("de")
    wrong = tuple(
        replace(each, told="2 M re zus") if each.english == "ssk" else each for each in german.phrases["stitch"]
    )
    careless = replace(german, phrases={**german.phrases, "stitch": wrong})
    instructions = _first(worked("quayside").socks[0].instructions, "K1, ssk, K to end")
    _, findings = knitted_from(instructions, careless)
    assert "misread" in {finding.code for finding in findings}


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("*K2, P2; rep from * to end", "*2 M re, 2 M li; ab * wdh bis Ende"),
        ("K16 (18, 20), turn", "16 (18/20) M re, wenden"),
        ("K\u00a0**E**, ssk", "**E** M re, 2 M re abgeh zus"),
        (
            "Needle 1: K. Needles 2 and 3 (instep): P to last st, K1",
            "Nd 1: re. Nd 2 und 3 (Rist): li bis 1 M vor Ende, 1 M re",
        ),
        ("Sl1 wyif, K2 CC1", "1 M abh mit Fv, 2 M re in KF1"),
        ("Begin with MC", "Mit HF beginnen"),
        ("Cast off all sts", "Alle M abketten"),
        (
            "Cast on 16 sts: 8 and 8 sts on needles 1 and 2. Join in the round",
            "16 M anschlagen: 8 und 8 M auf Nd 1 und 2. Zur Rd schließen",
        ),
    ],
)
def test_german_is_that_of_the_trade(english: str, german: str) -> None:
    assert translate_line(english, of("de")) == german


def test_numbers_are_printed_in_the_way_of_the_language() -> None:
    """Decimal comma, brackets with strokes, singular and plural."""
    say = told(of("de"))
    assert say("Work 1 round, 0.5 cm.") == "1 Runde stricken, 0,5 cm."
    assert say("Work 12 (14, 16) rounds, 2.5 (3, 3.5) cm.") == "12 (14/16) Runden stricken, 2,5 (3/3,5) cm."
    assert say("no such message") == "no such message"


def test_labels_of_a_drawing_and_its_words_are_told() -> None:
    labels = (
        Label(1, 1, "size 8: 20.5 cm round"),
        Label(1, 9, "4.5"),
        Label(3, 3, "If there are more, take"),
        Label(3, 5, "larger needles; if fewer, smaller ones."),
    )
    german = translate_drawing(Drawing(9, 9, (), labels, "Repeat of 1 st and 2 rounds, in the heavy box."), of("de"))
    assert german.alt == "Rapport von 1 Masche und 2 Runden im fetten Rahmen."
    assert [label.text for label in german.labels[:2]] == ["Größe 8: 20,5 cm rundum", "4,5"]
    assert " ".join(label.text for label in german.labels[2:]).startswith("Sind es mehr, dickere Nadeln nehmen;")


def test_a_title_says_for_whom_in_the_language_and_leaves_the_name_alone() -> None:
    document = draft(worked("ninepenny_bridge", sizes=(3,)), Edition(), "x", "x").document
    named = replace(document, title=f"{document.title} for Ada for two", whose="Ada for two")
    told_as = {language.tag: translate(named, language).title for language in LANGUAGES}
    assert told_as["de-DE"] == "Glatte Socken Neunpfennigbrücke für Ada for two"
    assert told_as["fr-FR"] == "Chaussettes unies Pont des Neuf Sous pour Ada for two"


def test_what_has_no_words_stays_and_is_listed() -> None:
    made = draft(worked("quayside"), Edition(), "q", "q")
    german = of("de")
    lacking = replace(german, messages=tuple(each for each in german.messages if each.english.lower() != "gusset"))
    assert left_in_english(made.document, lacking) == ("Gusset",)
    names = [section.name for section in translate(made.document, lacking).parts[0].sections]
    assert {"Gusset", "Spitze"} <= set(names)


def test_words_beside_a_pattern_go_before_those_that_ship(tmp_path: Path) -> None:
    (tmp_path / "mine.de.yaml").write_text(
        "phrases: {region: {elbow: Ellbogen}}\n"
        'messages:\n  "Leave {tail} of yarn.": "{tail} Garn lassen."\n  Cuff: Rand\n',
        "utf-8",
    )
    language, findings = load_language("de", str(tmp_path / "mine.yaml"))
    assert language is not None, findings
    assert told(language)("Leave 12.5 cm / 5 in of yarn.") == "12,5 cm / 5 Zoll Garn lassen."
    assert told(language)("Cuff") == "Rand"
    assert (
        translate_line("Take the 12 elbow sts back into the work", language)
        == "Die 12 stillgelegten M (Ellbogen) wieder aufnehmen"
    )


def test_a_blank_catalogue_asks_for_each_text_once() -> None:
    text = blank(["Work 3 rounds, 2 cm / ¾ in.", "Work 4 (5, 6) rounds, 2.5 cm / 1 in.", 'a "b"', "k2tog"])
    assert text == 'messages:\n  "Work {n1} rounds, {n2}.": ""\n  "a \\"b\\"": ""\n  "k2tog": ""\n'
    assert '"Leave {tail}.": ""' in blank(["Leave 3 cm."], ["Leave {tail}."])
    assert "phrases:" in blank([], (), of("de"))


@pytest.mark.parametrize(("rule", "told_as"), [("one", "R,Rn,Rn,Rn"), ("up-to-one", "R,R,Rn,Rn"), ("none", "R,R,R,Rn")])
def test_plural_rules(rule: str, told_as: str) -> None:
    language = Language("x", "x", plural=rule, messages=(Phrase("{n} rounds", "{n|R|Rn}"),))
    say = told(language)
    assert ",".join(say(f"{n} rounds") for n in ("1", "0", "2", "1 (2, 3)")) == told_as.replace(
        "R,Rn,Rn,Rn", "R,Rn,Rn,Rn"
    )


def test_a_drawing_grows_with_its_words() -> None:
    label = Label(2, 5, "ssk: slip, slip, knit", "start")
    drawing = translate_drawing(Drawing(40, 9, (), (label,), ""), of("de"))
    assert drawing.width_mm > 40
    assert translate_drawing(Drawing(400, 9, (), (label,), ""), of("de")).width_mm == 400


def test_what_says_most_itself_goes_before_what_fits_anything() -> None:
    """A message with a slot for any name is no way round one that says the whole."""
    phrases = (Phrase("a shoe of {s:as}", "Schuh {s}"), Phrase("a shoe of {s:as}, an estimate", "geschätzt: Schuh {s}"))
    say = told(Language("x", "x", messages=phrases))
    assert say("a shoe of EU 38, an estimate") == "geschätzt: Schuh EU 38"


def test_those_who_listen_hear_whole_words() -> None:
    say = pronounced(of("de"))
    assert say("\\*2 M re, 2 M li; ab \\* wdh bis Ende.") == (
        "Stern 2 Maschen rechts, 2 Maschen links; ab Stern wiederholen bis Ende."
    )
    assert say("**16** (18/20) M, 230–260 m") == "16 (18, 20) Maschen, 230 bis 260 Meter"
    assert say("Nur Größen S, M und XL: 1 M re, 44 Rd") == "Nur Größen S, M und XL: 1 Masche rechts, 44 Runden"
    assert [say(each) for each in ("M", "1. Rd", "Re.")] == ["M", "1. Runde", "Rechts."]


@pytest.mark.parametrize(
    ("english", "french"),
    [
        ("- **Aig 1 (talon):** 2 m end; fin", "- **Aig 1 (talon)\u00a0:** 2 m end\u00a0; fin"),
        ("Toutes les tailles:\n\n| --: | :-: |", "Toutes les tailles\u00a0:\n\n| --: | :-: |"),
        ("[lien](a: b) et `x: y`, 12:30, déjà\u00a0: fait &amp; là", None),
    ],
)
def test_signs_stand_after_a_no_break_space_in_french_alone(english: str, french: str | None) -> None:
    assert spaced(english, of("fr")) == (french or english)
    assert spaced(english, of("de")) == spaced(english, None) == english


def test_every_language_that_ships_has_the_same_messages() -> None:
    """What one catalogue says, the others say too: none lags behind."""
    first, *others = (
        {each.english for each in language.messages} | {each for group in language.phrases for each in group}
        for language in LANGUAGES
    )
    for other in others:
        assert sorted(first ^ other) == []


def test_a_blank_catalogue_asks_for_the_messages_of_other_documents(capsys: pytest.CaptureFixture[str]) -> None:
    """Those of errata, stripes and classes stand behind those of the pattern, once each."""
    assert write_blank(["nl", str(folder("patterns") / "lantern_lane.yaml")]) == 0
    said = capsys.readouterr().out
    texts = re.findall(r'^  "((?:[^"\\]|\\.)*)": ""$', said, re.M)
    assert {"Errata", "Stripes", "Class list", "Wind off {n} m; the tail of sock two begins there."} <= set(texts)
    assert len(texts) == len(set(texts))
    assert "From its top edge the sock measures {leg_length}." in texts
    assert write_blank(["de", str(folder("patterns") / "lantern_lane.yaml")]) == 0
    assert capsys.readouterr().out == "messages:\n"


def test_a_dash_under_a_letter_is_the_sign_for_none() -> None:
    """As in brackets, and as the document explains it."""
    table = Table(("Size", "S", "M"), (("A", "12", "–"),), "lrr")
    assert translator(of("fr")).lettered(table).rows == (("A", "12", "0"),)
    assert translator(of("de")).lettered(table).rows == (("A", "12", "–"),)
    dash = "A dash (–) means that your size works none of it."
    assert "(0)" in told(of("fr"))(dash)
    assert "–" not in told(of("fr"))(dash)
    assert "(–)" in told(of("de"))(dash)


def test_abbreviations_of_rows_and_rounds_are_explained() -> None:
    made = draft(worked("quayside"), Edition(), "q", "q")
    short = dict(translate(made.document, of("de")).abbreviations)
    assert short["R"] == "Reihe(n)"
    assert short["Rd"] == "Runde(n)"


def test_texts_with_commas_of_their_own_are_listed() -> None:
    said = translator(of("de")).speaker.listed("short circular, double-pointed, set of 5 and Cuff")
    assert said == "kurze Rundstricknadel, Nadelspiel mit 5 Nadeln und Bündchen"
