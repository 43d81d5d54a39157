"""Mutations of what designers and knitters write: bytes, words, and the lines and values of YAML."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence

from grader.loading.source import source_of
from grader.loading.tree import read_tree

# fmt: off
HOSTILE = (
    '0', '-1', '1e999', '10^9^9', '9999999', '99999999999999999999', '0.0000001', '1/0', '½', '1' * 300,
    'NaN', 'inf', '9999999 cm', '0 cm', '-3 cm', '1 in', '500 %', '-59 %', '1000000 x 1000000',
    '64 x 9999', '1 x 1000000 rib', '{cast_on}', '{cast_on * cast_on}', '{9999}', '{heel / 7}', '{',
    '}', '{{ x }}', '{% x %}', '{1/0}', '{live}', 'cast_on / 0', 'cast_on * cast_on * cast_on', 'min(',
    '((((((((((((', 'floor(1)', 'gauge.stitches', 'cuff.repeat', 'K', 'P', 'K9999', '*K1, yo* to end',
    '(yo) 9999 times', '*K1, (yo) 9999 times*', 'DS', 'w&t', 'turn', 'sm', 'pm',
    'K to 3 sts before gap', 'P to DS', 'K to wrapped st', 'rm', 'cdd', '1/1 LC', '9/9 RPC',
    '(k1, p1, k1) into one', 'K to last 9999 sts', 'pick up and knit 9 sts along the left edge',
    'sl1 wyif', 'Needle 1: K. Needle 9: P', 'in cuff', 'in nowhere', 'short circular', 'double-pointed',
    'no stitches beyond the gap', 'halves', 'all', '~', '', '[', ']', '[[[[[[[[[[', '![a](b)',
    '![a](../../x.png)', '[x](', '**', '***', '`', '<b>', '&amp;', '\\', '| a | b |', '> > > > >',
    '1. 1. 1. 1. 1. 1. 1. 1. 1. 1. 1. 1. 1. 1.', '- - - - - - -', '#' * 40, '\u2026' * 60,
    '\u2610' * 60, '\u202e', '\x00', '\xa0', '\u200b', 'é', 'ﬃ', 'ẞ', 'İ', '𝔘', '中', '\ud83e\udde6',
    '�', '\u2028', "'", '"', '\t', '*a', '&a b', '!!python/object x', '? x', '---', '...', '%YAML 1.1',
    '<<: *a', ': :', '#', '|', '>', '- -', '{a: }', 'a' * 300, 'a-' * 200, "word " * 200, ',' * 200,
    ';' * 99, ' ' * 198, '\n' * 30, '\xe9' * 99, 'W' * 120,
)
# fmt: on
# fmt: off
PIECES = (
    "K", "P", "K2", "P3", "Sl1", "sl1 wyif", "ssk", "k2tog", "k3tog", "cdd", "p2tog tbl", "yo", "m1", "kfb",
    "turn", "w&t", "DS", "K to end", "P to 3 sts before gap", "K to last 3 sts", "P to DS", "P to wrapped st",
    "K to marker", "sm", "pm", "rm", "*K1, P1* to end", "*K2, P2* to last 2 sts", "(K1, yo) 3 times",
    "(k1, p1, k1) into one", "1/1 LC", "2/2 RPC", "K{heel}", "P{cast_on / 2}", "K{live / 2}", "K1 CC", "K MC",
    "in pattern", "K9 to the centre of the heel", "pick up and knit 5 sts along the left edge", "Instep: K",
    "Needle 1: K",
)
TERMS = (
    "cast_on", "heel", "instep", "heel_rows", "toe_end", "foot_length", "leg_length", "foot_circumference",
    "live", "gauge.stitches", "gauge.rounds", "cuff.repeat", "cuff.rounds", "2", "3", "1/2", "0", "7.5", "4 cm",
    "1 in", "10 %", "1 st", "1 round", "floor(heel / 3)", "ceil(heel / 3)", "min(heel, 16)", "max(cast_on, 1)",
    "abs(-3)", "-1",
)
# fmt: on
_WORDS = re.compile(r"\w+|\s+|[^\w\s]")
_NUMBERS = re.compile(r"\d++(?:\.\d++)?+")
_VALUE = re.compile(r"(?m)^([ -]*+[\w ]++: ?+)(.*)$")
_QUOTED = re.compile(r'"[^"\n]*"')
_STITCH = re.compile(r"\b(?:[KP]\d*|Sl1|ssk|yo|turn)\b")
_FORMULA = re.compile(
    r"(\b(?:exactly|nearest|at_least|at_most|multiple_of|plus|is|when): ?+)([^,}\n]++)|(?<=\{)[^{}\n]*(?=\}\")"
)
_TRIES = 6  # to make a text that is still YAML
_TYPED = ("{}", '"{}"', "'{}'", "[{}]", "{{a: {}}}", "[[{0}, {0}]]", "|\n    {}")

Mutate = Callable[[random.Random, str], str]


def mutated(dice: random.Random, text: str, others: Sequence[str] = (), yaml: bool = True) -> str:
    """The text with one to four things done to it; `others` are texts of the same kind to take pieces from.

    Of YAML most stay YAML, so that what comes after its reading is reached.
    """
    for _ in range(_TRIES if yaml and dice.random() < 0.85 else 1):
        found = _mutated(dice, text, others, yaml)
        if not yaml or _is_yaml(found):
            break
    return found[: 1 << 18]


def _is_yaml(text: str) -> bool:
    source, _ = source_of(text, "")
    return source is not None and not read_tree(source)[1]


def _mutated(dice: random.Random, text: str, others: Sequence[str], yaml: bool) -> str:
    ways: list[Mutate] = [_bytes, _hostile, _words, _words, _numbers, _numbers, _lines, _cut]
    if yaml:
        ways += [_values, _swapped, _swapped, _indented, _nested, *[_lined, _formula, _numbers, _values] * 3]
    for _ in range(dice.choice((1, 1, 1, 2, 2, 3, 4))):
        if others and dice.random() < 0.1:
            text = _grafted(dice, text, dice.choice(others))
        else:
            text = dice.choice(ways)(dice, text)
    return text


def _span(dice: random.Random, length: int, most: int) -> tuple[int, int]:
    begin = dice.randrange(length + 1)
    return begin, min(length, begin + dice.randint(0, most))


def _bytes(dice: random.Random, text: str) -> str:
    data = bytearray(text.encode("utf-8", "replace"))
    for _ in range(dice.randint(1, 6)):
        if data:
            data[dice.randrange(len(data))] = dice.choice((dice.randrange(256), dice.randrange(32, 127)))
    return data.decode("utf-8", "replace")


def _hostile(dice: random.Random, text: str) -> str:
    begin, end = _span(dice, len(text), dice.choice((0, 0, 3, 20)))
    return text[:begin] + dice.choice(HOSTILE) * dice.choice((1, 1, 1, 1, 2, 30)) + text[end:]


def _words(dice: random.Random, text: str) -> str:
    """One word in place of another, left out, or over and over."""
    words = _WORDS.findall(text)
    if not words:
        return text
    at = dice.randrange(len(words))
    way = dice.randrange(4)
    if way == 0:
        words[at] = dice.choice(words)
    elif way == 1:
        other = dice.randrange(len(words))
        words[at], words[other] = words[other], words[at]
    elif way == 2:
        words[at] = ""
    else:
        words[at] = words[at] * dice.choice((2, 3, 50))
    return "".join(words)


def _numbers(dice: random.Random, text: str) -> str:
    """Another number in place of one: near it, or none that any sock has."""
    found = list(_NUMBERS.finditer(text))
    if not found:
        return text
    one = dice.choice(found)
    value = float(one[0][:300])
    near = (value + 1, value - 1, value * 2, value / 2, value * 1000, 0)
    other = f"{dice.choice(near):g}" if dice.random() < 0.6 else dice.choice(HOSTILE[:12])
    return text[: one.start()] + other + text[one.end() :]


def _lines(dice: random.Random, text: str) -> str:
    """Lines left out, said again, or put elsewhere."""
    lines = text.split("\n")
    begin, end = _span(dice, len(lines), dice.choice((1, 1, 3, 12)))
    piece = lines[begin:end]
    way = dice.randrange(3)
    if way == 0:
        del lines[begin:end]
    else:
        at = dice.randrange(len(lines) + 1)
        lines[at:at] = piece * (dice.choice((1, 1, 2, 60)) if way == 1 else 1)
    return "\n".join(lines)


def _cut(dice: random.Random, text: str) -> str:
    begin, end = _span(dice, len(text), dice.choice((1, 5, 80)))
    return text[:begin] + text[end:] if dice.random() < 0.8 else text[:begin]


def _values(dice: random.Random, text: str) -> str:
    """A hostile value after a key, typed in one of the ways that YAML has."""
    found = list(_VALUE.finditer(text))
    if not found:
        return text
    one = dice.choice(found)
    value = dice.choice(_TYPED).format(dice.choice(HOSTILE).replace('"', ""))
    return text[: one.start(2)] + value + text[one.end(2) :]


def _swapped(dice: random.Random, text: str) -> str:
    """The value of one key after another."""
    found = list(_VALUE.finditer(text))
    if len(found) < 2:
        return text
    one, other = dice.sample(found, 2)
    return text[: one.start(2)] + other[2] + text[one.end(2) :]


def _indented(dice: random.Random, text: str) -> str:
    lines = text.split("\n")
    begin, end = _span(dice, len(lines), 6)
    by = dice.choice((-2, -1, 1, 2, 4))
    for at in range(begin, end):
        lines[at] = " " * by + lines[at] if by > 0 else lines[at][:-by].strip() + lines[at][-by:]
    return "\n".join(lines)


def _lined(dice: random.Random, text: str) -> str:
    """Other stitches in place of a quoted line."""
    found = [each for each in _QUOTED.finditer(text) if _STITCH.search(each[0])]
    if not found:
        return text
    one = dice.choice(found)
    joint = dice.choice((", ", ", ", ", ", ". "))
    line = joint.join(dice.choice(PIECES) for _ in range(dice.choice((1, 2, 2, 3, 4, 6))))
    return f'{text[: one.start()]}"{line}"{text[one.end() :]}'


def _formula(dice: random.Random, text: str) -> str:
    """Another formula in place of one."""
    found = list(_FORMULA.finditer(text))
    if not found:
        return text
    one = dice.choice(found)
    formula = dice.choice(TERMS)
    for _ in range(dice.choice((0, 1, 1, 2, 3))):
        formula += f" {dice.choice('+-*/')} {dice.choice(TERMS)}"
    return text[: one.start()] + (one[1] or "") + formula + text[one.end() :]


def _nested(dice: random.Random, text: str) -> str:
    """A value within brackets within brackets."""
    found = list(_VALUE.finditer(text))
    if not found:
        return text
    one, deep = dice.choice(found), dice.choice((2, 12, 45))
    opening, closing = dice.choice((("[", "]"), ("{a: ", "}"), ("(", ")"), ("*", "*"), ("- ", "")))
    return text[: one.start(2)] + opening * deep + one[2] + closing * deep + text[one.end(2) :]


def _grafted(dice: random.Random, text: str, other: str) -> str:
    """Some lines of another text among those of this one."""
    lines, more = text.split("\n"), other.split("\n")
    begin, end = _span(dice, len(more), 15)
    at = dice.randrange(len(lines) + 1)
    return "\n".join([*lines[:at], *more[begin:end], *lines[at:]])
