"""Small pattern files that ask for more work than any sock: each is refused at once, with its place and the limit."""

from __future__ import annotations

import pytest

from grader.vocabulary.budget import LIMITS, raised

from .guarded import PATTERN, findings_in

MEND = "correct it; where so much is meant, raise the limit: grader --limit {}=NUMBER ..."
FOOT = PATTERN + "sections:\n  - name: Foot\n    steps:\n"
SPACES = " " * 57


def numbers(count: int) -> str:
    """A chain of numbers, each the one before."""
    return PATTERN + "".join(f"  n{at}: {{exactly: {f'n{at - 1}' if at else 'cast_on'}}}\n" for at in range(count))


def squares(count: int) -> str:
    lengths = (f"  n{at}_length: {{exactly: n{at - 1}_length * n{at - 1}_length / 1 cm}}\n" for at in range(1, count))
    return PATTERN + "  n0_length: {exactly: 1.0001 cm}\n" + "".join(lengths)


@pytest.mark.parametrize(
    ("text", "place", "message", "mend"),
    [
        pytest.param(
            PATTERN + 'stitch_patterns:\n  cuff: {label: 1 x 1000000 rib, rounds: ["*K2, P2* to end"]}\n',
            "11:44",
            "cuff calls itself 1 x 1000000 rib, and this line is none",
            "correct the line, or call it something else",
            id="a rib of a million stitches",
        ),
        pytest.param(
            FOOT + '      - rounds: K\n        for: "{9999999 cm}"\n',
            "13:9",
            "this comes to 43999996 rounds and rows in one sock, and 2000 are the most",
            MEND.format("rounds"),
            id="a hundred kilometres",
        ),
        pytest.param(
            squares(16),
            "17:3",
            "n7_length, target: this comes to 512 digits in a fraction, and 300 are the most",
            MEND.format("digits"),
            id="sixteen squares",
        ),
        pytest.param(
            FOOT + '      - round: "*K1, yo* to end"\n' * 15,
            "16:9",
            "this comes to 1024 stitches on the needles, and 1000 are the most",
            MEND.format("stitches"),
            id="fifteen times twice as many",
        ),
        pytest.param(
            FOOT + '      - round: "*K1, (yo) 9999 times* to end"\n',
            "13:17",
            "this comes to 10000 things to work in one line, and 2000 are the most",
            MEND.format("operations"),
            id="9999 yarn overs",
        ),
        pytest.param(
            FOOT + '      - round: "*K1, (yo) {1999 * 1} times* to end"\n',
            "13:9",
            "this comes to 128000 stitches on the needles, and 1000 are the most",
            MEND.format("stitches"),
            id="yarn overs by a formula",
        ),
        pytest.param(
            FOOT + '      - round: "' + "(" * 10 + "sm" + ") {1999 * 1} times" * 10 + ', K"\n',
            "13:9",
            "this comes to more than 2000 things to work in one line",
            MEND.format("operations"),
            id="markers within brackets within brackets",
        ),
        pytest.param(
            FOOT + "      - repeat:\n          - rounds: K\n            times: 1500\n        times: 1500\n",
            "14:13",
            "this comes to 2001 rounds and rows in one sock, and 2000 are the most",
            MEND.format("rounds"),
            id="rounds without end",
        ),
        pytest.param(
            PATTERN
            + "sections:\n  - name: Heel flap\n    over: heel\n    steps:\n      - rest: instep\n"
            + '      - rows: {RS: "Sl1, K1, kfb, K to end", WS: "Sl1, P to end"}\n        times: 1999\n',
            "15:21",
            "RS row over 1000 heel sts: this comes to 1001 stitches on the needles, and 1000 are the most",
            MEND.format("stitches"),
            id="rows that grow",
        ),
        pytest.param(
            PATTERN + f"sample: {{size: M, counts: {{Leg: [{', '.join(['64 x 9999'] * 5000)}]}}}}\n",
            "10:28",
            "this comes to 49995000 rounds and rows in one sock, and 2000 are the most",
            MEND.format("rounds"),
            id="a log of fifty million rounds",
        ),
        pytest.param(
            PATTERN + f"  n: {{nearest: cast_on, multiple_of: [{', '.join(map(str, range(3, 3000, 2)))}]}}\n",
            "10:3",
            "n, multiple_of: this comes to more than 300 digits in a fraction",
            MEND.format("digits"),
            id="a multiple of everything",
        ),
        pytest.param(
            PATTERN.replace("chart: adult-feet, choose: [M]", f"own: [{{name: a, foot_length: '{SPACES}!'}}]"),
            "6:39",
            f"a length belongs here, such as 4 cm; '{SPACES}!' stands here",
            "write 4 cm",
            id="57 spaces and a sign",
        ),
        pytest.param(
            PATTERN.replace(
                "chart: adult-feet, choose: [M]",
                "own:"
                + "".join(
                    f"\n    - {{name: s{at}, foot_circumference: 22 cm, foot_length: 25 cm, leg_length: 18 cm}}"
                    for at in range(101)
                )
                + "\n ",
            )
            .replace("sizes: {", "sizes:\n  ")
            .replace("\n }", ""),
            "108:7",
            "this comes to 101 sizes in one pattern, and 100 are the most",
            MEND.format("sizes"),
            id="a hundred and one sizes",
        ),
    ],
)
def test_what_is_too_much_is_refused_at_its_place(text: str, place: str, message: str, mend: str) -> None:
    said = [(str(each.span).removeprefix("p.yaml:"), each.message, each.mend) for each in findings_in(text)]
    whole = [(where, what if how else what.removesuffix(f"; {mend}"), how or mend) for where, what, how in said]
    assert (place, message, mend) in whole


