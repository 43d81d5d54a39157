"""Documents written as Markdown, and the mistakes a template can have."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import markdown
import pytest

from grader import resources
from grader.write_up import TemplateMistake, boxes, line, prose, write_up

from . import samples


def test_headings_follow_the_arrangement() -> None:
    by_section = write_up(samples.five_sizes())
    assert "\n## Gusset\n" in by_section
    assert "\n### Short circular\n" in by_section
    assert "\n---\n" not in by_section
    by_setup = write_up(samples.by_setup())
    assert by_setup.count("\n---\n\n## ") == 3
    assert by_setup.count("\n### Gusset\n") == 3


def test_an_instruction_is_a_list_item_with_its_label_and_count() -> None:
    text = write_up(samples.five_sizes())
    assert r"- **Rounds 1–18:** \*K2, P2; rep from \* to end. — **56 (60, 64, 68, 72) sts**" in text
    assert "\n- Repeat rounds 1 and 2 8 (8, 9, 9, 10) times more, until 56 (60, 64, 68, 72) sts are left.\n" in text
    assert "\n> **Check:** The toe is closed without a ridge. Work the second sock alike.\n" in text


def test_terms_name_the_swatch() -> None:
    document = samples.five_sizes()
    assert "\n## Tension\n" in write_up(document)
    assert "\n## Gauge\n" in write_up(replace(document, terms="US"))


def test_no_raw_html_and_one_blank_line_between_blocks() -> None:
    for document in (samples.five_sizes(), samples.fourteen_sizes(), samples.by_setup()):
        text = write_up(replace(document, summary="Wide <b>toes</b> & heels, 3 < 4."))
        assert not re.search(r"<[A-Za-z/!]", text)
        assert "3 < 4" in text
        assert "\n\n\n" not in text
        assert not re.search(r"[ \t]$", text, re.M)


def test_one_size_has_boxes_and_no_rings() -> None:
    text = write_up(samples.one_size(), "one_size.md.j2")
    assert "☐☐☐☐☐ ☐☐☐☐☐ 10 ☐☐☐☐☐ ☐☐☐ 18" in text
    assert "○" not in text
    assert "○" in write_up(samples.five_sizes())


def test_the_markdown_means_the_same_to_the_library() -> None:
    page = markdown.markdown(write_up(samples.fourteen_sizes()), extensions=["tables"])
    assert page.count("<table>") == 7
    assert "<em>" not in page
    assert "*K2, P2; rep from * to end." in page


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("*K2, P2; rep from * to end", r"\*K2, P2; rep from \* to end"),
        ("**Needle 1:** *K1, P1* to end", r"**Needle 1:** \*K1, P1\* to end"),
        ("# 5", r"\# 5"),
        ("1. K", r"1\. K"),
        ("K <b>", "K &lt;b>"),
        (r"\*K", r"\*K"),
    ],
)
def test_an_instruction_stands_as_it_is(text: str, written: str) -> None:
    assert line(text) == written


def test_prose_keeps_emphasis_on_words_and_only_there() -> None:
    assert prose("Be *very* careful with *K2, P2* here.") == r"Be *very* careful with \*K2, P2\* here."


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (3, "☐☐☐ 3"),
        (5, "☐☐☐☐☐ 5"),
        (10, "☐☐☐☐☐ ☐☐☐☐☐ 10"),
        (12, "☐☐☐☐☐ ☐☐☐☐☐ 10 ☐☐ 12"),
    ],
)
def test_boxes_in_fives(number: int, text: str) -> None:
    assert boxes(number) == text


def test_a_pipe_in_a_cell_is_no_column() -> None:
    document = replace(samples.five_sizes(), facts=(("Yarn", "a | b"),))
    assert "| Yarn        | a \\| b |" in write_up(document)


def test_a_designers_template_takes_the_place_of_the_shipped_one(tmp_path: Path) -> None:
    (tmp_path / "pattern.md.j2").write_text(
        '{% import "_blocks.md.j2" as blocks with context %}\n# Mine\n\n{{ blocks.listed("Notes", document.notes) }}\n'
    )
    text = write_up(samples.five_sizes(), folder=tmp_path)
    assert text.startswith("# Mine\n\n## Notes\n\n- ")


@pytest.mark.parametrize(
    ("template", "row", "words"),
    [
        ("fine\n{% if %}\n", 2, "Expected"),
        ("a\nb\n{{ document.colour }}\n", 3, "colour"),
        ("{{ document.title / 2 }}\n", 1, "unsupported"),
        ("\n{{ document.__class__.__mro__ }}\n", 2, "unsafe"),
        ("x\n{% include 'nowhere.j2' %}", 2, "nowhere.j2"),
    ],
)
def test_a_template_mistake_names_file_and_line(tmp_path: Path, template: str, row: int, words: str) -> None:
    (tmp_path / "pattern.md.j2").write_text(template)
    with pytest.raises(TemplateMistake, match=words) as caught:
        write_up(samples.five_sizes(), folder=tmp_path)
    assert caught.value.line == row
    assert caught.value.file.endswith("pattern.md.j2")


def test_shipped_folders_are_found() -> None:
    assert (resources.folder("templates") / "pattern.md.j2").is_file()
    assert resources.folder("patterns").is_dir()
    with pytest.raises(ValueError, match="no such folder"):
        resources.folder("secrets")
