"""A line that is printed reads back to what was meant, and nothing that is typed breaks the reader."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shipped import NAMES, knitted_whole, pattern_named
from strategies import QUICK, mistake_of, statements

from grader.loading import load_text
from grader.loading.starter import starter_text
from grader.models.instructions import Instructions
from grader.notation import NotationError, print_statement, read_line
from grader.notation.tree import Arrange, BindOff, Open, Statement, TakeOff, WasteYarn
from grader.pipeline import check, grade_all
from grader.setups import setup_names, write_out


@settings(QUICK, max_examples=120)
@given(statements, st.sampled_from(("UK", "US")))
def test_what_is_printed_reads_back_to_the_same_tree(tree: Statement, terms: str) -> None:
    """Every statement, printed in UK or US terms, reads back to itself."""
    assert read_line(print_statement(tree, terms)) == tree


@settings(QUICK, max_examples=80)
@given(statements)
def test_reading_does_not_mind_capitals_full_stops_or_spaces(tree: Statement) -> None:
    """A line in small letters, with a full stop and a space around it, says the same.

    A count in brackets ends a line for good: no full stop goes behind it.
    """
    text = print_statement(tree)
    if isinstance(tree, Arrange):
        return  # what stands before its colon is free, and kept as it is written
    if "{" in text or not text.lower().startswith(("k", "p", "sl", "*", "needle", "each")):
        return
    stop = "" if text.endswith(")") else "."
    assert print_statement(read_line(f" {text.lower()}{stop} ")) == text


_PIECES = st.sampled_from(
    (
        *("K", "P", "k2", "ssk", "Sl1", "*", "(", ")", "[", "]", ",", ".", ";", ":", "to end", "to last", "sts", "st"),
        *("rep from *", "times", "twice", "Needle", "Needles", "1", "2 and 3", "to", "{heel}", "{", "}", "turn", "w&t"),
        *("pick up and knit", "along the", "edge", "pm", "sm", "marker", "Cast on", "Graft", "Slip the", "on needles"),
        *("Leave the last", "on hold for the", "2/2 LC", "m1L", "into one", "²", "٣", "½", "\u00a0", "×", "**", "-5"),
        *("Take the", "Draw the yarn through the", "on each of", "needles", "99999999999", "0", "before", "gap"),
    )
)


@settings(QUICK, max_examples=200)
@given(st.one_of(st.lists(_PIECES, max_size=14).map(" ".join), st.text(max_size=60)))
def test_any_text_either_reads_or_is_a_notation_error(text: str) -> None:
    """The reader gives a tree or says what it can't read, at a place of the text; nothing else."""
    mistake = mistake_of(NotationError, lambda: read_line(text))
    if mistake is None:
        assert print_statement(read_line(text))
    else:
        assert str(mistake)
        assert 0 <= mistake.offset <= len(text) + 8  # bold marks are read as spaces


@pytest.mark.parametrize(
    "text",
    [
        "Needles 1 to 99999999: K",
        "Needles 1 and 10: K",
        "Needle 0: K",
        "(" * 500 + "K1" + ") twice" * 500,
        "[" * 13 + "K1" + "] twice" * 13,
        "*" * 1000,
        "K1, " * 700 + "K1",
        "K99999999999999999999",
        "(K1, P1) 100000 times",
        "*K1; rep from * 99999 more times",
        "Cast on 99999999999 sts",
        "Change to double-pointed needles: 4 sts on each of 77777777 needles",
    ],
)
def test_what_no_page_could_mean_is_refused(text: str) -> None:
    """Needles beyond 9, brackets 13 deep, huge numbers and endless lines: read, any of them would take forever."""
    with pytest.raises(NotationError):
        read_line(text)


