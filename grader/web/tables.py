"""Tables: a caption, heads that say what they are heads of, one's own size to choose, and room to scroll."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import dataclass, field
from html import escape

from grader.web.phrases import Phrases
from grader.web.reading import text_of
from grader.web.sizes import Sizes, cells, is_size_table

_FITS_A_PHONE = 3  # columns; a table of more scrolls by itself where the screen is narrow


@dataclass(slots=True)
class Tables:
    """Writes the tables of one document; each has a name of its own, and the first with rings lets choose a size."""

    sizes: Sizes
    said: Phrases
    book: bool
    inline: Callable[[ET.Element], str]
    captions: set[str] = field(default_factory=set)
    chosen: bool = False

    def table(self, element: ET.Element, caption: str) -> str:
        """A table with its caption, which only those hear who can't see what it stands under."""
        lines = list(element.iter("tr"))
        to_choose = bool(self.sizes.names) and not self.chosen and not self.book and is_size_table(element)
        caption = escape(self._caption(caption or self.said.contents))
        columns = self.sizes.in_columns(cells(lines[0]))
        named = 1 if is_size_table(element) else 0
        names = tuple((*cells(line), "", "")[named] for line in lines[1:])
        of_sizes = self.sizes.in_rows(names) and not self.book
        head = self._row(lines[0], ["col"] * len(lines[0]), "", columns, to_choose)
        body = "".join(
            self._row(
                line,
                ["row" if place == named else "" for place in range(len(line))],
                f' class="s{self.sizes.names.index(names[number - 1]) + 1}"' if of_sizes else "",
                columns,
                to_choose,
                number,
            )
            for number, line in enumerate(lines[1:], 1)
        )
        kind = ' class="letters"' if columns else ' class="pairs"' if len(lines[0]) == 2 else ""
        html = (
            f'<table{kind}><caption class="hidden">{caption}</caption>\n'
            f"<thead>{head}</thead>\n<tbody>{body}</tbody></table>\n"
        )
        if len(lines[0]) > _FITS_A_PHONE:
            reach = "" if self.book else f' role="region" tabindex="0" aria-label="{self.said.table.format(caption)}"'
            fits = "" if columns else " wide"
            html = f'<div class="scroll{fits}"{reach}>{html}</div>\n'
        return self._choice(html) if to_choose else html

    def _choice(self, table: str) -> str:
        """A form that sends nothing: its reset forgets the choice, without any script."""
        self.chosen = True
        return (
            f'<form method="dialog" class="choice" aria-label="{self.said.your_size}">\n'
            f'<p class="screen">{self.said.choose}</p>\n'
            f"{table}"
            f'<p class="screen"><button type="reset">{self.said.all_alike}</button></p></form>\n'
        )

    def _caption(self, words: str) -> str:
        name, turn = words, 1
        while name in self.captions:
            turn += 1
            name = self.said.another_table.format(words, turn)
        self.captions.add(name)
        return name

    def _row(
        self, line: ET.Element, scopes: list[str], kind: str, by_column: bool, to_choose: bool, number: int = 0
    ) -> str:
        out = []
        for place, cell in enumerate(line):
            named = by_column and place == 0  # a letter in its own table needs no number beside it
            words = f"<strong>{escape(text_of(cell).strip())}</strong>" if named else self.inline(cell).strip()
            classes = [self._side(cell), f"s{place}" if by_column and place and not self.book else ""]
            told = " ".join(each for each in classes if each)
            looks = f' class="{told}"' if told else ""
            if to_choose and place == 0:
                words = self._radio(number) if number else f'<span class="hidden">{self.said.yours}</span>'
            elif to_choose and place == 1 and number:
                words = f'<label for="size-{number}">{words}</label>'
            scope = scopes[place] if words else ""
            out.append(f'<th scope="{scope}"{looks}>{words}</th>' if scope else f"<td{looks}>{words}</td>")
        return f"<tr{kind}>{''.join(out)}</tr>\n"

    def _radio(self, number: int) -> str:
        name = escape(self.said.size.format(self.sizes.names[number - 1]))
        return (
            f'<input type="radio" name="size" class="pick" id="size-{number}" value="{number}" '
            f'aria-label="{name}" autocomplete="off"/>'
        )

    def _side(self, cell: ET.Element) -> str:
        style = cell.get("style", "")
        return "r" if "right" in style else "c" if "center" in style else ""
