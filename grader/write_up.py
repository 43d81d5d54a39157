"""The stage that writes a document as Markdown, through Jinja2 templates a designer may restyle."""

from __future__ import annotations

import re
import traceback
from collections.abc import Callable, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from grader.models.document import Document, Table
from grader.resources import folder as shipped_folder
from grader.vocabulary.budget import OverBudget
from grader.vocabulary.wording import TERMS

if TYPE_CHECKING:
    from jinja2.runtime import Context

    from grader.sandbox import Sandbox

BOX = "☐"
RING = "○"
_LONGEST_PAD = 40  # a last column of words is padded no wider than this
_STRONG = re.compile(r"\\.|\*\*(?=\S)(?:[^*]|\*(?!\*))+?(?<=\S)\*\*|\*")
_EMPHASIS = re.compile(r"\\.|\*\*(?=\S)(?:[^*]|\*(?!\*))+?(?<=\S)\*\*|\*(?=[^\W\d_])[^*\d]+?(?<=\S)\*(?!\w)|\*")
_OPENING = re.compile(r"^(\s*)(?:([#>+-])|(\d+)([.)]))(?=\s)")
_SPECIAL = re.compile(r"[\\`*_\[\]]")
_ENTITY = re.compile(r"&(?=#?\w+;)")
_BREAKABLE = re.compile(r"[ \t\r\n\f\v]+")  # no-break spaces stay: they hold a letter to its abbreviation
_TAG = re.compile(r"<(?=[A-Za-z/!?])")


class TemplateMistake(Exception):
    """A template can't be filled in; `file` and `line` (0: unknown) say where to look."""

    def __init__(self, message: str, file: str, line: int) -> None:
        self.message = message
        self.file = file
        self.line = line
        super().__init__(f"{file}:{line}: {message}" if line else f"{file}: {message}")


def _as_it_is(text: str) -> str:
    return text


def write_up(
    document: Document,
    template: str = "pattern.md.j2",
    folder: Path | None = None,
    told: Callable[[str], str] = _as_it_is,
    pronounced: Callable[[str], str] | None = None,
) -> str:
    """The document as Markdown.

    Args:
        template: a file of the templates folder.
        folder: a designer's own templates; each one there takes the place of the shipped one of its name.
        told: how the words of the templates themselves are said, in another language or in a designer's own words.
        pronounced: how a text is put for those who listen, in another language; None is our English `spoken`.

    Raises:
        TemplateMistake: the template is missing, malformed, or asks for what there isn't.
    """
    import jinja2

    sandbox = _sandbox(folder)
    sandbox.begin()
    reading = True
    try:
        read = sandbox.get_template(template)
        reading = False
        text = read.render(document=document, terms=TERMS[document.terms], say=told, pronounced=pronounced or spoken)
    except jinja2.TemplateNotFound as mistake:
        place = _place(mistake) or (str(mistake.name or template), 0)
        raise TemplateMistake(f"there is no template {mistake.name}", *place) from mistake
    except jinja2.TemplateSyntaxError as mistake:
        file = str(mistake.filename or mistake.name or template)
        raise TemplateMistake(mistake.message or "not a template", file, mistake.lineno) from mistake
    except Exception as mistake:
        found = _place(mistake)
        if found is None and not (reading or isinstance(mistake, RecursionError | MemoryError)):
            raise
        raise TemplateMistake(_reason(mistake), *(found or (str((folder or Path()) / template), 0))) from mistake
    return _settled(text)


def _reason(mistake: Exception) -> str:
    """What is wrong with a template, in words."""
    if isinstance(mistake, OverBudget):
        return f"{mistake}; {mistake.mend}"
    if isinstance(mistake, RecursionError):
        return "this is nested too deeply, or uses itself without end"
    if isinstance(mistake, UnicodeDecodeError):
        return "this template is not in UTF-8"
    return str(mistake) or type(mistake).__name__


