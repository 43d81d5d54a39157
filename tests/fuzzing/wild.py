"""Patterns as nobody would write them: any line in any step, steps in any order. All that may come of one is findings.

    python -m tests.fuzzing.wild --count 20000 --seed 1

tells every pattern that raised, how many were worked, and how far they came.
"""

from __future__ import annotations

import argparse
import random
import re
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from grader.loading import load_text
from grader.models.instructions import Instructions
from grader.pipeline import Wanted, check
from grader.testknit import knit
from grader.vocabulary.findings import Finding

_SETUPS = ("short circular", "long circular", "double-pointed")
_COUNTS = (
    "1",
    "1",
    "2",
    "3",
    "4",
    "8",
    "0",
    "16",
    "{heel}",
    "{heel / 2}",
    "{instep}",
    "{cast_on}",
    "{live}",
    "{live / 2}",
)
_SINGLES = ("K", "P", "K", "P", "Sl", "K", "P")
_SHAPING = ("ssk", "k2tog", "p2tog", "yo", "kfb", "m1L", "cdd", "k3tog", "2/2 LC", "DS", "kyok", "sl1 wyif")
_TARGETS = ("end", "end", "marker", "gap", "DS", "wrapped st", "end of round")
_MARKS = ("pm", "sm", "rm", "pm for start of round")
_HEAD = """title: Wild
version: "1"
gauge: {{stitches: 30, rounds: 40, per: 10 cm}}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
{colours}fit: {{foot_circumference: -10 %, allowed: [-30 %, 30 %], foot_length: -4 %}}
sizes: {{own: [{{name: M, foot_circumference: 22 cm, foot_length: 25 cm, leg_length: 16 cm}}]}}
numbers:
  cast_on: {{exactly: {cast_on}}}
  heel: {{exactly: {heel}}}
  instep: {{exactly: cast_on - heel}}
stitch_patterns:
  rib: {{rounds: [{rib}]}}
  lace: {{rounds: [{lace}, "K"]}}
  panel: {{sides: P, rounds: [{panel}, "K6"]}}
  flap: {{rows: {{RS: {flap}, WS: "Sl1, P to end"}}}}
sections:
{sections}"""


class Draw(random.Random):
    """Throws dice, and remembers which regions were given last."""

    here: tuple[str, ...] = ("heel", "instep")

    def region(self) -> str:
        """One that is there, mostly."""
        return self.choice(self.here) if self.random() < 0.95 else self.choice(("heel", "instep", "sole"))


def _count(draw: Draw) -> str:
    return draw.choice(_COUNTS)


def _reach(draw: Draw) -> str:
    kind = draw.randrange(5)
    if kind == 0:
        return ""
    if kind == 1:
        return f" to last {_count(draw)} sts"
    if kind == 2:
        return f" to {_count(draw)} sts before {draw.choice(_TARGETS[2:])}"
    return f" to {draw.choice(_TARGETS)}"


def _item(draw: Draw, depth: int = 0) -> str:
    kind = draw.randrange(14)
    if kind < 4:
        return f"{draw.choice('KP')}{_reach(draw)}" if kind < 2 else f"{draw.choice(_SINGLES)}{_count(draw)}"
    if kind < 6:
        return draw.choice(_SHAPING)
    if kind < 8 and depth < 2:
        inner = ", ".join(_item(draw, depth + 1) for _ in range(draw.randint(1, 3)))
        return draw.choice(
            (f"*{inner}* to end", f"*{inner}*{_reach(draw)}", f"({inner}) {_count(draw)} times", f"({inner}) twice")
        )
    if kind == 8:
        return draw.choice(_MARKS)
    if kind == 9:
        return f"pick up and knit {_count(draw)} sts along the {draw.choice(('left', 'right', 'other'))} edge"
    if kind == 10:
        return "in pattern" + _reach(draw)
    return draw.choice(("DS", "turn", "w&t", "K1", "P1", "K to last 3 sts, k2tog", "Sl1"))


