"""Whole socks in several colours: the changes that are printed, what the hands make of them, and the yarn."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grader.models.pattern import Pattern
from grader.pipeline import Checked, grade_all
from grader.publishing import Edition, make_document, yarn_by_colour, yarn_by_size, yarn_uses
from grader.reporting import print_yarn, record_json
from grader.setups import setup_names, write_out
from grader.testknit import knit
from grader.yarn_use import yarn_for_pair

from .socks import AFTERTHOUGHT, FLAP, SHORT_ROWS, STRANDED, STRIPES, checked, lines_of, loaded, text_of

CONTRAST = {
    FLAP: "colours: {MC: {}, CC: {label: berry, metres: 200, per: 50 g, sections: [Cuff, Heel flap, Heel turn, Toe]}}",
    SHORT_ROWS: "colours: {MC: {}, CC: {label: berry, metres: 200, per: 50 g, sections: [Cuff, Heel, Toe]}}",
}
CONTRAST[AFTERTHOUGHT] = CONTRAST[SHORT_ROWS]
TWO, THREE = "colours: {MC: {}, CC: {}}", "colours: {MC: {}, CC1: {}, CC2: {}}"
TEXTS = {
    "contrast flap": text_of(FLAP, CONTRAST[FLAP]),
    "contrast short rows": text_of(SHORT_ROWS, CONTRAST[SHORT_ROWS]),
    "contrast afterthought": text_of(AFTERTHOUGHT, CONTRAST[AFTERTHOUGHT]),
    "stripes": text_of(FLAP, THREE, STRIPES),
    "stranded": text_of(SHORT_ROWS, TWO, STRANDED),
}


@pytest.fixture(params=TEXTS, scope="module")
def socks(request: pytest.FixtureRequest) -> Checked:
    return checked(TEXTS[request.param])


def test_they_knit_up_in_every_size_and_setup(socks: Checked) -> None:
    assert [finding for finding in socks.findings if finding.is_error] == []
    assert len(socks.socks) == 6 * len(setup_names())


def test_every_colour_is_said_before_it_is_worked_and_none_twice_running(socks: Checked) -> None:
    """Followed by a hand of its own: the first line begins with a colour, and each change is to another."""
    for sock in socks.socks:
        lines = lines_of(sock.instructions)
        assert lines[0].startswith("Begin with ")
        in_hand = lines[0].split()[-1]
        for text in lines[1:]:
            assert text.startswith("Begin with ") is (not in_hand and not text.startswith("Take out the waste yarn"))
            in_hand = "" if text.startswith("Graft") else text.split()[-1] if "Begin with" in text else in_hand
            if text.startswith(("Change to MC", "Change to CC")):
                assert text.split()[-1] != in_hand
            if text.startswith(("Change to MC", "Change to CC", "With ")):
                in_hand = text.split()[-1]


def test_the_loops_by_colour_are_the_loops_of_the_sock(socks: Checked) -> None:
    for sock in socks.socks:
        assert sum(sock.record.loops_by_colour().values()) == sock.record.stitches
        assert set(sock.record.loops_by_colour()) == set(sock.instructions.colours)
        worked = [line for line in sock.record.lines if line.kind != "note"]
        assert [line.text for line in worked if sum(line.loops_by_colour.values()) != line.loops] == []


def test_the_yarn_by_colour_adds_up_to_the_whole(socks: Checked) -> None:
    by_size, by_colour = yarn_by_size(socks.socks, socks), yarn_by_colour(socks.socks, socks)
    assert set(by_colour) == {colour.name for colour in socks.pattern.colours}
    for size, (metres, grams) in by_size.items():
        assert sum(amounts[size][0] for amounts in by_colour.values()) == pytest.approx(metres)
        assert sum(amounts[size][1] for amounts in by_colour.values()) == pytest.approx(grams)


@pytest.mark.parametrize("setup", setup_names())
def test_a_contrast_cuff_heel_and_toe_are_changed_to_and_back(setup: str) -> None:
    """The change stands before the first line of each section that is worked in another yarn."""
    for name, sections in (
        ("contrast flap", ("Cuff", "Leg", "Heel flap", "Gusset", "Toe")),
        ("contrast short rows", ("Cuff", "Leg", "Heel", "Foot", "Toe")),
        ("contrast afterthought", ("Cuff", "Leg", "Toe", "Heel")),
    ):
        sock = next(each for each in checked(TEXTS[name]).socks if each.instructions.setup == setup)
        told = {section: [text for text in lines_of(sock.instructions, section) if "MC" in text or "CC" in text]
                for section in (each.name for each in sock.instructions.sections)}  # fmt: skip
        told = {section: texts for section, texts in told.items() if texts}
        assert tuple(told) == sections
        alternate = ["Begin with CC", "Change to MC", "Change to CC", "Change to MC", "Change to CC"]
        if name == "contrast afterthought":  # after the graft of the toe nothing is in hand
            alternate = ["Begin with CC", "Change to MC", "Change to CC", "Begin with CC"]
        assert list(told.values()) == [[text] for text in alternate]


def test_a_heel_in_contrast_takes_the_loops_of_the_heel() -> None:
    """What is worked in CC is what the lines of those sections made, counted section by section."""
    sock = checked(TEXTS["contrast flap"]).socks[0]
    in_contrast = sum(
        line.loops * line.times * line.block_times
        for line in sock.record.lines
        if line.section in ("Cuff", "Heel flap", "Heel turn", "Toe")
    )
    assert sock.record.loops_by_colour()["CC"] == in_contrast


def test_stripes_say_their_colours_alike_in_every_pass() -> None:
    """One repeat, five rounds and two changes in it, and the rest of the leg in the first colour."""
    for sock in checked(TEXTS["stripes"]).socks:
        leg = next(section for section in sock.instructions.sections if section.name == "Leg")
        striped = leg.blocks[0]
        assert [line.text for line in striped.lines] == ["With CC1", "K", "K", "K", "With CC2", "K", "K"]
        assert striped.times == sock.graded.count("stripes")
        rest = sock.graded.count("stripe_rest")
        assert [line.text for block in leg.blocks[1:] for line in block.lines] == ["Change to MC", "K"] * bool(rest)
        cast_on = sock.graded.count("cast_on")
        loops = sock.record.loops_by_colour()
        assert (loops["CC1"], loops["CC2"]) == (3 * striped.times * cast_on, 2 * striped.times * cast_on)


def test_stranded_rounds_count_each_yarn() -> None:
    """A quarter of the first and the third round is in the contrast, the fourth is whole."""
    for sock in checked(TEXTS["stranded"]).socks:
        cast_on = sock.graded.count("cast_on")
        told = {line.text: line.loops_by_colour for line in sock.record.lines if line.section == "Leg"}
        assert told["*K3 MC, K1 CC; rep from * to end"] == {"MC": cast_on * 3 // 4, "CC": cast_on // 4}
        assert told["K in CC"] == {"CC": cast_on}
        assert told["K"] == {"MC": cast_on}


def test_a_sock_of_one_yarn_is_told_as_before(ninepenny: Pattern) -> None:
    """No line, no count, no field of a pattern without colours speaks of any."""
    (graded, *_), _ = grade_all(ninepenny)
    for setup in setup_names()[1:]:
        instructions, _ = write_out(ninepenny, graded, setup)
        assert instructions is not None
        assert instructions.colours == ()
        assert not any(line.startswith(("Begin with", "With ")) for line in lines_of(instructions))
        record, _ = knit(instructions)
        assert record.loops_by_colour() == {}
        use = yarn_for_pair(ninepenny, record)
        assert use.by_colour == {}
        (run,) = record_json(ninepenny, [(graded, record, use.metres_pair, use.grams_pair)])["runs"]
        assert set(run["yarn"]) == {"metres_pair", "grams_pair"}
        assert not any("loops_by_colour" in step for step in run["steps"])


def test_the_record_tells_the_loops_and_the_yarn_of_each_colour() -> None:
    socks = checked(TEXTS["contrast flap"])
    sock = socks.socks[-1]
    use = yarn_for_pair(socks.pattern, sock.record)
    shares = {name: (each.metres_pair, each.grams_pair) for name, each in use.by_colour.items()}
    told = record_json(socks.pattern, [(sock.graded, sock.record, use.metres_pair, use.grams_pair)], by_colour=[shares])
    (run,) = told["runs"]
    assert set(run["yarn"]["by_colour"]) == {"MC", "CC"}
    assert run["yarn"]["by_colour"]["CC"]["metres_pair"] == round(use.by_colour["CC"].metres_pair, 1)
    change = run["steps"][0]
    assert (change["kind"], change["line"]) == ("note", "Begin with CC")
    assert not {"before", "after"} & set(change)
    assert run["steps"][1]["loops_by_colour"] == {"CC": sock.graded.count("cast_on")}


def test_the_yarn_table_has_a_row_for_each_colour() -> None:
    """The contrast is counted in its own balls of 50 g."""
    socks = checked(TEXTS["contrast flap"])
    by_size, by_colour = yarn_by_size(socks.socks, socks), yarn_by_colour(socks.socks, socks)
    rows, notes = print_yarn(socks.pattern, yarn_uses(socks.socks, socks)).split("\n\n")
    assert len(rows.splitlines()) == 1 + 3 * len(by_size)
    (_, _, metres, _, grams, _, balls, *_) = next(
        row.split() for row in rows.splitlines() if row.split()[:2] == ["M", "CC"]
    )
    assert int(metres) == round(by_colour["CC"]["M"][0])
    assert int(grams) == round(by_colour["CC"]["M"][0] / 4)
    assert int(balls) == 1
    assert "CC 50 g to 200 m" in notes


def test_a_colour_goes_as_far_as_it_says_or_as_the_yarn() -> None:
    pattern, findings = loaded(TEXTS["contrast flap"])
    assert findings == []
    assert pattern is not None
    main, contrast = pattern.colours
    assert (main.metres, main.grams) == (pattern.yarn.metres, pattern.yarn.grams)
    assert (contrast.label, contrast.metres, contrast.grams) == ("berry", Fraction(200), Fraction(50))


@pytest.mark.parametrize("terms", ["UK", "US"])
@pytest.mark.parametrize("name", TEXTS)
def test_the_document_lists_each_colour_and_explains_what_is_used(name: str, terms: str) -> None:
    from grader.pipeline import Wanted, check

    pattern, _ = loaded(TEXTS[name])
    assert pattern is not None
    setup = (setup_names()[2],)
    made = make_document(check(pattern, Wanted(setup, (terms,))), Edition(terms), "x")
    text = made.files["x.md"].decode()
    colour = "colour" if terms == "UK" else "color"
    own = "berry" if name.startswith("contrast") else f"contrast {colour}" + (" 1" if name == "stripes" else "")
    contrast = "CC1" if name == "stripes" else "CC"
    assert f"- {contrast} ({own})" in text
    assert f"- MC (main {colour})" in text
    assert f"| {contrast} m |" in text
    assert f"main {colour}" in text.partition("## Abbreviations")[2].partition("##")[0]
    assert ("CC1, CC2" in text) == (name == "stripes")
    stranded = name == "stranded"
    assert ("Two yarns in one round" in text, "catch toes and nails" in text) == (stranded, stranded)
    assert ("Letters after a stitch" in text) == stranded
    assert ("Change of yarn" in text) == (not stranded)
    assert ("Work these five rounds" in text or "Work these 5 rounds" in text) == (name == "stripes")


def test_a_one_yarn_document_speaks_of_no_colours(ninepenny_document: str) -> None:
    words = ("Begin with MC", "Change to MC", "Change of yarn", "main colour", "catch toes and nails", "Letters after")
    for each in words:
        assert each not in ninepenny_document


@pytest.fixture
def ninepenny_document() -> str:
    socks = checked(text_of(FLAP, "setups: [double-pointed]"), ("M",))
    return make_document(socks, Edition(), "x").files["x.md"].decode()
