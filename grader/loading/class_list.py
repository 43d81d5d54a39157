"""A class list from a spreadsheet: lines of cells, whatever they are parted by, become members by column."""

from __future__ import annotations

import contextlib
import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass

from grader.models.class_list import ClassList, Member
from grader.regular_files import read_regular, why_not
from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.findings import Finding, Severity, Span

LARGEST_BYTES = 1 << 20
LONGEST_CELL = 200
_DELIMITERS = (";", "\t", ",")
_SAME = {  # other words for a column, as they stand in heads of lists
    "name": ("who", "person", "knitter", "for", "for whom"),
    "foot": ("foot circumference", "foot round", "round the foot", "round", "circumference", "foot girth", "ball"),
    "length": ("foot length", "foot long", "long", "length of the foot", "length of foot"),
    "leg": ("leg length", "leg long", "length of the leg"),
    "calf": ("calf circumference", "calf round", "round the calf"),
    "ankle": ("ankle circumference", "ankle round", "round the ankle"),
    "knee_height": ("knee", "height of the knee"),
    "heel": ("heel diagonal", "heel round", "round the heel", "heel circumference"),
    "instep": ("instep girth", "instep round", "round the instep", "instep circumference"),
    "shoe": ("shoe size", "size of shoe"),
    "age": ("years", "age in years"),
    "gauge": ("tension", "own gauge", "own tension"),
    "needles": ("setup", "needle setup"),
}
_COLUMN = {other: name for name, others in _SAME.items() for other in (name.replace("_", " "), *others)}
_LENGTHS = frozenset({"foot", "length", "leg", "calf", "ankle", "knee_height", "heel", "instep"})
_UNITS = r"cm|mm|inches|inch|in|\"|EU|UK"
_UNIT_AT_END = re.compile(  # "foot (cm)", "foot [in]", "foot, cm", "foot in cm", "shoe (EU)"
    rf"[(\[] ?({_UNITS}) ?[)\]]\Z|(?<=[ ,])(?:in )?({_UNITS})\Z", re.IGNORECASE
)
_BARE = re.compile(r"\d+(?:[.,]\d+)?(?:\s+\d+/\d+)?\s*[¼½¾⅛⅜⅝⅞]?|\d+/\d+|[¼½¾⅛⅜⅝⅞]")
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
_HEAD_WITHIN = 10  # lines that may stand above the head


@dataclass(frozen=True, slots=True)
class _Row:
    """One line of cells, stripped, and the number of the line it begins on."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Head:
    """Column by column, its name ("" for an unknown one) and the unit its head gives; `at` is its row."""

    at: int
    columns: tuple[tuple[str, str], ...]


def read_class(path: str) -> tuple[ClassList | None, list[Finding]]:
    """Read the list at `path`; None with findings where it can't be read at all.

    UTF-8 with or without a mark, UTF-16 with one, else Windows-1252; cells parted by `;`, tabs or `,` and quoted where
    need be. Errors name lines that can't be read, which are left out; remarks name columns that say nothing here.
    """
    try:
        data = read_regular(path, LARGEST_BYTES)
    except FileNotFoundError:
        return None, [_of_file(path, "unreadable", "there is no such list", "check the name and the folder")]
    except IsADirectoryError:
        return None, [_of_file(path, "unreadable", "this is a folder, not a list", "name the CSV file in it")]
    except OSError as mistake:
        return None, [_of_file(path, "unreadable", f"this list can't be opened: {why_not(mistake)}", "check its name")]
    return class_list_of(data, path)


def class_list_of(data: bytes, name: str) -> tuple[ClassList | None, list[Finding]]:
    """Read a list from its bytes; `name` stands for the file in findings. Otherwise like `read_class`."""
    if len(data) > LARGEST_BYTES:
        return None, [_of_file(name, "too-large", "this list is larger than 1 MiB", "one list holds one class")]
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        return None, [_of_file(name, "no-text", "this is a workbook, not a CSV file", "save the sheet as CSV")]
    text = _decoded(data).replace("\r\n", "\n").replace("\r", "\n")
    odd = _CONTROL.search(text)
    if odd:
        line = text.count("\n", 0, odd.start()) + 1
        message = f"the control character U+{ord(odd[0]):04X} stands here"
        return None, [Finding("character", message, Span(name, line, 1), mend="save the sheet as CSV again")]
    rows, mistake = _rows(text, name)
    if mistake:
        return None, [mistake]
    head, findings = _head(rows, name)
    if head is None:
        return None, findings
    members = []
    for row in rows[head.at + 1 :]:
        member, told = _member(row, head, name)
        findings += told
        if member:
            members.append(member)
    if not members and not any(each.is_error for each in findings):
        findings.append(_of_file(name, "empty", "nobody stands in this list", "write one person a line"))
    columns = tuple(column for column, _ in head.columns if column)
    return ClassList(name, columns, tuple(members)), findings


def _decoded(data: bytes) -> str:
    """The text, in the encoding that its bytes can be: spreadsheets write any of these."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        try:
            return data.decode("cp1252")
        except UnicodeDecodeError:
            return data.decode("latin-1")


