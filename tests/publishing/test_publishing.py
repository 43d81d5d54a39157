"""`publish`: which files are written, that they are refused while an error stands, and that two runs are alike."""

from __future__ import annotations

import hashlib
import html
import os
import re
import subprocess
import sys
from pathlib import Path

import markdown
import pytest

from grader.cli import main

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = "ninepenny_bridge"
STEM = "ninepenny-bridge-plain-socks"
SETUPS = ("short-circular", "long-circular-magic-loop", "double-pointed-set-of-5", "double-pointed-set-of-4")

ONE_OFF = ("--foot", "22.5cm", "--length", "25cm", "--gauge", "32x44", "--needles", "magic-loop")
WORDS = {
    "short-circular": r"short circular",
    "long-circular-magic-loop": r"magic loop",
    "double-pointed-set-of-5": r"double-pointed, set of 5",
    "double-pointed-set-of-4": r"set of 4",
}


def _publish(folder: Path, *options: str) -> dict[str, bytes]:
    assert main(["publish", SHIPPED, "--quiet", "--out", str(folder), *options]) == 0
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def _three(stem: str) -> set[str]:
    return {f"{stem}.{kind}" for kind in ("md", "pdf", "svg")}


def test_a_document_is_three_files_and_they_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["publish", SHIPPED, "--sizes", "4-8", "--out", str(tmp_path)]) == 0
    assert {path.name for path in tmp_path.iterdir()} == _three(STEM)
    out, err = capsys.readouterr()
    assert out == ""
    told = err.splitlines()
    assert told[:-1] == [f"wrote {tmp_path}/{STEM}.{kind}" for kind in ("md", "pdf", "svg")]
    assert told[-1] == "20 socks graded, written out and knitted through"


def test_every_setup_and_both_arrangements(tmp_path: Path) -> None:
    files = _publish(tmp_path, "--sizes", "3-5", "--each-setup", "--arrange", "both")
    stems = (STEM, f"{STEM}-by-setup", *(f"{STEM}-{setup}" for setup in SETUPS))
    assert set(files) == set().union(*map(_three, stems))
    for setup in SETUPS:
        text = files[f"{STEM}-{setup}.md"].decode()
        assert text.count("| Needle setup ") == 1
        assert f"]({STEM}-{setup}.svg)" in text
        for other, words in WORDS.items():
            assert bool(re.search(words, text)) == (other == setup), (setup, other)
    by_setup = files[f"{STEM}-by-setup.md"].decode()
    assert by_setup.count("\n---\n\n## ") == 4
    assert by_setup.count("\n### Gusset\n") == 4


def test_one_setup_alone(tmp_path: Path) -> None:
    files = _publish(tmp_path, "--sizes", "4", "--needles", "magic-loop")
    assert set(files) == _three(STEM)
    assert b"double-pointed" not in files[f"{STEM}.md"]


def test_paper_and_terms_stand_in_the_file_name(tmp_path: Path) -> None:
    assert set(_publish(tmp_path / "a", "--sizes", "4", "--paper", "letter", "--terms", "us")) == _three(
        f"{STEM}-us-letter"
    )
    assert set(_publish(tmp_path / "b", "--sizes", "4", "--paper", "a5")) == _three(f"{STEM}-a5")


def test_us_terms_in_their_places(tmp_path: Path) -> None:
    files = _publish(tmp_path / "us", "--sizes", "3-5", "--terms", "us", "--units", "in")
    american = files[f"{STEM}-us.md"].decode()
    british = _publish(tmp_path / "uk", "--sizes", "3-5")[f"{STEM}.md"].decode()
    for us, uk in (
        ("## Gauge", "## Tension"),
        ("center of the sole", "centre of the sole"),
        ("stockinette", "stocking stitch"),
    ):
        assert us in american
        assert uk not in american
        assert uk in british
        assert us not in british


@pytest.mark.parametrize(("units", "there", "missing"), [("cm", r"\) cm\.", r" in\b"), ("in", r"\) in\.", " cm")])
def test_units_in_the_instructions(units: str, there: str, missing: str, tmp_path: Path) -> None:
    text = _publish(tmp_path, "--sizes", "4-6", "--units", units)[f"{STEM}.md"].decode()
    lengths = [row for row in text.split("\n## Cuff\n")[1].splitlines() if re.match(r"- Work .* rounds, [\d¼½¾]", row)]
    assert len(lengths) == 3
    for row in lengths:
        assert re.search(there, row)
        assert not re.search(missing, row)