@lru_cache(maxsize=8)
def _sandbox(folder: Path | None) -> Sandbox:
    """The templates of a folder and ours, with what they may use beside the document."""
    from jinja2 import pass_context

    from grader.sandbox import Sandbox

    environment = Sandbox([place for place in (folder, shipped_folder("templates")) if place is not None])
    environment.filters.update(
        line=line, plain=plain, prose=prose, spoken=pass_context(_pronounced), told=pass_context(_told)
    )
    environment.globals.update(
        pipes=pipes, pairs=pairs, ringed=ringed, boxes=boxes, turned=turned, lettered=lettered, capital=capital
    )
    return environment


def _told(context: Context, text: str) -> str:
    """A template's own words, as `write_up` was asked to say them."""
    return str(context["say"](text))


def _pronounced(context: Context, text: str) -> str:
    """A text for those who listen, in the language of the document."""
    return str(context["pronounced"](text))


def _place(mistake: Exception) -> tuple[str, int] | None:
    """The innermost template line of a mistake met while filling in; None when no template was at work."""
    frames = [frame for frame in traceback.extract_tb(mistake.__traceback__) if frame.filename.endswith(".j2")]
    return (frames[-1].filename, frames[-1].lineno or 0) if frames else None


def line(text: str) -> str:
    """An instruction as Markdown: its repeat stars stand as they are, `**bold**` stays bold."""
    return _guarded(_STRONG.sub(_escaped_star, _one_line(text)))


def prose(text: str) -> str:
    """A designer's own Markdown: emphasis on words stays, stars around stitches stand as they are."""
    return _guarded(_EMPHASIS.sub(_escaped_star, _one_line(text)))


def plain(text: str) -> str:
    """A title or a name as it is: nothing in it is Markdown."""
    return _guarded(_ENTITY.sub("&amp;", _SPECIAL.sub(r"\\\g<0>", _one_line(text))))


def _escaped_star(found: re.Match[str]) -> str:
    return r"\*" if found[0] == "*" else found[0]


def _one_line(text: str) -> str:
    return _BREAKABLE.sub(" ", text).strip(" ")


def _guarded(text: str) -> str:
    """No accidental heading, list or tag."""
    text = _TAG.sub("&lt;", text)
    return _OPENING.sub(
        lambda found: f"{found[1]}\\{found[2]}" if found[2] else f"{found[1]}{found[3]}\\{found[4]}", text
    )


_SPOKEN = tuple(
    (re.compile(pattern), words)
    for pattern, words in (
        (r"\\([*_#`\[\]])", r"\1"),
        (r"\*\*|\u00ad", ""),
        (r"^From–to m$", "From and to, in metres"),
        (r"^(Yarn|MC|CC\d?) m$", r"\1 in metres"),
        (r"^(Yarn|MC|CC\d?) g$", r"\1 in grams"),
        (r"\(−\)", "(minus)"),
        (r"\s?×\s?|(?<=\d) x (?=\d)", " by "),
        (r"(?<!\w)[−-](?=\d)", "minus "),
        (r"(?<!\w)\+(?=\d)", "plus "),
        (r"(?<=[\d½¼¾])–(?=\d)", " to "),
        (r"\s?%", " percent"),
        (r"(?<=\d) cm / ([\d½¼¾]+) in\b", r" centimetres, \1 inches"),
        (r"(?<=[\d)½¼¾] )in\b(?! \w)", "inches"),
        (r"\bcm/in\b", "in centimetres and inches"),
        (r"(?<=\d)/(?=[\d½¼¾])", ", "),
        (r"(?<=\d)([½¼¾⅛⅜⅝⅞])", r" \1"),
        ("½", "and a half"),
        ("¼", "and a quarter"),
        ("¾", "and three quarters"),
        (r"\bsts\b", "stitches"),
        (r"\bst\b", "stitch"),
        (r"(?<=[\d)] )cm\b", "centimetres"),
        (r"(?<=[\d)] )mm\b", "millimetres"),
        (r"(?<=[\d)] )m\b", "metres"),
        (r"(?<=[\d)] )g\b", "grams"),
        (r"(?<=\d )yd\b", "yards"),
        (r"(?<=\d )oz\b", "ounces"),
        (r"\(RS\)", "on the right side"),
        (r"\(WS\)", "on the wrong side"),
        (r"\bRS\b", "right side"),
        (r"\bWS\b", "wrong side"),
        (r"[“”]", '"'),
    )
)