def _rows(text: str, name: str) -> tuple[list[_Row], Finding | None]:
    """The lines that aren't empty, each cell in one line and without spaces round it."""
    first, _, rest = text.lstrip("\n").partition("\n")
    skipped = len(text) - len(text.lstrip("\n"))
    said = re.fullmatch(r"\s*sep=(.)\s*", first, re.IGNORECASE)  # some spreadsheets say first what parts the cells
    if said:
        delimiter, text, skipped = said[1], rest, skipped + 1
    else:
        delimiter, text = _delimiter(text), text.lstrip("\n")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, skipinitialspace=True, strict=False)
    rows: list[_Row] = []
    begin = 1
    try:
        for cells in reader:
            tidy = tuple(" ".join(cell.split()) for cell in cells)
            if any(tidy):
                rows.append(_Row(begin + skipped, tidy))
            begin = reader.line_num + 1
    except csv.Error as mistake:
        return [], Finding(
            "cells",
            f"the cells can't be told apart ({mistake})",
            Span(name, begin + skipped, 1),
            mend="look for a quote",
        )
    return rows, None


def _delimiter(text: str) -> str:
    """What parts the cells: the one that makes most columns known in one of the first lines."""

    def known(delimiter: str) -> int:
        lines = csv.reader(text.splitlines()[: 2 * _HEAD_WITHIN], delimiter=delimiter, skipinitialspace=True)
        found = 0
        with contextlib.suppress(csv.Error):  # a cell longer than the reader takes, which is told where all are read
            for cells in lines:
                found = max(found, sum(1 for cell in cells if _column(cell)[0]))
        return found

    return max(_DELIMITERS, key=known)


def _column(head: str) -> tuple[str, str]:
    """A head's column ("" if there is none such) and its unit: "Foot length (cm)" is length in cm."""
    if len(head) > LONGEST_CELL:
        return "", ""
    words, unit = " ".join(head.split()), ""
    match = _UNIT_AT_END.search(words)
    if match:
        words, unit = words[: match.start()].rstrip(" ,"), match[1] or match[2]
    return _COLUMN.get(re.sub(r"[\s_./:-]+", " ", words).strip().lower(), ""), {'"': "in"}.get(unit, unit)


def _head(rows: Sequence[_Row], name: str) -> tuple[_Head | None, list[Finding]]:
    at = next((at for at, row in enumerate(rows[:_HEAD_WITHIN]) if _is_head(row)), None)
    if at is None:
        mend = "let the first line name the columns, such as: name;foot (cm);length (cm)"
        message = "no line of this list names its columns" if rows else "this list is empty"
        return None, [_of_file(name, "no-head", message, mend)]
    row = rows[at]
    if len(row.cells) > allowed("columns"):
        message, mend = too_much("columns", len(row.cells))
        return None, [Finding("budget", message, _at(name, row), mend=mend)]
    columns = tuple(_column(cell) for cell in row.cells)
    findings = []
    for number, (cell, (column, _)) in enumerate(zip(row.cells, columns, strict=True)):
        if not column and cell:
            message = f"the column {_short(cell)!r} says nothing here and is left out"
            mend = f"columns are {', '.join(each.replace('_', ' ') for each in _SAME)}"
            findings.append(Finding("column", message, _at(name, row), severity=Severity.REMARK, mend=mend))
        if column and column in [other for other, _ in columns[:number]]:
            message = f"two columns are the {column.replace('_', ' ')}; the second is {_short(cell)!r}"
            return None, [Finding("column", message, _at(name, row), mend="leave one of them out")]
    if "name" not in [column for column, _ in columns]:
        mend = "add a column headed name"
        return None, [Finding("no-head", "this list has no column of names", _at(name, row), mend=mend)]
    return _Head(at, columns), findings


def _is_head(row: _Row) -> bool:
    return sum(1 for cell in row.cells if _column(cell)[0]) >= 2


def _member(row: _Row, head: _Head, name: str) -> tuple[Member | None, list[Finding]]:
    if any(row.cells[len(head.columns) :]):
        more = max(number for number, cell in enumerate(row.cells, 1) if cell)
        message = f"this line has {more} cells, but there are {len(head.columns)} columns"
        mend = "is a comma within a number? then part the cells by ; or put the number into quotes"
        return None, [Finding("cells", message, _at(name, row), line=_whose(row, head), mend=mend)]
    cells: dict[str, str] = {}
    for (column, unit), cell in zip(head.columns, row.cells, strict=False):
        if len(cell) > LONGEST_CELL:
            message = f"the cell under {column or 'a column left out'} is longer than {LONGEST_CELL} characters"
            return None, [Finding("cells", message, _at(name, row), line=_whose(row, head), mend="is a quote missing?")]
        if column and cell and cell not in ("-", "–", "?"):
            cells[column] = _with_unit(column, cell, unit) if unit and _BARE.fullmatch(cell) else cell
    person = cells.pop("name", "")
    return (Member(row.line, person, cells), []) if person or cells else (None, [])


def _with_unit(column: str, cell: str, unit: str) -> str:
    """A number with the unit of its column: 22.5cm, or EU 39."""
    if column == "shoe":
        return f"{unit.upper()} {cell}"
    return f"{cell}{unit.lower()}" if column in _LENGTHS else cell


def _whose(row: _Row, head: _Head) -> str:
    return _short(dict(zip([column for column, _ in head.columns], row.cells, strict=False)).get("name", ""))


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:39]}…"


def _at(name: str, row: _Row) -> Span:
    return Span(name, row.line, 1)


def _of_file(name: str, code: str, message: str, mend: str) -> Finding:
    return Finding(code, message, Span(name, 1, 1), mend=mend)