def line(draw: Draw) -> str:
    """A line of the notation; what the grammar refuses is among them, but seldom."""
    items = ", ".join(_item(draw) for _ in range(draw.randint(1, 4)))
    if draw.random() < 0.25:
        items += draw.choice((", turn", ", w&t", ", K to end"))
    if draw.random() < 0.1:
        items = f"{draw.choice(('Needle 1', 'Each needle', 'Heel', 'Needles 1 and 2 (instep)'))}: {items}"
    return items


def _sensible(draw: Draw) -> str:
    """A line that can be worked more often than not, so that the steps behind it are reached."""
    return draw.choice(
        ("K", "P", "*K2, P2* to end", "K1, ssk, K to last 3 sts, k2tog, K1", "Sl1, K to end", line(draw))
    )


def _row(draw: Draw) -> str:
    return draw.choice(
        (
            "Sl1, K to end",
            "K to last 3 sts, turn",
            "DS, P to last 3 sts, turn",
            "DS, P to DS, turn",
            "DS, K to DS, K1, turn",
            "P to last 2 sts, w&t",
            "K to wrapped st, w&t",
            "Sl1, K{heel / 2}, ssk, K1, turn",
            "Sl1, P to 1 st before gap, p2tog, P1, turn",
            "Sl1, K to 1 st before gap, ssk, K1, turn",
            f"DS, {line(draw)}",
            line(draw),
            line(draw),
        )
    )


def _yaml(text: str) -> str:
    return '"' + text.replace('"', "'") + '"'


def _regions(draw: Draw) -> str:
    names = draw.choice(
        (["heel", "instep"], ["heel", "instep"], ["instep", "sole"], ["heel"], ["heel", "instep", "sole"])
    )
    draw.here = tuple(names)
    counts = ["{live}"] if len(names) == 1 else ["{live / 2}", "{live - live / 2}", "0"]
    if draw.random() < 0.4:
        counts = [_count(draw) for _ in names]
    return "[" + ", ".join(f"[{name}, {_yaml(count)}]" for name, count in zip(names, counts, strict=False)) + "]"


def _rows(draw: Draw, pair: bool = True) -> str:
    sides = {"RS": _yaml(_row(draw)), "WS": _yaml(_row(draw))}
    kept = sides if pair else draw.sample(["RS", "WS"], 1)
    return "{" + ", ".join(f"{side}: {sides[side]}" for side in kept) + "}"


def _rounds(draw: Draw) -> str:
    if draw.random() < 0.3:
        names = draw.sample(draw.here, draw.randint(1, len(draw.here)))
        told = (draw.choice((f"in {draw.choice(('rib', 'lace', 'panel'))}", _yaml(_sensible(draw)))) for _ in names)
        return "{" + ", ".join(f"{name}: {text}" for name, text in zip(names, told, strict=True)) + "}"
    return draw.choice((f"in {draw.choice(('rib', 'lace', 'panel'))}", _yaml(_sensible(draw))))


def _often(draw: Draw) -> str:
    return draw.choice((f"times: {_yaml(_count(draw))}", f"until: {_yaml(_count(draw) + ' sts')}", 'for: "2 cm"'))


def _pick_up(draw: Draw) -> str:
    stretches = [
        f"{draw.region()}: {_yaml(draw.choice(('K', line(draw))))}"
        if draw.random() < 0.5
        else f"{draw.choice(('left', 'right'))} edge: {_yaml(_count(draw))}"
        for _ in range(draw.randint(1, 4))
    ]
    if draw.random() < 0.6:
        edge = _yaml(draw.choice(("1", "2", "3", "5")))
        stretches = ["heel: K", f"left edge: {edge}", "instep: K", f"right edge: {edge}"]
    return "[" + ", ".join(f"{{{each}}}" for each in stretches) + "]"


