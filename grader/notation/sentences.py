"""Reading the steps that are sentences of their own: cast on, arrange, rest, graft and the like."""

from __future__ import annotations

import re
from collections.abc import Callable

from grader.notation.tokens import MOST_NEEDLES, MOST_STITCHES, NotationError
from grader.notation.tree import (
    Arrange,
    BindOff,
    CastOn,
    Change,
    Count,
    Gather,
    Graft,
    Open,
    Rejoin,
    Rest,
    Statement,
    TakeOff,
    WasteYarn,
)

_BOLD = re.compile(r"(\{[^{}]*\})|\*")  # a star within braces multiplies
_N = r"(?<!\d)(\d+|\{[^{}]*\})"
_EACH = re.compile(rf"{_N} sts? on each of {_N} needles", re.I)
_ONE = re.compile(rf"(?:all )?{_N} sts? on one needle", re.I)
_END_OF_LIST = re.compile(r" and (\d+) sts? on needles 1(?: to \d|, \d| and \d)", re.I)
_CAST_ON = re.compile(rf"cast on {_N} (?:sts?|stitches)\b(.*)", re.I | re.S)
_BIND_OFF = re.compile(rf"(?:cast|bind) off (all|{_N})(?: (?:the )?(?:remaining )?sts?)?\.?", re.I)
_GRAFTS = (
    re.compile(rf"graft (?:the )?{_N} sts?(?: of needle \d+)? to (?:the )?{_N} sts?(?: of needle \d+)?", re.I),
    re.compile(rf"graft the remaining {_N} sts? \({_N} and {_N}\)", re.I),
)
_GATHER = re.compile(rf"draw (?:it|the yarn) through the (?:remaining )?{_N} sts?\b", re.I)
_REST = re.compile(
    rf"leave the (last|first) {_N} sts?(?: of the round)?(?: \([^)]*\))? on hold for the ([a-z ]+?);"
    rf" (?:work )?the ([a-z ]+?) (?:is worked )?on the (?:first|last) {_N}(?!\w)",
    re.I,
)
_REJOIN = re.compile(rf"take the {_N} ([a-z ]+?) sts? back into the work", re.I)
_TAKE_OFF = re.compile(r"take off the markers? within the round\.?", re.I)
_WASTE_YARN = re.compile(
    rf"knit the first {_N} sts? of the round, those of the ([a-z ]+?), with waste yarn"
    r" and slip them back onto the left needle\.?",
    re.I,
)
_OPEN = re.compile(
    rf"take out the waste yarn and take up {_N} ([a-z ]+?) sts? and {_N} ([a-z ]+?) sts?(:.*|, pm.*|\.)?", re.I | re.S
)
_CHANGE = re.compile(r"(begin with|change to|join|switch to|with) (mc|cc[1-9]?)\.?", re.I)
_ARRANGE = re.compile(r"(slip|move|change|rearrange|spread)\b(.*):(.*)", re.I | re.S)


def _count(text: str) -> Count:
    if text.isdigit() and len(text) > len(str(MOST_STITCHES)):
        raise NotationError(f"{text[:12]} is more than a line can ask for", 0)
    return int(text) if text.isdigit() else text.strip("{} ")


def read_distribution(text: str) -> tuple[int, ...]:
    """The stitches on each needle, from "16 sts on each of 4 needles" or "16, 12 and 16 sts on needles 1 to 3"."""
    each = _EACH.search(text)
    if each and each[1].isdigit() and each[2].isdigit():
        return (int(each[1]),) * int(each[2]) if int(each[2]) <= MOST_NEEDLES else ()
    end = _END_OF_LIST.search(text)
    if end:
        before = text[: end.start()]
        numbers = [*re.findall(r"\d+", before[len(before.rstrip("0123456789, ")) :]), end[1]]
        return tuple(int(number) for number in numbers) if len(numbers) <= MOST_NEEDLES else ()
    one = _ONE.search(text)
    return (int(one[1]),) if one and one[1].isdigit() else ()


