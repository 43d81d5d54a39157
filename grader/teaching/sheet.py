"""The worksheet of a pattern: what to measure, each number in its order, what must agree, and the answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction

from grader.models.graded import Figure, Graded
from grader.models.pattern import Pattern, Rule
from grader.models.worksheet import AnswerKey, WorkedNumber, Worksheet
from grader.teaching.words import BLANK, blanks, decimal, is_single, summed, told
from grader.vocabulary.congruences import Congruence, common
from grader.vocabulary.foot_measures import WORDS
from grader.vocabulary.quantities import Quantity, nearest_count

_UNITS = {"stitches": "sts", "rounds": "rounds", "cm": "cm"}
_MEASURES = {"leg_length": "the length of the leg", **WORDS}


Say = Callable[[str], str]


def _as_it_is(text: str) -> str:
    return text


def worksheet(
    pattern: Pattern, sizes: Sequence[Graded], example: Graded | None = None, say: Say = _as_it_is
) -> Worksheet:
    """The worksheet of a pattern for a class whose feet are anybody's.

    Args:
        pattern: whose rules are taught.
        sizes: those of the answer key.
        example: the size that is worked beside the blanks; the middle one if none is given.
        say: how a label, or a few words of ours with their number, are said in another language.
    """
    shown = example or sizes[len(sizes) // 2]
    labels = {name: say(label) for name, label in _labels(pattern).items()}
    numbers = tuple(
        _worked(rule, figure, shown, labels, say) for rule, figure in zip(pattern.rules, shown.figures, strict=True)
    )
    numbers += tuple(_in_rounds(pattern, rule, shown, labels, say) for rule in _knitted_to(pattern))
    return Worksheet(
        example=shown.body.name,
        measures=tuple((say(what), value) for what, value in _measures(pattern, shown)),
        numbers=numbers,
        checks=tuple(_checks(pattern, shown, labels)),
        answers=_answers(pattern, sizes, say),
    )


def _used(pattern: Pattern) -> set[str]:
    formulas = [
        formula
        for rule in pattern.rules
        for formula in (rule.target, rule.at_least, rule.at_most, *rule.multiple_of)
        if formula is not None
    ]
    return {name for formula in formulas for name in formula.names}


def _labels(pattern: Pattern) -> dict[str, str]:
    """What every name of a formula is called."""
    labels = dict(_MEASURES)
    labels |= {f"usual.{name}": f"{words}, as usual for such a foot" for name, words in _MEASURES.items()}
    labels |= {"gauge.stitches": "stitches in 1 cm", "gauge.rounds": "rounds in 1 cm"}
    for name, share in (
        ("foot_circumference", pattern.fit.foot_circumference),
        ("foot_length", pattern.fit.foot_length),
    ):
        labels[f"fit.{name}"] = f"{decimal(share * 100)} %"
        labels[f"1+fit.{name}"] = f"{decimal((1 + share) * 100)} %"
    for each in pattern.stitch_patterns:
        labels[f"{each.name}.repeat"] = f"the stitches of one repeat of the {each.label}"
        labels[f"{each.name}.edge"] = f"the stitches beside the repeats of the {each.label}"
        labels[f"{each.name}.width"] = f"the stitches of the {each.label}"
        labels[f"{each.name}.rounds"] = f"the rounds of one repeat of the {each.label}"
        labels[f"{each.name}.gauge.stitches"] = f"stitches in 1 cm of the {each.label}"
        labels[f"{each.name}.gauge.rounds"] = f"rounds in 1 cm of the {each.label}"
    return labels | {rule.name: rule.label or rule.name.replace("_", " ") for rule in pattern.rules}


def _names(graded: Graded) -> dict[str, Quantity]:
    """The numbers of a size, and the shares of the foot that a sock is made to."""
    names = dict(graded.names)
    for name in ("foot_circumference", "foot_length"):
        share = names.get(f"fit.{name}")
        if share is not None:
            names[f"1+fit.{name}"] = Quantity(1 + share.amount)
    return names


def _measures(pattern: Pattern, shown: Graded) -> tuple[tuple[str, str], ...]:
    """What to measure before any number can be worked: the foot and the swatch."""
    used = _used(pattern)
    feet = [(words, name) for name, words in _MEASURES.items() if name in used]
    told_feet = [(f"{words[:1].upper()}{words[1:]}, cm", decimal(shown.names[name].amount)) for words, name in feet]
    gauge = pattern.gauge
    return (
        *told_feet,
        ("Stitches in 10 cm", decimal(gauge.stitches * 10)),
        ("Rounds in 10 cm", decimal(gauge.rounds * 10)),
        ("Stitches in 1 cm: a tenth of those in 10 cm", decimal(gauge.stitches)),
        ("Rounds in 1 cm: a tenth of those in 10 cm", decimal(gauge.rounds)),
    )


def _knitted_to(pattern: Pattern) -> tuple[Rule, ...]:
    """The lengths that are knitted to, and so are counted in rounds in the end."""
    asked = {
        step.length.text
        for section in pattern.sections
        for outer in section.steps
        for step in (outer, *outer.steps)
        if step.length is not None
    }
    return tuple(rule for rule in pattern.rules if rule.unit == "cm" and rule.name in asked)


def _in_rounds(pattern: Pattern, rule: Rule, shown: Graded, labels: Mapping[str, str], say: Say) -> WorkedNumber:
    """A length as the rounds that make it: what the page prints."""
    length, gauge = shown.names[rule.name].amount, pattern.gauge.rounds
    count = nearest_count(length * gauge)
    return WorkedNumber(
        label=f"{labels[rule.name]}, {say('in rounds')}",
        rule=f"{labels[rule.name]} × {labels['gauge.rounds']}",
        blanks=f"{BLANK} × {BLANK} = {BLANK} → {BLANK}",
        example=f"{decimal(length)} × {decimal(gauge)} = {decimal(length * gauge)} →",
        result=say(f"{count} {'round' if count == 1 else 'rounds'}"),
        rounding=say("to the nearest whole number"),
    )


def _worked(rule: Rule, figure: Figure, shown: Graded, labels: Mapping[str, str], say: Say) -> WorkedNumber:
    names = _names(shown)
    term = rule.target.term
    rounding = ", ".join(say(each) for each in _rounding(rule, shown))
    aimed = decimal(figure.aimed.amount)
    result = decimal(figure.value.amount)
    single = is_single(term)
    shown_sum = "" if single else summed(term, names, say)
    if rounding:
        shown_sum = f"{shown_sum} = {aimed} →" if shown_sum else f"{aimed} →"
    elif shown_sum:
        shown_sum += " ="
    blank = BLANK if single else blanks(term, names, say)
    return WorkedNumber(
        label=labels[rule.name],
        rule=told(term, labels, say),
        blanks=blank + ("" if single else f" = {BLANK}") + (f" → {BLANK}" if rounding else ""),
        example=shown_sum,
        result=say(f"{result} {_unit(rule, figure.value.amount)}"),
        rounding=rounding,
    )


def _unit(rule: Rule, amount: Fraction) -> str:
    if rule.unit == "rounds" and "rows" in rule.label:
        return "row" if amount == 1 else "rows"
    if amount == 1 and rule.unit != "cm":
        return {"stitches": "st", "rounds": "round"}[rule.unit]
    return _UNITS[rule.unit]


def _rounding(rule: Rule, shown: Graded) -> list[str]:
    """What is done with the sum before it counts: to the nearest multiple of 4, at the least 30 cm."""
    if rule.aim == "exactly":
        return []
    how = {"nearest": "to the nearest", "at_most": "down to the next", "at_least": "up to the next"}[rule.aim]
    step = _step(rule, shown)
    parts = []
    if step is not None:
        parts.append(f"{how} {_multiple(step, rule)}")
    for word, bound in (("at the least", rule.at_least), ("at the most", rule.at_most)):
        if bound is not None and not (rule.aim == "at_most" and word == "at the most"):
            value = bound.value(shown.names).amount
            parts.append(f"{word} {decimal(value)} {_UNITS[rule.unit]}")
    return parts


def _step(rule: Rule, shown: Graded) -> Congruence | None:
    """The numbers that the rule allows; None where it is a length that may be anything."""
    over = rule.plus.value(shown.names).amount if rule.plus else Fraction(0)
    asked = [Congruence(abs(each.value(shown.names).amount), over) for each in rule.multiple_of]
    asked += [
        Congruence(abs(each.value(shown.names).amount), plus.value(shown.names).amount if plus else Fraction(0))
        for each, plus in rule.also
    ]
    if not asked and rule.unit == "cm":
        return None
    return common(asked)


def _multiple(step: Congruence, rule: Rule) -> str:
    unit = " cm" if rule.unit == "cm" else ""
    if step.step == 1 and step.plus % 1 == 0:
        return "whole number"
    if step.step == Fraction(1, 2) and not step.plus:
        return f"half {unit.strip()}".strip()
    plus = f" and {decimal(step.plus)} more" if step.plus else ""
    return f"multiple of {decimal(step.step)}{unit}{plus}"


def _checks(pattern: Pattern, shown: Graded, labels: Mapping[str, str]) -> list[str]:
    """What the numbers make together: said of differences and halves, which a sum undoes again."""
    told_checks = []
    for rule in pattern.rules:
        term = rule.target.term
        if rule.aim != "exactly" or term.kind != "-" or len(term.parts) != 2:
            continue
        whole, part = term.parts
        if whole.kind == "name" and part.kind == "name":
            given = f"{labels[rule.name]} + {labels[part.word]} = {labels[whole.word]}"
            values = [shown.names[name].amount for name in (rule.name, part.word, whole.word)]
            told_checks.append(f"{given}: {BLANK} + {BLANK} = {BLANK} ({_added(values)})")
    return told_checks


def _added(values: Sequence[Fraction]) -> str:
    first, second, whole = map(decimal, values)
    return f"{first} + {second} = {whole}"


def _answers(pattern: Pattern, sizes: Sequence[Graded], say: Say) -> AnswerKey:
    rows = tuple(
        (
            say(rule.label or rule.name.replace("_", " ")),
            say(_unit(rule, Fraction(2))),
            tuple(decimal(graded.names[rule.name].amount) for graded in sizes),
        )
        for rule in pattern.rules
    )
    rows += tuple(
        (
            f"{say(rule.label)}, {say('in rounds')}",
            say("rounds"),
            tuple(str(nearest_count(graded.names[rule.name].amount * pattern.gauge.rounds)) for graded in sizes),
        )
        for rule in _knitted_to(pattern)
    )
    return AnswerKey(tuple(graded.body.name for graded in sizes), rows)
