"""Names of files: another thing has another name on every disk, the same thing always the same."""

from __future__ import annotations

import itertools
import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grader.cli import main
from grader.models.edition import EDITIONS, Edition
from grader.naming import edition_stem, part_stem, put_together, title_stem, told_apart, word_stem
from grader.setups import setup_names

# Names that Windows keeps for devices, with any ending (Microsoft, "Naming Files, Paths, and Namespaces").
RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{digit}" for port in ("com", "lpt") for digit in range(10))}
FORBIDDEN = set('<>:"/\\|?*') | {chr(code) for code in range(32)}
LIKE_NAMES = st.text(
    st.sampled_from("aAbzßẞſıİςσéÉ e\u0301\u030aå-_.~,+'’1¹½/\\:\u200d\ufe0fﬁКй日が한\u1112\u1161"), max_size=8
)


def _on_disk(name: str) -> str:
    """The name as a disk takes it that tells neither capitals nor ways to write an accent apart."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFKC", name).casefold().upper()).casefold()


def _same(text: str) -> str:
    """The text but for capitals, width of spaces, the way to write an accent, and the shape of an apostrophe."""
    return " ".join(unicodedata.normalize("NFC", text.replace("’", "'").lower()).split())


@pytest.mark.parametrize(
    ("title", "stem"),
    [
        ("Ninepenny Bridge plain socks", "ninepenny-bridge-plain-socks"),
        ("Lantern Lane short-row socks", "lantern-lane-short_row-socks"),
        ("First Steps children's socks", "first-steps-children~s-socks"),
        ("C", "c"),
        ("C++", "c++"),
        ("Adá", "adá"),
        ("日本", "日本"),
        ("1.1", "1.1"),
        ("Salt & pepper", "salt-pepper--8t9fapg4"),  # a mark never changes, or documents would lie there twice
    ],
)
def test_a_name_is_read_like_the_title(title: str, stem: str) -> None:
    assert title_stem(title) == stem


@pytest.mark.parametrize(
    ("title", "begins"),
    [
        ("Über 2×2!", "über-2-2--"),
        ("!!!", "pattern--"),
        ("../../etc/passwd", "etc-passwd--"),
        ("a" * 300, "a" * 60 + "--"),
        ("é" * 300, "é" * 30 + "--"),
        ("Con", "con--"),
        ("nul.socks", "nul.socks--"),
        ("Weiß", "weiß--"),
        ("Socks for Ada", "socks-for-ada--"),
        ("Socks handout", "socks-handout--"),
    ],
)
def test_what_a_name_cannot_say_is_marked(title: str, begins: str) -> None:
    assert re.fullmatch(re.escape(begins) + "[a-z2-9]{8}", title_stem(title))


@given(LIKE_NAMES, LIKE_NAMES)
def test_two_texts_have_two_names_on_every_disk(one: str, other: str) -> None:
    for stem in (title_stem, part_stem):
        assert (_on_disk(stem(one)) == _on_disk(stem(other))) == (_same(one) == _same(other))


@given(st.text(max_size=120))
def test_every_name_is_one_for_every_disk(text: str) -> None:
    for stem in (title_stem(text), part_stem(text)):
        assert stem
        assert len(stem.encode()) <= 70
        assert not FORBIDDEN & set(stem)
        assert stem[0] not in ".-~ "
        assert stem.split(".")[0] not in RESERVED
        assert stem == unicodedata.normalize("NFC", stem)


@given(st.lists(st.tuples(LIKE_NAMES, st.sampled_from(["", "x", "y"])), max_size=8))
def test_all_things_of_a_list_are_told_apart(things: list[tuple[str, str]]) -> None:
    named = told_apart(things)
    assert len({_on_disk(each) for each in named}) == len(things)


def test_what_is_told_apart_hangs_on_no_order() -> None:
    things = [("Ada", "21"), ("ada", "22"), ("Bo", "23")]
    assert sorted(told_apart(things)) == sorted(told_apart(things[::-1]))
    assert told_apart(things)[2] == "bo"


def test_setups_are_told_apart_by_their_words() -> None:
    assert len({word_stem(each) for each in setup_names()}) == len(setup_names())


def _documents(title: str, name: str) -> Iterator[tuple[str, tuple[object, ...]]]:
    """Names of documents of one pattern and one person, size, list or version, and what each is."""
    begin, part = title_stem(title), part_stem(name)
    setup = "long circular (magic loop)"
    for terms, kind, paper in itertools.product(("UK", "US"), EDITIONS, ("a4", "letter")):
        edition = Edition(terms, kind=kind, paper=paper)
        if edition.of.form != "pdf" and paper != "a4":
            continue
        told = (title, terms, kind, paper)
        stem = edition_stem(begin, edition)
        yield stem, told
        yield f"{stem}-by-setup", (*told, "by setup")
        yield f"{stem}-{word_stem(setup)}", (*told, setup)
        yield edition_stem(f"{begin}-28x38", edition), (*told, "gauge")
        yield edition_stem(f"{begin}-one-off", edition), (*told, "one-off")
        yield edition_stem(f"{begin}-for-{part}", edition), (*told, "one-off", name)
        if edition.of.single:
            yield f"{stem}-{part}-{word_stem(setup)}", (*told, "size", name)
        if edition.of.suffix:
            listed = edition_stem(f"{begin}-class-{part}", edition)
            yield listed, (*told, "class", name)
            yield f"{listed}-list", (*told, "class", name, "list")
            yield f"{listed}-for-{part}", (*told, "class", name, "for", name)
    yield f"{begin}-errata-{part}", (title, "errata", name)
    yield f"{begin}-stripes-{part}", (title, "stripes", name)


def test_no_title_or_name_takes_the_name_of_another_document() -> None:
    """Titles and people out of the very words that names are put together of, up to any of them."""
    plain = {stem.removeprefix("x").split("-bo")[0] for stem, _ in _documents("x", "bo")}
    tails = {stem.rpartition("-bo")[2] for stem, _ in _documents("x", "bo")}
    words = {each[: end.start()] for each in plain | tails for end in re.finditer("-|$", each)}
    further = sorted({each.replace("-", " ") for each in words})
    titles = ["x", *(f"x{each}" for each in further), "x for bo", "x class bo", "x for bo us"]
    names = ["bo", *(f"bo{each}" for each in further), *(each.strip() for each in further if each.strip())]
    found: dict[str, object] = {}
    for title, name in ((title, "bo") for title in titles):
        for stem, what in _documents(title, name):
            assert found.setdefault(stem, what) == what, stem
    for name in names:
        for stem, what in _documents("x", name):
            assert found.setdefault(stem, what) == what, stem


def test_two_documents_of_one_name_are_refused_and_a_shared_drawing_is_not() -> None:
    files = {"a.md": b"one", "chart.svg": b"drawn"}
    put_together(files, {"b.md": b"two", "chart.svg": b"drawn"})
    assert sorted(files) == ["a.md", "b.md", "chart.svg"]
    with pytest.raises(ValueError, match=r"both be called a\.md"):
        put_together(files, {"a.md": b"three"})


SIZES = """  own:
    {name: A, foot_circumference: 22 cm, foot_length: 25 cm, leg_length: 18 cm}
    {name: A+, foot_circumference: 24 cm, foot_length: 26 cm, leg_length: 19 cm}
    {name: a, foot_circumference: 21 cm, foot_length: 24 cm, leg_length: 17 cm}
