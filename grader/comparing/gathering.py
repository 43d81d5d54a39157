"""Telling each change once: alike changes of many sizes and setups become one correction, its numbers in brackets."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from grader.comparing.differing import Difference
from grader.merging.numbers import Lettering, merge_texts, numbered, skeleton
from grader.merging.passages import runs_of
from grader.models.document import Table
from grader.models.errata import Correction, Reading
from grader.vocabulary.wording import joined

STAYS = "…"  # in print, a figure that is the same in both versions
_LETTER = re.compile(r"\*\*[A-Z]+\*\*")

Found = tuple[str, str, Difference]  # size, setup, what differs
Held = dict[str, tuple[str, ...]]  # the setups that each size was compared in


@dataclass(slots=True)
class _Alike:
    """One difference of one size, and the setups it was met in."""

    difference: Difference
    size: str
    setups: list[str] = field(default_factory=list)


def gather(section: str, found: Iterable[Found], held: Held) -> list[Correction]:
    """The corrections of a section in the order in which they stand there."""
    alike: dict[tuple[str, Difference], _Alike] = {}
    for size, setup, difference in found:
        each = alike.setdefault((size, difference), _Alike(difference, size))
        if setup not in each.setups:
            each.setups.append(setup)
    groups: dict[tuple[object, ...], list[_Alike]] = {}
    for each in sorted(alike.values(), key=lambda one: one.difference.at):
        what = each.difference
        setups = () if set(each.setups) == set(held[each.size]) else tuple(each.setups)
        form = tuple(skeleton(numbered(text)) for text in (what.before, what.after))
        groups.setdefault((what.sort, what.place, what.label, form, setups), []).append(each)
    told = [_correction(section, group, setups, held) for (*_, setups), group in groups.items()]  # type: ignore[arg-type]
    return list(_in_one_place(told))


def _correction(section: str, group: list[_Alike], setups: tuple[str, ...], held: Held) -> Correction:
    first = group[0].difference
    there = {each.size: each.difference for each in group}
    sizes = tuple(size for size in held if size in there)
    lettering = Lettering(sizes)
    before = merged({size: there[size].before for size in sizes}, lettering)
    after = merged({size: there[size].after for size in sizes}, lettering)
    readings: tuple[Reading, ...] = tuple(
        (each.size, setup, each.difference.before, each.difference.after) for each in group for setup in each.setups
    )
    before, after = _without_what_stays(before, after, lettering)
    told = Correction(
        first.sort,
        section,
        first.place,
        before,
        after,
        () if len(sizes) == len(held) else sizes,
        setups,
        figures(lettering, before + after),
        first.label,
        readings,
    )
    return _lettered_anew(told)


def merged(texts: dict[str, str], lettering: Lettering) -> str:
    """One text of those of the sizes that have one."""
    there = {size: text for size, text in texts.items() if text}
    if len(set(there.values())) == 1:  # as it stands, words for numbers too
        return next(iter(there.values()))
    return " ".join(each.text for each in merge_texts(there, lettering, lettering.sizes))


def _without_what_stays(before: str, after: str, lettering: Lettering) -> tuple[str, str]:
    """Dots for the letters that stand at the same place in both: their figures need no table."""
    mine, yours = _LETTER.findall(before), _LETTER.findall(after)
    alike = _LETTER.sub("", before) == _LETTER.sub("", after) and len(mine) == len(yours)
    if not lettering.in_use or not (alike or mine == yours):
        return before, after
    same = [one == other for one, other in zip(mine, yours, strict=True)]
    return _dotted(before, same), _dotted(after, same)


def _dotted(text: str, same: list[bool]) -> str:
    stays = iter(same)
    return _LETTER.sub(lambda found: STAYS if next(stays) else found[0], text)


def _lettered_anew(correction: Correction) -> Correction:
    """The letters that are left, from A on."""
    if correction.numbers is None:
        return correction
    old = list(dict.fromkeys(row[0].split()[0] for row in correction.numbers.rows))
    new = dict(zip(old, _first_letters(len(old)), strict=True))
    rows = tuple((" ".join([new[row[0].split()[0]], *row[0].split()[1:]]), *row[1:]) for row in correction.numbers.rows)

    def renamed(text: str) -> str:
        return _LETTER.sub(lambda found: f"**{new[found[0].strip('*')]}**", text)

    numbers = replace(correction.numbers, rows=rows)
    return replace(correction, before=renamed(correction.before), after=renamed(correction.after), numbers=numbers)


def _first_letters(count: int) -> list[str]:
    """The names that as many letters have in a pattern."""
    fresh = Lettering(())
    return [fresh.letter((str(number), "")) for number in range(count)]


def figures(lettering: Lettering, text: str) -> Table | None:
    """The numbers under the letters of `text`, a length in a row for each unit; none where brackets hold them."""
    rows: list[tuple[str, ...]] = []
    for letter, values in lettering.rows if lettering.in_use else ():
        if f"**{letter}**" not in text:
            continue
        if any(" cm / " in value for value in values):
            rows.append((f"{letter} cm", *(value.split(" cm")[0] for value in values)))
            rows.append((f"{letter} in", *(value.split("/ ")[-1].removesuffix(" in") for value in values)))
        else:
            rows.append((letter, *values))
    return Table(("Size", *lettering.sizes), tuple(rows), "l" + "r" * len(lettering.sizes)) if rows else None


def _in_one_place(corrections: list[Correction]) -> Iterator[Correction]:
    """The same correction of several lines is told once, with all their labels."""
    groups: dict[tuple[object, ...], list[Correction]] = {}
    for each in corrections:
        new = each.label if not each.before else ""
        key = (each.sort, each.before, each.after, each.sizes, each.setups, each.numbers, new)
        groups.setdefault(key, []).append(each)
    for group in groups.values():
        places = list(dict.fromkeys(each.place for each in group if each.place))
        readings = tuple(reading for each in group for reading in each.readings)
        yield replace(group[0], place=_places(places), readings=readings)


def _places(labels: list[str]) -> str:
    """Round 4, Round 5 and Round 6 as "Rounds 4 to 6"; others by their names."""
    numbers = [label.removeprefix("Round ") for label in labels]
    if len(labels) > 1 and all(number.isdigit() for number in numbers):
        return f"Rounds {joined(runs_of(tuple(numbers)))}"
    return joined(labels)
