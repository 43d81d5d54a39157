"""What stands before and after the instructions: facts, sizes, materials, how to read, cautions."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction

from grader.merging.sections import Knitted
from grader.models.document import Table
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.vocabulary.lengths import print_cm, print_inches, print_length
from grader.vocabulary.needles import needle_names, setup_needles
from grader.vocabulary.quantities import GRAMS_PER_OUNCE, METRES_PER_YARD, round_half_up
from grader.vocabulary.wording import TERMS, joined
from grader.vocabulary.yarn_weights import yarn_weight

Yarn = dict[str, tuple[float, float]]  # size -> metres and grams for a pair


def percent(share: Fraction) -> str:
    """Ease in print: −11 %, +2 %."""
    number = int(round_half_up(share * 100))
    return "0 %" if number == 0 else f"{'−' if number < 0 else '+'}{abs(number)} %"


def needle_words(mm: Fraction | None, terms: str) -> str:
    """A needle size with its other names: 2.5 mm (US 1.5)."""
    if mm is None:
        return "the size that gives the " + TERMS[terms]["gauge"]
    names = needle_names(mm)
    others = joined(
        [text for text in (f"US {names.us}" if names.us else "", f"old UK {names.uk}" if names.uk else "") if text],
        "or",
    )
    return f"{float(mm):g} mm" + (f" ({others})" if others else "")


def gauge_words(pattern: Pattern, terms: str, units: str) -> str:
    """The gauge as counted, and over 4 inches where inches are asked for."""
    stitches, rounds = pattern.gauge.per_stated
    width = f"{float(pattern.gauge.per_cm):g} cm"
    if units != "cm" and pattern.gauge.per_cm == 10:
        width = "10 cm (4 in)" if units == "both" else "4 in (10 cm)"
    return (
        f"{float(stitches):g} sts and {float(rounds):g} rounds to {width} in {TERMS[terms]['stockinette']},"
        " in the round, washed and dried"
    )


def weight_words(pattern: Pattern, terms: str) -> str:
    """The yarn weight by its standard name and number."""
    weight = yarn_weight(pattern.yarn.weight)
    trade = f"{TERMS[terms]['fingering']}, " if weight.number == 1 else ""
    return f"{weight.name.capitalize()} ({trade}weight {weight.number})"


def ball_words(pattern: Pattern, units: str) -> str:
    """How far a ball goes: 420 m to 100 g, in yards and ounces too where inches are printed."""
    yarn = pattern.yarn
    text = f"{float(yarn.metres):g} m to {float(yarn.grams):g} g"
    if units == "cm":
        return text
    return f"{text} ({round(yarn.metres / METRES_PER_YARD)} yd to {float(yarn.grams / GRAMS_PER_OUNCE):.1f} oz)"


def facts(pattern: Pattern, terms: str, units: str, setups: Sequence[str], yarn: Yarn) -> tuple[tuple[str, str], ...]:
    """The block of facts on the first page."""
    words = TERMS[terms]
    told = [
        (
            "Yarn",
            f"{weight_words(pattern, terms)}, {ball_words(pattern, units)}",
        ),
        ("For a pair", yarn_range(yarn)),
        ("Needles", needle_words(pattern.gauge.needle_mm, terms)),
        (words["gauge"].capitalize(), gauge_words(pattern, terms, units)),
    ]
    if pattern.level:
        told.append(("Skill level", pattern.level.capitalize()))
    needed = []
    for setup in setups:
        needles = _needles_of(pattern, setup, units)
        needed.append(needles if setup.startswith("double-pointed") else f"{setup}: {needles}")  # its words name it
    told.append(("Needle setups" if len(setups) > 1 else "Needle setup", "; ".join(needed)))
    told.append(("Version", pattern.version + (f", {pattern.date}" if pattern.date else "")))
    return tuple((name, text) for name, text in told if text)


def rounded_yarn(metres: float, grams: float) -> tuple[int, int]:
    """Metres up to the next 5, and the grams of so many, rounded up: what to have at hand."""
    up = math.ceil(metres / 5) * 5
    return up, math.ceil(round(up * grams / metres, 6)) if metres else 0


def yarn_range(yarn: Yarn) -> str:
    """From the smallest pair to the largest: about 75 to 465 m, 17 to 111 g."""
    if not yarn:
        return ""
    amounts = [rounded_yarn(*each) for each in yarn.values()]
    (low_m, low_g), (high_m, high_g) = min(amounts), max(amounts)
    if (low_m, low_g) == (high_m, high_g):
        return f"about {low_m} m, {low_g} g"
    return f"about {low_m} to {high_m} m, {low_g} to {high_g} g, by size"


def size_table(
    pattern: Pattern, sizes: Sequence[Graded], yarn: Yarn, units: str, cast_on: dict[str, int], one_size: bool
) -> Table:
    """One row a size: the foot it is for, the sock it makes, ease, the stitches to cast on, the yarn for a pair."""
    unit = {"cm": "cm", "in": "in", "both": "cm/in"}[units]
    with_notes = any(graded.body.note for graded in sizes) and not one_size
    with_calf = any("calf" in graded.finished for graded in sizes)
    heads = [
        "Size",
        *(["For"] if with_notes else []),
        f"Foot round {unit}",
        f"Foot long {unit}",
        f"Sock round {unit}",
        "Ease",
        f"Sock foot {unit}",
        f"Leg {unit}",
        *([f"Calf round {unit}", f"Sock calf {unit}"] if with_calf else []),
        "Cast on",
        "Yarn m",
    ]
    rows = []
    for graded in sizes:
        body, done = graded.body.measures, graded.finished
        rows.append(
            (
                graded.body.name,
                *([graded.body.note] if with_notes else []),
                _length(body.get("foot_circumference"), units),
                _length(body.get("foot_length"), units),
                _length(done.get("foot_circumference"), units),
                percent(graded.ease["foot_circumference"]) if "foot_circumference" in graded.ease else "–",
                _length(done.get("foot_length"), units),
                _length(done.get("leg_length"), units),
                *([_length(each.get("calf"), units) for each in (body, done)] if with_calf else []),
                str(cast_on.get(graded.body.name, "–")),
                str(rounded_yarn(*yarn[graded.body.name])[0]) if graded.body.name in yarn else "–",
            )
        )
    align = "l" + ("l" if with_notes else "") + "r" * (len(heads) - 1 - with_notes)
    if one_size:
        heads, rows, align = heads[1:], [row[1:] for row in rows], align[1:]
    caption = (
        "Foot: the bare foot, round the ball and from heel to toe. Sock: the finished sock, washed. Ease: how much the"
        " sock is smaller (−) than the foot is round, from whole stitches, before the centimetres are rounded."
        " Yarn: for a pair."
    )
    if with_calf:
        caption += " Calf: the bare leg at its widest, and the finished sock there."
    return Table(tuple(heads), tuple(rows), align, caption)


def sources(sizes: Sequence[Graded]) -> tuple[str, ...]:
    """Where the measurements of the feet come from, a note each."""
    told = [source for source in dict.fromkeys(graded.body.source for graded in sizes) if source]
    return tuple(f"Feet of the size table after: {source}." for source in told)


def _length(amount: Fraction | None, units: str) -> str:
    if amount is None:
        return "–"
    if units == "both":
        return f"{print_cm(amount)}/{print_inches(amount)}"
    return print_cm(amount) if units == "cm" else print_inches(amount)


def materials(
    pattern: Pattern, terms: str, units: str, setups: Sequence[str], yarn: Yarn, markers: Mapping[str, int]
) -> tuple[str, ...]:
    """Everything to buy or have at hand; `markers` are those that each setup takes."""
    told = [
        f"Yarn: {weight_words(pattern, terms)}, {float(pattern.yarn.metres):g} m to {float(pattern.yarn.grams):g} g;"
        f" for a pair {yarn_range(yarn)}, ends and swatch included. {pattern.yarn.note}".strip()
    ]
    needle = needle_words(pattern.gauge.needle_mm, terms)
    for setup in setups:
        needles = _needles_of(pattern, setup, units)
        if setup.startswith("double-pointed"):
            needles = f"{needles.rpartition(' of ')[2]} long"
        told.append(f"Needles for {setup}: {needles}, {needle}")
    for setup in setups:
        number = markers.get(setup, 0)
        start = f", one of another {TERMS[terms]['colour']} for the start of the round" if number > 1 else ""
        where = f" ({setup})" if len(setups) > 1 else ""
        if number:
            told.append(f"{_NUMBERS.get(number, str(number))} marker{'s' if number > 1 else ''}{start}{where}")
    return (*told, *(notion.text for notion in pattern.notions))


def _lengths(pattern: Pattern) -> dict[str, Fraction]:
    usual = setup_needles()
    given = {name.split(" (")[0].split(",")[0]: amount for name, amount in pattern.needle_lengths}
    return {
        "short circular": pattern.small_circular_cm,
        "long circular": given.get("long circular") or usual.long_circular,
        "double-pointed": given.get("double-pointed") or usual.double_pointed[0],
    }


def _needles_of(pattern: Pattern, setup: str, units: str) -> str:
    lengths = {name: print_length(amount, units) for name, amount in _lengths(pattern).items()}
    if setup == "short circular":
        return (
            f"one circular needle of {lengths['short circular']}, and a set of 5 double-pointed needles of"
            f" {lengths['double-pointed']} for the toe"
        )
    if setup.startswith("long circular"):
        return f"one circular needle of {lengths['long circular']}"
    return f"a {setup.split(', ')[-1]} double-pointed needles of {lengths['double-pointed']}"


def setup_notes(
    pattern: Pattern, setups: Sequence[str], socks: Sequence[Knitted], sizes: Sequence[Graded]
) -> tuple[tuple[str, str], ...]:
    """How each setup holds the stitches, and the sizes it can't hold."""
    held = {
        "short circular": "All stitches lie on one small circular needle; a marker shows where the round starts."
        f" It takes {pattern.fewest_on_circular} sts or more to reach round it; with fewer, use double-pointed"
        " needles.",
        "long circular (magic loop)": "Each half of the stitches lies on one tip of a long circular needle; the cable"
        " is drawn out between them.",
        "double-pointed, set of 5": "The stitches lie on four needles, two for each half; the fifth works.",
        "double-pointed, set of 4": "The stitches lie on three needles; the fourth works.",
    }
    told = []
    for setup in setups:
        there = {sock.graded.body.name for sock in socks if sock.instructions.setup == setup}
        missing = [graded.body.name for graded in sizes if graded.body.name not in there]
        if missing:
            sizes_named = f"size{'s' if len(missing) > 1 else ''} {joined(missing)}"
            told.append((setup, f"{held[setup]} Not for {sizes_named}: too few stitches to reach round."))
        else:
            told.append((setup, held[setup]))
    return tuple(told)


