"""From a checked pattern to documents: merged, written up, drawn and set; the only place that knows that order."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from grader.merging import Choice, Knitted, merge
from grader.merging.documents import sketch_measures
from grader.merging.passages import fabrics
from grader.models.document import ChartText, DiagramText, Document
from grader.models.drawing import Drawing
from grader.models.edition import Edition
from grader.models.pattern import Pattern
from grader.models.stripes import StripedPair
from grader.models.yarn import YarnUse
from grader.pipeline import Checked, Sock
from grader.yarn_use import yarn_for_pair

__all__ = [
    "CHART_ROOM_MM",
    "Draft",
    "Edition",
    "Made",
    "charts_of",
    "draft",
    "edition_stem",
    "file_stem",
    "make_document",
    "make_stripes",
    "yarn_by_colour",
    "yarn_by_size",
    "yarn_uses",
]

CHART_ROOM_MM = {"a4": (165.0, 212.0), "letter": (165.0, 198.0), "a5": (110.0, 130.0)}  # text less what stands above
_PICTURES = (".png", ".jpg", ".jpeg")
_SHOWN = re.compile(r"!\[[^\]]*\]\(([^)\s]+)\)")


@dataclass(frozen=True, slots=True)
class Made:
    """The files of one document, by name."""

    files: dict[str, bytes]


def file_stem(title: str) -> str:
    """A file name from a title: small letters of any script without accents, digits and hyphens, at most 100."""
    plain = "".join(each for each in unicodedata.normalize("NFKD", title.lower()) if not unicodedata.combining(each))
    return re.sub(r"[\W_]+", "-", plain).strip("-")[:100].rstrip("-") or "pattern"


def edition_stem(stem: str, edition: Edition) -> str:
    """The file name of an edition: its kind, US terms, another language than English and another paper than A4."""
    us = "-us" if edition.terms == "US" else ""
    language = f"-{edition.language}" if edition.language != "en" else ""
    paper = f"-{edition.paper}" if edition.paper != "a4" and edition.of.form == "pdf" else ""
    return f"{stem}{us}{language}{edition.of.suffix}{paper}"


def make_document(checked: Checked, edition: Edition, stem: str, shared: str = "") -> Made:
    """The files of one edition of a sound pattern; nothing is written to disk here.

    Args:
        stem: how the names of its files begin.
        shared: how those of charts and tools begin, which several documents of one pattern may show (as `stem`).

    Raises:
        TemplateMistake: a designer's template can't be filled in.
        ValueError: a character, typeface or picture that can't be printed, or a language that there is not.
    """
    from grader.write_up import write_up

    kind = edition.of
    drafted = draft(checked, edition, stem, shared or stem)
    template = kind.one_size if edition.one_size else kind.template
    markdown = write_up(drafted.document, template, edition.templates, told=drafted.told)
    if edition.looks.logo is not None and kind.form != "text":
        markdown = f"![{pattern_by(checked.pattern)}]({edition.looks.logo.name})\n\n{markdown}"
    if kind.form == "text":
        return Made({f"{stem}.txt": markdown.encode()})
    if kind.form in ("web", "epub"):
        return _screened(checked.pattern, edition, stem, drafted, markdown)
    return _printed(checked.pattern, edition, stem, drafted, markdown)


def pattern_by(pattern: Pattern) -> str:
    """What a logo says to those who can't see it."""
    return (pattern.author or pattern.title).replace("[", "(").replace("]", ")")


@dataclass(frozen=True, slots=True)
class Draft:
    """A document before it is written up: its text, its drawings by file name, and how a template's words are told."""

    document: Document
    main: Drawing | None
    drawings: dict[str, Drawing]
    told: Callable[[str], str]


