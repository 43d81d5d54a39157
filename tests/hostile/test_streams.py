"""Streams that are closed, full, broken off, or lack letters: no command ends in a traceback, and no work is lost."""

from __future__ import annotations

import codecs
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from grader.cli import main, program
from grader.cli.console import Console
from grader.cli.main import carried_out
from grader.cli.streams import plainly
from grader.pipeline import check

from .child import run
from .tiny import TINY, write_tiny

ROOT = Path(__file__).resolve().parents[2]
ONE = ("--foot", "20cm", "--length", "22cm", "--gauge", "28x40", "--needles", "set-of-5", "--leg", "8cm")
WEB = ("--out", "out", "--edition", "web")
COMMANDS = {
    "publish": ("publish", "tiny.yaml", *WEB, "--units", "both"),
    "check": ("check", "tiny.yaml"),
    "check --json": ("check", "tiny.yaml", "--json", "--units", "in"),
    "check --sample": ("check", "tiny.yaml", "--sample"),
    "one-off": ("one-off", "tiny.yaml", *ONE, *WEB, "--name", "Zoë"),
    "class": ("class", "tiny.yaml", "list.csv", "--gauge", "28x40", "--needles", "set-of-5", "--out", "out"),
    "sizes": ("sizes", "tiny.yaml", "--why", "--units", "in"),
    "yarn": ("yarn", "tiny.yaml", "--ball", "50g/200m"),
    "swatch": ("swatch", "--for", "tiny.yaml", "--stitches", "28 over 10cm", "--rounds", "40 over 10cm"),
    "stripes": ("stripes", "tiny.yaml", "--size", "S", "--repeat", "4m red, 2m grün", "--out", "out"),
    "time": ("time", "tiny.yaml"),
    "compare": ("compare", "tiny.yaml", "new.yaml", "--out", "out"),
    "compare --json": ("compare", "tiny.yaml", "new.yaml", "--json"),
    "parts": ("parts",),
    "parts NAME": ("parts", "turn-round"),
    "new": ("new", "Größe"),
    "a mistake": ("check", "broken.yaml"),
    "no such pattern": ("check", "Größe–½☐.yaml"),
    "help": ("--help",),
}
CODES = {"a mistake": 1, "no such pattern": 2}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with everything that the commands name; what all of them load is loaded once, before they are forked."""
    place = tmp_path_factory.mktemp("streams")
    write_tiny(place, 'summary: "Für den Fuß – “fein” ☐ ½ × ж"\n')
    (place / "new.yaml").write_text(TINY.replace('"1"', '"2"').replace("-8 %", "-10 %"), encoding="utf-8")
    (place / "broken.yaml").write_text(TINY.replace("cuff-2x2-rib", "größe"), encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(place)
        assert main([*COMMANDS["publish"][:-3], "all", "--jobs", "1", "--quiet"]) == 0
    (place / "list.csv").write_text(
        "name;foot (cm);length (cm);leg (cm)\nJürgen;20;22;8\nЖаба;ж;22;8\n", encoding="utf-8"
    )
    return place


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_can_be_read_in_ascii(name: str, folder: Path) -> None:
    """Other letters stand for what there is not: nothing is left out, and files are in UTF-8 all the same."""
    (folder / "größe.yaml").unlink(missing_ok=True)
    found = run(folder, *COMMANDS[name], encoding="ascii")
    codes = {"class": 1}  # the second of them has no number for a foot
    assert found.code == CODES.get(name, codes.get(name, 0)), found
    assert found.said.isascii()
    assert not re.search(r"\?(?!\n)", found.said.replace("enough?", ""))
    if "--json" in COMMANDS[name]:
        assert json.loads(found.out), "numbers of letters, not letters that look like them"
    for each in (folder / "out").glob("*.html"):
        if "Zo" not in each.name:  # hers is another pattern
            assert "Fuß – “fein” ☐ ½ × ж" in each.read_text(encoding="utf-8")


@pytest.mark.parametrize("encoding", ["latin-1", "cp850", "cp1252", "koi8-r"])
def test_what_an_encoding_has_is_said_as_it_is(encoding: str, folder: Path) -> None:
    found = run(folder, "check", "Größe–½☐.yaml", encoding=encoding)
    whole = found.err.decode(encoding)
    assert "yaml:1:1: there is no such file" in whole
    for letter in "ö½–":
        there = letter.encode(encoding, "ignore")
        assert (letter in whole) == bool(there), letter
    assert "[ ]" in whole


def test_a_letter_that_is_not_there_is_told_by_another() -> None:
    told = {"é": "e", "–": "-", "½": "1/2", "ß": "ss", "☐": "[ ]", "…": "...", "\udcff": r"\xff", "ж": "<U+0436>"}
    assert {each: plainly(each) for each in told} == told
    for code in range(0x80, 0x2000):
        assert plainly(chr(code)).isascii()
        assert plainly(chr(code))


STREAMS = {
    "closed stdin": {"stdin": "closed"},
    "closed stdout": {"stdout": "closed"},
    "closed stderr": {"stderr": "closed"},
    "all closed": {"stdin": "closed", "stdout": "closed", "stderr": "closed"},
    "nobody reads stdout": {"stdout": "broken"},
    "nobody reads either": {"stdout": "broken", "stderr": "broken"},
    "full stdout": {"stdout": "full"},
    "full stderr": {"stderr": "full"},
    "both full": {"stdout": "full", "stderr": "full"},
}


@pytest.mark.parametrize("name", STREAMS)
def test_the_documents_are_made_whatever_becomes_of_the_words(name: str, folder: Path) -> None:
    """What is said is on standard error, so a full standard output doesn't matter here."""
    (folder / "out" / "tiny-web.html").unlink(missing_ok=True)
    found = run(folder, *COMMANDS["publish"], **STREAMS[name])
    assert found.said is not None
    lost = STREAMS[name].get("stderr") == "full"
    assert found.code == (2 if lost else 0)
    assert (folder / "out" / "tiny-web.html").read_text(encoding="utf-8").endswith("</html>\n")