def _keys(draw: Draw) -> list[str]:
    """The keys of one step."""
    kinds: tuple[Callable[[], list[str]], ...] = (
        lambda: [f"rounds: {_rounds(draw)}", _often(draw)],
        lambda: [f"round: {_rounds(draw)}", _often(draw)],
        lambda: [f"rows: {_rows(draw)}", draw.choice(("until: no stitches beyond the gap", _often(draw)))],
        lambda: [f"row: {_rows(draw, pair=False)}"],
        lambda: [f"rows: {_rows(draw)}", _often(draw)],
        lambda: [f"part_round: {_yaml(draw.choice((f'K{_count(draw)}', line(draw))))}"],
        lambda: [f"pick_up: {_pick_up(draw)}", f"regions: {_regions(draw)}", _start(draw)],
        lambda: ["arrange: halves", f"regions: {_regions(draw)}"],
        lambda: ["arrange: ", f"regions: {_regions(draw)}"],
        lambda: ["arrange: halves"],
        lambda: [f"rest: {draw.region()}"],
        lambda: [f"rejoin: {draw.region()}"],
        lambda: [f"graft: [{', '.join((*draw.here, 'heel')[:2])}]"],
        lambda: [f"gather: {draw.choice(('all', _yaml(_count(draw))))}"],
        lambda: [f"bind_off: {draw.choice(('all', _yaml(_count(draw))))}"],
        lambda: [f"waste_yarn: {draw.region()}"],
        lambda: [f"open: {{{draw.region()}: {_yaml(_count(draw))}, instep: {_yaml(_count(draw))}}}"],
        lambda: [f"repeat: [{', '.join(_inner(draw) for _ in range(draw.randint(1, 2)))}]", _often(draw)],
        lambda: [f"cast_on: {_yaml(_count(draw))}", f"regions: {_regions(draw)}"],
    )
    return [key for key in draw.choice(kinds)() if key]


def _inner(draw: Draw) -> str:
    """A step inside a repeat."""
    return f"{{{draw.choice((f'round: {_rounds(draw)}', f'rounds: {_rounds(draw)}, times: 2'))}}}"


def _start(draw: Draw) -> str:
    place = f"{draw.choice(('start', 'centre'))} of {draw.region()}"
    return draw.choice(("", f"start: {place}", f"start: {{{draw.choice(_SETUPS)}: {place}}}"))


def _step(draw: Draw) -> str:
    keys = _keys(draw)
    if draw.random() < 0.08:
        keys.append(f"leaves: {{{draw.region()}: {_yaml(_count(draw))}}}")
    if draw.random() < 0.05:
        keys.append(draw.choice(("when: heel > 10", "when: cast_on < 20 sts", "when: heel = instep")))
    if draw.random() < 0.05:
        keys.append(f"setups: {{{draw.choice(_SETUPS)}: {{round: {_yaml(_sensible(draw))}}}}}")
    if draw.random() < 0.05:
        keys.append("say: 'Mind {live / 1 st} of them.'")
    return "{" + ", ".join(keys) + "}"


