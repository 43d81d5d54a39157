"""One web page that needs nothing else: it may be sent by mail, opened from a stick, and read without a network."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from html import escape
from pathlib import Path
from types import MappingProxyType

from grader.models.drawing import Drawing
from grader.models.looks import Looks
from grader.web.inks import inks
from grader.web.photos import Photo, read_photos
from grader.web.phrases import Phrases, phrases
from grader.web.writing import Piece, Writer

# What a style of the printed page changes on a screen, where the reader's browser has her own size of type already.
_STYLES = {
    "large-18": ":root{font-size:150%}",
    "large-24": ":root{font-size:200%}",
    "easy": "body{letter-spacing:.06em;word-spacing:.16em;line-height:1.8}p,ul,ol{margin-bottom:1.6rem}",
}


def web_page(
    markdown: str,
    *,
    title: str,
    language: str = "en-GB",
    drawings: Mapping[str, Drawing] | None = None,
    version: str = "",
    date: str = "",
    author: str = "",
    style: str = "standard",
    looks: Looks | None = None,
    files: Mapping[str, Path] = MappingProxyType({}),
) -> str:
    """A pattern as one HTML file.

    Args:
        markdown: the pattern in the dialect of the printed page.
        title, version, date, author: for the window and the foot of the page.
        language: a tag such as en-GB.
        drawings: those of the pictures, by file name; a picture that isn't there is told in its words.
        style: the name of a style of the printed page; large print and wide spaces hold here too.
        looks: a designer's own; of it the accent, kept readable by day and by night, how much larger type is, and
            the logo if it is among `files`.
        files: a designer's own pictures, by the name that the Markdown gives them.

    Returns:
        The page; the same arguments give the same text. Ticks and the chosen size are kept by the browser, under a
        key made from the Markdown: another version of a pattern begins without ticks.

    Raises:
        ValueError: a file that is no picture.
    """
    from grader.markup import clean
    from grader.web.reading import read_markdown

    language, said = clean(language) or "en", phrases(language)
    photos = read_photos(files)
    writer = Writer(drawings or {}, said, photos)
    pieces = writer.pieces(read_markdown(markdown), clean(title))
    names = writer.sizes.names
    folder = Path(__file__).parent
    css = _colours(looks) + (folder / "page.css").read_text(encoding="utf-8") + _STYLES.get(style, "")
    css += _larger(looks) + _size_rules(len(names), said)
    edition = hashlib.sha256(markdown.encode("utf-8", "replace")).hexdigest()[:16]
    body = _logo(looks, photos, clean(author)) + _sections(pieces, said) + _yours(names, said)
    script = (folder / "page.js").read_text(encoding="utf-8")
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(language)}" data-edition="{edition}">\n'
        f"<head>\n{_head(clean(title), clean(author), css)}</head>\n<body>\n"
        f'<a class="skip" href="#content">{said.skip}</a>\n'
        f'<main id="content" tabindex="-1">\n{body}</main>\n'
        f"{_foot(clean(title), clean(version), clean(date), clean(author), said)}"
        f"<script>\n{script}</script>\n</body>\n</html>\n"
    )


def _head(title: str, author: str, css: str) -> str:
    return (
        f'<meta charset="utf-8"/>\n<title>{_text(title) or "Pattern"}</title>\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1"/>\n'
        f'<meta name="author" content="{escape(author)}"/>\n'
        f"<style>\n{css}</style>\n"
    )


def _text(words: str) -> str:
    return escape(" ".join(words.split()), quote=False)


def _colours(looks: Looks | None) -> str:
    """The colours by day and by night, as the names that the other rules use."""
    day, night = (
        ";".join(f"--{name}:{colour}" for name, colour in each.items())
        for each in inks(looks.accent if looks is not None else None)
    )
    return f":root{{{day}}}\n@media screen and (prefers-color-scheme:dark){{:root{{{night}}}}}\n"


def _logo(looks: Looks | None, photos: Mapping[str, Photo], author: str) -> str:
    logo = photos.get(looks.logo.name) if looks is not None and looks.logo is not None else None
    return f'<img class="logo" src="{logo.data}" alt="{escape(author)}"/>\n' if logo is not None else ""


def _larger(looks: Looks | None) -> str:
    if looks is None or looks.larger == 1:
        return ""
    return f"body{{font-size:{looks.larger:g}rem}}\n"


def _size_rules(number: int, said: Phrases) -> str:
    """What stands out when a size is chosen; in the page itself, so that no script is needed."""
    if number < 2:
        return ""
    rules = [
        ":root:has(.pick:checked) :is(.sizes,.only){color:var(--quiet)}",
        ":root:has(.pick:checked) .yours{display:block}",
        ":root:has(.pick:checked) :is(.letter,.yours) .own{display:inline}",
        ".own>span{display:none}",
    ]
    for place in range(1, number + 1):
        chosen = f":root:has(#size-{place}:checked)"
        rules += [
            f"{chosen} :is(.sizes,tr,td,th,thead,tbody) .s{place},{chosen} tr.s{place}"
            "{background:var(--mine);color:var(--mine-ink);font-weight:700;print-color-adjust:exact}",
            f"{chosen} .sizes .s{place}{{padding:0 .15em;border-radius:.2em;text-decoration:underline}}",
            f"{chosen} .own>.s{place}{{display:inline;background:var(--mine);color:var(--mine-ink);font-weight:700}}",
            f'{chosen} .only:not(.of-s{place})::after{{content:" ({said.not_yours})"}}',
            f"{chosen} .only.of-s{place}{{color:inherit}}",
        ]
    return "\n".join(rules) + "\n"


def _yours(names: Sequence[str], said: Phrases) -> str:
    """A line that stays in sight and tells which size is chosen."""
    if len(names) < 2:
        return ""
    own = "".join(f'<span class="s{place}">{_text(name)}</span>' for place, name in enumerate(names, 1))
    to = f'<a href="#size-1">{said.change}</a>'
    return f'<p class="yours" id="yours">{said.your_size}: <span class="own">{own}</span> · {to}</p>\n'


def _sections(pieces: Sequence[Piece], said: Phrases) -> str:
    """The opening, the contents, then a section for each heading of level 2."""
    starts = [place for place, piece in enumerate(pieces) if piece.level == 2]
    ends = [*starts, len(pieces)][1:]
    opening = pieces[: starts[0]] if starts else pieces
    html = f'<div class="opening">\n{"".join(_plain(piece) for piece in opening)}</div>\n'
    html += _contents(pieces, said) if starts else ""
    return html + "".join(
        f"<section>\n{_rows(pieces[start:end])}</section>\n" for start, end in zip(starts, ends, strict=True)
    )


def _contents(pieces: Sequence[Piece], said: Phrases) -> str:
    """Where each section is; the sections of a part stand below it."""
    items: list[tuple[Piece, list[Piece]]] = []
    for piece in pieces:
        if piece.level == 2:
            items.append((piece, []))
        elif piece.level == 3 and items and items[-1][0].part:
            items[-1][1].append(piece)
    listed = ""
    for head, within in items:
        below = "".join(f"<li>{_to(each)}</li>" for each in within)
        listed += f"<li>{_to(head)}{f'<ul>{below}</ul>' if below else ''}</li>\n"
    return (
        f'<nav id="contents" aria-label="{said.contents}"><details><summary>{said.contents}</summary>\n'
        f"<ul>\n{listed}</ul></details></nav>\n"
    )


def _to(piece: Piece) -> str:
    return f'<a href="#{piece.anchor}">{escape(piece.text, quote=False)}</a>'


def _rows(pieces: Sequence[Piece]) -> str:
    """Notes go into one row with the passage they follow; those after a heading with the passage that follows."""
    out: list[str] = []
    place = 0
    while place < len(pieces):
        piece, place = pieces[place], place + 1
        if piece.kind == "heading":
            out.append(_plain(piece))
            continue
        before: list[str] = []
        if piece.kind == "note":
            before, place = _notes(pieces, place - 1)
        elif _is_wide(piece):
            out.append(piece.html)
            continue
        else:
            place -= 1
        text, place = _texts(pieces, place, whole=bool(before))
        after, place = _notes(pieces, place) if text else ([], place)
        out.append(_row(before, text, after))
    return "".join(out)


def _texts(pieces: Sequence[Piece], place: int, whole: bool) -> tuple[str, int]:
    """The passage from here: one block, or, beside notes that came first, all up to the next note or heading."""
    found: list[str] = []
    while place < len(pieces) and pieces[place].kind in ("block", "figure") and not _is_wide(pieces[place]):
        if found and not whole:
            break
        found.append(pieces[place].html)
        place += 1
    return "".join(found), place


def _notes(pieces: Sequence[Piece], place: int) -> tuple[list[str], int]:
    found = []
    while place < len(pieces) and pieces[place].kind == "note":
        found.append(pieces[place].html)
        place += 1
    return found, place


def _is_wide(piece: Piece) -> bool:
    """A table or a drawing takes the whole width; notes go below it."""
    return 'class="scroll wide"' in piece.html


def _row(before: Sequence[str], text: str, after: Sequence[str]) -> str:
    if not before and not after:
        return text
    if not text:
        return "".join(before)
    sides = [f'<div class="side">\n{"".join(each)}</div>\n' if each else "" for each in (before, after)]
    kind = "row between" if before and after else "row"
    return f'<div class="{kind}">\n{sides[0]}<div class="text">\n{text}</div>\n{sides[1]}</div>\n'


def _plain(piece: Piece) -> str:
    if piece.kind != "heading":
        return piece.html
    kind = ' class="part"' if piece.part else ""
    return f'<h{piece.level} id="{piece.anchor}"{kind}>{piece.html}</h{piece.level}>\n'


def _foot(title: str, version: str, date: str, author: str, said: Phrases) -> str:
    told = ", ".join(each for each in (title, said.version.format(version) if version else "", date) if each)
    by = f" {said.by.format(author)}." if author else ""
    return (
        f"<footer>\n<p>{_text(told + '.' + by)}</p>\n"
        f'<p class="kept" hidden="hidden">{said.kept} <button type="button">{said.clear}</button></p>\n</footer>\n'
    )
