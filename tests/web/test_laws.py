"""What holds for every Markdown, however odd: nothing is lost, nothing becomes a tag, every size reads its own."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from grader.pages.blocks import Aside, Block, Grid, Heading, Listing, Paragraph, Picture, Runs
from grader.pages.reading import read_markdown
from grader.web.inks import DAY, ENOUGH, NIGHT, contrast, ink, inks

from .reading_back import FEW, anchors, as_read_in, book, chapters, headings, page, sizes_table, words

_PIECES = st.sampled_from(
    [
        *(
            "# One",
            "## Two",
            "#### Four",
            "- **Round 1:** K2. — **9 sts**",
            "> **Check:** so",
            "---",
            "☐☐☐☐☐ ☐ 6",
            "1. one",
        ),
        *(
            "| a | b |\n| --- | --: |\n| ○ | 2 (3) |",
            "![alt & <i>](x.svg)",
            "<script>alert(1)</script>",
            "&lt;b&gt; &amp; &copy;",
        ),
        *(
            "**A** and *b* `c<d` [l](http://a.b/?x=1&y)",
            "    code <b>",
            "\\*K2; rep from \\*",
            "a ]]> b <!-- c --> <?php",
            "… …",
        ),
        *(
            "   - deeper\n\n     more",
            "> - **a:** b\n> - c",
            "**Size M only:**",
            "#",
            "''' it's \"q\"",
        ),
    ]
)
_WORDS = st.text(st.characters(codec="utf-8", exclude_characters="\r"), max_size=30)
MARKDOWN = st.lists(st.tuples(_PIECES | _WORDS, st.sampled_from(["\n", "\n\n", " "])), max_size=8).map(
    lambda parts: "".join(text + end for text, end in parts)
)


def _runs(block: Block) -> Iterator[Runs]:
    if isinstance(block, Heading | Aside):
        yield block.runs
    elif isinstance(block, Paragraph):
        yield from (block.runs, block.count)
    elif isinstance(block, Listing):
        for item in block.items:
            yield from (item.runs, item.count)
    elif isinstance(block, Grid):
        yield from block.heads
        for row in block.rows:
            yield from row


def _told(markdown: str) -> Iterator[str]:
    """What the paper has in words, stretch by stretch."""
    for block in read_markdown(markdown):
        if isinstance(block, Picture):
            yield re.sub(r"\s", "", block.alt)
        for runs in _runs(block):
            yield from (re.sub(r"\s", "", run.text) for run in runs)


@settings(deadline=None, max_examples=60)
@given(MARKDOWN)
def test_every_word_on_paper_is_on_the_page_and_in_the_book(markdown: str) -> None:
    tree = page(markdown)  # well-formed, or it couldn't be read
    on_page = words(tree)
    in_book = "".join(words(each) for each in chapters(book(markdown)).values())
    for told in _told(markdown):
        if "…" not in told and told not in ("○", "☐"):
            assert told in on_page
            assert told in in_book
    ids = anchors(tree)
    assert len(ids) == len(set(ids))
    levels = headings(tree)
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@settings(deadline=None, max_examples=40)
@given(MARKDOWN, st.text(max_size=20))
def test_no_text_becomes_a_script_or_a_tag(markdown: str, title: str) -> None:
    tree = page(markdown, title=title, author=title, version=title, date=title, language=title)
    scripts = list(tree.iter("script"))
    assert len(scripts) == 1
    assert scripts[0] in next(tree.iter("body"))
    known = (
        "a body br button caption code details div em fieldset figure footer form h1 h2 h3 h4 h5 h6 head html input "
    )
    known += "label legend li main meta nav ol p pre script section span strong style summary table tbody td th thead "
    known += "title tr ul"
    assert {str(each.tag) for each in tree.iter()} <= set(known.split())


_NUMBER = st.integers(0, 400).map(lambda n: "–" if n == 0 else str(n)) | st.sampled_from(["½", "2½", "17.5", "9¾"])
_BRACKET = st.tuples(*[_NUMBER] * len(FEW))
_BETWEEN = st.sampled_from(
    ["K", " sts, ", "; rep from * to last ", " cm / ", " (2, 3) ", " and ", ", (k1, p1) 2 times, ", ": "]
)


@settings(deadline=None, max_examples=25)
@given(st.lists(st.tuples(_BETWEEN, _BRACKET), min_size=1, max_size=6))
def test_every_size_reads_its_own_numbers(parts: list[tuple[str, tuple[str, ...]]]) -> None:
    printed = "Work " + "".join(f"{words}{first} ({', '.join(rest)})" for words, (first, *rest) in parts) + " end."
    markdown = f"# T\n\n{sizes_table(FEW)}\n{printed.replace('*', chr(92) + '*')}"
    for place in range(len(FEW)):
        own = "Work " + "".join(f"{words}{numbers[place]}" for words, numbers in parts) + " end."
        assert " ".join(own.split()) in as_read_in(page(markdown), place + 1)


def test_our_inks_can_be_read_by_day_and_by_night() -> None:
    for inks_of in (DAY, NIGHT):
        for text in ("ink", "quiet", "accent"):
            for ground in ("paper", "band"):
                assert contrast(ink(inks_of[text]), ink(inks_of[ground])) >= ENOUGH, (text, ground)
        assert contrast(ink(inks_of["mine-ink"]), ink(inks_of["mine"])) >= ENOUGH
    assert round(contrast((0, 0, 0), (1, 1, 1)), 6) == 21


@given(st.tuples(*[st.floats(0, 1)] * 3))
def test_any_accent_can_be_read(accent: tuple[float, float, float]) -> None:
    for each in inks(accent):
        for ground in ("paper", "band"):
            assert contrast(ink(each["accent"]), ink(each[ground])) >= ENOUGH
