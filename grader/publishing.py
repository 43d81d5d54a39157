"""From a checked pattern to documents: merged, written up, drawn and set; the only place that knows that order."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from grader.illustrating import (
    CHART_ROOM_MM,
    Shelf,
    beside_markdown,
    charts_of,
    pictures_in,
    reasons_of,
    style_of,
    with_diagrams,
)
from grader.merging import Choice, Knitted, merge
from grader.merging.documents import sketch_measures
from grader.models.document import Document
from grader.models.drawing import Drawing
from grader.models.edition import Edition
from grader.models.language import Language
from grader.models.pattern import Pattern
from grader.models.stripes import StripedPair
from grader.models.yarn import YarnUse
from grader.naming import paper_stem, part_stem, title_stem, tongue_stem
from grader.pipeline import Checked, Sock
from grader.vocabulary.bodies import YOURS
from grader.yarn_use import yarn_for_pair

if TYPE_CHECKING:
    from grader.pages import Words

__all__ = [
    "CHART_ROOM_MM",
    "Draft",
    "Edition",
    "Made",
    "charts_of",
    "draft",
    "make_document",
    "make_stripes",
    "page_words",
    "pictures_in",
    "reasons_of",
    "yarn_by_colour",
    "yarn_by_size",
    "yarn_uses",
]

_PAGE = re.compile(rb"/Type /Page\b")


@dataclass(frozen=True, slots=True)
class Made:
    """The files of one document, by name; `left` is what there are no words for in its language.

    `told` is what else is to be said of it.
    """

    files: dict[str, bytes]
    left: tuple[str, ...] = ()
    told: tuple[str, ...] = ()


def make_document(checked: Checked, edition: Edition, stem: str, shared: str = "") -> Made:
    """The files of one edition of a sound pattern; nothing is written to disk here.

    Args:
        stem: how the names of its files begin.
        shared: how those of charts and tools begin, which several documents of one pattern may show (as `stem`).

    Raises:
        TemplateMistake: a designer's template can't be filled in.
        Unprintable: a character, typeface or picture that can't be printed.
    """
    from grader.translating import spaced
    from grader.write_up import write_up

    kind = edition.of
    drafted = draft(checked, edition, stem, shared or stem)
    template = kind.one_size if edition.one_size else kind.template
    markdown = write_up(
        drafted.document, template, edition.templates, told=drafted.told, pronounced=_pronouncer(edition)
    )
    markdown = spaced(markdown, edition.language)
    if edition.looks.logo is not None and kind.form != "text":
        markdown = f"![{pattern_by(checked.pattern)}]({edition.looks.logo.name})\n\n{markdown}"
    if kind.form == "text":
        return Made({f"{stem}.txt": markdown.encode()}, drafted.left)
    if kind.form in ("web", "epub"):
        return _screened(checked.pattern, edition, stem, drafted, markdown)
    drawn = (drafted.document.drawing, *drafted.drawings)
    markdown, shelf = beside_markdown(markdown, pictures_in(markdown, checked.pattern, edition, drawn), shared or stem)
    return _printed(checked.pattern, edition, stem, drafted, markdown, shelf)


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
    left: tuple[str, ...] = ()


def draft(checked: Checked, edition: Edition, stem: str, shared: str) -> Draft:
    """Merge the socks into the document of an edition, draw what it shows, and put it into its language."""
    from grader.handouts import for_handout, with_great_numbers
    from grader.schematic import sock_schematic

    pattern = checked.pattern
    knitted = [
        Knitted(sock.graded, sock.instructions, sock.record, sock.right)
        for sock in checked.socks
        if sock.record.terms == edition.terms
    ]
    sizes = [graded for graded in checked.sizes if any(sock.graded is graded for sock in knitted)]
    measures = sketch_measures(pattern, sizes, knitted, edition.units)
    flap = any("flap" in section.name.lower() for section in pattern.sections)
    main = sock_schematic(measures, flap) if len(measures) == 6 else None
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
        edition.of.words and edition.language is None,
        _bracket(edition),
    )
    uses = yarn_uses(checked.socks, checked)
    document = merge(pattern, sizes, knitted, _by_size(uses), choice, _by_colour(uses, pattern), uses)
    if edition.of.diagrams:
        document, diagrams = with_diagrams(document, pattern, knitted, edition, stem)
        drawings |= diagrams
    if edition.of.name == "handout":
        document, tools = for_handout(document, pattern, edition.units, edition.paper, shared)
        drawings |= tools
    if edition.of.taught:
        from grader.teaching import worksheet

        taught = worksheet(pattern, sizes, say=_sayer(edition))
        document = replace(document, worksheet=taught, reasons=reasons_of(pattern))
    drafted = _in_language(Draft(document, main, drawings, _sayer(edition)), edition)
    if edition.of.name == "handout":
        drafted = replace(drafted, document=with_great_numbers(drafted.document, document))
    if edition.of.single and not document.whose and sizes[0].body.name != YOURS:
        told = f"{drafted.document.title}, {drafted.told('size')} {sizes[0].body.name}"
        drafted = replace(drafted, document=replace(drafted.document, title=told))
    return drafted


def _bracket(edition: Edition) -> int:
    """How many sizes may stand in brackets: no more than go on a line."""
    from grader.merging import LONGEST_BRACKET
    from grader.pages import sizes_abreast

    return min(LONGEST_BRACKET, sizes_abreast(edition.paper, style_of(edition)))


def _sayer(edition: Edition) -> Callable[[str], str]:
    """How words of ours are said: as the designer wants them, or in the language, or as they are."""
    words = dict(edition.looks.words)
    if edition.language is None:
        return lambda text: words.get(text, text)
    from grader.translating import told

    say = told(edition.language)
    return lambda text: words.get(text) or say(text)


def _pronouncer(edition: Edition) -> Callable[[str], str] | None:
    """How a text is told to those who listen, where not in English."""
    if edition.language is None:
        return None
    from grader.translating import pronounced

    return pronounced(edition.language)


def _in_language(drafted: Draft, edition: Edition) -> Draft:
    """The draft in the language of its edition."""
    if edition.language is None:
        return drafted
    from grader.translating import left_in_english, translate, translate_drawing

    language = edition.language
    shown = tuple(each for each in (drafted.main, *drafted.drawings.values()) if each)
    return Draft(
        translate(drafted.document, language),
        translate_drawing(drafted.main, language) if drafted.main else None,
        {name: translate_drawing(each, language) for name, each in drafted.drawings.items()},
        drafted.told,
        left_in_english(drafted.document, language, shown),
    )


def page_words(say: Callable[[str], str]) -> Words:
    """What pages say of their own, with slots in place of the numbers that it was said with."""
    from grader.pages import Words

    return Words(
        page=say("page 1 of 2").replace("1", "{number}").replace("2", "{count}"),
        version=say("version 1").replace("1", "{version}"),
        boxes=say("Boxes to tick: 1 to 2").replace("1", "{first}").replace("2", "{last}"),
        blank=say("room to write"),
        link=say("Link: 1").replace("1", "{target}"),
    )


def _printed(pattern: Pattern, edition: Edition, stem: str, drafted: Draft, markdown: str, shelf: Shelf) -> Made:
    """Markdown, its pictures and the PDF; for a booklet that is to be imposed, its sheets too."""
    from grader.pages import Press, set_pages, style_named
    from grader.pages import drawing_svg as svg
    from grader.pages.sheets import wanted_pages

    kind = edition.of
    style = style_named(kind.style, edition.one_size and kind.style == "standard").with_looks(edition.looks)

    def paged(press: Press) -> bytes:
        return set_pages(
            markdown,
            title=drafted.document.title,
            version=pattern.version,
            author=pattern.author,
            date=pattern.date,
            language=edition.tag,
            paper=edition.paper,
            style=style,
            drawing=drafted.main,
            drawings=drafted.drawings,
            files=shelf.files,
            words=page_words(drafted.told),
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
    files |= {name: svg(each).encode() for name, each in drafted.drawings.items()} | shelf.copies
    wanted, count = wanted_pages(edition.paper, style), len(_PAGE.findall(files[f"{stem}.pdf"]))
    long = f"{stem}.pdf takes {count} pages: even the smallest type finds no room on {wanted}"
    return Made(files, drafted.left, (long,) if 0 < wanted < count else ())


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
        files=pictures_in(markdown, pattern, edition, drawings),
    )
    page = made()
    if isinstance(page, str):
        return Made({f"{stem}.html": page.encode()}, drafted.left)
    return Made({f"{stem}.epub": page}, drafted.left)


def make_stripes(
    checked: Checked, pair: StripedPair, paper: str = "a4", language: Language | None = None, size_stem: str = ""
) -> Made:
    """The plan of a striped pair: Markdown with every stripe, its drawing, and one page to print.

    `size_stem` is what names of files say of the size, and of the yarn where there may be a plan for others too.

    Raises:
        Unprintable: a character that can't be printed.
    """
    from grader.pages import drawing_svg, set_pages
    from grader.reporting import write_stripes
    from grader.stripe_drawing import draw_stripes
    from grader.translating import spaced, translator

    pattern, sock = checked.pattern, checked.socks[0]
    size = sock.graded.body.name
    edition = Edition(paper=paper, language=language)
    to, say = translator(language) if language else None, _sayer(edition)
    told = to.text if to else say
    knitted = Knitted(sock.graded, sock.instructions, sock.record, sock.right)
    measures = sketch_measures(pattern, [sock.graded], [knitted], "cm")
    lengths = {name: amount for name, (_, amount) in measures.items()}
    drawing = draw_stripes(pair, lengths, told) if len(lengths) == 6 else None
    stem = (
        f"{title_stem(pattern.title)}-stripes-{size_stem or part_stem(size)}{tongue_stem(edition)}{paper_stem(edition)}"
    )
    picture = (f"{stem}.svg", drawing.alt) if drawing else ("", "")
    page, plan = (
        spaced(write_stripes(pair, say(pattern.title), size, picture, every, told), language) for every in (False, True)
    )
    pdf = set_pages(
        page,
        title=spaced(f"{say('Stripes')}: {say(pattern.title)}, {say('size')} {size}", language),
        version=pattern.version,
        author=pattern.author,
        language=edition.tag,
        paper=paper,
        drawings={picture[0]: drawing} if drawing else {},
        words=page_words(say),
    )
    files = {f"{stem}.md": plan.encode(), f"{stem}.pdf": pdf}
    if drawing:
        files[picture[0]] = drawing_svg(drawing).encode()
    return Made(files, tuple(to.left) if to else ())


def yarn_by_size(socks: Sequence[Sock], checked: Checked) -> dict[str, tuple[float, float]]:
    """Metres and grams for a pair of each size: the most that any setup takes."""
    return _by_size(yarn_uses(socks, checked))


def yarn_by_colour(socks: Sequence[Sock], checked: Checked) -> dict[str, dict[str, tuple[float, float]]]:
    """The same for each colour of the pattern, which add up to it; nothing for a pattern of one yarn."""
    return _by_colour(yarn_uses(socks, checked), checked.pattern)


def _by_size(uses: dict[str, YarnUse]) -> dict[str, tuple[float, float]]:
    return {size: (use.metres_pair, use.grams_pair) for size, use in uses.items()}


def _by_colour(uses: dict[str, YarnUse], pattern: Pattern) -> dict[str, dict[str, tuple[float, float]]]:
    found: dict[str, dict[str, tuple[float, float]]] = {each.name: {} for each in pattern.colours}
    for size, use in uses.items():
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
