"""A process that is ended from outside while it works: what it worked on is named, all else is made."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from pathlib import Path

import pytest

from grader.cli import main
from grader.cli.workers import worked

from .child import Outcome, run
from .tiny import write_tiny

PUBLISH = ("publish", "tiny.yaml", "--out", "out", "--edition", "web,plain-text,epub,handout", "--jobs", "2")
CLASS = (
    "class",
    "tiny.yaml",
    "list.csv",
    "--gauge",
    "28x40",
    "--needles",
    "set-of-5",
    "--out",
    "class",
    "--jobs",
    "2",
    "--edition",
    "handout",
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pattern and a list; what the commands load is loaded once, before they are forked."""
    place = tmp_path_factory.mktemp("workers")
    write_tiny(place)
    people = "".join(f"{name};20;22;8\n" for name in ("Ada", "Bert", "Cleo", "Dora"))
    (place / "list.csv").write_text(f"name;foot (cm);length (cm);leg (cm)\n{people}", encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(place)
        assert main([*PUBLISH[:-3], "all", "--jobs", "1", "--quiet", "--out", "warm"]) == 0
    return place


def _made(folder: Path, out: str = "out") -> set[str]:
    return {each.name for each in (folder / out).iterdir()} if (folder / out).exists() else set()


def _deadly(module: str, name: str, when: Callable[..., bool]) -> Callable[[], None]:
    """A function of the package that ends its process where `when` says so."""

    def spoil() -> None:
        import importlib

        place = importlib.import_module(module)
        usual = getattr(place, name)

        def deadly(*given: object, **named: object) -> object:
            if when(*given):
                os.kill(os.getpid(), signal.SIGKILL)
            return usual(*given, **named)

        setattr(place, name, deadly)

    return spoil


def test_the_documents_but_one_are_published(folder: Path) -> None:
    found = run(folder, *PUBLISH, before=_deadly("grader.publishing", "make_document", lambda *a: "epub" in a[2]))
    assert found.code == 1, found
    assert "grader: tiny-epub: the process that worked on it was ended from outside" in found.said
    names = _made(folder)
    assert {"tiny-web.html", "tiny-plain-text.txt"} <= names
    assert any(name.endswith(".pdf") for name in names)
    assert not any(name.endswith(".epub") for name in names)


def test_who_is_lost_stands_on_the_list_and_the_others_are_served(folder: Path) -> None:
    spoil = _deadly("grader.cli.class_work", "serve", lambda _, member: member.name == "Cleo")
    for language, said in (("en", "was ended from outside"), ("de", "von außen beendet"), ("fr", "de l’extérieur")):
        found = run(folder, *CLASS, "--language", language, before=spoil)
        assert found.code == 1, found
        assert "list.csv:4: Cleo: the process that worked on it was ended from outside" in found.said
        assert "3 of 4 people have a document" in found.said
        (sheet,) = (folder / "class").glob("*.md")
        text = sheet.read_text(encoding="utf-8")
        assert "Dora" in text
        assert said in " ".join(text.split())
        sheet.unlink()


def test_a_process_that_is_ended_once_costs_nothing(folder: Path, tmp_path: Path) -> None:
    mark = tmp_path / "mark"

    def once(*_: object) -> bool:
        if mark.exists():
            return False
        mark.touch()
        return True

    found: Outcome = run(folder, *PUBLISH, before=_deadly("grader.publishing", "make_document", once))
    assert found.code == 0, found
    assert "ended from outside" not in found.said
    assert any(name.endswith(".epub") for name in _made(folder))


@pytest.mark.parametrize("bad", [{0}, {2, 3, 9}, set(range(12))])
def test_everything_else_is_worked_in_its_order(bad: set[int]) -> None:
    def work(place: int) -> int:
        if place in bad:
            os.kill(os.getpid(), signal.SIGKILL)
        return place * 10

    assert list(worked(work, 12, 3)) == [None if place in bad else place * 10 for place in range(12)]


def test_a_bug_in_a_process_comes_out() -> None:
    with pytest.raises(ZeroDivisionError):
        list(worked(lambda place: 1 // (place - 3), 6, 2))