def _cast_on(text: str) -> Statement | None:
    match = _CAST_ON.fullmatch(text)
    if not match:
        return None
    rest = match[2].lower()
    return CastOn(_count(match[1]), read_distribution(match[2]), "join" in rest, "pm for start of round" in rest)


def _bind_off(text: str) -> Statement | None:
    match = _BIND_OFF.fullmatch(text)
    if not match:
        return None
    return BindOff(None if match[1].lower() == "all" else _count(match[1]))


def _graft(text: str) -> Statement | None:
    match = _GRAFTS[0].search(text)
    if match:
        return Graft(_count(match[1]), _count(match[2]))
    match = _GRAFTS[1].search(text)
    if not match:
        return None
    whole, front, back = (_count(each) for each in match.groups())
    if isinstance(whole, int) and isinstance(front, int) and isinstance(back, int) and front + back != whole:
        raise NotationError(f"{front} and {back} sts are not {whole}", match.start(2))
    return Graft(front, back)


def _gather(text: str) -> Statement | None:
    match = _GATHER.search(text)
    return Gather(_count(match[1])) if match else None


def _rest(text: str) -> Statement | None:
    match = _REST.match(text)
    if not match:
        return None
    which, held, held_for, worked_for, worked = match.groups()
    return Rest(_count(held), held_for.lower(), _count(worked), worked_for.lower(), which.lower())


def _rejoin(text: str) -> Statement | None:
    match = _REJOIN.match(text)
    return Rejoin(_count(match[1]), match[2].lower()) if match else None


def _arrange(text: str) -> Statement | None:
    match = _ARRANGE.match(text)
    if not match:
        return None
    needles = read_distribution(match[3])
    marked = "pm for start of round" in match[3].lower()
    return Arrange(needles, (match[1] + match[2]).strip(), marked) if needles else None


def _change(text: str) -> Statement | None:
    match = _CHANGE.fullmatch(text)
    if not match:
        return None
    how = match[1].capitalize()
    return Change(match[2].upper(), how if how in ("Begin with", "With") else "Change to")


def _take_off(text: str) -> Statement | None:
    return TakeOff() if _TAKE_OFF.fullmatch(text) else None


def _waste_yarn(text: str) -> Statement | None:
    match = _WASTE_YARN.fullmatch(text)
    return WasteYarn(_count(match[1]), match[2].lower()) if match else None


def _open(text: str) -> Statement | None:
    match = _OPEN.fullmatch(text)
    if not match:
        return None
    rest = match[5] or ""
    needles = read_distribution(rest)
    return Open(
        _count(match[1]),
        match[2].lower(),
        _count(match[3]),
        match[4].lower(),
        needles,
        "pm for start of round" in rest.lower(),
    )


_READERS: tuple[tuple[str, Callable[[str], Statement | None]], ...] = (
    ("cast on", _cast_on),
    ("cast off", _bind_off),
    ("bind off", _bind_off),
    ("graft", _graft),
    ("draw", _gather),
    ("leave the", _rest),
    ("take the", _rejoin),
    ("take off", _take_off),
    ("take out", _open),
    ("knit the first", _waste_yarn),
    ("begin with", _change),
    ("change to", _change),
    ("join", _change),
    ("switch to", _change),
    ("with", _change),
    ("slip", _arrange),
    ("move", _arrange),
    ("change", _arrange),
    ("rearrange", _arrange),
    ("spread", _arrange),
)


def read_sentence(text: str) -> Statement | None:
    """The statement a sentence makes, or None where the text is a line of stitches (or nothing we know)."""
    plain = " ".join(_BOLD.sub(r"\1", text).replace("\u00a0", " ").split()).strip()
    lower = plain.lower()
    for opening, reader in _READERS:
        if lower.startswith(opening) or (
            opening in ("graft", "draw") and lower.startswith(("break", "cut")) and opening in lower
        ):
            found = reader(plain)
            if found is not None:
                return found
    return None
