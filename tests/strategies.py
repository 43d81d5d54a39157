"""What the tests draw and build: trees of the notation, formulas, small pattern files, socks written by hand."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any, TypeVar

from hypothesis import Phase, settings
from hypothesis import strategies as st

from grader.loading import load_text
from grader.models.instructions import Block, Instructions, PrintedLine, Regions, SectionLines
from grader.models.pattern import Pattern
from grader.models.record import Record
from grader.notation import print_statement
from grader.notation.tree import (
    Arrange,
    BindOff,
    CastOn,
    Gather,
    Graft,
    Group,
    Item,
    Line,
    Mark,
    Op,
    Open,
    Part,
    PickUp,
    Reach,
    Rejoin,
    Repeat,
    Rest,
    Round,
    Run,
    Statement,
    TakeOff,
    Turn,
    WasteYarn,
)
from grader.testknit import knit
from grader.vocabulary.findings import Finding, Span

Mistake = TypeVar("Mistake", bound=Exception)
QUICK = settings(  # the same examples in every run, and no long search for the smallest that fails
    max_examples=80, deadline=None, derandomize=True, database=None, phases=(Phase.explicit, Phase.generate)
)

# -- the notation

_SHAPING = (
    *("k2tog", "ssk", "skp", "p2tog", "ssp", "p2tog tbl", "k3tog", "p3tog", "sssk", "sk2p", "cdd"),
    *("yo", "m1", "m1L", "m1R", "m1p", "kfb", "pfb", "kyok", "(k1, p1, k1) into one", "DS"),
    *("2/2 LC", "2/2 RC", "3/1 LPC", "1/2 RPC", "4/4 LC"),
)
_MANNERS = ("", "", "tbl", "kwise", "pwise", "wyif", "wyib", "pwise wyif")
_FORMULAS = ("heel", "heel / 2", "2 * pick_up - 1", "max(heel, 12)", "cast_on / 4 + 1")

counts = st.one_of(st.integers(0, 400), st.sampled_from(_FORMULAS))
whole_counts = st.integers(1, 400)
reaches = st.builds(Reach, st.sampled_from(("end", "marker", "gap", "wrapped", "DS")), counts)
_singles = st.builds(
    Op,
    st.sampled_from(("k", "p", "sl")),
    counts,
    st.sampled_from(_MANNERS),
    st.sampled_from(("", "", "", "to the centre of the heel", "across instep")),
)
_words = st.sampled_from(("heel flap", "flap", "heel", "instep", "sole", "back of the leg"))
_names = st.sampled_from(("heel", "instep", "sole", "front", "back"))
_simple = st.one_of(
    _singles,
    st.sampled_from(_SHAPING).map(Op),
    st.builds(Run, st.sampled_from(("k", "p", "patt")), reaches),
    st.builds(PickUp, counts, st.sampled_from(("left", "right", "other", "")), _words, st.sampled_from((1, 1, 2))),
    st.builds(Mark, st.sampled_from(("pm", "sm", "rm")), st.booleans()),
    st.builds(Turn, st.booleans()),
)


def _fits(items: tuple[Item, ...]) -> bool:
    """Nothing that takes a stitch comes after every stitch has been worked."""
    return not any(
        isinstance(a, Run) and a.reach == Reach() and isinstance(b, Op | Run | Repeat | Group)
        for a, b in itertools.pairwise(items)
    )


def _items(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[Item, ...]]:
    return st.lists(inner, min_size=1, max_size=3).map(tuple).filter(_fits)


_groups = st.recursive(_simple, lambda inner: st.builds(Group, _items(inner), counts), max_leaves=4)
_repeats = st.one_of(
    st.builds(Repeat, _items(_groups), reaches),
    st.builds(lambda items, times: Repeat(items, times=times), _items(_groups), st.integers(1, 40)),
    st.builds(lambda items, times: Repeat(items, times=times), _items(_groups), st.sampled_from(_FORMULAS)),
)
lines = _items(st.one_of(_groups, _repeats)).map(Line)

_needle_sets = st.sets(st.integers(1, 9), min_size=1, max_size=4).map(lambda found: tuple(sorted(found)))
_named = st.builds(Part, lines, needles=_needle_sets, region=st.one_of(st.just(""), _names))
_labelled = st.one_of(_named, st.builds(Part, lines, region=_names), st.builds(Part, lines, each=st.just(True)))
_stated = st.one_of(st.none(), whole_counts)
_rounds = st.one_of(
    st.builds(lambda line, stated: Round((Part(line),), stated), lines, _stated),
    st.builds(lambda parts, stated: Round(tuple(parts), stated), st.lists(_labelled, min_size=1, max_size=4), _stated),
)
_held = st.lists(whole_counts, min_size=1, max_size=9).map(tuple)
_regions = st.one_of(_names, st.sampled_from(("right back", "left back", "side of the big toe")))
_hows = st.sampled_from(
    ("Rearrange the sts", "Change to double-pointed needles", "Slip the 32 heel sts onto one needle", "Move the sts")
)
_sentences = st.one_of(
    st.builds(
        lambda count, held, joined, marker: CastOn(count, held, joined or marker, marker),
        counts,
        st.one_of(st.just(()), _held),
        st.booleans(),
        st.booleans(),
    ),
    st.builds(BindOff, st.one_of(st.none(), counts)),
    st.builds(Graft, counts, counts),
    st.builds(Gather, counts),
    st.builds(Rest, counts, _regions, counts, _regions, st.sampled_from(("first", "last"))),
    st.builds(Rejoin, counts, _regions),
    st.builds(Arrange, _held, _hows),
    st.builds(lambda count, how: Arrange((count,), how, True), whole_counts, _hows),
    st.just(TakeOff()),
    st.builds(WasteYarn, counts, _regions),
    st.builds(
        lambda first, above, second, below, held, marker: Open(first, above, second, below, held, marker),
        counts,
        _regions,
        counts,
        _regions,
        st.one_of(st.just(()), _held),
        st.booleans(),
    ),
)
statements: st.SearchStrategy[Statement] = st.one_of(_rounds, _sentences).filter(
    lambda tree: len(print_statement(tree)) <= 2000  # no page has longer lines, and none longer is read
)

# -- formulas

formula_values = st.fractions(min_value=-50, max_value=50, max_denominator=8)


def _decimal(amount: int) -> tuple[str, Fraction]:
    return str(amount / 4), Fraction(amount, 4)


def _combined(sign: str, a: tuple[str, Fraction], b: tuple[str, Fraction]) -> tuple[str, Fraction] | None:
    if sign == "/" and not b[1]:
        return None
    value = {"+": a[1] + b[1], "-": a[1] - b[1], "*": a[1] * b[1]}[sign] if sign != "/" else a[1] / b[1]
    return f"({a[0]} {sign} {b[0]})", value


# A formula as text with its value as fractions have it; `x` and `y` stand for 7 and 5/2.
formulas: st.SearchStrategy[tuple[str, Fraction]] = st.recursive(
    st.one_of(
        st.integers(0, 200).map(_decimal),
        st.just(("x", Fraction(7))),
        st.just(("y", Fraction(5, 2))),
    ),
    lambda inner: st.one_of(
        st.builds(_combined, st.sampled_from("+-*/"), inner, inner).filter(bool),
        inner.map(lambda each: (f"-{each[0]}", -each[1])),
        inner.map(lambda each: (f"floor({each[0]})", Fraction(each[1].__floor__()))),
        inner.map(lambda each: (f"ceil({each[0]})", Fraction(each[1].__ceil__()))),
        inner.map(lambda each: (f"abs({each[0]})", abs(each[1]))),
        st.tuples(inner, inner).map(lambda two: (f"min({two[0][0]}, {two[1][0]})", min(two[0][1], two[1][1]))),
        st.tuples(inner, inner).map(lambda two: (f"max({two[0][0]}, {two[1][0]})", max(two[0][1], two[1][1]))),
    ),
    max_leaves=12,
)

# -- small pattern files

NUMBERS = """
  cast_on: {nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches, multiple_of: 4}
  heel: {exactly: cast_on / 2}
  instep: {exactly: cast_on - heel}
