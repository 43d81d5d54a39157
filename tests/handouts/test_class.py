"""`grader class`: who of a list is served, who isn't and why, and what is written."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from parts.combining import pattern_of
from pypdf import PdfReader

from grader.cli import main

SHORT = ("cuff-2x2-rib", "leg-straight", "heel-flap-slipped", "turn-round", "gusset", "foot-plain", "toe-wedge")
KNEE = ("cuff-2x2-rib", "leg-calf", "heel-german-short-row", "foot-plain", "toe-star")
HANDS = ("--gauge", "32x44", "--needles", "set-of-5", "--units", "cm", "--jobs", "1")
HEAD = "name;foot (cm);length (cm);leg;calf;shoe;age;gauge;needles\n"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own with two patterns put together from parts."""
    (tmp_path / "own.yaml").write_text(pattern_of(SHORT), encoding="utf-8")
    (tmp_path / "knee.yaml").write_text(pattern_of(KNEE), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(lines: str, *typed: str, pattern: str = "own.yaml", code: int = 0, head: str = HEAD) -> str:
    """The Markdown of a class; "" where none was written."""
    Path("tuesday.csv").write_text(head + lines, encoding="utf-8")
    assert main(["class", pattern, "tuesday.csv", *typed, *([] if "--gauge" in typed else HANDS)]) == code
    return next((path.read_text(encoding="utf-8") for path in Path("build").glob("*.md")), "")


def titles(text: str) -> list[str]:
    return [each.removeprefix("# Put together ") for each in re.findall(r"(?m)^# .*", text) if "keep" not in each]


def last(text: str) -> str:
    return text.partition("# Class list\n")[2]


def test_everybody_has_a_handout_in_the_order_of_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    text = run("Mabel;21;24\nAda;22,5;25,5;15cm\nBert;24;27;;;;;30x41;magic-loop\n")
    assert titles(text) == ["for Mabel", "for Ada", "for Bert", "# Class list"]
    assert last(text) == "\n3 of 3 people have a document.\n"
    mabel, ada, bert = text.split("# Put together ")[1:]
    assert "32 sts and 44 rounds" in mabel
    assert "| **15** |" in ada
    assert "30 sts and 41 rounds" in bert
    assert "magic loop" in bert
    assert "magic loop" not in mabel
    assert "3 of 3 people" in capsys.readouterr().err


def test_each_persons_sheets_begin_on_a_page_of_their_own() -> None:
    run("Mabel;21;24\nAda;22,5;25,5\n")
    (pdf,) = Path("build").glob("*.pdf")
    pages = [page.extract_text() for page in PdfReader(pdf).pages]
    found = []
    for begins in ("Put together for Mabel", "Put together for Ada", "Class list"):
        (at,) = [number for number, page in enumerate(pages) if re.search(rf"(?m)^{begins}$", page)]
        assert pages[at].count("Put together for") <= 1
        found.append(at)
    assert found == [0, 2, 4], "both sides of one sheet each"


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("Ada;;24", "the foot is missing: round the ball of the foot (such as 22.5cm)"),
        ("Ada;22;", "the length is missing: length of the foot (such as 25cm)"),
        (";22;25", "the name is missing"),
        ("Ada;100;24", "foot: 100 cm can't be; feet have 8 to 40 cm"),
        ("Ada;22;9,5in;2cm", "leg: 2 cm can't be; legs of socks have 3 to 60 cm"),
        ("Ada;22;25;15", "leg: '15' has no unit; write 15cm or 15in"),
        ("Ada;22;25;;;;;31", "gauge: '31' should be stitches x rounds to 10 cm, such as 31x43"),
        ("Ada;22;25;;;;;;crochet hook", "unknown needles 'crochet hook'; there are short-circular"),
        ("Ada;;;;;39", "shoe: '39' is no shoe size; write it like 'EU 39'"),
        ("Ada;;;;;;40", "age: 40 is not 0.5 to 18, the ages that are known; give length"),
        ("Ada;9;9", "foot_circumference comes out -16.7 % beside the foot"),
        ("Ada;10;12;;;;;;short-circular", "short circular; Cuff: 28 sts are too few for a circular needle of 23 cm"),
        ("李;22;25", "the name has '李', which the typeface can't print; write it in other letters"),
        ("Ada;22;25;;;;;;;;x", "this line has 11 cells, but there are 9 columns"),
    ],
)
def test_who_is_not_served_is_told_with_the_reason(line: str, why: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = run(f"Mabel;21;24\n\n{line}\n", "--quiet", code=1)
    assert titles(text)[0] == "for Mabel"
    assert "\n1 of 2 people have a document.\n" in text
    row = next(row for row in last(text).splitlines() if row.startswith("|    4 |"))
    assert why.replace("李", "?") in row.replace("\\*", "*")
    said = capsys.readouterr().err
    assert re.search(r"tuesday\.csv:4(:1)?: ", said)
    assert why in said


def test_nothing_is_written_where_nobody_is_served(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("Ada;;24\nBert;22\n", code=1) == ""
    assert not Path("build").exists()
    assert capsys.readouterr().err.endswith("grader: nobody can be served; nothing was written\n")
    run("\n", code=1)
    said = capsys.readouterr().err
    assert said.startswith("tuesday.csv:1:1: nobody stands in this list\n")
    assert said.endswith("grader: nothing was written\n")


def test_what_was_estimated_altered_or_strange_stands_on_the_last_page() -> None:
    text = run("Ada;21;24\nBert;;;;;EU 42\nKid;;;;;;4\nWide;28;24,5\nCleo;22\n", code=1)
    estimated = last(text).partition("## Estimated and altered")[2].partition("## ")[0]
    assert re.findall(r"\|    (\d) \|", estimated) == ["3", "3", "4", "4", "5"]
    assert "a shoe of EU 42 means" in estimated
    assert "Broad toes" in estimated
    assert "rarer than 1 in" in last(text).partition("## To look at again")[2]
    assert "a shoe of EU 42 means" in text.partition("for Bert")[2].partition("# Put")[0]
    text = run("Ada;21;24\nCleo;;24\n", "--estimate")
    assert "Round the ball of the foot was not measured" in last(text)


def test_a_measure_that_the_pattern_has_no_use_for_is_left_out(capsys: pytest.CaptureFixture[str]) -> None:
    head = "name;foot (cm);length (cm);knee height (cm)\n"
    assert titles(run("Ada;21;24;42\n", head=head)) == ["for Ada", "# Class list"]
    assert "tuesday.csv: nothing in this pattern hangs on the knee height" in capsys.readouterr().err


def test_a_leg_that_hangs_loose_on_an_ankle_is_told_on_the_last_page() -> None:
    text = run("Ada;21;24;17\nBert;21;24;20\n", head="name;foot (cm);length (cm);ankle (cm)\n")
    again = last(text).partition("## To look at again")[2]
    assert "the leg will hang loose" in again
    assert again.count("Ada") == 1
    assert "Bert" not in again


def test_a_calf_is_asked_for_where_the_pattern_needs_it(capsys: pytest.CaptureFixture[str]) -> None:
    head = "name;foot (cm);length (cm);calf (cm);knee height (cm)\n"
    text = run("Ada;21;24;35;43\nBert;21;24;;43\n", pattern="knee.yaml", head=head, code=1)
    assert titles(text) == ["for Ada", "# Class list"]
    assert "tuesday.csv:3: Bert: the calf is missing: round the calf at its widest" in capsys.readouterr().err


def test_any_number_of_jobs_writes_the_same_bytes() -> None:
    lines = "Mabel;21;24\nAda;22;25\nDora;;25\nBert;24;27\nCleo;23;26;;;;;30x41\n"
    made = []
    for jobs in ("1", "2"):
        run(lines, "--gauge", "32x44", "--needles", "set-of-5", "--jobs", jobs, "--out", jobs, "--quiet", code=1)
        made.append({path.name: path.read_bytes() for path in Path(jobs).iterdir()})
    assert made[0] == made[1]
    assert len([name for name in made[0] if name.endswith("window.svg")]) == 2, "one window for each gauge"
    assert len([name for name in made[0] if name.endswith("ruler.svg")]) == 1


def test_each_begins_on_a_right_hand_page_if_asked() -> None:
    options = ("--right-hand", "--paper", "a5", "--edition", "large-18", "--quiet")
    run("Mabel;21;24\nAda;22,5;25,5\nBert;23;26;;;;;30x41;magic-loop\n", *options)
    (pdf,) = Path("build").glob("*.pdf")
    pages = [page.extract_text() for page in PdfReader(pdf).pages]
    begins = [
        number
        for number, page in enumerate(pages, 1)
        for line in page.splitlines()
        if re.fullmatch(r"Put together for (Mabel|Ada|Bert)|Class list", line)
    ]
    assert len(begins) == 4
    assert all(number % 2 for number in begins), begins


@pytest.mark.parametrize("edition", ["one-size", "large-18"])
def test_the_whole_pattern_is_printed_if_asked(edition: str) -> None:
    text = run("Mabel;21;24\n", "--edition", edition)
    assert "## Techniques" in text
    assert [path.name for path in Path("build").glob("*.pdf")] == [f"put-together-class-tuesday-{edition}.pdf"]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("--needles", "set-of-5"), "there is no gauge: give it with --gauge, or in a column of that name"),
        (("--gauge", "31x43"), "there are no needles: name them with --needles, or in a column of that name"),
        (("--gauge", "31", "--needles", "set-of-5"), "gauge: '31' should be stitches x rounds"),
        (("--gauge", "31x43", "--needles", "hook"), "unknown needles 'hook'"),
        (("--gauge", "31x43", "--needles", "set-of-5", "--jobs", "0"), "jobs: '0' should be a number from 1 to 64"),
    ],
)
def test_what_is_asked_wrongly_is_told(typed: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    Path("tuesday.csv").write_text("name;foot (cm);length (cm)\nAda;21;24\n", encoding="utf-8")
    assert main(["class", "own.yaml", "tuesday.csv", *typed]) == 2
    assert said in capsys.readouterr().err


def test_a_list_that_cannot_be_read_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["class", "own.yaml", "none.csv", *HANDS]) == 2
    assert "none.csv:1:1: there is no such list" in capsys.readouterr().err
    Path("list.csv").write_text("Ada;21\n", encoding="utf-8")
    assert main(["class", "own.yaml", "list.csv", *HANDS]) == 1
    assert "list.csv:1:1: no line of this list names its columns" in capsys.readouterr().err
