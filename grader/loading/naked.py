"""Numbers typed into prose where a graded number belongs: they would stay as they are when the sock is graded.

A digit is a finding unless it is one of a few things that are no figure of the work (`_NO_FIGURES`). A number written
as a word is one from five upwards, where it counts stitches, rows or the like: small numbers are how a sentence speaks.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from grader.loading.checks import Checks
from grader.loading.tree import Node

_UNIT = (
    r"(?:sts?|stitch(?:es)?|rounds?|rnds?|rows?|cm|mm|centimetres?|centimeters?|inch(?:es)?|times|chains?|repeats?"
    r"|in(?=[ ]{0,3}(?:$|[.,;:)]|(?:long|wide|deep|high|from|before|after|or|more|less)\b)))\b"
)
_AMOUNT = r"\d{1,9}(?: \d{1,9}/\d{1,9}|[.,/]\d{1,9})?[½¼¾]?"
_NUMBER = re.compile(
    rf"(?<![\w.,/{{])({_AMOUNT}(?:[ ]?[-–][ ]?\d{{1,9}})?)([ \u00a0\n-]{{0,3}}{_UNIT})?", re.IGNORECASE
)
_LABELS = (
    r"needles?|sizes?|rows?|rounds?|rnds?|charts?|steps?|no\.?|number|pages?|version|figures?|lines?|age|aged|EU|UK|US"
)
_NO_FIGURES = tuple(
    re.compile(form, re.IGNORECASE | re.MULTILINE)
    for form in (
        r"`[^`\n]{0,300}`|\]\([^()\n]{0,300}\)|<[^<>\n]{0,300}>|https?://\S{1,300}",  # code and addresses
        r"\{[^{}]{0,400}\}",  # what is graded
        r"^[ ]{0,3}\d{1,3}[.)](?=\s)",  # the numbers of a list
        rf"\b(?:{_LABELS})[ ]{_AMOUNT}(?:(?:, | and | or | to |, and |[ ]?[-–][ ]?){_AMOUNT})*",  # needles 1 and 2
        r"\b\d{1,2}[ ]?[x×][ ]?\d{1,2}\b",  # a rib by its name: 2 x 2
        r"\b\d{1,2}/\d{1,2}(?:/\d{1,2})?[ ](?:LC|RC|LPC|RPC|LT|RT)\b",  # a cable by its name
        rf"\b{_AMOUNT}[ ]?(?:mm|cm)[ ](?:\w{{1,20}}[ -])?(?:needles?|circulars?|hooks?|cables?)\b",  # sizes of needles
        rf"\b(?:needles?|hooks?|circulars?)[ ](?:of|size|in)[ ]{_AMOUNT}",
        r"\b\d{1,2}[ ](?:double-pointed |circular |stitch |safety )?(?:needles?|markers?|pins?|colours?|strands?)\b",
        r"\b\d{1,2}[- ]?ply\b",
        r"\b\d{1,3}(?:[.,]\d{1,2})?[ ]?(?:%|per cent\b|°|degrees\b)",  # fibres, ease, the wash
        r"\b\d{1,4}[ ]?m(?:etres?)?[ ]?(?:/|per|to)[ ]?\d{1,4}[ ]?g\b|\b\d{1,4}[ ]?g(?:rams?)?\b",  # how yarn is sold
        r"\b(?:\d{0,2}(?<!1)1st|\d{0,2}2nd|\d{0,2}3rd|\d{1,3}th)\b",  # every 2nd round
        r"\b\d{1,3}[ ](?:sts?|stitches)[ ](?:for|to|in)[ ](?:every|each)[ ]\d{1,3}[ ](?:rows?|rounds?)\b",  # a rate
        r"\b(?:1[89]|20)\d\d(?:-\d\d-\d\d)?\b",  # years and dates
        r"\b\d{1,3}[ ](?:years?|months?|weeks?|days?|hours?|minutes?)\b",
    )
)
_PROPORTION = re.compile(r"\d{1,2}/\d{1,2}|[½¼¾]|1")  # without a unit: half of the stitches, 1 in each chain
_SMALL = (
    *("five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen"),
    *("sixteen", "seventeen", "eighteen", "nineteen"),
)
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_ONES = ("one", "two", "three", "four", *_SMALL[:5])
_IN_WORDS = re.compile(
    rf"\b(?:(?P<tens>{'|'.join(_TENS)})(?:[- ](?P<ones>{'|'.join(_ONES)}))?|(?P<small>{'|'.join(_SMALL)})"
    rf"|(?:a |one )?(?P<many>hundred|dozen))[ ](?:[a-z-]{{1,15}}[ ])?{_UNIT}",
    re.IGNORECASE,
)
_MEND = "write it in braces with its kind, such as {heel_rows / 2, chains}, or say it without a number"


def check_typed(text: str, node: Node, checks: Checks, counted_only: bool = False) -> None:
    """Every number typed into prose that states a figure; `counted_only` those with a unit beside them."""
    for at, shown, _ in _typed(text, counted_only):
        checks.add("naked-number", f"{shown!r} is typed by hand where a graded number stands", node.at(at), _MEND)


def check_reason(text: str, node: Node, rule: Node, checks: Checks) -> None:
    """A number in the reason of a rule must be one of the rule's own."""
    own = set(_own(rule))
    for at, shown, amounts in _typed(text, False):
        if not amounts <= own:
            message = f"{shown!r} is typed by hand, and the rule has no such number"
            checks.add("naked-number", message, node.at(at), "take the number of the rule, or say it without one")


def _typed(text: str, counted_only: bool) -> Iterator[tuple[int, str, set[str]]]:
    """Where a number states a figure, how it reads with its unit, and the amounts in it as digits."""
    spared = bytearray(len(text))
    for form in _NO_FIGURES:
        for match in form.finditer(text):
            spared[match.start() : match.end()] = b"x" * (match.end() - match.start())
    found = []
    for match in _NUMBER.finditer(text):
        bare = match[2] is None
        if bare and (counted_only or _PROPORTION.fullmatch(match[1])):
            continue
        if not spared[match.start()]:
            amounts = set(re.findall(r"\d+(?:[.,]\d+)?", match[1]))
            found.append((match.start(), " ".join(match[0].split()), amounts))
    for match in _IN_WORDS.finditer(text):
        found.append((match.start(), " ".join(match[0].split()), {str(_amount(match))}))
    yield from sorted(found, key=lambda each: each[0])


def _amount(match: re.Match[str]) -> int:
    """A number word in digits."""
    if match["many"]:
        return 100 if match["many"].lower() == "hundred" else 12
    if match["small"]:
        return 5 + _SMALL.index(match["small"].lower())
    ones = 1 + _ONES.index(match["ones"].lower()) if match["ones"] else 0
    return 20 + 10 * _TENS.index(match["tens"].lower()) + ones


def _own(rule: Node) -> Iterator[str]:
    """The numbers that stand in a rule, but for its words."""
    for path, node in rule.walk():
        if node.kind == "text" and not {"why", "label"} & {str(each) for each in path}:
            yield from re.findall(r"\d+(?:[.,]\d+)?", node.text)
