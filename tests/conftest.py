"""What all tests share: the pattern that ships, knitted once, and golden files with their flag."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import settings

from grader.models.pattern import Pattern
from grader.pipeline import Checked, Wanted, check, open_pattern
from grader.publishing import Edition, make_document

ROOT = Path(__file__).resolve().parent.parent
SHIPPED = ROOT / "patterns" / "ninepenny_bridge.yaml"
GOLDEN = Path(__file__).resolve().parent / "golden"
PLAIN = Edition()
# Trees and records that live long are made by the million; to look for garbage as often as usual takes a third more.
gc.set_threshold(100_000, 50, 50)
# A law that says nothing of its own takes this many examples; `--hypothesis-profile=default` tries a hundred.
settings.register_profile("suite", max_examples=30)
settings.load_profile("suite")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update-goldens", action="store_true", help="write the golden files anew from what is made now")


def pytest_configure(config: pytest.Config) -> None:
    if config.getoption("--update-goldens") and os.environ.get("CI"):
        raise pytest.UsageError("--update-goldens is refused where CI is set: golden files change by hand only")


def pytest_collection_finish() -> None:
    """What is imported lives until the end; nothing of it needs to be looked through for garbage."""
    gc.freeze()


@pytest.fixture(scope="session")
def ninepenny() -> Pattern:
    """The pattern that ships."""
    pattern, findings = open_pattern(str(SHIPPED))
    assert pattern is not None
    assert not findings
    return pattern


@pytest.fixture(scope="session")
def knitted(ninepenny: Pattern) -> Callable[..., Checked]:
    """Some sizes of the pattern that ships, in all its setups, knitted once for all tests that ask alike.

    A sock hangs on no other: those of a few sizes are taken from among all, which must be sound.
    """

    @cache
    def work(count: int = 14, terms: str = "UK", units: str = "both", first: int = 0) -> Checked:
        some = replace(ninepenny, bodies=ninepenny.bodies[first : first + count])
        if count < len(ninepenny.bodies) and (terms, units) == ("UK", "both"):
            whole, names = work(), {body.name for body in some.bodies}
            sizes = tuple(size for size in whole.sizes if size.body.name in names)
            return replace(
                whole, pattern=some, sizes=sizes, socks=tuple(sock for sock in whole.socks if sock.graded in sizes)
            )
        checked = check(some, Wanted((), (terms,), units))
        assert checked.is_sound, checked.findings
        return checked

    return work


@pytest.fixture(scope="session")
def made() -> Callable[..., dict[str, bytes]]:
    """The files of a document, by their kinds "md", "pdf" and "svg", made once for all tests that ask alike."""
    known: dict[tuple[int, Edition], tuple[Checked, dict[str, bytes]]] = {}

    def make(checked: Checked, edition: Edition = PLAIN) -> dict[str, bytes]:
        key = (id(checked), edition)
        if key not in known:
            files = make_document(checked, edition, "sock").files
            by_kind = {name.removeprefix("sock."): content for name, content in files.items()}
            known[key] = checked, by_kind  # the value is kept too, so that its id stays its own
        return known[key][1]

    return make


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """Compare a text with the golden file of its name, or write that file where the flag says so."""
    update = bool(request.config.getoption("--update-goldens"))

    def compare(name: str, text: str) -> None:
        place = GOLDEN / name
        if update:
            place.write_text(text, encoding="utf-8")
            return
        assert place.is_file(), f"there is no golden file {name}: run pytest --update-goldens and read what it writes"
        assert text.splitlines() == place.read_text(encoding="utf-8").splitlines(), (
            f"{name} differs; if that is meant, run pytest --update-goldens and read the difference"
        )
        assert text == place.read_text(encoding="utf-8")

    return compare
