"""Class lists as spreadsheets write them."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grader.loading import load_class
from grader.loading.class_list import class_list_of
from grader.models.class_list import ClassList

PLAIN = "name,foot (cm),length (cm)\nAda,21,24\nBert,23.5,26\n"


def read(text: str | bytes) -> ClassList:
    """A list that must be read without an error."""
    found, findings = class_list_of(text if isinstance(text, bytes) else text.encode(), "list.csv")
    assert found is not None, findings
    assert not [each for each in findings if each.is_error]
    return found


def people(text: str | bytes) -> list[tuple[int, str, dict[str, str]]]:
    return [(each.line, each.name, each.cells) for each in read(text).members]


def cells(text: str, column: str) -> list[str]:
    return [each.cells[column] for each in read(text).members]


WANTED = [(2, "Ada", {"foot": "21cm", "length": "24cm"}), (3, "Bert", {"foot": "23.5cm", "length": "26cm"})]


@pytest.mark.parametrize(
    "text",
    [
        PLAIN,
        PLAIN.replace(",", ";"),
        PLAIN.replace(",", "\t"),
        PLAIN.replace("\n", "\r\n"),
        PLAIN.replace("\n", "\r"),
        PLAIN.replace(",", " , "),
        PLAIN.rstrip("\n"),
        "\ufeff" + PLAIN,
        PLAIN.encode("utf-16"),
        PLAIN.replace("Ada", '"Ada"').replace("24", '"24"'),
        PLAIN.replace("foot (cm)", "Round the foot [CM]").replace("length (cm)", '"FOOT_LENGTH, cm"'),
        PLAIN.replace("foot (cm)", "foot_circumference in cm").replace("name", "Knitter"),
        PLAIN.replace("\n", ",,\n"),
        PLAIN.replace("(cm)", "")
        .replace("21", "21cm")
        .replace("24", "24cm")
        .replace("23.5", "23.5cm")
        .replace("26", "26cm"),
    ],
)
def test_a_list_says_the_same_in_many_hands(text: str | bytes) -> None:
    assert people(text) == WANTED


def test_lines_are_counted_as_an_editor_counts_them() -> None:
    text = '\nTuesday class\n\nname;foot (cm)\n\n"Ada\nof the hill";21\n;\nBert;22\n'
    assert [(line, name) for line, name, _ in people(text)] == [(6, "Ada of the hill"), (9, "Bert")]
    assert people("sep=;\nname;foot (cm)\nAda;21\n") == [(3, "Ada", {"foot": "21cm"})]


def test_a_decimal_comma_is_read_where_no_comma_parts_the_cells() -> None:
    assert people("name;foot (cm)\nAda;21,5\n")[0][2] == {"foot": "21,5cm"}
    assert people('name,foot (cm)\nAda,"21,5"\n')[0][2] == {"foot": "21,5cm"}
    found, findings = class_list_of(b"name,foot (cm)\nAda,21,5\nBert,22\n", "list.csv")
    assert found is not None
    assert [each.name for each in found.members] == ["Bert"]
    (finding,) = findings
    assert (str(finding.span), finding.line) == ("list.csv:2:1", "Ada")
    assert "a comma within a number?" in finding.mend


def test_a_unit_in_the_cell_goes_before_that_of_the_head() -> None:
    assert people("name;foot (cm)\nAda;8 3/4 in\nBert;8¾\n")[0][2] == {"foot": "8 3/4 in"}
    assert people("name;foot (in)\nBert;8¾\nAda;8 1/2\n") == [
        (2, "Bert", {"foot": "8¾in"}),
        (3, "Ada", {"foot": "8 1/2in"}),
    ]
    assert people("name;shoe size (EU)\nAda;39\nBert;UK 8\n") == [
        (2, "Ada", {"shoe": "EU 39"}),
        (3, "Bert", {"shoe": "UK 8"}),
    ]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "latin-1", "utf-16"])
def test_names_keep_their_accents(encoding: str) -> None:
    assert people("name;foot (cm)\nZoë Å;21\n".encode(encoding))[0][1] == "Zoë Å"


def test_columns_may_come_in_any_order_and_unknown_ones_are_told() -> None:
    found, findings = class_list_of(b"colour;length (cm);name;phone\nred;24;Ada;1\n", "list.csv")
    assert found is not None
    assert found.columns == ("length", "name")
    assert found.members[0].cells == {"length": "24cm"}
    assert [each.is_error for each in findings] == [False, False]
    assert [each.message for each in findings] == [
        "the column 'colour' says nothing here and is left out",
        "the column 'phone' says nothing here and is left out",
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b"", "this list is empty"),
        (b"Ada,21,24\nBert,22,25\n", "no line of this list names its columns"),
        (b"foot (cm),length (cm)\n21,24\n", "this list has no column of names"),
        (
            b"name,foot,foot length,round the foot\nAda,21,24,21\n",
            "two columns are the foot; the second is 'round the foot'",
        ),
        (b"name,foot\n", "nobody stands in this list"),
        (b"PK\x03\x04...", "this is a workbook, not a CSV file"),
        (b"name,foot\nAda,2\x001\n", "the control character U+0000 stands here"),
        (b"name,foot\n" + b"x" * (1 << 20), "this list is larger than 1 MiB"),
        (
            b"name,foot\nAda," + b"x" * 200_000 + b"\n",  # more than the reader of cells takes, also within the head
            "the cells can't be told apart (field larger than field limit (131072))",
        ),
        (b'name,foot\n"Ada,21\nBert,22\n' + b"Cleo,23\n" * 40, "the cell under name is longer than 200 characters"),
    ],
)
def test_what_is_no_list_is_told(text: bytes, said: str) -> None:
    _, findings = class_list_of(text, "list.csv")
    (finding,) = [each for each in findings if each.is_error]
    assert finding.message == said
    assert finding.mend
    assert str(finding.span).startswith("list.csv:")


def test_a_list_that_is_not_there_is_told(tmp_path: Path) -> None:
    for path in (tmp_path / "none.csv", tmp_path):
        found, (finding,) = load_class(str(path))
        assert found is None
        assert finding.code == "unreadable"


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_told(data: bytes) -> None:
    found, findings = class_list_of(b"name;foot\n" + data, "list.csv")
    assert found is not None or findings


@given(st.text(max_size=200))
def test_any_text_is_read_or_told(text: str) -> None:
    found, findings = class_list_of(text.encode("utf-8", "replace"), "list.csv")
    assert found is not None or findings


_NAMES = st.text(st.characters(categories=["L"]), min_size=1, max_size=8)


@given(st.lists(st.tuples(_NAMES, st.integers(8, 40)), min_size=1, max_size=8), st.sampled_from(";\t,"))
def test_everybody_is_read_in_order(rows: list[tuple[str, int]], delimiter: str) -> None:
    text = "\n".join(delimiter.join(map(str, row)) for row in (("name", "foot (cm)"), *rows))
    assert [(each.name, each.cells["foot"]) for each in read(text).members] == [
        (name, f"{foot}cm") for name, foot in rows
    ]
