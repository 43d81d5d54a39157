"""The errata sheet as Markdown: what knits differently first, then one correction after the other."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from itertools import pairwise

from grader.comparing.gathering import STAYS
from grader.comparing.telling import ABBREVIATIONS, Teller
from grader.models.document import Table
from grader.models.errata import Correction, Errata
from grader.write_up import capital, lettered, line, pipes, plain, prose

_WORDS = {
    "often": "how often",
    "count": "count",
    "say": "words",
    "check": "“Check”",
    "why": "“Why”",
    "takes": "takes",
    "ends": "at the end",
}
_KNITTED = ("line", "often", "count", "takes", "ends")  # quoted as lines, the rest as prose
_SHORT = 70  # characters that may all be bold
_LONGEST = 160  # characters of a sentence in a changelog
_ENGLISH = Teller()
_MOST_CHANGES = 8  # sentences of a changelog entry; with more it sums up by section


def write_errata(errata: Errata, entry: bool = True, tell: Teller = _ENGLISH) -> str:
    """The sheet; with `entry` it ends with a changelog entry to paste into the pattern file, which is in English.

    Knitters have no use for that entry, so the printed sheet goes without. `tell` says all of it in another language.
    """
    say = tell.text
    title = plain(tell.name(errata.title))
    parts = [f"# {say('Errata')}: {title}", _versions(errata, tell), f"**{line(summed_up(errata, tell))}**"]
    parts += [f"- {prose(say(notice))}" for notice in (*errata.notices, *_doubts(errata))]
    if errata.corrections:
        lettering = any(each.numbers for each in errata.corrections)
        parts.append(say(_how_to_read(lettering, any(STAYS in each.before for each in errata.corrections))))
    section = ""
    for each in errata.corrections:
        if each.section != section:
            section = each.section
            parts.append(f"## {plain(say(section))}")
            parts += _in_columns(
                [other for other in errata.corrections if _is_figure(other) and other.section == section], tell
            )
        if not _is_figure(each):
            parts.append(_correction(each, tell))
    if entry:
        parts += ["## For the changelog", "Put this on top of `changelog:` in the pattern file:".replace("`", "")]
        parts.append("\n".join(f"    {row}" for row in changelog_entry(errata).splitlines()))
    return _spaced(parts)


def _doubts(errata: Errata) -> Iterator[str]:
    """What could not be compared, and why."""
    for which in errata.unsound:
        yield f"The {which} version has mistakes of its own; it is compared as far as it could be knitted."
    if errata.left_out and errata.compared:
        sizes = capital(_ENGLISH.sizes(errata.left_out))
        yield f"{sizes} could not be knitted to the end in both versions: only what is printed was compared."


def _is_figure(each: Correction) -> bool:
    """A column of the size table, short enough to stand in a table again."""
    return each.sort == "fact" and bool(each.readings) and not each.numbers


def _in_columns(figures: Sequence[Correction], tell: Teller) -> list[str]:
    rows = tuple(
        (
            tell.text(each.place),
            scope_of(each, tell),
            tell.quoted(each, each.before),
            _bold(tell.quoted(each, each.after)),
        )
        for each in figures
    )
    heads = tuple(map(tell.text, ("Column", "For", "Instead of", "Read")))
    return [pipes(Table(heads, rows, "llrr"))] if rows else []


def _spaced(parts: Sequence[str]) -> str:
    """Blocks with a blank line between; short items of one list stand together."""
    told = list(parts[:1])
    for before, part in pairwise(parts):
        together = before.startswith("- ") and part.startswith("- ") and "\n" not in before + part
        told += ["\n" if together else "\n\n", part]
    return "".join(told) + "\n"


def _versions(errata: Errata, tell: Teller) -> str:
    """Which versions these are; English ones say in which terms too."""
    old, new = (
        plain(version) + (f", {plain(date)}" if date else "")
        for version, date in zip(errata.versions, errata.dates, strict=True)
    )
    if old == new:
        told = tell.text("Version 1").replace("1", old)
    else:
        told = tell.text("From version 1 to version 2").replace("2", "\0").replace("1", old).replace("\0", new)
    return f"{told}. {errata.terms} terms." if type(tell) is Teller else f"{told}."


def summed_up(errata: Errata, tell: Teller = _ENGLISH) -> str:
    """Which sizes knit differently, in a sentence or two."""
    say = tell.text
    if not errata.compared:
        return say("No size could be knitted to the end in both versions, so only what is printed was compared.")
    count = sum(len(each.sizes) for each in errata.touched)
    if not errata.touched:
        same = "Every size knits the same stitches as before"
        return say(f"{same}; only words and figures changed." if errata.corrections else f"{same}.")
    if count == errata.compared and len(errata.touched) == 1 and not errata.touched[0].setups and count > 1:
        return say("All sizes knit differently.")
    told = ", ".join(map(tell.knits, errata.touched))
    others = "all other sizes that were compared" if errata.left_out else "all other sizes"
    rest = f"; {say(f'{others} knit the same stitches')}" if count < errata.compared else ""
    return f"{capital(told)}{rest}."


def _how_to_read(lettering: bool, dotted: bool) -> str:
    told = "Mark these in your copy. Figures in brackets are those of the sizes named, in their order."
    if lettering:
        told += " A bold letter stands for the figures in the table below it; it is a letter of this sheet only."
    if dotted:
        told += f" {STAYS} stands for the figure that is there: it stays."
    return told


def _correction(each: Correction, tell: Teller) -> str:
    show = line if each.sort in _KNITTED else prose
    is_abbreviation = each.section == ABBREVIATIONS
    named = each.place if is_abbreviation else tell.place(each.place or _word(each))
    place = line(named if is_abbreviation else capital(named))
    before, after = (tell.quoted(each, text) for text in (each.before, each.after))
    scope = _head(each, tell)
    rows = [scope] if scope else []
    if before:
        rows.append(f"{tell.text('instead of' if after else 'leave out')}: {_ended(show(before))}")
    if after:
        label = f"{line(tell.place(each.label))}: " if each.label and not before else ""
        text = label + _ended(show(after))
        heavy = each.sort in _KNITTED or len(text) <= _SHORT
        rows.append(f"{tell.text('read' if before else 'add')}: {_bold(text) if heavy else text}")
    told = f"- **{place}:** " * bool(place) + "- " * (not place) + "  \n  ".join(rows)
    return f"{told}\n\n{lettered(tell.figures(each.numbers))}" if each.numbers else told


def _word(each: Correction) -> str:
    """What is corrected where it is no line: how often a line is worked, its count, the words beside it."""
    if each.sort == "often" and not (each.before or each.after).startswith("Work "):
        return "note"
    return _WORDS.get(each.sort, "")


def _head(each: Correction, tell: Teller) -> str:
    """What kind of change it is where it is no line, and for whom."""
    word = _word(each) if each.place else ""
    scope = scope_of(each, tell, bool(word))
    return f"{capital(tell.text(word))}: {scope}" if word else scope


def scope_of(each: Correction, tell: Teller = _ENGLISH, goes_on: bool = False) -> str:
    """ "Sizes 3 and 4, all setups"; "All sizes, double-pointed, set of 5"; small where a sentence goes on with it."""
    if each.sort == "fact" and not each.readings:
        return ""
    sizes = tell.sizes(each.sizes) if each.sizes else tell.text("all sizes")
    if each.sort != "fact":
        sizes = f"{sizes}, {tell.joined(each.setups) if each.setups else tell.text('all setups')}"
    return sizes if goes_on else capital(sizes)


def _ended(text: str) -> str:
    return text.rstrip(".")


def _bold(text: str) -> str:
    """In bold as a whole, unless something in it is bold already."""
    return text if "**" in text or "[" in text else f"**{text}**"


def changelog_entry(errata: Errata) -> str:
    """An entry of `changelog:` as YAML, ready to paste: a sentence for each change, or for each section if many."""
    rows = [f"  - version: {_quoted(errata.versions[1])}"]
    if errata.dates[1]:
        rows.append(f"    date: {_quoted(errata.dates[1])}")
    rows.append("    changes:")
    rows += [f"      - {_quoted(text)}" for text in _sentences(errata)]
    return "\n".join(rows) + "\n"


def _sentences(errata: Errata) -> Iterator[str]:
    yield summed_up(errata)
    yield from errata.notices
    if len(errata.corrections) <= _MOST_CHANGES:
        yield from (_sentence(each) for each in errata.corrections)
        return
    by_section: dict[str, int] = {}
    for each in errata.corrections:
        by_section[each.section] = by_section.get(each.section, 0) + 1
    for section, count in by_section.items():
        yield f"{section}: {count} correction{'s' if count > 1 else ''}."


def _sentence(each: Correction) -> str:
    place = ", ".join(part for part in (each.place, _word(each)) if part)
    where = f"{each.section}, {place}" if place else each.section
    scope = scope_of(each, goes_on=True)
    sizes = f" ({scope})" if scope else ""
    before, after = (text.replace("**", "").rstrip(".") for text in (each.before, each.after))
    if each.numbers:
        return f"{where}{sizes}: other figures."
    if len(before) + len(after) > _LONGEST:
        return f"{where}{sizes}: corrected."
    if not before:
        return f"{where}{sizes}: added “{after}”."
    return f"{where}{sizes}: “{after}” instead of “{before}”." if after else f"{where}{sizes}: “{before}” is left out."


def _quoted(text: str) -> str:
    """A YAML string in double quotes, which are those of JSON; braces would be taken for formulas."""
    return json.dumps(text.replace("{", "(").replace("}", ")"), ensure_ascii=False)
