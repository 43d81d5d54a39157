"""An instruction line in whole words, for those who listen: no abbreviation, no star, no bracket.

What is spoken is made from the tree of the printed line, which is the one that was knitted through.
"""

from __future__ import annotations

from grader.notation.reading import read_line
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
    Turn,
)
from grader.vocabulary.stitches import stitch_named
from grader.vocabulary.wording import TERMS, joined

_RUNS = {"k": "knit", "p": "purl", "patt": "work in pattern", "sl": "slip"}
_STITCHES = {
    "k2tog": "knit 2 together",
    "ssk": "slip slip knit",
    "skp": "slip knit pass",
    "p2tog": "purl 2 together",
    "ssp": "slip slip purl",
    "k3tog": "knit 3 together",
    "p3tog": "purl 3 together",
    "sssk": "slip slip slip knit",
    "sk2p": "slip knit 2 together pass",
    "cdd": "central double decrease",
    "s2kp": "central double decrease",
    "yo": "yarn over",
    "m1": "make 1",
    "m1L": "make 1 left",
    "m1R": "make 1 right",
    "m1p": "make 1 purlwise",
    "kfb": "knit into the front and the back",
    "pfb": "purl into the front and the back",
    "kyok": "knit, yarn over and knit into one stitch",
    "DS": "double stitch",
}
_MANNERS = {
    "tbl": "through the back loop",
    "kwise": "knitwise",
    "pwise": "purlwise",
    "wyif": "with the yarn in front",
    "wyib": "with the yarn in back",
}
_MARKS = {"pm": "place a marker", "sm": "slip the marker", "rm": "remove the marker"}
_COLOURS = {"MC": "main {colour}", "CC": "contrast {colour}"}


def speak(text: str, terms: str = "UK") -> str:
    """The line in whole words; a sentence that holds no abbreviation but "st" comes back with that word written out."""
    statement = read_line(text)
    if isinstance(statement, Round):
        return _capital(". ".join(_part(part, terms) for part in statement.parts))
    return _with_words(text, terms)


def spoken_name(abbreviation: str) -> str:
    """What a stitch is called where it is spoken; "" for what needs no name, because its words say what to do."""
    return _STITCHES.get(abbreviation, "")


def _with_words(text: str, terms: str) -> str:
    told = [_word(word, terms) for word in text.replace("\u00a0", " ").split(" ")]
    return " ".join(told).replace("place a marker for start", "place a marker for the start")


def _word(word: str, terms: str) -> str:
    bare = word.rstrip(".,;:")
    end = word[len(bare) :]
    if bare[:2] in _COLOURS and (bare in _COLOURS or bare[2:].isdigit()):
        return _colour(bare, terms) + end
    return {"st": "stitch", "sts": "stitches", **_MARKS}.get(bare, bare) + end


def _colour(name: str, terms: str) -> str:
    told = _COLOURS[name[:2]].format(colour=TERMS[terms]["colour"])
    return f"{told} {name[2:]}".strip()


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _sts(count: Count) -> str:
    return f"{count} {'stitch' if count == 1 else 'stitches'}"


def _times(count: Count | None) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times") if isinstance(count, int) else f"{count} times"


def _part(part: Part, terms: str) -> str:
    work = _line(part.line, terms)
    if part.each:
        return f"On each needle: {work}"
    if part.needles:
        several = len(part.needles) > 1
        numbers = [str(number) for number in part.needles]
        told = f"{numbers[0]} to {numbers[-1]}" if len(numbers) > 2 and part.as_one_stretch else joined(numbers)
        of = f", the {part.region}" if part.region else ""
        return f"On {'needles' if several else 'needle'} {told}{of}: {work}"
    return f"{_capital(part.region)}: {work}" if part.region else work


def _line(line: Line, terms: str) -> str:
    return ", ".join(_item(item, terms, len(line.items) == 1) for item in line.items)


def _item(item: Item, terms: str, alone: bool = False) -> str:
    if isinstance(item, Op):
        return _op(item, terms)
    if isinstance(item, Run):
        colour = f" in the {_colour(item.colour, terms)}" if item.colour else ""
        reach = "every stitch" if alone and item.reach == Reach() else _reach(item.reach)
        return f"{_RUNS[item.name]} {reach}{colour}"
    if isinstance(item, Repeat):
        inner = ", ".join(_item(each, terms) for each in item.items)
        how = _reach(item.reach) if item.reach is not None else f"{_times(item.times)} in all"
        return f"repeat {how}: {inner}; end of the repeat"
    if isinstance(item, Group):
        inner = ", ".join(_item(each, terms) for each in item.items)
        return f"work {_times(item.times)}: {inner}; end of the group"
    if isinstance(item, PickUp):
        edge = f"{item.edge} edge" if item.edge else "edge"
        corner = "" if item.corner == 1 else f" including {item.corner} in the corner"
        return f"pick up and knit {_sts(item.count)} along the {edge} of the {item.piece}{corner}"
    if isinstance(item, Mark):
        return _MARKS[item.kind] + (" for the start of the round" if item.start else "")
    return "wrap the next stitch and turn" if isinstance(item, Turn) and item.wrap else "turn"


def _op(item: Op, terms: str) -> str:
    name, *manner = item.name.split(" ")
    stitch = stitch_named(item.name)
    if item.name in _RUNS:
        told = f"{_RUNS[item.name]} {item.count}"
    elif stitch is not None and stitch.crossing:
        over, under, side = stitch.crossing
        purled = ", purling those behind" if stitch.face == "mixed" else ""
        told = f"cross {over} over {under} to the {'left' if side == 'L' else 'right'}{purled}"
        manner = []
    else:
        told = _STITCHES.get(name, item.name)
        manner = manner if name in _STITCHES else []
    told = " ".join([told, *(_MANNERS.get(word, word) for word in (*manner, *item.manner.split()))])
    if item.colour:
        told += f" in the {_colour(item.colour, terms)}"
    return f"{told} {item.remark}" if item.remark else told


def _reach(reach: Reach) -> str:
    name = {"wrapped": "wrapped stitch", "DS": "double stitch", "end": "end"}.get(reach.to, reach.to)
    if reach.before == 0:
        return f"to the {name}"
    if reach.to == "end":
        return "to the last stitch" if reach.before == 1 else f"to the last {_sts(reach.before)}"
    return f"to {_sts(reach.before)} before the {name}"
