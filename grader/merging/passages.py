"""Turning aligned blocks into passages of print: labels, lines, how often, and the words beside them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction

from grader.merging.alignment import Aligned
from grader.merging.numbers import Lettering, Merged, merge_texts, numbered, skeleton
from grader.models.document import Instruction, Passage
from grader.models.instructions import Block, PrintedLine
from grader.notation import speak
from grader.vocabulary.lengths import print_length
from grader.vocabulary.wording import joined

_LABELS = {
    "pick_up": "Pick-up round",
    "part_round": "",
    "cast_on": "",
    "arrange": "",
    "rest": "",
    "graft": "",
    "bind_off": "",
    "gather": "",
    "rejoin": "",
}


_FABRIC = re.compile(r"([A-Za-z_]\w*)(?: ?\([^()]*\))?")
_ROUNDS = re.compile(r"Rounds? (?P<first>\d+)(?: (?:and|to) (?P<last>\d+))?|Next (?:(?P<count>\d+) )?rounds?")
_PAIR = 2
_NUMBER_WORDS = {2: "two", 3: "three", 4: "four"}


@dataclass(slots=True)
class Labels:
    """Counts rounds and rows through a section; after a repeat the next ones are "Next round".

    Of what is repeated after that, a pair has the same label, and more lines than two are counted from 1 again: a
    number that goes on counting lines would no longer be that of the round.
    """

    number: int = 0
    repeated: bool = False

    def take(self, block: Block, repeats: bool, for_all: bool = True) -> tuple[str, ...]:
        """A label for each line of a block; what only some sizes work does not count."""
        worked = len(_worked(block))
        unnumbered = not for_all and not repeats
        if self.repeated:
            unnumbered = not repeats or worked == _PAIR
            self.number = 0
        labels = []
        for line in block.lines:
            if line.kind not in ("round", "row"):
                labels.append(_LABELS.get(line.kind, ""))
                continue
            side = f" ({line.side})" if line.side else ""
            if worked == 1 and repeats:
                labels.append(f"Every {line.kind}{side}")
            elif unnumbered:
                labels.append(f"Next {line.kind}{side}")
            else:
                self.number += 1
                labels.append(f"{line.kind.capitalize()} {self.number}{side}")
        self.repeated = self.repeated or repeats
        return tuple(labels)


@dataclass(slots=True)
class Printer:
    """What passages of one section share: the letters, the units, the sizes the setup holds, and the labels."""

    lettering: Lettering
    available: tuple[str, ...]
    units: str
    rounds_per_cm: Fraction
    one_size: bool
    charted: tuple[tuple[str, str], ...] = ()
    spoken: bool = False
    labels: Labels = field(default_factory=Labels)

    def merge(self, texts: dict[str, str]) -> list[Merged]:
        """Merge the texts of those sizes that have one."""
        return merge_texts({size: text for size, text in texts.items() if text}, self.lettering, self.available)

    def passages(self, aligned: Aligned) -> list[Passage]:
        """The block as print: one passage, or one for each group of sizes that word it differently."""
        blocks = aligned.by_size
        repeats = any(block.times > 1 for block in blocks.values())
        longest = max(blocks.values(), key=lambda block: len(block.lines))
        labels = self.labels.take(longest, repeats, set(blocks) == set(self.available))
        told = [self.passage(group, labels, repeats) for group in self.groups(aligned)]
        told[0] = replace(told[0], say=self.words({size: block.say for size, block in blocks.items()}, named=True))
        told[-1] = replace(
            told[-1],
            why=self.words({size: block.why for size, block in blocks.items()}, named=True),
            check=self.words({size: block.check for size, block in blocks.items()}, named=True),
        )
        return told

    def groups(self, aligned: Aligned) -> list[dict[str, Block]]:
        """Sizes whose lines have the same words."""
        number = self.lettering.number
        groups: dict[tuple[str, ...], dict[str, Block]] = {}
        for size, block in aligned.by_size.items():
            words = (line.text for line in block.lines)
            groups.setdefault(tuple(skeleton(numbered(text), number) for text in words), {})[size] = block
        return list(groups.values())

    def passage(self, group: dict[str, Block], labels: tuple[str, ...], repeats: bool) -> Passage:
        first = next(iter(group.values()))
        instructions = []
        for place, line in enumerate(first.lines):
            texts = {size: block.lines[place].text for size, block in group.items()}
            if self.spoken:
                texts = {size: speak(text) for size, text in texts.items()}
            text = self.one(texts)
            count = ""
            if place == len(first.lines) - 1 and not repeats and line.kind not in ("cast_on", "graft", "arrange"):
                counts = {size: _sts(block.stated) for size, block in group.items() if block.stated is not None}
                count = self.one(counts).replace("**", "")  # a count is bold as a whole
            instructions.append(Instruction(labels[place], f"{text}.", count))
        for_all = not first.lines or set(group) == set(self.available)  # words alone name their own sizes
        sizes = "" if for_all else sizes_only(tuple(size for size in self.lettering.sizes if size in group))
        boxes = first.times * len(_worked(first)) if self.one_size and repeats else 0
        return Passage(
            gathered(instructions),
            self.closing(group, labels, repeats),
            sizes,
            boxes=boxes,
            chart=self.chart(group),
        )

    def chart(self, group: dict[str, Block]) -> str:
        """The names in print of the charts that show what a block works, and with which round it begins."""
        first = next(iter(group.values()))
        used = {name for line in first.lines for name in fabrics(line)}
        names = joined([told for name, told in self.charted if name in used])
        begins = {next((line.round_of for line in block.lines if line.round_of), 0) for block in group.values()}
        if not names or len(begins) > 1 or begins <= {0, 1}:
            return names
        return f"{names}, beginning with its round {begins.pop()}"

    def one(self, texts: dict[str, str]) -> str:
        """Merge texts that are known to share their words."""
        return " ".join(merged.text for merged in self.merge(texts))

    def words(self, texts: dict[str, str], named: bool = False) -> str:
        """Merge prose; where sizes word it differently each says for whom, and if `named` where some lack it."""
        merged = self.merge(texts)
        if len(merged) == 1 and not (named and merged[0].sizes):
            return merged[0].text
        return " ".join(f"{sizes_only(each.sizes)}: {each.text}" if each.sizes else each.text for each in merged)

    def closing(self, group: dict[str, Block], labels: tuple[str, ...], repeats: bool) -> str:
        """How often, how long, and until when."""
        if not repeats:
            return self.words({size: block.note for size, block in group.items()})
        return self.words({size: self.often(block, labels) for size, block in group.items()})

    def often(self, block: Block, labels: tuple[str, ...]) -> str:
        """ "Work 15 rounds, 3.5 cm." or "Work these last two rounds 10 times in all, until 64 sts are left." """
        lines = _worked(block)
        kind = lines[0].kind
        until = ""
        before = sum(count for _, count in lines[0].regions)
        if block.stated not in (None, before) and kind == "round":
            grows = (block.stated or 0) > before
            until = f", until there are {_sts(block.stated)}" if grows else f", until {_sts(block.stated)} are left"
        if len(lines) == 1:
            length = ""
            if block.length is not None and kind == "round":
                length = f", {print_length(block.times / self.rounds_per_cm, self.units)}"
            return f"Work {block.times} {kind if block.times == 1 else kind + 's'}{length}{until}."
        times = f"{block.times} {'time' if block.times == 1 else 'times'} in all"
        all_of_it = "" if until else f": {block.times * len(lines)} {kind}s"
        begins = next((each for each in labels if each), "")
        these = "these" if re.search(r"\b1\b", begins) else "these last"  # others stand before them
        return f"Work {these} {_NUMBER_WORDS.get(len(lines), len(lines))} {kind}s {times}{all_of_it}{until}."


def gathered(instructions: Iterable[Instruction]) -> tuple[Instruction, ...]:
    """Rounds in the same words one after the other are told once: "Rounds 4 to 6"."""
    told: list[Instruction] = []
    for each in instructions:
        before = told[-1] if told else None
        span = _joined_label(before.label, each.label) if before else ""
        if before and span and before.text == each.text and not before.count:
            told[-1] = replace(before, label=span, count=each.count)
        else:
            told.append(each)
    return tuple(told)


def is_round(label: str) -> bool:
    """True for the label of single rounds, not of one that is worked over and over."""
    return bool(_ROUNDS.fullmatch(label))


def _joined_label(first: str, second: str) -> str:
    """One label for the rounds of both; "" where they do not follow each other."""
    before, after = _ROUNDS.fullmatch(first), _ROUNDS.fullmatch(second)
    if not before or not after or bool(before["first"]) != bool(after["first"]):
        return ""
    if not before["first"]:
        return f"Next {int(before['count'] or 1) + int(after['count'] or 1)} rounds"
    begin, end = before["first"], after["last"] or after["first"]
    return f"Rounds {begin} {'and' if int(end) - int(begin) == 1 else 'to'} {end}"


def fabrics(line: PrintedLine) -> tuple[str, ...]:
    """The stitch patterns that a line is worked in, with or without the region each is worked over."""
    return tuple(_FABRIC.findall(line.fabric))


def _worked(block: Block) -> list[PrintedLine]:
    """The lines of a block that work something; a change of colour between them is no round."""
    return [line for line in block.lines if line.kind != "note"]


def _sts(count: int | None) -> str:
    return "" if count is None else f"{count} {'st' if count == 1 else 'sts'}"


def sizes_only(sizes: tuple[str, ...]) -> str:
    """ "Size 3 only", "Sizes 1 and 3 only", "Sizes 1 to 4 only"."""
    if len(sizes) == 1:
        return f"Size {sizes[0]} only"
    return f"Sizes {joined(runs_of(sizes))} only"


def runs_of(sizes: tuple[str, ...]) -> list[str]:
    """Numbered sizes in a row told as a run: 1, 2, 3, 5 become "1 to 3" and "5"."""
    if not all(size.isdigit() for size in sizes):
        return list(sizes)
    told: list[str] = []
    numbers = [int(size) for size in sizes]
    at = 0
    while at < len(numbers):
        end = at
        while end + 1 < len(numbers) and numbers[end + 1] == numbers[end] + 1:
            end += 1
        told.extend(
            [f"{numbers[at]} to {numbers[end]}"] if end - at > 1 else [str(number) for number in numbers[at : end + 1]]
        )
        at = end + 1
    return told
