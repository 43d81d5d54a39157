"""What a document shows beside its words: charts of stitch patterns, drawings of stages, a designer's own pictures."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from grader.markup import markdown_tree
from grader.merging import Knitted
from grader.merging.documents import sketch_measures
from grader.merging.passages import fabrics
from grader.models.document import ChartText, DiagramText, Document
from grader.models.drawing import Drawing
from grader.models.edition import Edition
from grader.models.looks import Looks
from grader.models.pattern import Pattern
from grader.models.shown import Shown
from grader.naming import told_apart, word_stem
from grader.pictures import UnusablePicture, decoded, for_screens, picture_at
from grader.vocabulary.findings import Finding, Severity

if TYPE_CHECKING:
    from grader.pages.styles import Style

CHART_ROOM_MM = {"a4": (165.0, 212.0), "letter": (165.0, 198.0), "a5": (110.0, 130.0)}  # text less what stands above

_SHOWN = re.compile(r"!\[(?:[^\[\]]*\]\(([^()\s]*)\))?")  # without a name where it is written in another way
LEAST_TYPE = 9.0  # points of words in a drawing that become as large as the text in large print (`Style.grown`)


def charts_of(
    pattern: Pattern, knitted: Sequence[Knitted], edition: Edition, stem: str
) -> tuple[tuple[ChartText, ...], dict[str, Drawing]]:
    """The charts of the stitch patterns that are knitted and worth one, and their drawings by file name."""
    from grader.charting import chart, chart_key, chart_size, draw_chart, is_worth_a_chart

    sections = (section for sock in knitted for section in sock.instructions.sections)
    used = {name for section in sections for block in section.blocks for line in block.lines for name in fabrics(line)}
    texts: list[ChartText] = []
    drawings: dict[str, Drawing] = {}
    grown = style_of(edition).grown  # pages will make the drawing larger
    room, least = tuple(each / grown for each in CHART_ROOM_MM[edition.paper]), LEAST_TYPE if grown > 1 else 0.0
    named = told_apart([(each.name.replace("_", " "), each.name) for each in pattern.stitch_patterns])
    for each, name in zip(pattern.stitch_patterns, named, strict=True):
        drawn = chart(each) if each.name in used else None
        if drawn is None or not is_worth_a_chart(drawn):
            continue
        key = chart_key(drawn, edition.terms, {colour.name: colour.label for colour in pattern.colours})
        gauge = each.gauge or pattern.gauge
        coloured = any(cell.colour for row in drawn.rows for cell in row.cells)  # squares would distort its picture
        proportion = min(1.0, max(0.7, float(gauge.stitches / gauge.rounds))) if coloured else 1.0
        sheets = draw_chart(drawn, key, room_mm=(room[0], room[1]), proportion=proportion, least_points=least)
        begin = f"{stem}{edition.of.suffix if grown > 1 else ''}-chart-{name}"
        names = [f"{begin}{f'.{number + 1}' if number else ''}.svg" for number in range(len(sheets))]
        drawings.update(zip(names, sheets, strict=True))
        pictures = tuple((name, sheet.alt) for name, sheet in zip(names, sheets, strict=True))
        size, reading = chart_size(drawn)
        words = tuple((row.looks, row.worked, row.name) for row in key)
        texts.append(ChartText(each.name, each.label, pictures, size, reading, words, bool(each.sides)))
    return tuple(texts), drawings


def style_of(edition: Edition) -> Style:
    """How large the type of an edition is, with what a designer asks for; her typefaces and colours apart."""
    from grader.pages import style_named

    return style_named(edition.of.style).enlarged(edition.looks.larger)


def with_diagrams(
    document: Document, pattern: Pattern, knitted: Sequence[Knitted], edition: Edition, stem: str
) -> tuple[Document, dict[str, Drawing]]:
    """A drawing for each stage of the middle size, under the section it shows; needles for each setup."""
    from grader.diagrams import stage_diagrams

    order = list(dict.fromkeys(sock.graded.index for sock in knitted))
    middle = order[len(order) // 2]
    drawings: dict[str, Drawing] = {}
    shown: dict[str, list[DiagramText]] = {}
    seen: set[str] = set()
    names = [section.name for section in pattern.sections]
    sections = dict(zip(names, told_apart([(name, "") for name in names]), strict=True))
    for sock in (each for each in knitted if each.graded.index == middle):
        setup = sock.instructions.setup
        measures = sketch_measures(pattern, [sock.graded], [sock], edition.units)
        lengths = {name: amount for name, (_, amount) in measures.items()}
        records = [sock.record, *([sock.right] if sock.right else [])]
        for each in stage_diagrams(pattern, records, lengths):
            of_setup = setup if each.kind == "needles" else ""
            told = (sections.get(each.section, ""), word_stem(each.title), word_stem(of_setup))
            name = f"{stem}-diagram-{'-'.join(filter(None, told))}.svg"
            if name not in seen:
                seen.add(name)
                drawings[name] = each.drawing
                shown.setdefault(each.section, []).append(DiagramText(name, each.title, each.drawing.alt, of_setup))
    parts = tuple(
        replace(
            part,
            sections=tuple(
                replace(
                    section,
                    diagrams=tuple(
                        each for each in shown.get(section.name, ()) if part.name in ("", each.setup) or not each.setup
                    ),
                )
                for section in part.sections
            ),
        )
        for part in document.parts
    )
    size = next(sock.graded.body.name for sock in knitted if sock.graded.index == middle)
    whole = tuple(shown.get("", ()))
    drawn = "" if len(order) == 1 else size
    return (
        replace(document, parts=parts, diagrams=whole, drawn_size=drawn, reasons=reasons_of(pattern)),
        drawings,
    )


def folders_of(pattern_file: str, templates: Path | None) -> tuple[Path, ...]:
    """Where a designer's own pictures may lie: beside her templates, and beside her pattern."""
    return (*((templates,) if templates else ()), Path(pattern_file).parent)


