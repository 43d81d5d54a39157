"""`grader stripes`: what it reads, what it tells, and the plan, the drawing and the page that it writes."""

from __future__ import annotations

import io
import re
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from grader.cli import main
from grader.cli.stripes import repeat_of, rounds_of, yarn_length
from grader.models.stripes import Stripe

REPEAT = "4m blue, 2m cream, 4m red, 2m cream"
MANY = "4m blue, 2m cream, 4m red, 1m cream, 2 m orange, 50cm teal, 3yd indigo, 1m pink, 3m grey"


def _told(capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> str:
    assert main(["stripes", *words]) == code
    told = capsys.readouterr()
    return told.out if code == 0 else told.err


@pytest.mark.parametrize(
    ("typed", "metres"),
    [
        ("4m", "4"),
        ("4 1/2 m", "4.5"),
        ("4½ m", "4.5"),
        ("4,5m", "4.5"),
        ("350 cm", "3.5"),
        ("10yd", "9.144"),
        ("1/2 yard", "0.4572"),
        ("100 in", "2.54"),
        ("3 metres", "3"),
        ("0", "0"),
    ],
)
def test_lengths_of_yarn_are_read(typed: str, metres: str) -> None:
    assert yarn_length(typed, "start") == Fraction(metres)


def test_a_repeat_is_read_in_its_order() -> None:
    assert repeat_of(" 4m blue;2 yd of Sea green, 4,5m red,50cm BLUE ") == (
        Stripe("blue", Fraction(4)),
        Stripe("Sea green", Fraction("1.8288")),
        Stripe("red", Fraction("4.5")),
        Stripe("blue", Fraction("0.5")),
    )


def test_rounds_of_a_swatch_are_read() -> None:
    assert rounds_of("6 blue, 3 rounds cream", "64", Fraction(1, 80)) == (
        Stripe("blue", Fraction("4.8")),
        Stripe("cream", Fraction("2.4")),
    )


def test_the_rounds_the_second_sock_and_the_ball_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    told = _told(capsys, "ninepenny_bridge", "--size", "8", "--repeat", REPEAT)
    assert re.search(r"^Leg +60 rounds +64 +0\.85 m +4\.7 +2\.4 +4\.7$", told, re.MULTILINE)
    assert re.search(r"^Heel flap +32 rows +23\.5 +0\.31 m +12\.8 +6\.4 +12\.8$", told, re.MULTILINE)
    assert "the instep goes on 0.4 m further in the repeat than the leg ended" in told
    assert "a tail of 0.80 m for the cast-on" in told
    assert "Wind off 2.3 m; the tail of sock two begins there." in told
    assert "286 m in all, of 420 m." in told
    assert "estimate" in told


def test_a_contrast_heel_lets_the_stripes_run_on(capsys: pytest.CaptureFixture[str]) -> None:
    told = _told(capsys, "ninepenny_bridge", "--size", "8", "--repeat", REPEAT, "--contrast", "heel")
    assert "The heel takes none of the striping yarn: the stripes run on over the instep." in told
    assert "Besides, 24.8 m of other yarn" in told
    assert "Heel flap" not in told


@pytest.mark.parametrize(
    ("ball", "words"),
    [
        ("320m", "That is enough, even if"),
        ("290m", "That is enough if the start lies within the first"),
        ("285m", "That is enough for a pair, but not for matching it"),
        ("2x50g/100m", "That is not enough"),
    ],
)
def test_the_ball_is_weighed_against_the_pair(ball: str, words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert words in _told(capsys, "ninepenny_bridge", "--size", "8", "--repeat", REPEAT, "--ball", ball)


def test_rounds_of_the_swatch_come_out_again_in_a_leg_as_wide(capsys: pytest.CaptureFixture[str]) -> None:
    told = _told(capsys, "ninepenny_bridge", "--size", "8", "--rounds", "6 blue, 3 cream", "--swatch", "64")
    assert re.search(r"^Leg +60 rounds +64 +0\.85 m +6\.0 +3\.0$", told, re.MULTILINE)


def test_many_stripes_have_a_row_each(capsys: pytest.CaptureFixture[str]) -> None:
    told = _told(capsys, "high_moor", "--size", "M", "--repeat", MANY)
    assert re.search(r"^2\.74 m indigo +1\.9 +1\.9–3\.0", told, re.MULTILINE)


@pytest.mark.parametrize("setup", ["short-circular", "magic-loop", "set-of-4"])
def test_a_setup_moves_the_yarn_by_less_than_a_round(setup: str, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("ninepenny_bridge", "--size", "8", "--repeat", REPEAT)
    tables, ends = [], []
    for more in ((), ("--needles", setup)):
        told = _told(capsys, *words, *more)
        tables.append(told.split("\n\n")[0])
        ends.append(float(re.findall(r"leaves the yarn ([\d.]+) m into the (?:blue|cream|red)", told)[0]))
    assert tables[0] == tables[1]
    assert abs(ends[0] - ends[1]) < 0.87  # metres in a round of the leg; setups begin a round at other places


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "one of the two"),
        (("--repeat", REPEAT, "--rounds", "6 a, 3 b"), "one of the two"),
        (("--repeat", "4m blue"), "two colours at least"),
        (("--repeat", "4 blue, 2m cream"), "should be a length and a colour"),
        (("--repeat", "4m, 2m cream"), "should be a length and a colour"),
        (("--repeat", "0m blue, 2m cream"), "can't be; a stripe has 5 cm"),
        (("--repeat", "4 miles blue, 2m cream"), "unknown unit"),
        (("--repeat", " , "), "no stripe is named"),
        (("--repeat", "4m " + "b" * 30 + ", 2m cream"), "too long for a colour"),
        (("--repeat", "1m a," * 130), "too long for a repeat"),
        (("--repeat", ",".join(f"1m c{each}" for each in range(9))), "more than a drawing can tell apart"),
        (("--repeat", ",".join(f"1m {'ab'[each % 2]}" for each in range(42))), "are too many"),
        (("--rounds", "6 blue, 3 cream"), "--swatch 64"),
        (("--rounds", "6 blue, 3 cream", "--swatch", "0"), "should be 1 to 400"),
        (("--rounds", "6 blue, cream", "--swatch", "64"), "should be rounds and a colour"),
        (("--rounds", "0 blue, 3 cream", "--swatch", "64"), "0 rounds can't be"),
        (("--repeat", REPEAT, "--swatch", "64"), "goes with --rounds"),
        (("--repeat", REPEAT, "--start", "12m"), "is past the repeat"),
        (("--repeat", REPEAT, "--start", "3"), "write 3m, 3cm or 3yd"),
        (("--repeat", REPEAT, "--start", "-1m"), "is no length of yarn"),
        (("--repeat", REPEAT, "--tail", "80m"), "a tail has up to 10 m"),
        (("--repeat", REPEAT, "--ball", "much"), "ball"),
        (("--repeat", REPEAT, "--contrast", "thumb"), "there are Cuff, Leg, Heel flap"),
        (("--repeat", REPEAT, "--contrast", "cuff,leg,heel,gusset,foot,toe"), "nothing is left"),
        (("--repeat", REPEAT, "--size", "99"), "no size '99'"),
        (("--repeat", REPEAT, "--size", "7-8"), "one size at a time"),
    ],
)
def test_what_cant_be_used_is_said(words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert said in _told(capsys, "ninepenny_bridge", "--size", "8", *words, code=2)


@pytest.mark.parametrize(
    ("pattern", "size", "repeat", "more"),
    [
        ("ninepenny_bridge", "8", REPEAT, ()),
        (
            "ninepenny_bridge",
            "14",
            "40m blue, 22m very dark ash brown, 4m Red, 90cm cream, 1m moss",
            ("--paper", "letter"),
        ),
        ("weir_walk", "M", "14m blue, 9m cream, 4m red", ("--contrast", "heel")),
        ("high_moor", "M", MANY, ("--paper", "letter")),
        ("first_steps", "4 years", "2m blue, 1m cream", ()),
    ],
)
def test_the_plan_the_drawing_and_one_page_are_written(
    pattern: str, size: str, repeat: str, more: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _told(capsys, pattern, "--size", size, "--repeat", repeat, "--out", str(tmp_path), "--quiet", *more)
    files = {path.suffix: path for path in tmp_path.iterdir()}
    assert set(files) == {".md", ".svg", ".pdf"}
    plan = files[".md"].read_text(encoding="utf-8")
    root = ElementTree.fromstring(files[".svg"].read_text(encoding="utf-8"))
    assert f"![{root.get('aria-label')}]({files['.svg'].name})" in plan
    pages = PdfReader(io.BytesIO(files[".pdf"].read_bytes())).pages
    assert len(pages) == 1
    printed = " ".join(pages[0].extract_text().replace("\xa0", " ").split())
    assert f"Stripes, size {size}" in printed
    for colour in {each.colour for each in repeat_of(repeat)}:
        assert re.search(rf"[A-Z] +{re.escape(colour)}, ", printed)
    assert "Sock one" in printed
    assert "Sock two" in printed
    assert "of yarn, worked out from the gauge" in printed


def test_the_plan_lists_every_stripe_and_its_rounds_add_up(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _told(capsys, "ninepenny_bridge", "--size", "8", "--repeat", REPEAT, "--out", str(tmp_path))
    plan = next(tmp_path.glob("*.md")).read_text(encoding="utf-8").split("## Every stripe")[1]
    rows = [
        [cell.strip() for cell in line.strip("| ").split("|")] for line in plan.splitlines() if re.match(r"\| \d", line)
    ]
    assert [row[1] for row in rows[:5]] == ["blue", "cream", "red", "cream", "blue"]
    leg = [float(found) for row in rows for found in re.findall(r"Leg ([\d.]+)", row[4])]
    assert sum(leg) == pytest.approx(60, abs=1)  # 60 rounds, each number rounded to a tenth
    assert rows[0][3] == "Cuff, cast on"


def test_the_same_words_give_the_same_bytes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = []
    for folder in ("one", "two"):
        _told(capsys, "weir_walk", "--size", "M", "--repeat", REPEAT, "--out", str(tmp_path / folder))
        made.append({path.name: path.read_bytes() for path in (tmp_path / folder).iterdir()})
    assert made[0] == made[1]


def test_words_of_a_colour_are_no_markdown(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _told(capsys, "weir_walk", "--size", "M", "--repeat", "4m *a|b*, 2m <c>", "--out", str(tmp_path))
    plan = next(tmp_path.glob("*.md")).read_text(encoding="utf-8")
    assert r"4 m \*a\|b\*" in plan
    assert r"\<c\>" in plan


def test_a_character_that_cant_be_printed_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told = _told(capsys, "weir_walk", "--size", "M", "--repeat", "4m 蓝, 2m b", "--out", str(tmp_path), code=1)
    assert "grader:" in told
    assert not list(tmp_path.iterdir())


def test_the_finest_stripes_are_drawn_in_time(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _told(capsys, "ninepenny_bridge", "--size", "14", "--repeat", "5cm a, 5cm b", "--out", str(tmp_path))
    assert next(tmp_path.glob("*.svg")).stat().st_size < 12_000_000


def test_a_plan_for_another_yarn_does_not_take_the_place_of_the_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for more in (("4m blue, 2m cream",), ("4m blue, 3m cream",), ("4m blue, 2m cream", "--contrast", "heel")):
        _told(capsys, "ninepenny_bridge", "--size", "8", "--out", str(tmp_path), "--quiet", "--repeat", *more)
    assert len(list(tmp_path.glob("*.md"))) == 3
