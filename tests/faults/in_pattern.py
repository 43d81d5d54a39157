"""Single mistakes in the text of a pattern file: a number, an operation, a step, a name, a target."""

from __future__ import annotations

import re
from collections.abc import Iterator

from .words import NAMES, Slip, numbers_off, slips

# Prose, whose figures are mistaken in `in_sentences`, remarks, names, and what is only said of a number.
_PROSE = re.compile(
    r"\b(?:label: [^,}\n]*|(?:why|say|check): [^\n]*|counts: [^,}\n]*)|\ballowed: \[[^\]\n]*\]"
    r"|#[^\n]*|^ *- name: [^\n]*",
    re.M,
)
_QUOTED = re.compile(r'"([^"\n]*)"')
_LINE = re.compile(r"\b(?:K|P|Sl|Yo|yo)(?:\d|\{|\b)")
_RULE = re.compile(r"^  (\w+):", re.M)
_WORD = re.compile(r"\b[a-z]\w*\b(?!\.|\()")
_AIM = re.compile(r"\b(nearest|exactly|at_least|at_most)(?=: )")
_AIMS = ("nearest", "exactly", "at_least", "at_most")
_ENTRY = re.compile(r"^( *)- ")
_KEYS = ("start", "centre", "over", "rest")


def pattern_slips(text: str) -> list[Slip]:
    """Every single mistake this module can make in the working parts of a pattern file, no result twice."""
    begin, end = text.index("\nnumbers:") + 1, text.index("\nnotions:") + 1
    rules_end, steps_at = text.index("\nstitch_patterns:") + 1, text.index("\nsections:") + 1
    plain = _blanked(_PROSE, text, 0, len(text))
    plain = " " * begin + plain[begin:end] + " " * (len(text) - end)
    found: dict[tuple[int, int, str], Slip] = {}
    for slip in (
        *_line_slips(plain, rules_end),
        *_number_slips(plain, rules_end, steps_at),
        *_formula_slips(plain, text[begin:rules_end], rules_end),
        *_step_slips(plain, steps_at),
        *_entry_slips(text, rules_end, end),
    ):
        found.setdefault((slip.start, slip.end, slip.new), slip)
    return list(found.values())


def _blanked(what: re.Pattern[str], text: str, begin: int, end: int) -> str:
    return text[:begin] + what.sub(lambda found: " " * len(found[0]), text[begin:end]) + text[end:]


def _line_slips(plain: str, rules_end: int) -> Iterator[Slip]:
    """Slips within the lines of the notation."""
    for match in _QUOTED.finditer(plain, rules_end):
        if _LINE.search(match[1]):
            for slip in slips(match[1]):
                yield Slip(slip.kind, match.start(1) + slip.start, match.start(1) + slip.end, slip.new)
    for match in re.finditer(r"(?<=: )K$", plain, re.M):
        yield Slip("operation swapped", match.start(), match.end(), "P")


def _number_slips(plain: str, rules_end: int, steps_at: int) -> Iterator[Slip]:
    """Numbers of rules, of the finished measures, and of formulas in steps."""

    def kind(at: int) -> str:
        return "number of a rule off" if at < rules_end else "number of a step off" if at > steps_at else "measure off"

    yield from numbers_off(plain, kind)


def _formula_slips(plain: str, rules: str, rules_end: int) -> Iterator[Slip]:
    """An operator, an aim, or a name taken for its neighbour in the list of rules."""
    for old, new in (("+", "-"), ("-", "+"), ("*", "/"), ("/", "*")):
        for match in re.finditer(rf" {re.escape(old)} ", plain[:rules_end]):
            yield Slip("operator swapped", match.start(), match.end(), f" {new} ")
    for match in re.finditer(r"\b(floor|ceil|min)\(", plain[:rules_end]):
        other = {"floor": "ceil", "ceil": "floor", "min": "max"}[match[1]]
        yield Slip("operator swapped", match.start(1), match.end(1), other)
    for match in _AIM.finditer(plain[:rules_end]):
        for aim in _AIMS:
            if aim != match[1]:
                yield Slip("aim swapped", match.start(), match.end(), aim)
    names = [match[1] for match in _RULE.finditer(rules)]
    for match in _WORD.finditer(plain):
        if match[0] not in names or plain[match.end()] == ":" or plain[match.start() - 1] == ".":
            continue
        place = names.index(match[0])
        if match.start() > rules_end and "{" not in plain[plain.rindex("\n", 0, match.start()) : match.start()]:
            continue
        target = re.search(r"\b(?:for|until|times): \"\{[^}\"]*$", plain[: match.start()])
        kind = "target changed" if target else "name swapped"
        for other in {names[place - 1], names[(place + 1) % len(names)]}:
            yield Slip(kind, match.start(), match.end(), other)