def picture_findings(shown: Iterable[Shown], folders: Sequence[Path]) -> list[Finding]:
    """What is wrong with the pictures that a pattern, a catalogue or templates show, each told at its place.

    One that stands where only its words are printed is a remark.
    """
    found: list[Finding] = []
    for each in shown:
        try:
            decoded(picture_at(each.name, folders))
        except UnusablePicture as mistake:
            message = f"the picture {each.name or 'without a name'} {mistake.why}"
            found.append(Finding("picture", message, each.span, mend=mistake.mend))
            continue
        if not each.stands:
            message = f"of the picture {each.name} only the words are printed here"
            mend = "let it be all that a say consists of"
            found.append(Finding("picture-in-text", message, each.span, severity=Severity.REMARK, mend=mend))
    return found


def typeface_findings(looks: Looks) -> list[Finding]:
    """What is wrong with a designer's own typefaces, told where her style names them."""
    from grader.pages import UnusableFont, usable_typeface

    found: list[Finding] = []
    for each in looks.typefaces:
        try:
            usable_typeface(Path(each.name))
        except UnusableFont as mistake:
            message = f"the typeface {Path(each.name).name} can't be embedded: {mistake.why}"
            found.append(Finding("typeface", message, each.span, mend="give a whole TrueType file (.ttf)"))
    return found


def pictures_in(markdown: str, pattern: Pattern, edition: Edition, drawn: Collection[str]) -> dict[str, Path]:
    """The files of a designer's own pictures that the Markdown shows; `drawn` are the names of ours.

    Raises:
        UnusablePicture: one that is not there, or lies elsewhere.
    """
    found: dict[str, Path] = {}
    if edition.looks.logo is not None:
        found[edition.looks.logo.name] = edition.looks.logo
    known = {*drawn, *found}
    if all(each[1] in known for each in _SHOWN.finditer(markdown)):
        return found
    folders = folders_of(pattern.file, edition.templates)
    for image in markdown_tree(markdown).iter("img"):
        name = image.get("src", "")
        if name not in known:
            found[name] = picture_at(name, folders)
    return found


@dataclass(frozen=True, slots=True)
class Shelf:
    """A designer's own pictures by the names that the Markdown gives them: their files, and copies to lie beside it."""

    files: dict[str, Path]
    copies: dict[str, bytes]


def beside_markdown(markdown: str, shown: Mapping[str, Path], stem: str) -> tuple[str, Shelf]:
    """The Markdown with a designer's own pictures under names that begin with `stem`, and the pictures under these.

    So they lie beside it wherever it is written, small enough for a screen. One that the Markdown names in another way
    than right behind its words keeps its name, and lies where it lay.

    Raises:
        UnusablePicture: one that can't be shown.
    """
    named = [name for name in shown if f"]({name})" in markdown]
    stems = told_apart([(str(PurePosixPath(name).with_suffix("")), name) for name in named])
    files, copies = dict(shown), {}
    for name, part in zip(named, stems, strict=True):
        kind, content = for_screens(shown[name])
        new = f"{stem}-picture-{part}.{'jpg' if kind == 'image/jpeg' else 'png'}"
        markdown = markdown.replace(f"]({name})", f"]({new})")
        files[new], copies[new] = files.pop(name), content
    return markdown, Shelf(files, copies)


def reasons_of(pattern: Pattern) -> tuple[tuple[str, str], ...]:
    """The numbers of a pattern that have a name, and why each is what it is."""
    return tuple((rule.label, rule.why) for rule in pattern.rules if rule.label and rule.why)
