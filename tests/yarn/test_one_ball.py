"""Is the yarn at hand enough: the longest leg, to a round, and the contrasts; the command that tells it."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from grader.cli.arguments import UsageError
from grader.cli.main import main
from grader.cli.yarn import ball_of
from grader.models.yarn import Ball, Enough
from grader.one_ball import LONGEST, is_it_enough
from grader.pipeline import Wanted, check, grade_all, work_one
from grader.resources import folder
from grader.yarn_use import yarn_for_pair

from .socks import LOOP, knitted, pattern_named

BALL = Ball(210, 50)
ONE_YARN = ("ninepenny_bridge", "weir_walk", "quayside", "lantern_lane")


def _answers(name: str, ball: Ball, sizes: tuple[str, ...] = ()) -> dict[str, Enough]:
    checked = knitted(name)
    socks = tuple(sock for sock in checked.socks if not sizes or sock.graded.body.name in sizes)
    return {each.size: each for each in is_it_enough(replace(checked, socks=socks), ball)}


def _high(name: str, size: str, leg: Fraction) -> float:
    """What a pair with this leg may take at the most, knitted anew."""
    pattern = pattern_named(name)
    body = next(body for body in pattern.bodies if body.name == size)
    other = replace(body, measures={**body.measures, "leg_length": leg})
    (graded,), findings = grade_all(replace(pattern, bodies=(other,)))
    assert findings == []
    sock, _ = work_one(pattern, graded, LOOP)
    assert sock is not None
    use = yarn_for_pair(pattern, sock.record)
    return (use.by_colour[pattern.colours[0].name] if pattern.colours else use).metres_range[1]


@pytest.mark.parametrize("name", ONE_YARN)
def test_the_longest_leg_does_and_a_round_more_does_not(name: str) -> None:
    have = 260.0
    tried = 0
    sizes = tuple(body.name for body in pattern_named(name).bodies)[1::2]
    for size, answer in _answers(name, Ball(have, 65), sizes).items():
        if answer.leg is None:
            continue
        rounds = answer.leg.length * pattern_named(name).gauge.rounds
        assert rounds.denominator == 1
        assert _high(name, size, answer.leg.length) <= have
        assert answer.leg.use.metres_range[1] == pytest.approx(_high(name, size, answer.leg.length))
        if not answer.leg.more:
            longer = (rounds + 1) / pattern_named(name).gauge.rounds
            assert _high(name, size, longer) > have
            tried += 1
    assert tried


def test_verdicts_follow_the_range() -> None:
    answers = _answers("ninepenny_bridge", BALL, ("4", "5", "6"))
    assert {size: each.verdict for size, each in answers.items()} == {"4": "yes", "5": "perhaps", "6": "no"}
    (middle,) = _answers("ninepenny_bridge", Ball(answers["6"].use.metres_pair + 1, 50), ("6",)).values()
    assert middle.verdict == "perhaps"


def test_a_leg_is_longer_where_there_is_more_yarn() -> None:
    legs = []
    for metres in (280, 300, 320, 340, 360):
        (answer,) = _answers("ninepenny_bridge", Ball(metres, 75), ("8",)).values()
        assert answer.leg is not None
        legs.append(answer.leg.length)
    assert legs == sorted(set(legs))


def test_a_leg_is_tried_up_to_half_as_long_again() -> None:
    (answer,) = _answers("ninepenny_bridge", Ball(2000, 500), ("8",)).values()
    assert answer.leg is not None
    assert answer.leg.more
    assert answer.written is not None
    assert 0 <= answer.written * LONGEST - answer.leg.length < 1 / pattern_named("ninepenny_bridge").gauge.rounds


def test_a_knee_sock_is_as_long_as_its_leg() -> None:
    """Its leg hangs on the height of the knee, so that no other can be chosen; contrasts are told all the same."""
    answers = _answers("high_moor", Ball(390, 93), ("S", "XL"))
    assert all(each.leg is None and each.written is None for each in answers.values())
    assert answers["S"].contrast is not None
    assert answers["XL"].contrast is None


def test_too_little_for_any_leg_says_so() -> None:
    (answer,) = _answers("ninepenny_bridge", Ball(100, 25), ("8",)).values()
    assert answer.leg is None
    assert answer.written == 17
    assert answer.contrast is None


def test_the_contrast_is_the_least_that_does() -> None:
    (answer,) = _answers("ninepenny_bridge", BALL, ("5",)).values()
    assert answer.contrast is not None
    assert answer.contrast.parts == ("heel", "toe")
    assert answer.contrast.main.metres * (1 + answer.use.give) <= 210


def test_of_several_colours_the_first_is_asked_after() -> None:
    (answer,) = _answers("first_steps", Ball(200, 50), ("9-11 years",)).values()
    checked = knitted("first_steps")
    sock = next(each for each in checked.socks if each.graded.body.name == "9-11 years")
    whole = yarn_for_pair(checked.pattern, sock.record)
    assert answer.use == whole.by_colour["MC"]
    assert answer.contrast is None


@pytest.mark.parametrize(
    ("text", "metres", "grams", "count"),
    [("50g/210m", 210, 50, 1), ("210m/50g", 210, 50, 1), ("2x50g/210m", 210, 50, 2), ("3 x 100 g / 400 m", 400, 100, 3),
     ("100g", 420, 100, 1), ("210 m", 210, 50, 1), ("1.75oz/230yd", 210.3, 49.6, 1),
     ("1,75 oz/230 yards", 210.3, 49.6, 1)],
)  # fmt: skip
def test_balls_are_read(text: str, metres: float, grams: float, count: int) -> None:
    ball = ball_of(text, pattern_named("ninepenny_bridge"))
    assert (ball.metres, ball.grams) == pytest.approx((metres, grams), abs=0.1)
    assert ball.count == count
    assert ball.whole == pytest.approx(metres * count, abs=0.5)


@pytest.mark.parametrize(
    "text",
    ["3000m/10g", "100g/10m", "", "50",
     "50g/", "50g/210", "50g/100g", "210m/50cm", "0x50g", "0g/210m", "50g/9999m", "-50g/210m", "x" * 60,
     "50g/210m/3", "2000g/100m", "a ball"],
)  # fmt: skip
def test_what_is_no_ball_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="ball"):
        ball_of(text, pattern_named("ninepenny_bridge"))


def test_the_command_tells_whether_a_ball_is_enough(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["yarn", "ninepenny_bridge", "--ball", "50g/210m", "--sizes", "5-8", "--quiet"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    lines = out.splitlines()
    assert lines[0] == "1 ball of 50 g, 210 m for a pair, ends and swatch included"
    assert [line.split()[0] for line in lines[2:7]] == ["size", "5", "6", "7", "8"]
    assert "heel and toe" in lines[3]
    leg = _answers("ninepenny_bridge", BALL, ("5",))["5"].leg
    assert leg is not None
    told = Fraction(re.findall(r"([\d.]+) cm", lines[3])[0])  # to the half centimetre below
    assert told <= leg.length < told + Fraction(1, 2)
    assert (2 * told).denominator == 1
    assert lines[6].split()[3:6] == ["no,", "133", "m"]
    assert "weigh yours" in out


def test_the_command_tells_legs_in_inches(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["yarn", "ninepenny_bridge", "--ball", "75g/315m", "--sizes", "8", "--quiet", "--units", "in"]) == 0
    row = capsys.readouterr().out.splitlines()[3]
    assert "6¾ in" in row  # as written: 17 cm
    assert "cm" not in row


def test_a_wrong_ball_is_told_and_ends_with_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["yarn", "ninepenny_bridge", "--ball", "fifty"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("grader: ball: 'fifty' should be grams and metres; write it like 50g/210m")


def test_the_table_has_parts_that_add_up(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["yarn", "ninepenny_bridge", "--quiet", "--sizes", "8,14"]) == 0
    table, notes = capsys.readouterr().out.split("\n\n")
    rows = [row.split() for row in table.splitlines()]
    parts = ["cuff", "leg", "heel", "foot", "toe", "ends", "swatch"]
    assert rows[0] == ["size", "metres", "range", "grams", "range", "balls", *parts]
    for row in rows[1:]:
        assert sum(int(cell) for cell in row[6:]) == pytest.approx(int(row[1]), abs=4)
        low, high = map(int, row[2].split("-"))
        assert low < int(row[1]) < high
    assert [row[5] for row in rows[1:]] == ["1", "2"]
    assert "92 to 104 g" in notes


def test_a_pattern_with_findings_ends_with_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (folder("patterns") / "ninepenny_bridge.yaml").read_text(encoding="utf-8")
    place = tmp_path / "wrong.yaml"
    place.write_text(text.replace("heel_rows / 2 + 1", "heel_rows / 2 + 2"), encoding="utf-8")
    assert main(["yarn", str(place), "--sizes", "8", "--quiet"]) == 1
    assert "sts to pick up" in capsys.readouterr().err


def test_no_other_setup_changes_the_answer_much() -> None:
    """The same sock takes the same yarn on any needles, to a round of moves."""
    pattern = pattern_named("ninepenny_bridge")
    one = replace(pattern, bodies=tuple(body for body in pattern.bodies if body.name == "8"))
    taken = [yarn_for_pair(pattern, sock.record).metres_pair for sock in check(one, Wanted()).socks]
    assert len(taken) >= 3
    assert max(taken) - min(taken) < 2