_STITCHES = {
    "rib": "*K2, P2* to end",
    "lace": "*K1, yo, k2tog, K1* to end",
    "panel": "K1, 2/2 LC, K1",
    "flap": "*Sl1, K1* to end",
}
_CAST_ON = '{cast_on: "{cast_on}", regions: [[heel, "{heel}"], [instep, "{instep}"]]}'
_HALVES = '{arrange: , regions: [[sole, "{heel}"], [instep, "{instep}"]]}'
_LEG = (
    "{rounds: in rib, for: 2 cm}",
    "{rounds: {instep: in lace}, times: 3}",
    "{rounds: {instep: in panel}, times: 2}",
)
_TOE = (
    '{repeat: [{round: {instep: "K1, ssk, K to last 3 sts, k2tog, K1", sole: "K1, ssk, K to last 3 sts, k2tog, K1"}},'
    ' {round: K}], until: "8 sts"}',
    "{graft: [instep, sole]}",
)
_FLAP = (
    "{rest: instep}",
    "{rows: in flap, times: 4}",
    '{row: {RS: "Sl1, K{heel / 2}, ssk, K1, turn"}}',
    '{row: {WS: "Sl1, P3, p2tog, P1, turn"}}',
    '{rows: {RS: "Sl1, K to 1 st before gap, ssk, K1, turn", WS: "Sl1, P to 1 st before gap, p2tog, P1, turn"},'
    " until: no stitches beyond the gap}",
    "{pick_up: [{heel: K}, {left edge: 5}, {instep: K}, {right edge: 5}],"
    ' regions: [[instep, "{instep}"], [sole, "{heel / 2 + 12}"]], start: {double-pointed: centre of sole}}',
    '{repeat: [{round: {sole: "K1, ssk, K to last 3 sts, k2tog, K1"}}, {round: K}], until: "{cast_on} sts"}',
)
_SHORT_ROWS = (
    "{rest: instep}",
    '{row: {RS: "K to last 2 sts, turn"}}',
    '{row: {WS: "DS, P to last 2 sts, turn"}}',
    '{rows: {RS: "DS, K to 1 st before DS, turn", WS: "DS, P to 1 st before DS, turn"}, times: 1}',
    '{row: {RS: "DS, K to end"}}',
    '{row: {WS: "P"}}',
    "{rejoin: instep}",
    _HALVES,
)
_WASTE = ("{rounds: K, times: 2}", "{waste_yarn: heel}", _HALVES)
_OPEN = (
    '{open: {back: "{heel}", front: "{heel - 1}"}}',
    '{round: "K2tog, K to end"}',
    '{repeat: [{round: {back: "K1, ssk, K to last 3 sts, k2tog, K1", front: "K1, ssk, K to last 3 sts, k2tog, K1"}}],'
    ' until: "10 sts"}',
    "{gather: all}",
)
_HEELS = ((_FLAP, ()), (_SHORT_ROWS, ()), (_WASTE, _OPEN))


def pattern(draw: Draw) -> str:
    """A sock with a few wild changes: steps put in, left out, twice, elsewhere, or in the place of others."""
    cast_on = draw.choice((32, 40, 48, 48, 64, 64, 30))
    heel, last = draw.choice(_HEELS)
    draw.here = ("heel", "instep")
    sections = [[_CAST_ON, *draw.sample(_LEG, 2)], list(heel), ["{rounds: K, for: 3 cm}", *_TOE], list(last)]
    for _ in range(draw.choice((1, 1, 1, 2, 2, 3, 6))):
        _change(draw, draw.choice([steps for steps in sections if steps]))
    told = [
        f"  - {{name: Part {number}{', over: heel' if number == 1 else ''}, steps: [{', '.join(steps)}]}}"
        for number, steps in enumerate(sections)
        if steps
    ]
    colours = "colours: {MC: {label: red}, CC: {label: blue}}\n" if draw.random() < 0.05 else ""
    patterns = {name: _yaml(text if draw.random() < 0.97 else line(draw)) for name, text in _STITCHES.items()}
    return _HEAD.format(
        cast_on=cast_on, heel=cast_on // 2, sections="\n".join(told) + "\n", colours=colours, **patterns
    )


def _change(draw: Draw, steps: list[str]) -> None:
    place, kind = draw.randrange(len(steps)), draw.randrange(9)
    if kind < 3:
        steps[place] = _step(draw)
    elif kind < 5:
        steps.insert(place + draw.randint(0, 1), _step(draw))
    elif kind == 5 and len(steps) > 1:
        del steps[place]
    elif kind == 6:
        steps.insert(place, steps[draw.randrange(len(steps))])
    elif kind == 7:
        other = draw.randrange(len(steps))
        steps[place], steps[other] = steps[other], steps[place]
    else:
        steps[place] = _nudged(draw, steps[place])


