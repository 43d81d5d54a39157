"""What changed on the pages round the instructions: facts, sizes, materials, charts, techniques, notes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from grader.comparing.aligning import align, overlap
from grader.comparing.gathering import figures, merged
from grader.merging.numbers import Lettering
from grader.models.document import Document, Table
from grader.models.drawing import Drawing
from grader.models.errata import Correction
from grader.models.pattern import Pattern
from grader.vocabulary.wording import TERMS

_LIKE = 0.5  # of the words in common: the same item, changed
_OF_FACTS = ("Yarn:", "Needles for ", "MC (", "CC")  # materials that say again what stands among the facts


def fact_changes(
    old: Document, new: Document, renamed: Mapping[str, str], drawn: tuple[Mapping[str, Drawing], Mapping[str, Drawing]]
) -> Iterator[Correction]:
    """The corrections before the instructions; `renamed` leads from old names of sizes to new ones."""
    if old.summary != new.summary:
        yield Correction("fact", "Summary", "", old.summary, new.summary)
    mine, yours = (_pairs(each.facts, ("Version",)) for each in (old, new))
    yield from _named("At a glance", mine, yours)
    yield from _sizes(old.sizes, new.sizes, renamed)
    told = {name for name in mine if mine[name] != yours.get(name)}
    repeated = _OF_FACTS if told else ()
    yield from _texts(
        "Materials",
        "",
        [each for each in old.materials if not each.startswith(repeated or ("\0",))],
        [each for each in new.materials if not each.startswith(repeated or ("\0",))],
    )
    yield from _texts("How to read this pattern", "", old.how_to_read, new.how_to_read)
    if old.gauge != new.gauge and TERMS[new.terms]["gauge"].capitalize() not in told:
        yield Correction("fact", "At a glance", TERMS[new.terms]["gauge"].capitalize(), old.gauge, new.gauge)
    yield from _named("Needle setups", dict(old.setups), dict(new.setups))
    yield from _named("Abbreviations", dict(old.abbreviations), dict(new.abbreviations))
    yield from _charts(old, new, drawn)
    yield from _named("Techniques", dict(old.techniques), dict(new.techniques))


def last_changes(old: Document, new: Document) -> Iterator[Correction]:
    """The corrections behind the instructions."""
    yield from _texts("Finishing", "", old.finishing, new.finishing)
    yield from _texts("Notes", "", old.notes, new.notes)
    yield from _texts("Take care", "", old.cautions, new.cautions)


def reason_changes(old: Pattern, new: Pattern) -> Iterator[Correction]:
    """The reasons of the numbers, which booklets and worksheets print."""
    mine, yours = ({rule.label: rule.why for rule in each.rules if rule.label and rule.why} for each in (old, new))
    yield from _named("Why the numbers are what they are", mine, yours)


def _pairs(facts: Sequence[tuple[str, str]], without: tuple[str, ...]) -> dict[str, str]:
    return {name: text for name, text in facts if name not in without}


def _named(section: str, old: Mapping[str, str], new: Mapping[str, str]) -> Iterator[Correction]:
    for name in dict.fromkeys((*old, *new)):
        if old.get(name, "") != new.get(name, ""):
            yield Correction("fact", section, name, old.get(name, ""), new.get(name, ""))


def _texts(section: str, place: str, old: Sequence[str], new: Sequence[str]) -> Iterator[Correction]:
    """Items of a list, the ones most alike beside each other."""
    for mine, yours in align([each for each in old if each], [each for each in new if each], _likeness, lambda x: (x,)):
        if mine != yours:
            yield Correction("fact", section, place, mine or "", yours or "")


def _likeness(old: str, new: str) -> float:
    if old == new:
        return 6.0
    shared = overlap(old, new)
    return 1 + 4 * shared if shared >= _LIKE else 0.0


def _sizes(old: Table, new: Table, renamed: Mapping[str, str]) -> Iterator[Correction]:
    """The size table, column by column, for the sizes that are in both."""
    mine = {renamed.get(row[0], row[0]): dict(zip(old.heads, row, strict=True)) for row in old.rows}
    yours = {row[0]: dict(zip(new.heads, row, strict=True)) for row in new.rows}
    both = [size for size in yours if size in mine]
    for head in new.heads[1:]:
        if head not in old.heads:
            continue
        sizes = tuple(size for size in both if mine[size][head] != yours[size][head])
        if not sizes:
            continue
        lettering = Lettering(sizes)
        before, after = (_row([table[size][head] for size in sizes], lettering) for table in (mine, yours))
        limited = () if len(sizes) == len(both) else sizes
        readings = tuple((size, "", mine[size][head], yours[size][head]) for size in sizes)
        yield Correction(
            "fact", "Size table", head, before, after, limited, (), figures(lettering, before + after), "", readings
        )


def _row(cells: Sequence[str], lettering: Lettering) -> str:
    """The cells of a column, in brackets or under a letter as numbers are."""
    texts = dict(zip(lettering.sizes, cells, strict=True))
    if len(cells) > 1 and len(set(cells)) > 1:
        return lettering.show(tuple(cells))
    return merged(texts, lettering)


def _charts(
    old: Document, new: Document, drawn: tuple[Mapping[str, Drawing], Mapping[str, Drawing]]
) -> Iterator[Correction]:
    mine, yours = ({chart.pattern: chart for chart in each.charts} for each in (old, new))
    for name in dict.fromkeys((*mine, *yours)):
        before, after = mine.get(name), yours.get(name)
        if before is None or after is None:
            there = (before or after).name  # type: ignore[union-attr]
            yield Correction("fact", "Charts", there, before.name if before else "", after.name if after else "")
            continue
        pictures = [
            [each.get(file) for file, _ in chart.pictures] for each, chart in zip(drawn, (before, after), strict=True)
        ]
        if pictures[0] != pictures[1] or before.size != after.size:
            yield Correction(
                "fact", "Charts", after.name, "The chart as printed", f"The chart of the new version. {after.size}"
            )