def test_nothing_is_published_while_an_error_stands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "build"
    old = _publish(out, "--sizes", "4")
    text = (ROOT / "patterns" / f"{SHIPPED}.yaml").read_text(encoding="utf-8")
    wrong = tmp_path / "wrong.yaml"
    right = 'row: {RS: "Sl1, K{turn_first}, ssk, K1, turn"}'
    assert text.count(right) == 1
    wrong.write_text(text.replace(right, right.replace("turn_first", "turn_first + 1")), encoding="utf-8")
    capsys.readouterr()
    assert main(["publish", str(wrong), "--out", str(out)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith(f"{wrong}:")
    assert told.err.endswith("grader: nothing was published; the old documents stand\n")
    assert {path.name: path.read_bytes() for path in out.iterdir()} == old


def test_a_mistake_of_a_template_keeps_the_old_documents(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out, own = tmp_path / "build", tmp_path / "own"
    old = _publish(out, "--sizes", "4")
    own.mkdir()
    (own / "pattern.md.j2").write_text("# {{ document.titel }}\n")
    capsys.readouterr()
    assert main(["publish", SHIPPED, "--sizes", "4", "--templates", str(own), "--out", str(out)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert f"grader: {own}/pattern.md.j2:1: " in told.err
    assert "titel" in told.err
    assert {path.name: path.read_bytes() for path in out.iterdir()} == old


def test_own_templates_take_the_place_of_the_shipped(tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    (own / "pattern.md.j2").write_text("# {{ document.title | plain }}\n\nOurs, version {{ document.version }}.\n")
    files = _publish(tmp_path / "out", "--sizes", "4", "--templates", str(own))
    assert files[f"{STEM}.md"].decode() == "# Ninepenny Bridge plain socks\n\nOurs, version 1.0.\n"


@pytest.mark.parametrize("name", ["<b>Bo</b> *y* [z](q) & `c`", "1. Bo_y_", "Zoë ½"])
def test_a_name_is_never_taken_for_markup(name: str, tmp_path: Path) -> None:
    assert main(["one-off", SHIPPED, *ONE_OFF, "--quiet", "--name", name, "--out", str(tmp_path)]) == 0
    (text,) = (path.read_text(encoding="utf-8") for path in tmp_path.glob("*.md"))
    page = markdown.markdown(text, extensions=["tables"])
    headings = re.findall(r"<h1>(.*?)</h1>", page)
    assert [html.unescape(heading) for heading in headings] == [f"Ninepenny Bridge plain socks for {name}"]
    last = page.rsplit("<p>", 1)[1]
    assert html.unescape(last).startswith(f"Ninepenny Bridge plain socks for {name}, version ")
    assert "<b>" not in page


def test_a_character_that_the_typeface_lacks_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["one-off", SHIPPED, *ONE_OFF, "--name", "日本", "--out", str(tmp_path)]) == 1
    assert "U+65E5" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_two_builds_give_the_same_bytes(tmp_path: Path) -> None:
    """Over hash seeds, locales, time zones and folders."""
    made = []
    for number, (seed, locale, zone) in enumerate([("0", "C", "UTC"), ("4711", "C.UTF-8", "Asia/Kathmandu")]):
        folder = tmp_path / f"build{number}"
        folder.mkdir()
        subprocess.run(
            [
                sys.executable,
                "-m",
                "grader",
                "publish",
                SHIPPED,
                "--sizes",
                "1-9",
                "--needles",
                "magic-loop",
                "--arrange",
                "both",
                "--quiet",
                "--out",
                "made",
            ],
            cwd=folder,
            check=True,
            capture_output=True,
            timeout=60,
            env={
                "PATH": os.environ["PATH"],
                "PYTHONPATH": str(ROOT),
                "PYTHONHASHSEED": seed,
                "LC_ALL": locale,
                "TZ": zone,
            },
        )
        made.append({path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in (folder / "made").iterdir()})
    assert made[0] == made[1]
    assert len(made[0]) == 6
