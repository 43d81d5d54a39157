"""Building the document: front matter, the parts of the arrangement, and what closes it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from grader.merging.abbreviating import used_abbreviations, used_techniques
from grader.merging.colours import (
    ByColour,
    colour_cautions,
    colours_in,
    how_to_read_colours,
    with_columns,
    with_facts,
    with_materials,
)
from grader.merging.front import Yarn, facts, gauge_words, how_to_read, materials, setup_notes, size_table, sources
from grader.merging.numbers import LONGEST_BRACKET, Lettering
from grader.merging.sections import Knitted, Layout, build_part
from grader.merging.yarn import yarn_table
from grader.models.document import ChartText, Document, Part
from grader.models.graded import Graded
from grader.models.instructions import PrintedLine
from grader.models.pattern import Pattern
from grader.models.yarn import YarnUse
from grader.vocabulary.cautions import CAUTIONS, FINISHING, PAIR_FINISHING
from grader.vocabulary.lengths import print_length
from grader.vocabulary.wording import joined


@dataclass(frozen=True, slots=True)
class Choice:
    """What the document is to be: terms, units, its arrangement, and whether it is for one knitter."""

    terms: str = "UK"
    units: str = "both"
    arrangement: str = "by-section"
    one_size: bool = False
    drawing: str = ""
    drawing_alt: str = ""
    charts: tuple[ChartText, ...] = ()
    spoken: bool = False  # instructions in whole words
    bracket: int = LONGEST_BRACKET  # more sizes are told by letters


def merge(
    pattern: Pattern,
    sizes: Sequence[Graded],
    socks: Sequence[Knitted],
    yarn: Yarn,
    choice: Choice,
    by_colour: ByColour | None = None,
    uses: Mapping[str, YarnUse] | None = None,
) -> Document:
    """One document from all socks.

    `yarn` gives metres and grams for a pair of each size, `by_colour` of each yarn, `uses` all that is known of it.
    """
    there = {sock.instructions.setup for sock in socks}
    setups = tuple(setup for setup in pattern.setups if setup in there) or tuple(sorted(there))
    names = tuple(graded.body.name for graded in sizes)
    charted = tuple((chart.pattern, chart.name) for chart in choice.charts)
    layout = Layout(names, setups, choice.units, pattern.gauge.rounds, choice.one_size, charted, choice.spoken)
    lines = _lines(socks)
    coloured, shares = colours_in(lines), by_colour or {}
    table = size_table(pattern, sizes, yarn, choice.units, _cast_on(socks), choice.one_size)
    needed = materials(pattern, choice.terms, choice.units, setups, yarn, _markers(socks))
    return Document(
        title=pattern.title,
        whose=next((name for name in names if choice.one_size and pattern.title.endswith(f" for {name}")), ""),
        summary=pattern.summary.text if pattern.summary else "",
        author=pattern.author,
        version=pattern.version,
        date=pattern.date,
        copyright=pattern.copyright,
        terms=choice.terms,
        facts=with_facts(facts(pattern, choice.terms, choice.units, setups, yarn), pattern, choice.terms, shares),
        sizes=with_columns(table, sizes, pattern, shares, choice.one_size),
        materials=with_materials(needed, pattern, choice.terms, shares),
        gauge=gauge_words(pattern, choice.terms, choice.units) + ". Change the needle until yours is the same.",
        setups=setup_notes(pattern, setups, socks, sizes),
        abbreviations=used_abbreviations(lines, choice.terms, choice.spoken),
        how_to_read=(
            *how_to_read(len(sizes), choice.terms, choice.one_size, choice.spoken, len(sizes) > choice.bracket),
            *_of_a_pair(pattern),
            *how_to_read_colours(coloured),
        ),
        parts=_parts(socks, layout, choice),
        finishing=(PAIR_FINISHING, *FINISHING[1:]) if pattern.is_pair else FINISHING,
        notes=(*(note.text for note in pattern.notes), *sources(sizes)),
        cautions=(*CAUTIONS, *colour_cautions(coloured)),
        one_size=choice.one_size,
        drawing=choice.drawing,
        drawing_alt=choice.drawing_alt,
        charts=choice.charts,
        person=_of_the_person(sizes) if choice.one_size else (),
        yarn=yarn_table(pattern, sizes, uses or {}, choice.terms, choice.one_size),
        techniques=used_techniques(lines, _ways(pattern), choice.terms),
        changes=tuple((each.version, each.date, each.changes) for each in pattern.changelog),
    )


def _lines(socks: Sequence[Knitted]) -> list[PrintedLine]:
    sections = (section for sock in socks for section in sock.instructions.sections)
    return [line for section in sections for block in section.blocks for line in block.lines]


def _parts(socks: Sequence[Knitted], layout: Layout, choice: Choice) -> tuple[Part, ...]:
    lettering = Lettering(layout.sizes, choice.bracket)
    if choice.arrangement == "by-setup" and len(layout.setups) > 1:
        alone = (replace(layout, setups=(setup,)) for setup in layout.setups)
        return tuple(build_part(socks, each, lettering, each.setups[0]) for each in alone)
    return (build_part(socks, layout, lettering),)


def _of_the_person(sizes: Sequence[Graded]) -> tuple[str, ...]:
    """What was estimated, and what was altered for the one that the sock is for."""
    return tuple(sentence for graded in sizes for sentence in (*graded.body.told, *graded.altered))


def _of_a_pair(pattern: Pattern) -> tuple[str, ...]:
    """How to read a pattern whose two socks differ."""
    if not pattern.is_pair:
        return ()
    own = joined([f"“{section.name}”" for section in pattern.sections if section.sock])
    return (f"The left and the right sock differ: {own} are each for one of them. Skip what is for the other.",)


def _markers(socks: Sequence[Knitted]) -> dict[str, int]:
    """How many markers each setup takes at once, that of the start among them."""
    found: dict[str, int] = {}
    for sock in socks:
        lines = [
            line.text for section in sock.instructions.sections for block in section.blocks for line in block.lines
        ]
        start = any("pm for start of round" in text for text in lines)
        within = max((len(re.findall(r"\bpm\b(?! for start)", text)) for text in lines), default=0)
        setup = sock.instructions.setup
        found[setup] = max(found.get(setup, 0), start + within)
    return found


def _ways(pattern: Pattern) -> set[str]:
    """The ways to cast on and off that the pattern names."""
    return {step.by for section in pattern.sections for step in section.steps if step.by}


def _cast_on(socks: Sequence[Knitted]) -> dict[str, int]:
    """The stitches that each size casts on, as they were knitted."""
    lines = ((sock.record.size, line) for sock in socks for line in sock.record.lines if line.kind == "cast_on")
    return {size: line.after for size, line in lines if line.after is not None}


def _named(pattern: Pattern, word: str) -> list[str]:
    """The names of the sections that have this word in them."""
    return [section.name for section in pattern.sections if word in section.name.lower()]


def sketch_measures(
    pattern: Pattern, sizes: Sequence[Graded], socks: Sequence[Knitted], units: str
) -> dict[str, tuple[str, Fraction]]:
    """The measures of the drawing on the first page: to scale for the middle size, with no words where sizes differ."""
    graded = sizes[len(sizes) // 2]
    sock = next((each for each in socks if each.graded is graded), socks[0])
    per_cm = pattern.gauge.rounds

    def along(section: str, kind: str = "round") -> Fraction:
        lines = [line for line in sock.record.lines if line.section == section and line.kind == kind]
        return Fraction(sum(line.times * line.block_times for line in lines)) / per_cm

    def height(section: str) -> Fraction:
        return along(section) + along(section, "row") / 2  # half of short rows lies on the other side

    finished = graded.finished
    toe, cuff = (max(map(height, _named(pattern, word)), default=Fraction(0)) for word in ("toe", "cuff"))
    flaps = _named(pattern, "flap")
    flap = along(flaps[0], "row") if flaps else max(map(height, _named(pattern, "heel")), default=Fraction(0))
    measures = {
        "leg_length": finished.get("leg_length"),
        "cuff_length": cuff,
        "circumference": finished.get("foot_circumference"),
        "flap_height": flap,
        "foot_length": finished.get("foot_length"),
        "toe_length": toe,
    }
    told = {name: (print_length(amount, units), amount) for name, amount in measures.items() if amount}
    if "circumference" in told:  # it is drawn flat, half as wide; and of many sizes one is drawn
        words, amount = told["circumference"]
        of_size = f"size {graded.body.name}: " if len(sizes) > 1 else ""
        told["circumference"] = (f"{of_size}{words} round", amount)
    return told
