"""The published socks worked out from what a knitter is told, and how near each published figure comes.

`python -m tests.history.deriving` prints the table of all figures.
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).parent
if __name__ == "__main__":
    sys.path.insert(0, str(HERE.parent))

from outside.readings import INCH, read  # noqa: E402

from grader.inspection.foot import measure_foot  # noqa: E402
from grader.loading import load_text  # noqa: E402
from grader.measuring import estimate  # noqa: E402
from grader.pipeline import Checked, Wanted, check  # noqa: E402
from grader.vocabulary.shoe_sizes import usual_foot_of  # noqa: E402
from history.socks import Published, socks, text_of  # noqa: E402

MULTIPLE = 4  # stitches of one repeat of the 2 x 2 rib that all these cast-ons come in
_IN_CM = ("heel_height", "to_toe")
_SETUP = "double-pointed, set of 4"
_TYPED_AS = {  # the figures that a number of the pattern file states outright
    "stitches_cast_on": "cast_on",
    "stitches_of_the_foot": "cast_on",
    "decreased_to": "cast_on",
    "stitches_after_the_leg": "cast_on",
    "sock_foot_cm": "sock_length",
    "sock_foot_in": "sock_length",
    "leg_cm": "leg_length",
    "leg_in": "leg_length",
}


@dataclass(frozen=True, slots=True)
class Compared:
    """One published figure beside what was worked out: typed, derived, within (a multiple, or 1 cm) or out."""

    sock: str
    figure: str
    published: Any
    found: Any
    how: str
    reason: str = ""


@cache
def asked() -> dict[str, dict[str, Any]]:
    """What each source tells its knitter, and the reasons for what does not come out."""
    contents: dict[str, Any] = yaml.safe_load((HERE / "derived.yaml").read_text(encoding="utf-8"))
    plain = contents.pop("plain")
    return {name: {"parts": plain, "told": {}, "out": {}, "apart": {}, **entry} for name, entry in contents.items()}


@cache
def compared() -> tuple[Compared, ...]:
    """Every figure of the socks that are worked out."""
    return tuple(_compared())


def _compared() -> Iterator[Compared]:
    for sock in socks():
        if sock.pattern not in asked():
            continue
        entry, checked = asked()[sock.pattern], worked_out(sock.name)
        for name, figure in sock.figures.items():
            if name in entry["apart"]:
                continue
            found = _read(name, checked)
            yield Compared(sock.name, name, figure, found, _how(sock, name, figure, found), entry["out"].get(name, ""))


@cache
def worked_out(name: str) -> Checked:
    """The sock of that name, knitted from what is told."""
    sock = next(each for each in socks() if each.name == name)
    pattern, findings = load_text(_text(sock), str(HERE / f"{sock.pattern}.yaml"))
    assert pattern is not None, findings
    checked = check(pattern, Wanted(setups=(_SETUP,)))
    assert checked.is_sound, checked.findings
    return checked


def told(sock: Published) -> dict[str, Any]:
    """The numbers that are told of this sock of its source."""
    each = asked()[sock.pattern]["told"]
    return dict(each[sock.index] if isinstance(each, list) else each)


def _text(sock: Published) -> str:
    """The pattern file's title, tension and foot, with the parts, and no numbers but those that are told."""
    whole = text_of(sock)
    head = whole[: whole.index("\nparts:" if "\nparts:" in whole else "\nnumbers:")]
    entry = asked()[sock.pattern]
    if "shoes" in entry:
        head = _shod(head, *entry["shoes"][sock.index])
    aim = {"cast_on": "nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches, multiple_of: 4"}
    numbers = {**aim, **{name: f"exactly: {value}" for name, value in told(sock).items()}}
    lines = "".join(f"  {name}: {{{rule}}}\n" for name, rule in numbers.items())
    return f"{head}\nparts: [{', '.join(entry['parts'])}]\nnumbers:\n{lines}"


def _shod(head: str, first: int, last: int, whom: str) -> str:
    """The foot of a shoe size of two, as it is estimated for one who gives no more than that."""
    length = sum(usual_foot_of("EU", Fraction(size), whom) for size in (first, last)) / 2
    guess = estimate({"foot_length": length}, ["foot_circumference"], "children" if whom == "child" else whom)
    head = re.sub(
        r"foot_circumference: [\d.]+ cm",
        f"foot_circumference: {float(guess['foot_circumference'].middle):.1f} cm",
        head,
    )
    head = head.replace("allowed: [-15 %", "allowed: [-16 %").replace(
        "-5 %]", "-4 %]"
    )  # a repeat is a tenth of a baby's sock
    return re.sub(r"foot_length: [\d.]+ cm", f"foot_length: {float(length):.1f} cm", head)


def _read(name: str, checked: Checked) -> Any:
    """A figure of the one sock; those that a pattern file states as a number of its own are read off the work."""
    sock, gauge = checked.socks[0], checked.pattern.gauge
    if name == "heel_height":
        return float(read("flap_rows", checked, sock) / gauge.rounds)
    if name == "to_toe":
        return read("sock_foot_cm", checked, sock) - float(read("toe_rounds_worked", checked, sock) / gauge.rounds)
    if name == "gusset_and_cup":
        depth = measure_foot(checked.pattern, sock.record).heel_depth
        rounds = sum(each.times * each.block_times for each in sock.record.lines if each.section == "Gusset")
        return float(rounds + depth * gauge.rounds)
    return read(name, checked, sock)


def _how(sock: Published, name: str, figure: Any, found: Any) -> str:
    number = _TYPED_AS.get(name, name)
    if number in told(sock) or (number == "leg_length"):
        return "typed"
    if name.endswith("_at_most"):
        return "derived" if found <= figure else "out"
    if found == figure or (isinstance(found, float) and abs(found - figure) < 0.05):
        return "derived"
    return "within" if _near(name, figure, found, sock) else "out"


def _near(name: str, figure: Any, found: Any, sock: Published) -> bool:
    """Within a multiple of the cast-on for stitches, within 1 cm for a length or what is worked to one."""
    if isinstance(figure, list):
        same = isinstance(found, list) and len(found) == len(figure)
        return same and all(_near(name, a, b, sock) for a, b in zip(figure, found, strict=True))
    gauge = worked_out(sock.name).pattern.gauge
    centimetre = {"cm": 1, "in": 1 / INCH}.get("cm" if name in _IN_CM else name.rpartition("_")[2])
    if centimetre is None:
        rounds = "rows" in name or "rounds" in name or name in ("toe_steps", "gusset_and_cup")
        centimetre = gauge.rounds if rounds else MULTIPLE
    return abs(found - figure) <= centimetre


def main() -> None:
    """Print every figure, and how many came out how."""
    every = list(compared())
    for each in every:
        print(f"{each.sock:20} {each.figure:24} {each.published!s:>22} {each.found!s:>22}  {each.how:8} {each.reason}")
    counts = Counter(each.how for each in every)
    print(", ".join(f"{counts[how]} {how}" for how in ("typed", "derived", "within", "out")), "of", len(every))


if __name__ == "__main__":
    main()
