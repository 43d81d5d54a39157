"""The whole comparison: sizes, setups and sections by their names, then what is printed, then what is knitted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from grader.comparing.aligning import overlap
from grader.comparing.differing import differences
from grader.comparing.facts import fact_changes, last_changes, reason_changes
from grader.comparing.gathering import Found, Held, gather
from grader.comparing.printed import PrintedSection, PrintedSock, print_socks
from grader.comparing.worked import same_stitches
from grader.merging.passages import runs_of
from grader.merging.sections import Knitted
from grader.models.errata import Correction, Errata, Touched
from grader.models.language import Language
from grader.pipeline import Checked, Sock
from grader.publishing import Draft, Edition, draft
from grader.vocabulary.wording import joined

_SAME_SECTION = 0.6  # of the words in common: the same section under another name

_OF_KNITTING = ("For a pair", "Colours", "Colors", "Cast on", "Yarn m")  # facts that only a whole sock tells

Key = tuple[str, str]  # size, setup


@dataclass(frozen=True, slots=True)
class _Sides:
    """Both versions, with the socks that are in both: `pairs` by size and setup, sizes under their new names."""

    old: Checked
    new: Checked
    renamed: Mapping[str, str]
    pairs: Mapping[Key, tuple[Sock, Sock]]

    @property
    def held(self) -> Held:
        """The setups in which each size is in both versions, sizes in the order of the new one."""
        names = [body.name for body in self.new.pattern.bodies]
        told = {name: tuple(setup for size, setup in self.pairs if size == name) for name in names}
        return {name: setups for name, setups in told.items() if setups}

    @property
    def knitted(self) -> Held:
        """The same, of the socks that were knitted to their end in both versions."""
        through = {key for key, pair in self.pairs.items() if all(map(_complete, pair))}
        told = {size: tuple(each for each in setups if (size, each) in through) for size, setups in self.held.items()}
        return {size: setups for size, setups in told.items() if setups}

    @property
    def left_out(self) -> tuple[str, ...]:
        """The sizes, by their new names, that are in both versions and were not knitted to their end in both."""
        before = [self.renamed.get(body.name, body.name) for body in self.old.pattern.bodies]
        return tuple(
            body.name for body in self.new.pattern.bodies if body.name in before and body.name not in self.knitted
        )


def compare_patterns(
    old: Checked, new: Checked, terms: str = "UK", units: str = "both", language: Language | None = None
) -> Errata:
    """All that changed from the old version to the new one, in print and in the knitting.

    Both are knitted through in `terms`. What has findings is compared as far as it was knitted; the notices say so.
    With a `language` abbreviations are compared as its documents have them; all else is told in English, for
    `write_errata` to translate.
    """
    sides = _sides(old, new, terms)
    sections, notices = _sections(sides)
    front: list[Correction] = []
    last: list[Correction] = []
    if sides.pairs:
        mine, yours = (_abbreviated(_drafted(sides, side, terms, units), language) for side in (0, 1))
        front = list(fact_changes(mine.document, yours.document, sides.renamed, (mine.drawings, yours.drawings)))
        if not sides.knitted:
            front = [each for each in front if each.place not in _OF_KNITTING]
        last = list(last_changes(mine.document, yours.document))
    knitting = _of_sections(sides, sections, units)
    return Errata(
        new.pattern.title,
        (old.pattern.version, new.pattern.version),
        (old.pattern.date, new.pattern.date),
        terms,
        _touched(sides),
        len(sides.knitted),
        (*_notices(sides), *notices),
        tuple(chain(front, knitting, last, reason_changes(old.pattern, new.pattern))),
        sides.left_out,
        tuple(which for which, each in (("old", old), ("new", new)) if not each.is_sound),
    )


def _drafted(sides: _Sides, side: int, terms: str, units: str) -> Draft:
    """The document of one version, for what stands round the instructions; both name their pictures alike.

    Where a sock was not knitted to its end, the documents are of those that were in both versions, if there are any.
    """
    checked = (sides.old, sides.new)[side]
    if not all(map(_complete, (*sides.old.socks, *sides.new.socks))) and sides.knitted:
        through = [sides.pairs[size, setup][side] for size, setups in sides.knitted.items() for setup in setups]
        checked = replace(checked, socks=tuple(through))
    return draft(checked, Edition(terms, units), "sock", "sock")


def _abbreviated(drafted: Draft, language: Language | None) -> Draft:
    """The draft with the abbreviations of a language: one of ours may be none there, or two of ours the same."""
    if language is None:
        return drafted
    from grader.translating import translate

    told = translate(drafted.document, language).abbreviations
    return replace(drafted, document=replace(drafted.document, abbreviations=told))


def _complete(sock: Sock) -> bool:
    return all(record.complete for record in sock.records)


def _sides(old: Checked, new: Checked, terms: str) -> _Sides:
    mine, yours = (
        {(sock.graded.body.name, sock.instructions.setup): sock for sock in each.socks if sock.record.terms == terms}
        for each in (old, new)
    )
    before, after = ({body.name: body for body in each.pattern.bodies} for each in (old, new))
    renamed: dict[str, str] = {}
    for name, body in before.items():
        if name not in after:
            like = (other for other, feet in after.items() if other not in before and feet.measures == body.measures)
            found = next((each for each in like if each not in renamed.values()), None)
            if found is not None:
                renamed[name] = found
    named = {(renamed.get(size, size), setup): sock for (size, setup), sock in mine.items()}
    return _Sides(old, new, renamed, {key: (named[key], yours[key]) for key in yours if key in named})


# -- sections

SectionPair = tuple[str, str]  # old and new name; "" where it is not there


def _sections(sides: _Sides) -> tuple[list[SectionPair], list[str]]:
    """Which section is which, in the order of the new version, and what is to be told of it."""
    before, after = ([section.name for section in each.pattern.sections] for each in (sides.old, sides.new))
    renamed = _renamed(
        sides, [each for each in before if each not in after], [each for each in after if each not in before]
    )
    old_names = {new: old for old, new in renamed.items()}
    gone = [name for name in before if name not in after and name not in renamed]
    pairs = [(name if name in before else old_names.get(name, ""), name) for name in after]
    told = [f"The section “{old}” is now called “{new}”." for old, new in renamed.items()]
    for place, (old, new) in enumerate(pairs):
        if not old:
            where = f"after “{after[place - 1]}”" if place else "at the beginning"
            told.append(f"A new section, “{new}”, stands {where}; its lines are given below.")
    told += [f"Leave out the section “{name}”." for name in gone]
    order = [old for old, _ in pairs if old]
    if order != [name for name in before if name not in gone]:
        told.append(f"The sections are worked in another order: {joined(after)}.")
    return [*pairs, *((name, "") for name in gone)], told


def _renamed(sides: _Sides, gone: Sequence[str], come: Sequence[str]) -> dict[str, str]:
    """Sections with nearly the same lines under other names, the most alike first."""
    if not sides.pairs or not gone or not come:
        return {}
    mine, yours = (_lines_by_section(each) for each in next(iter(sides.pairs.values())))
    likeness = [
        (overlap(mine.get(a, ""), yours.get(b, "")), a, b) for a in gone for b in come if a in mine and b in yours
    ]
    renamed: dict[str, str] = {}
    for score, one, other in sorted(likeness, key=lambda each: (-each[0], sorted(each[1:]))):
        if score >= _SAME_SECTION and one not in renamed and other not in renamed.values():
            renamed[one] = other
    return {name: renamed[name] for name in gone if name in renamed}


def _lines_by_section(sock: Sock) -> dict[str, str]:
    return {
        section.name: " ".join(line.text for block in section.blocks for line in block.lines)
        for section in sock.instructions.sections
    }


def _of_sections(sides: _Sides, sections: Sequence[SectionPair], units: str) -> list[Correction]:
    held, knitted = sides.held, sides.knitted
    socks = [_printed(sides, side, units) for side in (0, 1)]
    told: list[Correction] = []
    for old, new in sections:
        found: list[Found] = []
        for key in ((size, setup) for size, setups in held.items() for setup in setups):
            mine, yours = _named(socks[0][key], old), _named(socks[1][key], new)
            whole = key[1] in knitted.get(key[0], ())
            found += ((*key, each) for each in differences(mine, yours) if whole or each.sort not in ("takes", "ends"))
        told += gather(old or new, found, held)
    return told


def _printed(sides: _Sides, side: int, units: str) -> dict[Key, PrintedSock]:
    """The socks of one version in print; a size that was renamed goes by its new name."""
    checked = (sides.old, sides.new)[side]
    knitted = [Knitted(sock.graded, sock.instructions, sock.record, sock.right) for sock in checked.socks]
    terms = {pair[side].record.terms for pair in sides.pairs.values()}
    socks = print_socks([each for each in knitted if each.record.terms in terms], checked.pattern.gauge.rounds, units)
    names = sides.renamed if side == 0 else {}
    return {(names.get(size, size), setup): sock for (size, setup), sock in socks.items()}


def _named(sock: PrintedSock, name: str) -> PrintedSection | None:
    return next((each for each in sock if each.name == name), None)


# -- what is told of the whole


def _touched(sides: _Sides) -> tuple[Touched, ...]:
    """The sizes whose stitches differ, gathered by the setups they differ in."""
    by_setups: dict[tuple[str, ...], list[str]] = {}
    for size, setups in sides.knitted.items():
        other = tuple(
            setup for setup in setups if not same_stitches(*(each.records for each in sides.pairs[size, setup]))
        )
        if other:
            by_setups.setdefault(() if other == setups else other, []).append(size)
    return tuple(Touched(tuple(sizes), setups) for setups, sizes in by_setups.items())


def _notices(sides: _Sides) -> Iterator[str]:
    """Title, sizes and setups that came, went or changed their names."""
    old, new = sides.old.pattern, sides.new.pattern
    if old.title != new.title:
        yield f"The old version is called “{old.title}”."
    for name, other in sides.renamed.items():
        yield f"Size {name} is now called {other}."
    mine = [sides.renamed.get(body.name, body.name) for body in old.bodies]
    yours = [body.name for body in new.bodies]
    for some, others, what in ((mine, yours, "no longer there"), (yours, mine, "new")):
        sizes = [name for name in some if name not in others]
        if sizes:
            yield f"{_sizes(sizes)} {_are(sizes)} {what}."
    gone = [setup for setup in old.setups if setup not in new.setups]
    come = [setup for setup in new.setups if setup not in old.setups]
    if gone:
        yield f"The pattern is no longer written for {joined(gone)}."
    if come:
        yield f"The pattern is now written for {joined(come)} too."


def _sizes(names: list[str]) -> str:
    return f"Size{'s' if len(names) > 1 else ''} {joined(runs_of(tuple(names)))}"


def _are(names: list[str]) -> str:
    return "is" if len(names) == 1 else "are"
