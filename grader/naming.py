"""The one place that gives names to files: whatever is another thing gets another name, and the same thing the same.

A name is worked out from what it names and from nothing else: no folder is looked into and no run is remembered, so
that a document made again takes its own place and never that of another. Names are small letters of any script, so that
they differ on disks that don't tell capitals apart; texts that differ in capitals or in the width of their spaces alone
are one thing, unless several of one pattern or list do (`told_apart`).
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

from grader.models.edition import EDITIONS, Edition
from grader.vocabulary.unprintable import Unprintable

TITLE_BYTES, PART_BYTES = 60, 32  # of UTF-8, so that every name that is put together stays below the 255 of most disks
_SAID = {" ": "-", "-": "_", "'": "~", ".": ".", ",": ",", "+": "+"}  # each sign as one that is safe in a name
_LOOSE = "-_~.,"  # signs that neither begin nor end a name whose text they don't give back
_UNSEEN = re.compile("[\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u3164\ufe00-\ufe0f\uffa0\U000e0100-\U000e01ef]")
_WINDOWS = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d|conin\$|conout\$)(?:\.|$)")
_SINGLE = tuple(kind.suffix[1:] for kind in EDITIONS.values() if kind.single)
_NAMED = ("for", "class", "errata", "chart", "picture", "diagram", "stripes", "yarn", "lang")
_MARKERS = "|".join((*_SINGLE, *_NAMED))  # before others' words
_TONGUES = tuple(sorted(path.stem for path in (Path(__file__).parent / "data" / "languages").glob("*.yaml")))
_GAUGE = r"\d+(?:\.\d+)?x\d+(?:\.\d+)?"
_SETUPS = (
    "short-circular",
    "long-circular-magic-loop",
    "double-pointed-set-of-5",
    "double-pointed-set-of-4",
)
_OTHERS = ("us", "letter", "a4", "a5", "one-off", "by-setup", "sheets", "list", "ruler", "window")
_KINDS = tuple(kind.suffix[1:] for kind in EDITIONS.values() if kind.suffix)
_OURS = "|".join((*_KINDS, *_SETUPS, *_TONGUES, *_OTHERS, _GAUGE))
_LIKE_OURS = re.compile(rf"-(?:{_MARKERS})(?:-|$)|-(?:{_OURS})$")
_BEGINS_LIKE_OURS = re.compile(rf"(?:{_MARKERS}|letter|a4|a5|list)(?:-|$)")


def title_stem(title: str) -> str:
    """How the files of a pattern begin, from its title."""
    return _stem(title, TITLE_BYTES, _LIKE_OURS.search(_readable(_same(title))) is not None, "pattern")


def source_stem(title: str) -> str:
    """The name of a new pattern file, which takes no other's place: letters, digits and underscores."""
    plain = "".join(each for each in unicodedata.normalize("NFKD", title.lower()) if not unicodedata.combining(each))
    return re.sub(r"[\W_]+", "_", plain).strip("_")[:TITLE_BYTES].rstrip("_") or "pattern"


def part_stem(text: str, most: int = PART_BYTES) -> str:
    """The part of a name that tells of a person, a list, a size or what else somebody named, after words of ours."""
    slug = _readable(_same(text))
    return _stem(text, most, bool(_LIKE_OURS.search(slug) or _BEGINS_LIKE_OURS.match(slug)), "x")


def word_stem(text: str) -> str:
    """The same for words of ours, of which no two are alike: the name of a setup."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def told_apart(things: Sequence[tuple[str, str]], most: int = PART_BYTES) -> list[str]:
    """The `part_stem` of each thing, from its name and what else there is to tell of it.

    Those that would be one file on some disk have a mark that tells them apart, made of all that is told; what is alike
    in that too is counted.
    """
    stems = [part_stem(name, most) for name, _ in things]
    shared = {stem for stem, count in Counter(stems).items() if count > 1}
    seen: Counter[tuple[str, str]] = Counter()
    named = []
    for thing, stem in zip(things, stems, strict=True):
        seen[thing] += 1
        again = f".{seen[thing]}" if seen[thing] > 1 else ""
        named.append(f"{stem.strip(_LOOSE)}--{_mark(chr(0).join(thing))}{again}" if stem in shared else stem)
    return named


def edition_stem(stem: str, edition: Edition) -> str:
    """The file name of an edition: its kind, US terms, another language than English and another paper than A4."""
    us = "-us" if edition.terms == "US" else ""
    return f"{stem}{us}{tongue_stem(edition)}{edition.of.suffix}{paper_stem(edition)}"


def tongue_stem(edition: Edition) -> str:
    """What a name says of the language: nothing for English, its letters where its catalogue ships, else its tag."""
    if edition.language is None:
        return ""
    return f"-{edition.short_tag}" if edition.short_tag in _TONGUES else f"-lang-{word_stem(edition.language.tag)}"


def paper_stem(edition: Edition) -> str:
    """What a name says of the paper: nothing for A4, or where there is none."""
    return f"-{edition.paper}" if edition.paper != "a4" and edition.of.form == "pdf" else ""


def put_together(files: dict[str, bytes], more: Mapping[str, bytes]) -> None:
    """Put the files of one document to those of others, which may share a drawing but nothing else.

    Raises:
        Unprintable: two different files would have one name.
    """
    for name, content in more.items():
        if files.setdefault(name, content) != content:
            raise Unprintable(
                f"two documents would both be called {name}; give what they are of names that differ more"
            )


def _stem(text: str, most: int, unclear: bool, nameless: str) -> str:
    """The readable name, and a mark where it doesn't give back the text that it stands for."""
    same = _same(text)
    slug = _readable(same)
    short = slug.encode()[:most].decode(errors="ignore")
    name = short.strip(_LOOSE) if short != slug or unclear else slug
    whole = name == slug and _gives_back(same, slug) and not unclear and not _WINDOWS.match(slug)
    return name if whole else f"{name.strip(_LOOSE) or nameless}--{_mark(same)}"


def _same(text: str) -> str:
    """What is the same for all ways of typing one text: capitals, spaces, accents put on or built in, apostrophes."""
    return " ".join(unicodedata.normalize("NFC", text.replace("\u2019", "'").lower()).split())


def _readable(same: str) -> str:
    """Letters, digits and safe signs; hyphens in place of all else."""
    told = "".join(_SAID.get(each, each if _is_letter(each) else "\0") for each in same)
    return re.sub(r"(?<!-)-*\0[-\0]*", "-", told).strip("-").lstrip("~.")


def _gives_back(same: str, slug: str) -> bool:
    """True if the slug stands for this one text, and disks of all kinds take it for itself."""
    back = {sign: each for each, sign in _SAID.items()}
    folded = unicodedata.normalize("NFC", unicodedata.normalize("NFKC", slug).casefold())
    upper = all(len(each.upper()) == 1 and each.upper().lower() == each for each in slug)
    return bool(slug) and "".join(back.get(each, each) for each in slug) == same and folded == slug and upper


def _is_letter(each: str) -> bool:
    return unicodedata.category(each)[0] in "LNM" and not _UNSEEN.match(each)


def _mark(text: str) -> str:
    """Eight letters and digits that hardly two texts have in common (1 in 10^12)."""
    number = int.from_bytes(hashlib.sha256(text.encode(errors="surrogatepass")).digest()[:5])
    return "".join("abcdefghijkmnpqrstuvwxyz23456789"[number >> 5 * place & 31] for place in range(8))