"""
START = """
  - name: Leg
    steps:
      - cast_on: "{cast_on}"
        regions: [[heel, "{heel}"], [instep, "{instep}"]]
"""


def pattern_text(
    sections: str,
    *,
    numbers: str = NUMBERS,
    patterns: str = 'cuff: {rounds: ["*K2, P2* to end"]}',
    gauge: str = "{stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}",
    fit: str = "{foot_circumference: -10 %, allowed: [-30 %, 30 %], foot_length: -4 %}",
    feet: str = "[{name: M, foot_circumference: 22.5 cm, foot_length: 25 cm, leg_length: 16 cm}]",
    finished: str = "foot_circumference: {is: cast_on / gauge.stitches, around: Leg}",
    more: str = "",
) -> str:
    """A pattern file of one foot, with these sections."""
    return f"""title: Small
version: "1.0"
gauge: {gauge}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
fit: {fit}
sizes:
  own: {feet}
numbers:
{numbers.strip(chr(10))}
stitch_patterns:
  {patterns.strip()}
finished:
  {finished}
{more}
sections:
{sections.strip(chr(10))}
"""


def feet_of(**rounds: str) -> str:
    """Feet of these names and circumferences, for a pattern file; each a centimetre longer than the one before."""
    told = (
        f"{{name: {name}, foot_circumference: {around}, foot_length: {25 + place} cm, leg_length: 16 cm}}"
        for place, (name, around) in enumerate(rounds.items())
    )
    return f"[{', '.join(told)}]"


def loaded(text: str) -> Pattern:
    """The pattern of a file text that must have no mistake."""
    pattern, findings = load_text(text, "small.yaml")
    assert pattern is not None, findings
    assert not findings, findings
    return pattern


# -- socks written by hand

_SPAN = Span("hand.yaml", 1, 1)


def sock(text: str, setup: str = "double-pointed, set of 5", terms: str = "UK") -> Instructions:
    """Instructions from a compact text.

    A line `= Name` begins a section. Others are `words | printed line | stretches`: the words are the kind, then
    RS or WS, `over:heel`, `x:3` (times), `in:flap` (stitch pattern), `said:64` (stated count), `note:...` as needed;
    the stretches are `heel 4, instep 4`. Lines that begin with `+` belong to the block of the line before.
    """
    sections: list[tuple[str, list[list[str]]]] = []
    for row in (each.strip() for each in text.strip().splitlines()):
        if row.startswith("="):
            sections.append((row[1:].strip(), []))
        elif row.startswith("+"):
            sections[-1][1][-1].append(row[1:])
        elif row:
            sections[-1][1].append([row])
    told = [
        SectionLines(name, "", tuple(_block((place, number), rows) for number, rows in enumerate(blocks)))
        for place, (name, blocks) in enumerate(sections)
    ]
    return Instructions("M", 0, setup, terms, tuple(told))


def _block(key: tuple[int, ...], rows: list[str]) -> Block:
    options = dict(each.split(":", 1) for each in rows[0].split("|")[0].split() if ":" in each)
    lines = tuple(_printed(row) for row in rows)
    said = int(options["said"]) if "said" in options else None
    return Block(key, lines, times=int(options.get("x", 1)), stated=said)


def _printed(row: str) -> PrintedLine:
    words, printed, *rest = (part.strip() for part in row.split("|"))
    options = dict(each.split(":", 1) for each in words.split() if ":" in each)
    sides = [each for each in words.split() if each in ("RS", "WS")]
    told = re.findall(r"([a-z]+) (\d+)", rest[0] if rest else "")
    regions: Regions = tuple((name, int(count)) for name, count in told)
    return PrintedLine(
        printed,
        words.split()[0],
        _SPAN,
        side=sides[0] if sides else "",
        over=options.get("over", ""),
        fabric=options.get("in", ""),
        regions=regions,
    )


def knitted_by_hand(text: str, setup: str = "double-pointed, set of 5") -> tuple[Record, list[Finding]]:
    """A sock written by hand, knitted through."""
    return knit(sock(text, setup))


def mistake_of(kind: type[Mistake], work: Callable[[], object]) -> Mistake | None:
    """The mistake of that kind that the work raises, if it does; any other comes through."""
    try:
        work()
    except kind as mistake:
        return mistake
    return None


def codes(findings: list[Finding]) -> list[str]:
    """The codes of findings, in their order."""
    return [finding.code for finding in findings]