def test_many_spaces_in_many_places_are_read_at_once() -> None:
    figures = ", ".join(f"n{at}: '{SPACES}!'" for at in range(300))
    assert len(findings_in(PATTERN + f"sample: {{size: M, numbers: {{{figures}}}}}\n")) > 100


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(PATTERN + "notes:\n" + f'  - "{"{cast_on, sts} " * 250}"\n' * 100, id="places of placeholders"),
        pytest.param(PATTERN + "".join(f"  n{at}: {{exactly: q{at}}}\n" for at in range(1900)), id="likely spellings"),
    ],
)
def test_thousands_of_mistakes_are_found_at_once(text: str) -> None:
    assert len(findings_in(text)) == 101


def test_a_thousand_numbers_are_read_and_graded() -> None:
    assert not [each for each in findings_in(numbers(1000)) if each.is_error]


def test_the_order_of_numbers_takes_no_longer_the_more_wait_for_each_other() -> None:
    """Counted by the names looked at, not by a clock: each number is written before the one it needs."""
    text = PATTERN + "".join(f"  n{at}: {{exactly: n{at + 1}}}\n" for at in range(900)) + "  n900: {exactly: cast_on}\n"
    assert not [each for each in findings_in(text) if each.is_error]


def test_two_thousand_numbers_beside_those_of_the_parts_are_too_many() -> None:
    (found,) = findings_in(numbers(2000))
    assert str(found.span) == "p.yaml:2009:3"
    assert found.message.endswith(" numbers in one pattern, and 2000 are the most")
    assert found.mend == MEND.format("numbers")


def test_a_limit_can_be_raised_for_a_run() -> None:
    text = FOOT + "      - rounds: K\n        times: 2500\n"
    limit = "2500 rounds and rows in one sock"
    assert any(limit in each.message for each in findings_in(text))
    with raised({"rounds": 4000}):
        assert not any("rounds and rows in one sock" in each.message for each in findings_in(text))
    assert any(limit in each.message for each in findings_in(text))


def test_every_limit_is_one_number_with_words() -> None:
    assert all(limit.most > 0 and limit.what and name == limit.name for name, limit in LIMITS.items())
