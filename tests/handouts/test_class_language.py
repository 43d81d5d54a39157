"""The last page of a class in every language that ships: whatever a line lacks or a foot asks for."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from pypdf import PdfReader

from grader.class_sheets import IN_THE_PATTERN, Line, last_page, teller
from grader.cli import main
from grader.cli.class_work import Lesson, _in_a_line, _said, serve
from grader.cli.one_off import measures_used, own_body, own_gauge
from grader.loading import languages, load_language
from grader.loading.class_list import class_list_of
from grader.measuring import judge
from grader.models.class_list import Member
from grader.models.edition import Edition
from grader.models.language import Language
from grader.models.pattern import Pattern
from grader.pipeline import for_one, grade_all, open_pattern
from grader.reporting import print_findings
from grader.resources import folder
from grader.translating import translator
from grader.vocabulary.findings import Finding
from grader.vocabulary.reference import read_reference

LANGUAGES = [language for language, _ in map(load_language, languages()) if language]
HEAD = "name;foot (cm);length (cm);heel;instep;ankle;calf;knee height;leg;shoe;age;gauge;needles\n"
LINES = (
    """\
A;;25
B;22
C;22.5 kg;25
C2;1/0 cm;25
C3;nothing;25
D;99;25
D2;9in;60in
D3;22 sts;25
E;22.5;25;60cm
F;22.5;25;;60cm
G;22.5;25;22.5
H;22.5;25;;;;;;80cm
I;;;;;;;;;US 8
J;;;;;;;;;EU 99
K;;;;;;;;;EU 39;5
L;;;;;;;;;shoe
M;;25;;;;;;;;99
M2;;25;;;;;;;;old
N;22.5;25;;;;;;;;;200x43
N2;22.5;25;;;;;;;;;31x200
N3;22.5;25;;;;;;;;;nonsense
O;22.5;25;;;;;;;;;;wooden
P☃;22.5;25
;22;25
Q;22.5;25;;;;;;;;;31x43;set-of-4
R;22;31
S;22.5;25;30cm;29cm
T;32;23
U;13;12;;;;;;;;;20x30;short-circular
W;8;22
X;9;25
Y;24;16
Z;22.5;25;;;;;;;;;60x20
a;22.5;25;;;12cm;60cm;45cm
b;22.5;25;;;12cm;90cm;45cm
c;2.5e400cm;25
d;"""
    + "1" * 60
    + ";25\n"
)


@cache
def pattern(name: str) -> Pattern:
    found, findings = open_pattern(str(folder("patterns") / f"{name}.yaml"))
    assert found is not None, findings
    return found


@cache
def lines(name: str, estimate: bool) -> tuple[Line, ...]:
    """What becomes of each of `LINES`."""
    own = pattern(name)
    found, findings = class_list_of((HEAD + LINES).encode(), "list.csv")
    assert found is not None, findings
    needles = "set-of-5"
    lesson = Lesson(
        own, Edition(kind="handout", one_size=True), "32x44", needles, estimate, "x", measures_used(own, True)
    )
    told = [serve(lesson, member) for member in found.members]
    return tuple(Line(each.line, each.name, each.reason, each.told, each.doubts) for each in told)


def unsaid(texts: list[str], own: Pattern, language: Language) -> list[str]:
    """The texts that a language has no words for, or leaves to the screen."""
    to = translator(language)
    tell = teller(to, own)
    return [text for text in texts if tell(text) == to.text(IN_THE_PATTERN)] + list(to.left)


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
@pytest.mark.parametrize(("name", "estimate"), [("ninepenny_bridge", False), ("high_moor", True)])
def test_nothing_that_a_line_lacks_is_left_in_english(name: str, estimate: bool, language: Language) -> None:
    rows = lines(name, estimate)
    assert len({each.reason for each in rows}) > 15
    texts = [text for each in rows for text in (each.reason, *each.told, *each.doubts) if text]
    assert unsaid(texts, pattern(name), language) == []
    to = translator(language)
    page = last_page("3 of 30 people have a document", rows, teller(to, pattern(name)))
    assert not re.findall(r"\b(?:the|should|missing|measured|with|write|there|rarer|would)\b", page)
    assert "_" not in page.replace("\\_", "")


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
def test_a_line_that_is_no_line_is_told(language: Language) -> None:
    broken = HEAD + "A;22;25" + ";" * 20 + "x\nB;" + "1" * 300 + ";22\n" + "C;22;24\n"
    _, findings = class_list_of(broken.encode(), "list.csv")
    _, more = class_list_of(b"name;foot;colour\nA;22;" + b"x" * 300 + b"\n", "list.csv")
    texts = [f"{each.message}; {each.mend}" for each in (*findings, *more) if each.is_error]
    assert len(texts) == 3
    assert unsaid(texts, pattern("quayside"), language) == []


@cache
def strange() -> list[str]:
    """What is said of measures over all that feet and legs have, and more."""
    beside = ({}, {"heel_diagonal": 20}, {"heel_diagonal": 36}, {"instep_girth": 30}, {"ankle": 12}, {"calf": 14})
    several = (
        {"ankle": 39, "calf": 36},
        {"knee_height": 20},
        {"knee_height": 64},
        {"instep_girth": 25, "heel_diagonal": 24},
    )
    found: dict[str, str] = {}  # one of those that differ in their figures alone
    for whom, length, girth, more in itertools.product(
        ("", "children"), (3, 12, 15, 19, 25, 31, 220), (9, 16, 19, 22, 29, 55), (*beside, *several)
    ):
        taken = {"foot_length": length, "foot_circumference": girth, **more}
        for each in judge({name: Fraction(amount) for name, amount in taken.items()}, whom):
            text = _strange(each)
            found[re.sub(r"\d+", "0", text)] = text
    return list(found.values())


def _strange(finding: Finding) -> str:
    if finding.is_error:  # as `judged` refuses it
        return f"{finding.message}; there are {finding.expected}; {finding.mend}"
    return _in_a_line(print_findings([finding]))


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
def test_every_question_about_a_measure_is_told(language: Language) -> None:
    texts = strange()
    assert len(texts) > 50
    assert unsaid(texts, pattern("quayside"), language) == []


@pytest.mark.parametrize("language", LANGUAGES, ids=languages())
def test_every_remark_on_the_shape_of_a_sock_is_told(language: Language) -> None:
    """Every part that may be out of proportion, and both ways in which an ankle may be too small for the leg."""
    rows = read_reference("proportions")["rows"]
    mend = "correct the rule that gives it; or leave it, if it is meant"
    texts = [
        f"double-pointed, set of 5; Leg: {row['means']}: 12.5 to 64 {row['per']}, 0.20 to 1; {mend}" for row in rows
    ]
    at, loose = "60 sts at the ankle are 18.8 cm round, and", "17.0 cm: the leg will hang loose"
    narrower = "knit the leg with fewer stitches down to the ankle, or in rib"
    for whose in ("the ankle is", "of ankles beside such a foot nine in ten are at the most"):
        texts.append(f"double-pointed, set of 5; Leg: {at} {whose} {loose}; {narrower}")
    assert len(texts) > 12
    assert unsaid(texts, pattern("quayside"), language) == []


@pytest.mark.parametrize("name", ["high_moor", "ninepenny_bridge"])
def test_every_foot_that_a_pattern_refuses_is_told(name: str) -> None:
    own = pattern(name)
    found: dict[str, None] = {}
    for girth, length, gauge in itertools.product((10, 19, 36), (10, 22, 31), ((20, 28), (24, 50))):
        body = own_body(own, Fraction(girth), Fraction(length), {}, "x")
        _, findings = grade_all(for_one(own, body, own_gauge(own, (Fraction(gauge[0]), Fraction(gauge[1])))))
        found |= dict.fromkeys(map(_said, findings))
    assert found
    for language in LANGUAGES:
        assert unsaid(list(found), own, language) == []


@pytest.mark.parametrize(
    ("english", "german"),
    [
        (
            "foot_plain comes to -1.18 cm, which is not at least 0, 1.18 cm too short; the foot is too short for this"
            " shaping: begin the toe sooner, decrease the gusset faster, or leave the size out",
            "Länge des glatten Fußes: −1,18 cm, verlangt ist mindestens 0; 1,18 cm zu kurz; der Fuß ist zu kurz für"
            " diese Form: die Spitze früher beginnen, den Zwickel schneller abnehmen oder die Größe weglassen",
        ),
        (
            "double-pointed, set of 5; Toe: asks for 6 sts where there are 4 (instep 4 sts, sole 4 sts)",
            "Nadelspiel mit 5 Nadeln; Spitze: verlangt 6 M, da sind 4 (Rist 4 M, Sohle 4 M)",
        ),
        (
            "foot: '22.5' has no unit; write 22.5cm or 22.5in",
            "Fuß: '22,5' hat keine Einheit; 22,5cm oder 22,5in schreiben",
        ),
        (
            "on the instep only, 3 repeats of feather and fan (36 sts) leave 30 of 66 sts to the sole (+1.5 %)",
            "nur auf dem Rist: 3 Rapporte Federn und Fächer (36 M) lassen der Sohle 30 von 66 M (+1,5 %)",
        ),
        ("double-pointed, set of 5; Toe: a word of its own", IN_THE_PATTERN),
    ],
)
def test_reasons_read_as_german(english: str, german: str) -> None:
    language = next(each for each in LANGUAGES if each.tag == "de-DE")
    to = translator(language)
    said = teller(to, pattern("ninepenny_bridge"))(english)
    assert said == (to.text(german) if german == IN_THE_PATTERN else german)


def test_a_document_that_would_read_as_other_work_is_not_served() -> None:
    """A careless catalogue in which ssk is told as k2tog is: nobody gets its lines, and the page says so."""
    german = next(each for each in LANGUAGES if each.tag == "de-DE")
    stitches = tuple(
        replace(each, told="2 M re zus") if each.english == "ssk" else each for each in german.phrases["stitch"]
    )
    careless = replace(german, phrases={**german.phrases, "stitch": stitches})
    own = pattern("ninepenny_bridge")
    edition = Edition(kind="handout", one_size=True, language=careless)
    lesson = Lesson(own, edition, "32x44", "set-of-5", False, "x", measures_used(own, True))
    outcome = serve(lesson, Member(2, "Ada", {"foot": "21cm", "length": "24cm"}))
    assert not outcome.is_served
    assert "let no two phrases of the catalogue read alike" in outcome.reason
    assert unsaid([outcome.reason], own, german) == [outcome.reason]


def test_a_catalogue_without_these_words_leaves_them_in_english() -> None:
    lacking = replace(LANGUAGES[0], messages=())
    to = translator(lacking)
    assert teller(to, pattern("quayside"))("the name is missing") == "the name is missing"
    assert tuple(to.left) == ("the name is missing",)


@pytest.mark.parametrize(
    ("tag", "head", "foot"), [("de", "Kursliste", "Seite 1 von"), ("fr", "Liste du cours", "page 1 sur")]
)
def test_the_command_prints_the_page_in_the_language(
    tag: str, head: str, foot: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("class.csv").write_text("name;foot (cm);length (cm)\nMabel;21;24\nBert;22\n", encoding="utf-8")
    words = ["class", "ninepenny_bridge", "class.csv", "--gauge", "32x44", "--needles", "set-of-5", "--jobs", "1"]
    assert main([*words, "--language", tag, "--edition", "one-size"]) == 1
    said = capsys.readouterr().err
    assert "Bert: the length is missing" in said
    assert "left in English" not in said
    (markdown,) = Path("build").glob("*.md")
    assert f"\n# {head}\n" in markdown.read_text(encoding="utf-8")
    (printed,) = Path("build").glob("*.pdf")
    pages = [page.extract_text().replace("\xa0", " ") for page in PdfReader(printed).pages]
    assert foot in pages[0]
    assert head in pages[-1]
