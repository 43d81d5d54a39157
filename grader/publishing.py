"""From a checked pattern to documents: merged, written up, drawn and set; the only place that knows that order."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from grader.merging import Choice, Knitted, merge
from grader.merging.documents import sketch_measures
from grader.merging.passages import fabrics
from grader.models.document import ChartText
from grader.models.drawing import Drawing
from grader.models.pattern import Pattern
from grader.models.stripes import StripedPair
from grader.models.yarn import YarnUse
from grader.pipeline import Checked, Sock
from grader.yarn_use import yarn_for_pair

CHART_ROOM_MM = {"a4": (165.0, 212.0), "letter": (165.0, 198.0), "a5": (110.0, 130.0)}  # text less what stands above


@dataclass(frozen=True, slots=True)
class Edition:
    """How a document is to be made: terms, units, arrangement, paper, and whose templates."""

    terms: str = "UK"
    units: str = "both"
    arrangement: str = "by-section"
    paper: str = "a4"
    one_size: bool = False
    templates: Path | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """The files of one document, by name."""

    files: dict[str, bytes]


def file_stem(title: str) -> str:
    """A file name from a title: small letters of any script without accents, digits and hyphens, at most 100."""
    plain = "".join(each for each in unicodedata.normalize("NFKD", title.lower()) if not unicodedata.combining(each))
    return re.sub(r"[\W_]+", "-", plain).strip("-")[:100].rstrip("-") or "pattern"


def edition_stem(stem: str, edition: Edition) -> str:
    """The file name of an edition: US terms and another paper than A4 are told by it."""
    us = "-us" if edition.terms == "US" else ""
    return f"{stem}{us}" + (f"-{edition.paper}" if edition.paper != "a4" else "")


def make_document(checked: Checked, edition: Edition, stem: str) -> Made:
    """Markdown, its picture and the PDF of a sound pattern; nothing is written to disk here."""
    from grader.pages import drawing_svg, set_pages
    from grader.schematic import sock_schematic
    from grader.write_up import write_up

    pattern = checked.pattern
    knitted = [
        Knitted(sock.graded, sock.instructions, sock.record, sock.right)
        for sock in checked.socks
        if sock.record.terms == edition.terms
    ]
    sizes = [graded for graded in checked.sizes if any(sock.graded is graded for sock in knitted)]
    measures = sketch_measures(pattern, sizes, knitted, edition.units)
    drawing = sock_schematic(measures) if len(measures) == 6 else None
    picture = f"{stem}.svg" if drawing else ""
    charts, drawings = charts_of(pattern, knitted, edition, stem)
    told = drawing.alt if drawing else ""
    choice = Choice(edition.terms, edition.units, edition.arrangement, edition.one_size, picture, told, charts)
    yarn, by_colour = yarn_by_size(checked.socks, checked), yarn_by_colour(checked.socks, checked)
    document = merge(pattern, sizes, knitted, yarn, choice, by_colour, yarn_uses(checked.socks, checked))
    template = "one_size.md.j2" if edition.one_size else "pattern.md.j2"
    markdown = write_up(document, template, edition.templates)
    pdf = set_pages(
        markdown,
        title=pattern.title,
        version=pattern.version,
        author=pattern.author,
        language="en-GB" if edition.terms == "UK" else "en-US",
        paper=edition.paper,
        drawing=drawing,
        one_size=edition.one_size,
        drawings=drawings,
    )
    files = {f"{stem}.md": markdown.encode(), f"{stem}.pdf": pdf}
    if drawing:
        files[picture] = drawing_svg(drawing).encode()
    files.update((name, drawing_svg(each).encode()) for name, each in drawings.items())
    return Made(files)


def make_stripes(checked: Checked, pair: StripedPair, paper: str = "a4") -> Made:
    """The plan of a striped pair: Markdown with every stripe, its drawing, and one page to print.

    Raises:
        ValueError: a character that can't be printed.
    """
    from grader.pages import drawing_svg, set_pages
    from grader.reporting import write_stripes
    from grader.stripe_drawing import draw_stripes

    pattern, sock = checked.pattern, checked.socks[0]
    size = sock.graded.body.name
    knitted = Knitted(sock.graded, sock.instructions, sock.record, sock.right)
    measures = sketch_measures(pattern, [sock.graded], [knitted], "cm")
    lengths = {name: amount for name, (_, amount) in measures.items()}
    drawing = draw_stripes(pair, lengths) if len(lengths) == 6 else None
    stem = f"{file_stem(pattern.title)}-{file_stem(size)}-stripes"
    picture = (f"{stem}.svg", drawing.alt) if drawing else ("", "")
    pdf = set_pages(
        write_stripes(pair, pattern.title, size, picture, every=False),
        title=f"Stripes: {pattern.title}, size {size}",
        version=pattern.version,
        author=pattern.author,
        paper=paper,
        drawings={picture[0]: drawing} if drawing else {},
    )
    files = {f"{stem}.md": write_stripes(pair, pattern.title, size, picture).encode(), f"{stem}.pdf": pdf}
    if drawing:
        files[picture[0]] = drawing_svg(drawing).encode()
    return Made(files)


def charts_of(
    pattern: Pattern, knitted: Sequence[Knitted], edition: Edition, stem: str
) -> tuple[tuple[ChartText, ...], dict[str, Drawing]]:
    """The charts of the stitch patterns that are knitted and worth one, and their drawings by file name."""
    from grader.charting import chart, chart_key, chart_size, draw_chart, is_worth_a_chart

    sections = (section for sock in knitted for section in sock.instructions.sections)
    used = {name for section in sections for block in section.blocks for line in block.lines for name in fabrics(line)}
    texts: list[ChartText] = []
    drawings: dict[str, Drawing] = {}
    for each in pattern.stitch_patterns:
        drawn = chart(each) if each.name in used else None
        if drawn is None or not is_worth_a_chart(drawn):
            continue
        key = chart_key(drawn, edition.terms, {colour.name: colour.label for colour in pattern.colours})
        gauge = each.gauge or pattern.gauge
        coloured = any(cell.colour for row in drawn.rows for cell in row.cells)  # squares would distort its picture
        proportion = min(1.0, max(0.7, float(gauge.stitches / gauge.rounds))) if coloured else 1.0
        sheets = draw_chart(drawn, key, room_mm=CHART_ROOM_MM[edition.paper], proportion=proportion)
        begin = f"{stem}-chart-{file_stem(each.name)}"
        names = [f"{begin}{f'-{number + 1}' if number else ''}.svg" for number in range(len(sheets))]
        drawings.update(zip(names, sheets, strict=True))
        pictures = tuple((name, sheet.alt) for name, sheet in zip(names, sheets, strict=True))
        size, reading = chart_size(drawn)
        words = tuple((row.looks, row.worked, row.name) for row in key)
        texts.append(ChartText(each.name, each.label, pictures, size, reading, words, bool(each.sides)))
    return tuple(texts), drawings


def yarn_by_size(socks: Sequence[Sock], checked: Checked) -> dict[str, tuple[float, float]]:
    """Metres and grams for a pair of each size: the most that any setup takes."""
    return {size: (use.metres_pair, use.grams_pair) for size, use in yarn_uses(socks, checked).items()}


def yarn_by_colour(socks: Sequence[Sock], checked: Checked) -> dict[str, dict[str, tuple[float, float]]]:
    """The same for each colour of the pattern, which add up to it; nothing for a pattern of one yarn."""
    found: dict[str, dict[str, tuple[float, float]]] = {each.name: {} for each in checked.pattern.colours}
    for size, use in yarn_uses(socks, checked).items():
        for colour, share in use.by_colour.items():
            found[colour][size] = (share.metres_pair, share.grams_pair)
    return found


def yarn_uses(socks: Sequence[Sock], checked: Checked) -> dict[str, YarnUse]:
    """All that is known of the yarn for a pair of each size, in the setup that takes most."""
    found: dict[str, YarnUse] = {}
    for sock in socks:
        use = yarn_for_pair(checked.pattern, sock.record)
        name = sock.graded.body.name
        if name not in found or use.metres_pair > found[name].metres_pair:
            found[name] = use
    return found
