"""Reading an instruction line: rounds, rows and parts of them.

`read_line` takes what a designer writes and what we print, UK or US terms, any case, and
returns the tree; it raises `NotationError` with the character that can't be read.
"""

from __future__ import annotations

import itertools
import re
from functools import lru_cache

from grader.notation.cursor import Cursor, check_length, whole
from grader.notation.sentences import read_sentence
from grader.notation.tokens import MOST_NEEDLES, NotationError
from grader.notation.tree import (
    Count,
    Group,
    Item,
    Line,
    Mark,
    Op,
    Part,
    PickUp,
    Reach,
    Repeat,
    Round,
    Run,
    Statement,
    Turn,
)
from grader.vocabulary.colours import colour_named
from grader.vocabulary.stitches import MANNERS, SINGLES, stitch_named

_STATED = re.compile(r"\((\d+|\{[^{}]*\})\s+sts?\)\s*+\.?\s*+$")
_RUNS = {"k": "k", "knit": "k", "p": "p", "purl": "p", "patt": "patt", "work": "patt"}
_TIMES_WORDS = {"once": 1, "twice": 2}
DEEPEST = 12  # brackets and repeats within one another


class _Reader(Cursor):
    """Recursive descent over the tokens of one line."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.depth = 0

    # -- rounds and parts

    def round(self) -> tuple[Part, ...]:
        parts: list[Part] = []
        while self.peek().kind != "end":
            parts.append(self.part(parts))
            while self.word("."):
                pass
        if not parts:
            raise self.fail("an instruction")
        if len(parts) > 1:
            unnamed = [not part.needles and not part.each and not part.region for part in parts]
            if unnamed[0] and not any(unnamed[1:]):
                parts[0] = Part(parts[0].line, (1,))  # the needle in hand is needle 1
            elif any(unnamed):
                raise NotationError("a line with several parts names the needles or the region of each", 0)
        return tuple(parts)

    def part(self, before: list[Part]) -> Part:
        needles, each, region = self.label()
        if (needles or each) and self.word("as", "needle"):
            same = self.need_count("the number of a needle")
            model = next((part for part in before if same in part.needles), None)
            if model is None:
                raise NotationError(f"needle {same} has no line above", self.peek().offset)
            return Part(model.line, needles, each, region)
        return Part(Line(self.line()), needles, each, region)

    def label(self) -> tuple[tuple[int, ...], bool, str]:
        if self.word("each", "needle"):
            self.colon()
            return (), True, ""
        if self.peek().text.lower() in ("needle", "needles") and self.peek(1).kind == "number":
            self.take()
            needles = self.needle_numbers()
            region = self.bracketed_words() if self.word("(") else ""
            self.colon()
            return needles, False, region
        words = 0
        while self.peek(words).kind == "word" and words < 4:
            words += 1
        if words and self.peek(words).text == ":":
            region = " ".join(self.take().text.lower() for _ in range(words))
            self.colon()
            return (), False, region
        return (), False, ""

    def needle_numbers(self) -> tuple[int, ...]:
        numbers = [self.needle_number()]
        while True:
            if self.word("to"):
                last = self.needle_number()
                numbers.extend(range(numbers[-1] + 1, last + 1))
            elif self.peek().text in (",", "and") and self.peek(1).kind == "number":
                self.take()
                numbers.append(self.needle_number())
            else:
                return tuple(numbers)

    def needle_number(self) -> int:
        token = self.peek()
        if token.kind != "number":
            raise self.fail("the number of a needle")
        number = int(self.take().text)
        if not 1 <= number <= MOST_NEEDLES:
            raise NotationError(f"needles are numbered from 1 to {MOST_NEEDLES}, not {token.text}", token.offset)
        return number

    def bracketed_words(self) -> str:
        words = []
        while not self.word(")"):
            if self.peek().kind == "end":
                raise self.fail("a closing bracket")
            words.append(self.take().text.lower())
        return " ".join(words)

    # -- items

    def at_semicolon_between_items(self) -> bool:
        """A semicolon that is not the one before "rep from *"."""
        return self.peek().text == ";" and self.peek(1).text.lower() not in ("rep", "repeat")

    def line(self) -> tuple[Item, ...]:
        items: list[Item] = []
        while True:
            items.append(self.item())
            if self.word(",") or (self.at_semicolon_between_items() and self.word(";")):
                continue
            if self.peek().kind == "end" or self.peek().text in (".", ")", "]", "*", ";"):
                self.check_bare(items)
                return tuple(items)
            raise self.fail("a comma")

    def check_bare(self, items: list[Item]) -> None:
        """K to end (or a bare K) takes every stitch, so nothing that takes another can follow it."""
        for item, following in itertools.pairwise(items):
            if isinstance(item, Run) and item.reach == Reach() and isinstance(following, Op | Run | Repeat | Group):
                raise NotationError("nothing can come after every stitch is worked: say how many", 0)

    def item(self) -> Item:
        token = self.peek()
        lower = token.text.lower()
        if lower in ("*", "(", "["):
            return self.nested()
        if lower == "pick" and self.word("pick", "up"):
            return self.pick_up()
        if lower in ("pm", "sm", "rm"):
            self.take()
            return Mark(lower, self.word("for", "start", "of", "round") or self.word("for", "beginning", "of", "round"))
        if lower == "turn":
            self.take()
            return Turn()
        if lower == "w&t":
            self.take()
            return Turn(wrap=True)
        if token.kind == "cable":
            self.take()
            return self.op(token.text.replace("  ", " "))
        if token.kind == "word":
            return self.worked()
        raise self.fail("something to work")

    def nested(self) -> Item:
        """A repeat or a group, with what it holds."""
        if self.depth == DEEPEST:
            raise NotationError(f"more than {DEEPEST} brackets or repeats lie within one another", self.peek().offset)
        self.depth += 1
        item = self.repeat() if self.peek().text == "*" else self.group()
        self.depth -= 1
        return item

    def worked(self) -> Item:
        """A stitch with its count and manner, or a run as far as somewhere."""
        token = self.take()
        lower = token.text.lower()
        if lower == "in" and (self.word("pattern") or self.word("patt")):
            return self.run("patt")
        split = re.fullmatch(r"([a-z&]+)(\d+)", lower)
        if stitch_named(lower) is None and split and split[1] in SINGLES:
            return self.op(split[1], whole(split[2], token))
        if lower in _RUNS:
            if lower == "work" and not (self.word("in", "pattern") or self.word("in", "patt")):
                raise NotationError("say what to work", token.offset)
            count = self.count()
            if count is not None:
                return self.op(_RUNS[lower], count)
            if self.word("across", "the"):
                across = self.need_count("a number of stitches")
                return self.op(_RUNS[lower], across)
            return self.run(_RUNS[lower])
        stitch = stitch_named(lower)
        if stitch is None:
            raise NotationError(f"unknown abbreviation {token.text!r}", token.offset)
        if stitch.name == "p2tog" and self.word("tbl"):
            return self.op("p2tog tbl")
        if stitch.name in SINGLES:
            return self.op(stitch.name, self.need_count("how many to slip"))
        return self.op(stitch.name)

    def op(self, name: str, count: Count = 1) -> Op:
        stitch = stitch_named(name)
        if stitch is None:
            raise NotationError(f"unknown stitch {name!r}", self.peek().offset)
        self.word("st") or self.word("sts") or self.word("heel", "sts") or self.word("instep", "sts")
        manners = []
        while self.peek().kind == "word" and self.peek().text.lower() in MANNERS:
            manners.append(self.take().text.lower())
        colour = self.colour()
        return Op(stitch.name, count, " ".join(manners), self.remark(), colour)

    def colour(self) -> str:
        """The yarn a stitch is worked in, if its word comes next: "MC", "in CC1"."""
        ahead = 1 if self.peek().text.lower() in ("in", "with") else 0
        found = colour_named(self.peek(ahead).text)
        self.at += ahead + 1 if found else 0
        return found

    def remark(self) -> str:
        """Where the stitches lead: "to the centre of the heel", "across instep"."""
        if not (
            self.peek().text.lower() == "across"
            or (self.peek().text.lower(), self.peek(1).text.lower()) == ("to", "the")
        ):
            return ""
        words = []
        while self.peek().kind == "word":
            words.append(self.take().text)
        return " ".join(words)

    def run(self, name: str) -> Item:
        if self.peek().kind == "end" or self.peek().text in (".", ",", ")", "]", "*", ";"):
            return Run(name)
        colour = self.colour()
        if colour:
            return Run(name, self.reach() or Reach(), colour)
        reach = self.reach()
        if reach is None:
            raise self.fail("how far to work")
        return Run(name, reach, self.colour())

    def reach(self) -> Reach | None:
        if self.word("around") or self.word("across"):
            return Reach()
        if not self.word("to"):
            return None
        if self.word("end"):
            self.word("of", "round") or self.word("of", "rnd") or self.word("of", "row") or self.word("of", "needle")
            return Reach()
        if self.word("last"):
            before = self.count()
            if not (self.word("st") or self.word("sts")):
                raise self.fail("'sts'")
            return Reach("end", 1 if before is None else before)
        target = self.target()
        if target:
            return Reach(target)
        before = self.need_count("where to stop")
        if not (self.word("st") or self.word("sts")) or not self.word("before"):
            raise self.fail("'sts before ...'")
        target = self.target() or ("end" if self.word("end", "of", "round") or self.word("end") else "")
        if not target:
            raise self.fail("marker, gap or end")
        return Reach(target, before)

    def target(self) -> str:
        self.word("next")
        for words, name in (
            (("marker",), "marker"),
            (("m",), "marker"),
            (("gap",), "gap"),
            (("wrapped", "st"), "wrapped"),
            (("ds",), "DS"),
        ):
            if self.word(*words):
                return name
        return ""

    def times(self) -> Count | None:
        for word, number in _TIMES_WORDS.items():
            if self.word(word):
                return number
        if self.peek().kind in ("number", "formula") and self.peek(1).text.lower() in ("times", "time"):
            count = self.count()
            self.take()
            return count
        return None

    def repeat(self) -> Repeat:
        self.take()
        items = self.line()
        if self.word("*"):
            reach = self.reach()
            times = None if reach else self.times()
            if reach is None and times is None:
                raise self.fail("how far to repeat")
            return Repeat(items, reach, times)
        if not self.word(";") or not (self.word("rep") or self.word("repeat")) or not self.word("from", "*"):
            raise self.fail("'; rep from *'")
        reach = self.reach()
        if reach:
            return Repeat(items, reach)
        return Repeat(items, times=self.more_times())

    def more_times(self) -> Count:
        """ "N more times" is N + 1 in all."""
        if self.word("once", "more"):
            return 2
        if self.word("twice", "more"):
            return 3
        more = self.need_count("how often to repeat")
        if not (self.word("more", "times") or self.word("more", "time")):
            raise self.fail("'more times'")
        return more + 1 if isinstance(more, int) else f"{more} + 1"

    def group(self) -> Item:
        opening = self.take()
        items = self.line()
        if not self.word(")" if opening.text == "(" else "]"):
            raise self.fail("a closing bracket")
        if self.word("into", "one") or self.word("in", "one"):
            self.word("st")
            if [item.name for item in items if isinstance(item, Op)] == ["k", "p", "k"]:
                return Op("(k1, p1, k1) into one", colour=self.colour())
            raise NotationError("only (k1, p1, k1) can be worked into one stitch", opening.offset)
        reach = self.reach()
        if reach:
            return Repeat(items, reach)
        times = self.times()
        if times is None:
            raise self.fail("how many times")
        return Group(items, times)

    def pick_up(self) -> PickUp:
        self.word("and", "knit") or self.word("and", "k")
        count = self.need_count("how many to pick up")
        if not (self.word("sts") or self.word("st")) or not self.word("along"):
            raise self.fail("'sts along the ... edge'")
        self.word("the")
        edge = self.take().text.lower() if self.peek().text.lower() in ("left", "right", "other") else ""
        if not self.word("edge"):
            raise self.fail("'edge'")
        piece = "heel flap"
        if self.word("of", "the") or self.word("of"):
            words = []
            while self.peek().kind == "word" and self.peek().text.lower() != "including":
                words.append(self.take().text.lower())
            piece = " ".join(words) or piece
        if not self.word("including"):
            return PickUp(count, edge, piece)
        corner = self.need_count("how many in the corner")
        if not (self.word("in", "the", "corner") or self.word("at", "the", "corner")):
            raise self.fail("'in the corner'")
        return PickUp(count, edge, piece, corner)


@lru_cache(maxsize=8192)
def read_line(text: str) -> Statement:
    """Read one instruction line; `NotationError` names the first character that can't be read."""
    check_length(text)
    sentence = read_sentence(text)
    if sentence is not None:
        return sentence
    stated: Count | None = None
    match = _STATED.search(text)
    if match:
        number = match[1]
        stated = int(number) if number.isdigit() else number.strip("{} ")
        text = text[: match.start()]
    reader = _Reader(text)
    return Round(reader.round(), stated)
