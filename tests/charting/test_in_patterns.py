"""Charts in pattern files and in the documents made of them."""

from __future__ import annotations

import io
import re
from functools import cache

import pypdf
import pytest
from strategies import loaded, pattern_text

from grader.loading import load_text
from grader.models.pattern import Pattern
from grader.notation.chart_words import chart_lines
from grader.pipeline import Checked, Wanted, check
from grader.publishing import Edition, make_document
from grader.vocabulary.size_charts import read_chart

from .drawn import charted

CHART = """lace:
    label: lantern lace
    chart:
      - "| k   k   k    k   k  k    k   k   |"
      - "| p   k   yo   cdd yo k    p   sl-wyif |"
      - "| k   k   k    k   k  k    k   k   |"
      - "| p   2/2RC k  k  p |"
"""
ROUNDS = (
    "*P1, K2, 2/2 RC, P1; rep from * to end",
    "K",
    "*Sl1 wyif, P1, K1, yo, cdd, yo, K1, P1; rep from * to end",
    "K",
)
STEPS = '  - name: Leg\n    steps:\n      - cast_on: "{cast_on}"\n        regions: [[heel, 32], [instep, 32]]\n'
FLAP = """  - name: Flap
    over: heel
    steps:
      - rows: in flap
        times: 4
        leaves: {heel: 32}
"""


def _small(patterns: str, work: str) -> Pattern:
    return loaded(pattern_text(f"{STEPS}{work}", numbers="  cast_on: {exactly: 64}", patterns=patterns))


def test_a_chart_becomes_its_rounds() -> None:
    pattern = _small(CHART, "      - rounds: in lace\n        times: 8\n")
    (lace,) = pattern.stitch_patterns
    assert tuple(each.text for each in lace.rounds) == ROUNDS
    assert (lace.rows, len(lace.chart)) == ((), 4)
    assert lace.chart[0].text.startswith("| k   k"), "the designer's own lines are kept"


def test_the_rounds_of_a_chart_stand_where_their_lines_do() -> None:
    text = pattern_text(f"{STEPS}      - rounds: in lace\n        times: 8\n", patterns=CHART)
    lines = text.splitlines()
    pattern, _ = load_text(text, "small.yaml", read_chart)
    assert pattern is not None
    places = [each.span.line for each in pattern.stitch_patterns[0].rounds]
    assert places == sorted(places, reverse=True), "the first round is the lowest line"
    assert "2/2RC" in lines[places[0] - 1]
    assert "cdd" in lines[places[2] - 1]


def test_a_chart_of_rows_becomes_rows_from_both_sides() -> None:
    chart = 'flap:\n    chart_rows:\n      - "sl | k k | k"\n      - "k | sl k | sl"\n'
    pattern = _small(chart, f"      - rounds: K\n        times: 1\n{FLAP}")
    (flap,) = pattern.stitch_patterns
    assert [each.text for each in flap.rows] == ["Sl1, *K1, sl1; rep from * to last st, K1", "Sl1, P to end"]
    assert flap.rounds == ()


def test_a_colour_of_a_chart_must_be_one_of_the_patterns() -> None:
    chart = 'dots: {chart: ["| k:MC k:CC |"]}'
    text = pattern_text(f"{STEPS}      - rounds: in dots\n        times: 8\n", patterns=chart)
    pattern, findings = load_text(text, "small.yaml", read_chart)
    assert pattern is None
    assert [each.message for each in findings] == ["the pattern has no colour MC", "the pattern has no colour CC"]
    assert [each.span.column for each in findings if each.span] == [23, 28]


# -- in print

SOCK = f"""
title: Lantern socks
version: "1.0"
gauge: {{stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
fit: {{foot_circumference: -10 %, allowed: [-25 %, 5 %], foot_length: -4 %}}
sizes: {{chart: adult-feet, choose: [S, M]}}
setups: [long circular, short circular]
parts: [cuff-2x2-rib, leg-straight, heel-flap-slipped, turn-round, gusset, foot-plain, toe-wedge]
numbers:
  cast_on:
    nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches
    multiple_of: [cuff.repeat, 16]
stitch_patterns:
  {CHART}
sections:
  - name: Leg
    steps:
      - rounds: in lace
        for: "{{leg_plain}}"
"""


@cache
def _checked(terms: str = "UK") -> Checked:
    checked = check(loaded(SOCK), Wanted((), (terms,), "both"))
    assert checked.is_sound, checked.findings
    return checked


@cache
def _made(paper: str = "a4", terms: str = "UK", one_size: bool = False) -> dict[str, bytes]:
    return make_document(_checked(terms), Edition(terms=terms, paper=paper, one_size=one_size), "lantern").files


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
@pytest.mark.parametrize("one_size", [False, True])
def test_the_chart_stands_in_the_document_with_its_key(paper: str, one_size: bool) -> None:
    files = _made(paper, one_size=one_size)
    markdown = files["lantern.md"].decode()
    assert "## Charts" in markdown
    assert "### Chart: lantern lace" in markdown
    assert "Repeat of 8 sts and 4 rounds, in the heavy box." in markdown
    shown = re.findall(r"!\[(.*?)\]\((\S+?)\)", markdown)
    assert {name for _, name in shown} == {name for name in files if name.endswith(".svg")}
    (alt,) = (alt for alt, name in shown if "chart" in name)
    assert alt.startswith("Chart of lantern lace: 8 stitches by 4 rounds.")
    assert re.search(r"In words:\*\* .*circle: yo, yarn over; .*upright with two arms: cdd", markdown)
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(files["lantern.pdf"])).pages)
    for words in ("Chart: lantern lace", "repeat: 8 sts", "cdd: centred double decrease", "2/2 RC: cable 2/2 right"):
        assert words in text.replace("\n", " "), words


def test_the_instructions_name_their_chart_once() -> None:
    markdown = _made()["lantern.md"].decode()
    leg = markdown.split("## Leg\n")[1].split("\n## ")[0]
    assert leg.count("> **Chart:** lantern lace") == 1
    assert markdown.count("> **Chart:**") == 1, "no other section has one"


def test_the_rounds_of_the_chart_are_those_of_the_instructions() -> None:
    leg = _made()["lantern.md"].decode().split("## Leg\n")[1].replace("\\", "")
    for line in dict.fromkeys(chart_lines(charted(*ROUNDS))):
        assert f"{line}." in leg


def test_the_chart_is_drawn_in_the_words_of_the_terms() -> None:
    for terms, ours, theirs in (("US", "centered", "centred"), ("UK", "centred", "centered")):
        files = _made(terms=terms)
        for name in ("lantern-chart-lace.svg", "lantern.md"):
            assert f"{ours} double decrease" in files[name].decode()
            assert theirs not in files[name].decode()


def test_the_same_pattern_gives_the_same_bytes() -> None:
    again = make_document(_checked(), Edition(), "lantern").files
    assert again == _made()


def test_a_plain_sock_has_no_chart() -> None:
    plain = SOCK.replace("rounds: in lace", "rounds: K")
    files = make_document(check(loaded(plain), Wanted((), ("UK",), "both")), Edition(), "plain").files
    assert "Chart" not in files["plain.md"].decode()
    assert [name for name in files if "chart" in name] == []