def spoken(text: str) -> str:
    """A text for those who listen: signs and short units as words, nothing marked up."""
    text = _one_line(text)
    for pattern, words in _SPOKEN:
        text = pattern.sub(words, text)
    return text


def capital(text: str) -> str:
    """The text with its first letter large and the others as they are."""
    return text[:1].upper() + text[1:]


def boxes(number: int) -> str:
    """Boxes to tick in groups of five, with the round's number after each tenth and after the last."""
    parts = []
    for start in range(0, number, 5):
        end = min(start + 5, number)
        parts.append(BOX * (end - start))
        if end % 10 == 0 or end == number:
            parts.append(str(end))
    return " ".join(parts)


def pipes(table: Table) -> str:
    """A pipe table, its columns padded so that the Markdown reads as a table too."""
    columns = max([len(table.heads), *(len(row) for row in table.rows)], default=0)
    if not columns:
        return ""
    align = (table.align or "l" * columns).ljust(columns, "l")
    lines = [_cells(row, columns) for row in (table.heads, *table.rows)]
    widths = [max(3, *(len(cells[column]) for cells in lines)) for column in range(columns)]
    widths[-1] = min(widths[-1], _LONGEST_PAD)
    rules = [
        {"r": "-" * (width - 1) + ":", "c": ":" + "-" * (width - 2) + ":"}.get(mark, "-" * width)
        for mark, width in zip(align, widths, strict=False)
    ]
    padded = [[_padded(*each) for each in zip(cells, widths, align, strict=False)] for cells in lines]
    body = "\n".join(f"| {' | '.join(cells)} |" for cells in (padded[0], rules, *padded[1:]))
    return body


def _cells(row: Sequence[str], columns: int) -> list[str]:
    cells = [line(cell).replace("|", r"\|") for cell in row]
    return cells + [""] * (columns - len(cells))


def _padded(text: str, width: int, align: str) -> str:
    return text.rjust(width) if align == "r" else text.center(width) if align == "c" else text.ljust(width)


def pairs(heads: Sequence[str], rows: Sequence[tuple[str, str]]) -> str:
    """A table of names and what they stand for."""
    return pipes(Table((heads[0], heads[1]), tuple(rows), "ll"))


def ringed(table: Table) -> str:
    """A size table with a round box before each size, to ring one's own; without where there is only one."""
    if len(table.rows) == 1:
        return pipes(table)
    columns = max([len(table.heads), *(len(row) for row in table.rows)], default=0)
    align = (table.align or "l" * columns).ljust(columns, "l")
    return pipes(Table(("", *table.heads), tuple((RING, *row) for row in table.rows), f"c{align}"))


def lettered(table: Table) -> str:
    """A table of numbers with the letter of each row in bold."""
    rows = tuple((f"**{row[0]}**" if row[0].strip() else "", *row[1:]) for row in table.rows if row)
    return pipes(Table(table.heads, rows, table.align))


def turned(table: Table, heads: Sequence[str]) -> str:
    """A table of one row as a list of pairs: each head with its value."""
    rows = [(head, row[column]) for row in table.rows for column, head in enumerate(table.heads) if column < len(row)]
    return pairs(heads, [(capital(head), value) for head, value in rows if value.strip()])


def _settled(text: str) -> str:
    """One blank line between blocks, no spaces at line ends, one line end at the last."""
    text = "\n".join(row.rstrip() for row in text.splitlines())
    return re.sub(r"\n{3,}", "\n\n", text).strip("\n") + "\n"