def draft(checked: Checked, edition: Edition, stem: str, shared: str) -> Draft:
    """Merge the socks into the document of an edition, draw what it shows, and put it into its language."""
    from grader.handouts import for_handout
    from grader.schematic import sock_schematic

    pattern = checked.pattern
    knitted = [
        Knitted(sock.graded, sock.instructions, sock.record, sock.right)
        for sock in checked.socks
        if sock.record.terms == edition.terms
    ]
    sizes = [graded for graded in checked.sizes if any(sock.graded is graded for sock in knitted)]
    measures = sketch_measures(pattern, sizes, knitted, edition.units)
    main = sock_schematic(measures) if len(measures) == 6 else None
    picture = f"{stem}.svg" if main else ""
    charts, drawings = charts_of(pattern, knitted, edition, shared)
    choice = Choice(
        edition.terms,
        edition.units,
        edition.arrangement,
        edition.one_size,
        picture,
        main.alt if main else "",
        charts,
        edition.of.words,
    )
    yarn, by_colour = yarn_by_size(checked.socks, checked), yarn_by_colour(checked.socks, checked)
    document = merge(pattern, sizes, knitted, yarn, choice, by_colour, yarn_uses(checked.socks, checked))
    if edition.of.diagrams:
        document, diagrams = with_diagrams(document, pattern, knitted, edition, stem)
        drawings |= diagrams
    if edition.of.name == "handout":
        document, tools = for_handout(document, pattern, edition.units, edition.paper, shared)
        drawings |= tools
    if edition.of.taught:
        from grader.teaching import worksheet

        document = replace(document, worksheet=worksheet(pattern, sizes), reasons=reasons_of(pattern))
    words = dict(edition.looks.words)
    return Draft(document, main, drawings, lambda text: words.get(text, text))


def _printed(pattern: Pattern, edition: Edition, stem: str, drafted: Draft, markdown: str) -> Made:
    """Markdown, its pictures and the PDF; for a booklet that is to be imposed, its sheets too."""
    from grader.pages import Press, set_pages, style_named
    from grader.pages import drawing_svg as svg

    kind = edition.of

    def paged(press: Press) -> bytes:
        return set_pages(
            markdown,
            title=drafted.document.title,
            version=pattern.version,
            author=pattern.author,
            date=pattern.date,
            language=edition.tag,
            paper=edition.paper,
            style=style_named(kind.style, edition.one_size and kind.style == "standard").with_looks(edition.looks),
            drawing=drafted.main,
            drawings=drafted.drawings,
            files=pictures_in(markdown, pattern, edition),
            press=press,
        )

    bound = kind.bound or edition.imposed
    files = {
        f"{stem}.md": markdown.encode(),
        f"{stem}.pdf": paged(Press(edition.marks, edition.one_ink, bound=bound)),
    }
    if edition.imposed:
        files[f"{stem}-sheets.pdf"] = paged(Press(edition.marks, edition.one_ink, bound=True, imposed=True))
    if drafted.main:
        files[drafted.document.drawing] = svg(drafted.main).encode()
    files.update((name, svg(each).encode()) for name, each in drafted.drawings.items())
    return Made(files)


def _screened(pattern: Pattern, edition: Edition, stem: str, drafted: Draft, markdown: str) -> Made:
    """The web page, or the book for an e-reader."""
    from grader.web import epub, web_page

    drawings = dict(drafted.drawings)
    if drafted.main:
        drawings[drafted.document.drawing] = drafted.main
    made = partial(
        web_page if edition.of.form == "web" else epub,
        markdown,
        title=drafted.document.title,
        language=edition.tag,
        drawings=drawings,
        version=pattern.version,
        date=pattern.date,
        author=pattern.author,
        style=edition.of.style,
        looks=edition.looks,
        files=pictures_in(markdown, pattern, edition),
    )
    page = made()
    return Made(
        {f"{stem}.{'html' if isinstance(page, str) else 'epub'}": page.encode() if isinstance(page, str) else page}
    )


def pictures_in(markdown: str, pattern: Pattern, edition: Edition) -> dict[str, Path]:
    """The files of the pictures that the Markdown shows and a designer has: beside her templates or her pattern."""
    folders = [folder for folder in (edition.templates, Path(pattern.file).parent) if folder is not None]
    found: dict[str, Path] = {}
    for name in _SHOWN.findall(markdown):
        if Path(name).suffix.lower() in _PICTURES:
            place = next((folder / name for folder in folders if (folder / name).is_file()), None)
            if place is not None:
                found[name] = place
    if edition.looks.logo is not None:
        found[edition.looks.logo.name] = edition.looks.logo
    return found


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
    for sock in (each for each in knitted if each.graded.index == middle):
        setup = sock.instructions.setup
        told = sketch_measures(pattern, [sock.graded], [sock], edition.units)
        lengths = {name: amount for name, (_, amount) in told.items()}
        records = [sock.record, *([sock.right] if sock.right else [])]
        for each in stage_diagrams(pattern, records, lengths):
            of_setup = setup if each.kind == "needles" else ""
            named = file_stem(f"{each.section} {each.title} {of_setup}")
            name = f"{stem}-{named}.svg"
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


def reasons_of(pattern: Pattern) -> tuple[tuple[str, str], ...]:
    """The numbers of a pattern that have a name, and why each is what it is."""
    return tuple((rule.label, rule.why) for rule in pattern.rules if rule.label and rule.why)


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