_NUMBERS = {1: "One", 2: "Two", 3: "Three", 4: "Four"}


def how_to_read(
    count: int, terms: str, one_size: bool = False, spoken: bool = False, lettered: bool = False
) -> tuple[str, ...]:
    """How the numbers of many sizes are told apart, by letters or in brackets, and other habits of the page."""
    told = []
    if lettered:
        told.append(
            "Where sizes differ, a bold letter stands for a number, the same all through the pattern. Look it up in the"
            " table at the head of the section, in the column of your size: ring that column before you begin. K with a"
            " letter beside it means: knit so many. Some letters are left out, so that none is taken for K, P, 1, 0 or"
            " a size. A number in plain print is for all sizes."
        )
    elif count > 1:
        told.append(
            "Where sizes differ, the number for the first size stands first and the others follow in brackets,"
            " in the order of the size table: ring yours before you begin. A number alone is for all sizes."
        )
    if count > 1:
        told.append("A dash (–) means that your size works none of it.")
    if spoken:
        told.append("A repeat says first how far it goes, then what is repeated; “end of the repeat” is where it ends.")
    else:
        told.append("Work what stands between * and “rep from *” as often as it says. K or P alone means every stitch.")
    told.append("Needle 1 is always the needle with which the round starts.")
    whose = (
        f"your {TERMS[terms]['gauge']}; if it has changed"
        if one_size
        else (f"the pattern's {TERMS[terms]['gauge']}; if yours differs")
    )
    told.append(f"Where rounds and a length are both given, the rounds are right at {whose}, go by the length.")
    return tuple(told)