def _nudged(draw: Draw, step: str) -> str:
    """The step with a number, a stitch or a reach of its lines replaced."""
    found = list(re.finditer(r"\b\d+\b|\bssk\b|\bk2tog\b|\b[KP]\b|to (?:end|gap|DS)|\bSl1\b|\bDS\b", step))
    if not found:
        return step
    old = draw.choice(found)
    new = draw.choice((_count(draw).replace("{", "").replace("}", ""), "0", "7")) if old[0].isdigit() else _item(draw)
    return step[: old.start()] + new + step[old.end() :]


def work(text: str, draw: Draw, setups: tuple[str, ...] = ()) -> str:
    """Load, grade, write out, knit and inspect it, and knit a print of it with a line as wild; how far it came."""
    read, findings = load_text(text, "wild.yaml")
    if read is None:
        _say_why(findings)
        return "refused as it was read"
    checked = check(read, Wanted(setups))
    if not checked.socks:
        _say_why(checked.findings)
        return "refused as it was written out"
    for sock in checked.socks:
        knit(_misprinted(sock.instructions, draw))
    whole = sum(sock.record.complete for sock in checked.socks)
    if not whole:
        _say_why(checked.findings)
    return "knitted to the end" if whole else "stuck as it was knitted"


def _say_why(findings: Iterable[Finding]) -> None:
    """What stops a sock says so, and where."""
    wrong = [each for each in findings if each.is_error]
    assert wrong, "nothing says why"
    assert all(each.span and each.span.line and each.span.column for each in wrong), wrong


def _misprinted(sock: Instructions, draw: Draw) -> Instructions:
    """The printed lines with one in other words, or of another kind."""
    places = [
        (at, place, number)
        for at, section in enumerate(sock.sections)
        for place, block in enumerate(section.blocks)
        for number in range(len(block.lines))
    ]
    at, place, number = draw.choice(places)
    blocks = list(sock.sections[at].blocks)
    lines = list(blocks[place].lines)
    old = lines[number]
    other = draw.choice([each for block in blocks for each in block.lines])
    lines[number] = draw.choice(
        (
            replace(old, text=line(draw)),
            replace(old, text=_nudged(draw, old.text)),
            replace(old, text=_nudged(draw, old.text)),
            replace(old, kind=draw.choice(("round", "row", "part_round", "pick_up", "arrange", "rest")), side="RS"),
            other,
        )
    )
    blocks[place] = replace(blocks[place], lines=tuple(lines))
    sections = list(sock.sections)
    sections[at] = replace(sections[at], blocks=tuple(blocks))
    return replace(sock, sections=tuple(sections))


def wild(seed: int, count: int) -> Iterator[tuple[str, Draw]]:
    """So many patterns, each with the dice that threw it."""
    for number in range(count):
        draw = Draw(f"{seed}/{number}")
        yield pattern(draw), draw


def main() -> None:
    """Work them, and tell what raised."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=2000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    ends: Counter[str] = Counter()
    raised: dict[str, str] = {}
    began = time.perf_counter()
    for text, draw in wild(given.seed, given.count):
        try:
            ends[work(text, draw)] += 1
        except Exception as mistake:
            place = traceback.extract_tb(mistake.__traceback__)[-1]
            where = f"{type(mistake).__name__} in {place.filename.rpartition('/')[2]}:{place.lineno}: {mistake}"
            ends["RAISED"] += 1
            raised.setdefault(where.partition(": ")[0], f"{where}\n{text}\n{traceback.format_exc(limit=-4)}")
    for told in raised.values():
        print(told)
    print(", ".join(f"{number} {end}" for end, number in ends.most_common()))
    print(f"{time.perf_counter() - began:.0f} s; {len(raised)} places raise")


if __name__ == "__main__":
    main()
