"""The questions about people that `sizes` answers, as typed and as told."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from grader.cli import main
from grader.vocabulary.population import read_population


def run(capsys: pytest.CaptureFixture[str], *line: str) -> tuple[int, str, str]:
    """The exit code and what was said."""
    code = main(["sizes", *line])
    said = capsys.readouterr()
    return code, said.out, said.err


def test_cover_tells_shares_reasons_a_size_to_add_and_the_source(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "quayside", "--cover", "women")
    assert (code, err) == (0, "")
    assert out.startswith("1986 women were measured; a size fits with an ease round -15 to -5 %, long -10 to 0 %.")
    assert re.search(r"^XS +18\.5 to 20\.5 cm +22 to 24\.5 cm +37 +1\.9 % +20$", out, re.MULTILINE)
    (all_of_them,) = re.findall(r"^all +(\d+) +([\d.]+) %", out, re.MULTILINE)
    (left,) = re.findall(r"^Left out: (\d+) ", out, re.MULTILINE)
    assert int(all_of_them[0]) + int(left) == 1986
    assert "too short for their girth, such as" in out
    assert re.search(r"To add: a size for a foot [\d.]+ cm round and [\d.]+ cm long would fit \d+", out)
    assert "(ANSUR II), public-use data (2014); looked up" in out


def test_cover_in_inches(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "quayside", "--cover", "women", "--units", "in")
    assert " in " in out
    assert " cm" not in out


def test_cover_of_a_childs_pattern_speaks_of_children(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "first_steps", "--cover")
    assert code == 0
    assert out.startswith("3836 children were measured; a size fits with an ease long -10 to 0 %.")
    assert "fits round" not in out
    assert "Only lengths of feet were measured" in out


@pytest.mark.parametrize(("name", "count"), [("high_moor", 4)])
def test_the_chosen_block_is_a_pattern_of_its_own(
    name: str, count: int, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    code, block, err = run(capsys, name, "--choose", str(count), "--cover", "women")
    assert (code, err) == (0, f"{4 * count} socks in these sizes knitted through: no findings\n")
    (told,) = re.findall(r"^# Fitted: (\d+) \(([\d.]+) %\); by \d sizes evenly spaced (\d+)", block, re.MULTILINE)
    assert int(told[0]) > int(told[2])
    text = Path("patterns", f"{name}.yaml").read_text(encoding="utf-8")
    changed = tmp_path / "chosen.yaml"
    changed.write_text(text.replace("sizes: {chart: adult-feet}\n", block, 1).split("\nsample:")[0], encoding="utf-8")
    assert main(["check", str(changed)]) == 0
    capsys.readouterr()
    _, out, _ = run(capsys, str(changed), "--cover", "women")
    assert re.findall(r"^all +(\d+) ", out, re.MULTILINE) == [told[0]]


def test_the_chosen_block_goes_to_a_file_without_its_remark(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "first_steps", "--choose", "2", "--quiet")
    assert (code, err) == (0, "")
    assert out.startswith('sizes:\n  own:\n    - {name: "1", foot_circumference: ')
    assert all(line.startswith("#") for line in out.splitlines()[4:])
    assert "Girths of children's feet are estimates" in out


def test_one_size_is_told_as_one(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "hearthside", "--choose", "1", "--cover", "women", "--quiet")
    assert re.search(r"^# 1 size of the \d+ that were tried, and no other fits more", out, re.MULTILINE)


def test_an_even_size_that_cannot_be_graded_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    """At 12 stitches to 10 cm the multiples of 4 lie too far apart for one of eight even girths."""
    _, out, _ = run(capsys, "hearthside", "--choose", "8", "--gauge", "12x16", "--quiet")
    assert re.search(r"by 7 sizes evenly spaced \d+ \([\d.]+ %\), as no more of them can be graded\.", out)


def test_shoes_of_every_size(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "ninepenny_bridge", "--shoes")
    assert code == 0
    rows = {line.split()[0]: line.split()[1:] for line in out.splitlines()[1:15]}
    assert rows["9"] == ["25", "cm", "40", "-", "6½", "-", "9", "7½", "250"]
    assert rows["3"] == ["15", "cm", "25", "7½", "-", "8", "-", "-", "150"]
    assert "Estimates: tables of shoe sizes differ by up to two sizes." in out


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (["--choose", "0"], "--choose: '0' should be how many sizes, 1 to 30"),
        (["--choose", "31"], "--choose: '31' should be how many sizes, 1 to 30"),
        (["--choose", "six"], "--choose: 'six' should be how many sizes, 1 to 30"),
        (["--choose", "-2"], "--choose: '-2' should be how many sizes, 1 to 30"),
        (["--choose", "٣"], "--choose: '٣' should be how many sizes, 1 to 30"),
        (["--cover", "cats"], "nobody was measured as 'cats'; there are women, men, adults, children, girls, boys"),
        (["--shoes", "--cover"], "--shoes goes alone, not with --cover"),
        (["--shoes", "--choose", "3"], "--shoes goes alone, not with --choose"),
        (["--why", "--cover"], "--why goes with the size table, not with --cover"),
    ],
)
def test_what_cannot_be_asked(line: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "quayside", *line)
    assert (code, out) == (2, "")
    assert said in err


def test_a_pattern_that_fits_nobody_says_so(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    text = Path("patterns/hearthside.yaml").read_text(encoding="utf-8")
    narrow = text.replace("allowed: [-13 %, 0 %]", "allowed: [-6 %, -6 %]")
    assert narrow != text
    path = tmp_path / "narrow.yaml"
    path.write_text(narrow, encoding="utf-8")
    code, out, err = run(capsys, str(path), "--cover", "women")
    assert code == 1
    assert "foot_circumference comes out" in err
    assert re.search(r"^all +0 +0\.0 %", out, re.MULTILINE)


def test_one_size_alone_reads_no_population(tmp_path: Path) -> None:
    """Between several sizes feet may be left out, which the size table remarks on; for one, start-up is kept short."""
    text = Path("patterns/ninepenny_bridge.yaml").read_text(encoding="utf-8").split("\nsample:")[0]
    for sizes, reads in (('["4"]', False), ('["4", "5"]', True)):
        path = tmp_path / "some.yaml"
        path.write_text(text.replace("{chart: all-feet}", f"{{chart: all-feet, choose: {sizes}}}"), encoding="utf-8")
        before = read_population.cache_info()
        assert main(["sizes", str(path)]) == 0
        after = read_population.cache_info()
        assert (after.hits + after.misses > before.hits + before.misses) is reads