@pytest.mark.parametrize("name", STREAMS)
def test_results_that_are_lost_are_told(name: str, folder: Path) -> None:
    found = run(folder, "sizes", "tiny.yaml", **STREAMS[name])
    lost = STREAMS[name].get("stdout") == "full"
    assert found.code == (2 if lost else 0), found
    if name == "full stdout":
        assert found.said == "grader: standard output: the disk is full; not all could be said\n"


def test_a_question_with_nobody_to_answer_it(folder: Path) -> None:
    found = run(folder, "one-off", "tiny.yaml", stdin="closed")
    assert found.code == 2
    assert "is missing; give it with --foot" in found.said


SURROUNDINGS: dict[str, dict[str, str | None]] = {
    "no clock": {"SOURCE_DATE_EPOCH": "yesterday"},
    "another clock": {"SOURCE_DATE_EPOCH": "1500000000"},
    "nobody's home": {"HOME": None, "LANG": None, "LC_ALL": None, "USER": None, "TERM": None, "TMPDIR": "/nowhere"},
}


@pytest.mark.parametrize("name", SURROUNDINGS)
def test_the_same_input_gives_the_same_bytes_in_every_surrounding(name: str, folder: Path) -> None:
    made = []
    for environment in ({}, SURROUNDINGS[name]):
        edition = ("publish", "tiny.yaml", "--out", "dated", "--edition", "handout,epub")
        found = run(folder, *edition, environment=environment)
        assert found.code == 0, found.said
        made.append({each.name: each.read_bytes() for each in (folder / "dated").iterdir()})
    assert made[0] == made[1]