def _step_slips(plain: str, steps_at: int) -> Iterator[Slip]:
    """Region names, edges, sides, starts and targets of the steps."""
    for name, others in NAMES.items():
        for match in re.finditer(rf"(?<![{{\"\w ]){name}\b|(?<=[:\-,] ){name}\b|(?<=of ){name}\b", plain[steps_at:]):
            for other in others:
                yield Slip("region name swapped", steps_at + match.start(), steps_at + match.end(), other)
    for old, new, kind in (
        (r"left(?= edge)", "right", "wrong edge"),
        (r"right(?= edge)", "left", "wrong edge"),
        (r"RS(?=:)", "WS", "side swapped"),
        (r"WS(?=:)", "RS", "side swapped"),
        (r"until: no stitches beyond the gap", "times: 1", "target changed"),
        (r"until: no stitches beyond the gap", "times: 2", "target changed"),
        (r"(?<=until: )\"\{\w+\} sts\"", "no stitches beyond the gap", "target changed"),
        (r"for(?=: \"\{)", "times", "target changed"),
        (r"times(?=: \"\{)", "for", "target changed"),
        (r"in cuff", "in flap", "target changed"),
        (r"in flap", "in cuff", "target changed"),
        (r"in (?:cuff|motif|picot)", '"K"', "target changed"),
        (r"in motif", "in cuff", "target changed"),
        (r"in picot", "in cuff", "target changed"),
        (r"sock: left", "sock: right", "side swapped"),
        (r"sock: right", "sock: left", "side swapped"),
        (r"arrange: halves", "arrange:", "target changed"),
        (r"bind_off: all", "gather: all", "target changed"),
    ):
        for match in re.finditer(old, plain[steps_at:]):
            yield Slip(kind, steps_at + match.start(), steps_at + match.end(), new)
    for match in re.finditer(r"\[(\[[^\]]*\]), (\[[^\]]*\])\]", plain[steps_at:]):
        yield Slip(
            "regions in another order", steps_at + match.start(), steps_at + match.end(), f"[{match[2]}, {match[1]}]"
        )


def _entry_slips(text: str, begin: int, end: int) -> Iterator[Slip]:
    """A step, a section or a stretch of a pick-up dropped, doubled, or changed about with the next."""
    entries = list(_entries(text, begin, end))
    for start, stop, indent in entries:
        body = text[start:stop]
        yield Slip("entry dropped", start, stop, "")
        yield Slip("entry doubled", stop, stop, body)
        following = next((each for each in entries if each[0] == stop and each[2] == indent), None)
        if following:
            yield Slip("entries swapped", start, following[1], text[stop : following[1]] + body)


def _entries(text: str, begin: int, end: int) -> Iterator[tuple[int, int, int]]:
    """Each entry of a YAML list: where it starts and stops, and how far it is indented."""
    lines, at = [], begin
    for line in text[begin:end].splitlines(keepends=True):
        lines.append((at, line))
        at += len(line)
    for number, (start, line) in enumerate(lines):
        match = _ENTRY.match(line)
        if not match:
            continue
        indent, stop = len(match[1]), start + len(line)
        for place, inner in lines[number + 1 :]:
            if inner.strip() and len(inner) - len(inner.lstrip()) <= indent:
                break
            stop = place + len(inner)
        yield start, stop, indent