"""


def _own_sizes(folder: Path) -> Path:
    """The plain sock in three sizes that look alike to a disk."""
    text = Path("patterns/ninepenny_bridge.yaml").read_text(encoding="utf-8")
    sizes = SIZES.replace("    {", "    - {")
    text = re.sub(r"^sizes:.*(?:\n .*)*", f"sizes:\n{sizes}".rstrip(), text, count=1, flags=re.MULTILINE)
    (folder / "own.yaml").write_text(re.sub(r"(?m)^sample:(?:\n .*)*", "", text), encoding="utf-8")
    return folder / "own.yaml"


def test_sizes_that_look_alike_have_a_document_each_in_one_run_and_in_several(tmp_path: Path) -> None:
    own, whole, apart = _own_sizes(tmp_path), tmp_path / "whole", tmp_path / "apart"
    asked = ["publish", str(own), "--needles", "magic-loop", "--edition", "one-size", "--quiet", "--jobs", "1"]
    assert main([*asked, "--out", str(whole)]) == 0
    for size in ("A+", "A", "a"):
        assert main([*asked, "--sizes", size, "--out", str(apart)]) == 0
    made = {path.name: path.read_bytes() for path in whole.iterdir()}
    assert len([name for name in made if name.endswith(".pdf")]) == 3
    assert made == {path.name: path.read_bytes() for path in apart.iterdir()}


def test_people_whose_names_differ_in_an_accent_have_a_document_each(tmp_path: Path) -> None:
    asked = ["one-off", "ninepenny_bridge", "--length", "24cm", "--gauge", "32x44", "--needles", "magic-loop"]
    for name, foot in (("Ada", "22cm"), ("Adá", "23cm"), ("Ada\u0301", "23cm")):
        assert main([*asked, "--foot", foot, "--name", name, "--out", str(tmp_path), "--quiet"]) == 0
    assert len(list(tmp_path.glob("*.pdf"))) == 2