def test_brackets_may_lie_twelve_deep() -> None:
    """Twelve groups within one another are read."""
    text = "(" * 12 + "K1" + ") twice" * 12
    assert print_statement(read_line(text)) == text


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("*k2, p2* to end", "*K2, P2; rep from * to end"),
        ("(K2, P2) to end", "*K2, P2; rep from * to end"),
        ("*k2, p2; repeat from * around", "*K2, P2; rep from * to end"),
        ("**Knit** to end", "K"),
        ("Knit.", "K"),
        ("Purl to last st", "P to last st"),
        ("Sl 1, purl to last 2 sts, p2tog, turn. (18 sts)", "Sl1, P to last 2 sts, p2tog, turn (18 sts)"),
        ("K2TOG, SSK, S2KP", "k2tog, ssk, cdd"),
        ("K to m, sm", "K to marker, sm"),
        ("[K1, P1] twice", "(K1, P1) twice"),
        ("*K1, P1* 3 times", "*K1, P1; rep from * twice more"),
        ("*K1; rep from * once more", "*K1; rep from * once more"),
        ("C4F, C6B, RT", "2/2 LC, 3/3 RC, 1/1 RC"),
        ("Needles 1 to 3: K. Needle 4: P", "Needles 1 to 3: K. Needle 4: P"),
        ("K9. Needle 2: P", "Needle 1: K9. Needle 2: P"),
        ("Needle 1: ssk, K to end. Needle 2: as needle 1", "Needle 1: ssk, K to end. Needle 2: ssk, K to end"),
        ("Graft the remaining 16 sts (8 and 8).", "Graft 8 sts to 8 sts"),
        ("Cut the yarn. Draw it through the 8 sts", "Draw the yarn through the remaining 8 sts and fasten it"),
        ("(k1, p1, k1) into one st", "(k1, p1, k1) into one"),
        ("Work in pattern to last 2 sts, DS, K1", "in pattern to last 2 sts, DS, K1"),
        ("K to end of round", "K"),
        ("k32 across instep", "K32 across instep"),
    ],
)
def test_other_wordings_come_out_in_the_house_style(written: str, printed: str) -> None:
    """What the trade also writes means the same, and prints as the house does."""
    assert print_statement(read_line(written)) == printed
    assert read_line(printed) == read_line(written)


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("Take off the markers within the round", TakeOff()),
        ("take off the marker within the round.", TakeOff()),
        (
            "Knit the first 32 sts of the round, those of the heel, with waste yarn"
            " and slip them back onto the left needle",
            WasteYarn(32, "heel"),
        ),
        (
            "Knit the first {heel} sts of the round, those of the right back, with waste yarn"
            " and slip them back onto the left needle.",
            None,
        ),
        (
            "Take out the waste yarn and take up 32 back sts and 31 sole sts: 32 and 31 sts on needles 1 and 2",
            Open(32, "back", 31, "sole", (32, 31)),
        ),
        (
            "Take out the waste yarn and take up 32 back sts and 31 sole sts, pm for start of round",
            Open(32, "back", 31, "sole", (), True),
        ),
        (
            "Change to the short circular needle: 44 sts on one needle, pm for start of round",
            Arrange((44,), "Change to the short circular needle", True),
        ),
        ("K to 1 st before marker, m1L, K1, sm, K1, m1R, K to end", None),
    ],
)
def test_the_sentences_of_the_constructions_say_what_they_say(text: str, tree: Statement | None) -> None:
    """Waste yarn, its opening, markers taken off and the change onto the circular needle are read word for word."""
    found = read_line(text)
    assert tree is None or found == tree
    assert print_statement(found).lower() == text.rstrip(".").replace("the marker w", "the markers w").lower()


@pytest.mark.parametrize(
    "text",
    [
        "Take off the markers",
        "Take off all markers within the round",
        "Take out the waste yarn",
        "Take out the waste yarn and take up 32 back sts",
        "Take out the waste yarn and take up 32 back sts and 31 sole sts and knit",
        "Knit the first 32 sts of the round, those of the heel, with waste yarn",
        "Knit the first sts of the round, those of the heel, with waste yarn and slip them back onto the left needle",
        "Knit the last 32 sts of the round, those of the heel, with waste yarn and slip them back onto the left needle",
    ],
)
def test_half_a_sentence_is_not_read(text: str) -> None:
    """What a knitter could not follow is refused, not taken for the nearest thing."""
    with pytest.raises(NotationError):
        read_line(text)


def test_casting_off_is_said_in_the_terms_asked_for() -> None:
    """UK pages cast off, US pages bind off; both are read."""
    assert print_statement(BindOff(), "UK") == "Cast off all sts"
    assert print_statement(BindOff(), "US") == "Bind off all sts"
    assert read_line("Cast off all sts") == read_line("bind off all sts") == BindOff()


@pytest.mark.parametrize(
    ("text", "offset"),
    [("K5, foo", 4), ("K to", 4), ("K5 P2", 3), ("", 0), ("sl", 2), ("K5, (P1", 7), ("Needle 1: K. P", 0)],
)
def test_a_notation_error_names_the_place(text: str, offset: int) -> None:
    """The first character that can't be read is told."""
    with pytest.raises(NotationError) as caught:
        read_line(text)
    assert caught.value.offset == offset


def _written(terms: str) -> Iterator[Instructions]:
    """All sizes of all patterns in all setups as they are knitted, in UK terms; in US terms every third size."""
    starter, findings = load_text(starter_text("Starter"), "starter.yaml")
    assert starter is not None, findings
    if terms == "UK":
        yield from (sock.instructions for name in NAMES for sock in knitted_whole(name).socks)
        yield from (sock.instructions for sock in check(starter).socks)
        return
    for place, pattern in enumerate((*map(pattern_named, NAMES), starter)):
        for graded in grade_all(pattern)[0][place % 3 :: 3]:
            written = (write_out(pattern, graded, setup, terms)[0] for setup in pattern.setups or setup_names())
            yield from (each for each in written if each)


@pytest.mark.parametrize("terms", ["UK", "US"])
def test_every_line_of_every_shipped_sock_reads_back_and_prints_the_same(terms: str) -> None:
    """The text read and printed again is the text, so what is worked is what is read."""
    seen = {
        line.text
        for instructions in _written(terms)
        for section in instructions.sections
        for block in section.blocks
        for line in block.lines
    }
    assert len(seen) > 150
    assert [text for text in sorted(seen) if print_statement(read_line(text), terms) != text] == []