def test_names_that_are_no_text(folder: Path) -> None:
    """The system lets bytes be names that no encoding knows; results for other programs stay what they read."""
    odd = os.fsdecode(b"a\xff.yaml")
    write_tiny(folder, name=odd)
    found = run(folder, "check", odd, "--json")
    assert json.loads(found.out)["runs"]
    console = Console(quiet=True)
    console.tell(f"wrote {odd}")
    assert console.said == [r"wrote a\xff.yaml"], "a page can hold it"
    found = run(folder, "publish", odd, "--out", os.fsdecode(b"o\xff"), "--edition", "web")
    assert found.code == 0
    assert r"wrote o\xff/tiny-web.html" in found.said
    for words in (("check", os.fsdecode(b"b\xff")), ("new", os.fsdecode(b"N\xff")), ("parts", os.fsdecode(b"p\xff"))):
        found = run(folder, *words)
        assert found.code == 2
        assert found.said


def test_the_interpreter_may_be_strict(folder: Path) -> None:
    """Started anew: warnings are errors, an encoding that is left to the system is one, and the system knows ASCII."""
    options = ["-W", "error", "-X", "warn_default_encoding", "-X", "utf8=0"]
    environment = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), "LC_ALL": "C", "PYTHONCOERCECLOCALE": "0"}
    words = (*COMMANDS["publish"][:-4], "--out", "strict", "--edition", "handout,web,epub,plain-text")
    command = [sys.executable, *options, "-m", "grader", *words]
    found = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    assert found.returncode == 0, found.stderr
    assert not re.search("warning", found.stderr, re.IGNORECASE), found.stderr
    assert len(list((folder / "strict").glob("tiny-*"))) > 4


def test_a_bug_is_told_as_one_and_its_trace_is_kept(folder: Path, tmp_path: Path) -> None:
    def spoil() -> None:
        check.__globals__["grade_all"] = None  # as good a bug as any

    place = {"TMPDIR": str(tmp_path)}
    found = run(folder, "check", "tiny.yaml", environment=place, before=spoil)
    assert found.code == program.BUG
    said = found.err.decode()
    assert said.startswith("grader: this is a bug in the grader (version ")
    assert "TypeError" in said
    assert "Traceback" not in said
    (kept,) = tmp_path.glob("grader-bug-*.txt")
    assert str(kept) in said
    text = kept.read_text(encoding="utf-8")
    assert "'check' 'tiny.yaml'" in text
    assert text.rstrip().endswith("TypeError: 'NoneType' object is not callable")
    found = run(folder, "check", "tiny.yaml", environment={program.SHOWN: "1"}, before=spoil)
    assert (found.code, b"Traceback" in found.err, b"this is a bug" in found.err) == (program.BUG, True, True)


def test_too_little_memory_is_no_bug(folder: Path) -> None:
    def spoil() -> None:
        def full(*_: object) -> None:
            raise MemoryError

        check.__globals__["grade_all"] = full

    found = run(folder, "check", "tiny.yaml", before=spoil)
    assert found.code == program.BUG
    assert found.said == "grader: there is not enough memory for this; nothing was written\n"


def test_a_bug_is_not_hidden_from_who_calls_the_commands() -> None:
    """Tests work them in their own process, and must see it."""

    def spoilt() -> int:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        carried_out(spoilt, Console())


def test_an_interruption_has_no_trace(folder: Path) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    def spoil() -> None:
        check.__globals__["grade_all"] = stop

    found = run(folder, "check", "tiny.yaml", before=spoil)
    assert found.code == 130
    assert found.said == "\ngrader: stopped; files that stood before are as they were\n"

    def early() -> None:
        sys.modules.pop("grader.cli.program", None)
        codecs.register_error = stop  # type: ignore[assignment]

    assert run(folder, "check", "tiny.yaml", before=early).code == 130


def test_a_catalogue_is_a_file_whatever_the_terminal_speaks(folder: Path) -> None:
    command = [sys.executable, "-m", "grader.cli.blank", "xx", "tiny.yaml"]
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONPATH": str(ROOT)}
    found = subprocess.run(command, cwd=folder, env=environment, capture_output=True, check=False)
    assert found.returncode == 0, found.stderr
    assert "Maß" not in found.stdout.decode("utf-8")
    assert "½" in found.stdout.decode("utf-8") or "–" in found.stdout.decode("utf-8")
