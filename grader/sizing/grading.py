"""Evaluating the rules of a pattern for one body, and the ease that comes out of them."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

from grader.models.graded import Figure, Graded
from grader.models.pattern import FinishedRule, Pattern, Rule
from grader.notation.multiples import multiple_of
from grader.sizing.altering import alterations_for, rules_for, told
from grader.sizing.choices import Wanted, choices, coarse_of
from grader.sizing.limits import check_limits
from grader.sizing.rounding import Lattice, lattice_of
from grader.sizing.words import percent, plain, told_multiple
from grader.vocabulary.bodies import Body
from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.congruences import Congruence
from grader.vocabulary.findings import Finding, Ledger
from grader.vocabulary.formulas import Formula, FormulaError, Names
from grader.vocabulary.quantities import Quantity, UnitError, cm, rounds, stitches

_DIMS = {"stitches": (1, 0, 0), "rounds": (0, 1, 0), "cm": (0, 0, 1)}


class _UnmetRule(Exception):
    """A rule that can't be met, with the finding that says so. Never leaves this module."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.message)
        self.finding = finding


def grade(pattern: Pattern, body: Body, index: int = 0) -> tuple[Graded | None, list[Finding]]:
    """Grade one size. None with findings where a rule can't be met; no exception leaves."""
    held = alterations_for(pattern, body)
    if not held:
        return _graded(pattern, body, index)
    rules, whose = rules_for(pattern, held)
    usual, _ = _graded(pattern, body, index)
    graded, findings = _graded(replace(pattern, rules=rules), body, index)
    if graded is None:
        return None, findings
    return replace(graded, altered=told(pattern, whose, usual.figures if usual else (), graded.figures)), findings


def _graded(pattern: Pattern, body: Body, index: int) -> tuple[Graded | None, list[Finding]]:
    ledger = Ledger()
    names = starting_names(pattern, body)
    figures: list[Figure] = []
    for rule in pattern.rules:
        try:
            figure = _figure(rule, names, pattern, body)
        except _UnmetRule as unmet:
            ledger.entries.append(unmet.finding)
            return None, ledger.entries
        figures.append(figure)
        check_limits(rule, figure.value, names, body, ledger)
        names[rule.name] = figure.value
    finished: dict[str, Fraction] = {}
    beside: dict[str, Fraction] = {}
    for measure in pattern.finished:
        stated = _length(measure, measure.stated, names, body, ledger)
        plus = _length(measure, measure.plus, names, body, ledger) if measure.plus else Fraction(0)
        if stated is not None and plus is not None:
            finished[measure.measure], beside[measure.measure] = stated, plus
    ease = {
        measure: amount / body.measures[measure] - 1
        for measure, amount in finished.items()
        if body.measures.get(measure)
    }
    _check_ease(pattern, body, names, figures, finished, ease, ledger)
    if any(entry.is_error for entry in ledger.entries):
        return None, ledger.entries
    return Graded(index, body, tuple(figures), names, finished, beside, ease), ledger.entries


def starting_names(pattern: Pattern, body: Body) -> dict[str, Quantity]:
    """What formulas may use before any number is graded: the body, gauge, fit and stitch patterns."""
    names = {measure: cm(amount) for measure, amount in body.measures.items()}
    names |= {f"usual.{measure}": cm(amount) for measure, amount in body.usual.items()}
    names["gauge.stitches"] = Quantity(pattern.gauge.stitches, (1, 0, -1))
    names["gauge.rounds"] = Quantity(pattern.gauge.rounds, (0, 1, -1))
    names["fit.foot_circumference"] = Quantity(pattern.fit.foot_circumference)
    names["fit.foot_length"] = Quantity(pattern.fit.foot_length)
    for each in pattern.stitch_patterns:
        asked = multiple_of((line.text for line in (*each.rounds, *each.rows)), bool(each.sides))
        gauge = each.gauge or pattern.gauge
        names[f"{each.name}.repeat"] = stitches(asked.repeat)
        names[f"{each.name}.edge"] = stitches(asked.edge)
        names[f"{each.name}.width"] = stitches(asked.width)
        names[f"{each.name}.rounds"] = rounds(len(each.rounds) or len(each.rows))
        names[f"{each.name}.gauge.stitches"] = Quantity(gauge.stitches, (1, 0, -1))
        names[f"{each.name}.gauge.rounds"] = Quantity(gauge.rounds, (0, 1, -1))
    return names


def _value(formula_holder: Rule, which: str, names: Names, body: Body) -> Quantity | None:
    formula = getattr(formula_holder, which)
    if formula is None:
        return None
    try:
        return formula.value(names)  # type: ignore[no-any-return]
    except (FormulaError, UnitError) as mistake:
        message, mend = f"{formula_holder.name}, {which}: {mistake}", getattr(mistake, "mend", "")
        raise _UnmetRule(Finding("formula", message, formula_holder.span, sizes=(body.name,), mend=mend)) from None


def _recast(rule: Rule, value: Quantity, body: Body) -> Quantity:
    """The value in the rule's unit. What was counted may be re-read as another count, what was measured never is."""
    wanted = _DIMS[rule.unit]
    if value.dims == wanted or value.is_plain or (value.is_count and rule.unit != "cm" and not value.measured):
        return Quantity(value.amount, wanted)
    raise _UnmetRule(
        Finding(
            "unit",
            f"{rule.name} counts {rule.unit}, but its formula gives {value.unit_name}",
            rule.span,
            sizes=(body.name,),
            mend="multiply a length by gauge.stitches or gauge.rounds, or divide a count by it",
        )
    )


def _demands(rule: Rule, names: Names, body: Body) -> tuple[tuple[Formula, Congruence], ...]:
    """Every multiple a rule asks for, with what is to be over, beside its formula."""
    shared = _value(rule, "plus", names, body)
    asked = [(each, shared) for each in rule.multiple_of]
    demands = []
    try:
        asked += [(each, plus.value(names) if plus else None) for each, plus in rule.also]
        for formula, over in asked:
            demands.append((formula, abs(formula.value(names).amount), over.amount if over else Fraction(0)))
    except (FormulaError, UnitError) as mistake:
        raise _UnmetRule(
            Finding("formula", f"{rule.name}, multiple_of: {mistake}", rule.span, sizes=(body.name,))
        ) from None
    if any(step == 0 for _, step, _ in demands):
        raise _UnmetRule(
            Finding("formula", f"{rule.name}: a multiple of 0 has no meaning", rule.span, sizes=(body.name,))
        )
    return tuple((formula, Congruence(step, over)) for formula, step, over in demands)


def _lattice(rule: Rule, names: Names, pattern: Pattern, body: Body) -> Lattice | None:
    """The legal numbers of a rule; None for a length or an exact number without any congruence."""
    asked = _demands(rule, names, body)
    demands = tuple(demand for _, demand in asked)
    low, high = (_value(rule, which, names, body) for which in ("at_least", "at_most"))
    if not demands and rule.unit == "cm":
        if low is None and high is None:
            return None
        demands = (Congruence(Fraction(1, 10**6)),)
    found = lattice_of(
        demands,
        low.amount if low and rule.aim != "at_least" else None,
        high.amount if high and rule.aim != "at_most" else None,
    )
    if found and math.log10(found.step.numerator) > allowed("digits"):
        message, mend = too_much("digits")
        message = f"{rule.name}, multiple_of: {message}"
        raise _UnmetRule(Finding("budget", message, rule.span, sizes=(body.name,), mend=mend))
    if found is None:
        wanted = " and ".join(dict.fromkeys(told_multiple(each.step, each.plus) for each in demands))
        coarse = coarse_of(asked, pattern, names)
        other = choices(coarse, _wanted(pattern, body, 1 / pattern.gauge.stitches)) if coarse else ""
        raise _UnmetRule(
            Finding(
                "no-legal-number",
                f"{rule.name} has to be {wanted}, and no number is all of these",
                rule.span,
                sizes=(body.name,),
                expected=wanted,
                found="none",
                mend=other or "leave one of the multiples out, or give it another remainder",
            )
        )
    return found


def _wanted(pattern: Pattern, body: Body, per_stitch: Fraction) -> Wanted:
    return Wanted(body.measures["foot_circumference"], pattern.fit.foot_circumference, per_stitch)


def _figure(rule: Rule, names: Names, pattern: Pattern, body: Body) -> Figure:
    aimed = _value(rule, "target", names, body)
    assert aimed is not None  # every rule has a target
    aimed = _recast(rule, aimed, body)
    lattice = _lattice(rule, names, pattern, body)
    if rule.aim == "exactly":
        _check_exact(rule, aimed, lattice, body)
        return Figure(rule.name, aimed, aimed, "")
    if lattice is None:
        return Figure(rule.name, aimed, aimed, "")
    if rule.unit == "cm" and not (rule.multiple_of or rule.also) and _within(lattice, aimed.amount):
        return Figure(rule.name, aimed, aimed, "")  # any length between the bounds is legal as it is
    if rule.aim == "at_least":
        chosen: Fraction | None = lattice.above(aimed.amount)
    elif rule.aim == "at_most":
        chosen = lattice.below(aimed.amount)
    else:
        chosen = lattice.nearest(aimed.amount)
    if chosen is None or not lattice.holds(chosen) or (rule.unit != "cm" and chosen < 0):
        raise _UnmetRule(_no_legal_number(rule, aimed.amount, lattice, body))
    return Figure(rule.name, Quantity(chosen, aimed.dims), aimed, _reason(rule, aimed.amount, chosen, lattice))


def _check_exact(rule: Rule, value: Quantity, lattice: Lattice | None, body: Body) -> None:
    if rule.unit != "cm" and (value.amount.denominator != 1 or value.amount < 0):
        raise _UnmetRule(
            Finding(
                "not-whole",
                f"{rule.name} comes to {plain(value.amount)} {rule.unit}",
                rule.span,
                sizes=(body.name,),
                expected="a whole number, 0 or more",
                found=plain(value.amount),
                mend="make what it is worked out from a multiple of 2 or 4, or round it with `nearest`",
            )
        )
    asked = bool(rule.multiple_of or rule.also)
    if lattice is not None and not (lattice.holds(value.amount) if asked else _within(lattice, value.amount)):
        raise _UnmetRule(_no_legal_number(rule, value.amount, lattice, body))


def _within(lattice: Lattice, amount: Fraction) -> bool:
    return (lattice.low is None or amount >= lattice.low) and (lattice.high is None or amount <= lattice.high)


def _no_legal_number(rule: Rule, amount: Fraction, lattice: Lattice, body: Body) -> Finding:
    under, over = lattice.below(amount), lattice.above(amount)
    legal = _legal_words(rule, lattice)
    short = ""
    unit = rule.unit
    if lattice.low is not None and amount < lattice.low:
        short = f", {plain(lattice.low - amount)} {unit} too {'short' if unit == 'cm' else 'few'}"
    elif lattice.high is not None and amount > lattice.high:
        short = f", {plain(amount - lattice.high)} {unit} over"
    message = f"{rule.name} comes to {plain(amount)} {rule.unit}, which is not {legal}{short}"
    mend = (
        f"the nearest it could be are {plain(under)} and {plain(over)};"
        " allow another multiple or bound, or change the gauge"
    )
    if rule.unit == "cm":
        mend = (
            "the foot is too short for this shaping: begin the toe sooner, decrease the gusset faster,"
            " or leave the size out"
        )
    return Finding(
        "no-legal-number", message, rule.span, sizes=(body.name,), expected=legal, found=plain(amount), mend=mend
    )


def _legal_words(rule: Rule, lattice: Lattice) -> str:
    words = []
    if rule.multiple_of or rule.also:
        words.append(told_multiple(lattice.step, lattice.plus))
    if lattice.low is not None:
        words.append(f"at least {plain(lattice.low)}")
    if lattice.high is not None:
        words.append(f"at most {plain(lattice.high)}")
    return " and ".join(words) or "a whole number"


def _reason(rule: Rule, aimed: Fraction, chosen: Fraction, lattice: Lattice) -> str:
    if aimed == chosen:
        return ""
    if abs(chosen - aimed) < lattice.step:
        return f"{plain(aimed)} taken to {plain(chosen)}, {_legal_words(rule, lattice)}"
    return f"{plain(aimed)} held at {plain(chosen)}, {_legal_words(rule, lattice)}"


def _length(measure: FinishedRule, formula: Formula, names: Names, body: Body, ledger: Ledger) -> Fraction | None:
    try:
        value = formula.value(names)
    except (FormulaError, UnitError) as mistake:
        ledger.add("formula", f"finished {measure.measure}: {mistake}", measure.span, sizes=(body.name,))
        return None
    if not value.is_length:
        ledger.add(
            "unit",
            f"finished {measure.measure} must be a length, not {value.unit_name}",
            measure.span,
            sizes=(body.name,),
            mend="divide the stitches by gauge.stitches",
        )
        return None
    return value.amount


def _check_ease(
    pattern: Pattern,
    body: Body,
    names: Names,
    figures: list[Figure],
    finished: dict[str, Fraction],
    ease: dict[str, Fraction],
    ledger: Ledger,
) -> None:
    """Ease after rounding must lie in the allowed range; the finding says what would bring it there."""
    for measure, (low, high), target in (
        ("foot_circumference", pattern.fit.allowed, pattern.fit.foot_circumference),
        ("foot_length", pattern.fit.length_allowed, pattern.fit.foot_length),
    ):
        share = ease.get(measure)
        if share is None or low <= share <= high:
            continue
        edge = low if share < low else high
        off = abs(finished[measure] - body.measures[measure] * (1 + edge))
        ledger.add(
            "ease",
            f"{measure} comes out {percent(share)} beside the foot, {plain(off)} cm outside what is allowed",
            pattern.fit.span,
            sizes=(body.name,),
            expected=f"{percent(low)} to {percent(high)}",
            found=percent(share),
            mend=(_choices_for(pattern, body, names, figures, finished) if measure == "foot_circumference" else "")
            or _ease_mend(pattern, body, figures, measure, finished, target),
        )


def _choices_for(
    pattern: Pattern, body: Body, names: Names, figures: list[Figure], finished: dict[str, Fraction]
) -> str:
    """What may be chosen where the repeats of a stitch pattern are what keeps the sock from fitting; else nothing."""
    stated = next(each.stated for each in pattern.finished if each.measure == "foot_circumference")
    driving = _driving(stated, figures)
    for rule, figure in zip(pattern.rules, figures, strict=True):
        if figure is not driving:
            continue
        asked = _demands(rule, names, body)
        coarse = coarse_of(asked, pattern, names)
        whole = lattice_of([demand for _, demand in asked])
        if coarse and whole:
            wanted = _wanted(pattern, body, finished["foot_circumference"] / figure.value.amount)
            return choices(coarse, wanted, (whole.below(wanted.count), whole.above(wanted.count)))
    return ""


def _ease_mend(
    pattern: Pattern, body: Body, figures: list[Figure], measure: str, finished: dict[str, Fraction], target: Fraction
) -> str:
    rule = next((each for each in pattern.finished if each.measure == measure), None)
    wanted = body.measures[measure] * (1 + target)
    figure = _driving(rule.stated, figures) if rule else None
    if figure is None:
        return "change the fit, the multiple or the gauge"
    per_unit = finished[measure] / figure.value.amount
    by_two = round(wanted / per_unit / 2) * 2
    gauge = figure.value.amount / wanted * pattern.gauge.per_cm
    return (
        f"{by_two} instead of {plain(figure.value.amount)} (a multiple of 2) would be "
        f"{percent(by_two * per_unit / body.measures[measure] - 1)}; or a gauge of {plain(gauge)} sts "
        f"to {plain(pattern.gauge.per_cm)} cm"
    )


def _driving(stated: Formula, figures: list[Figure]) -> Figure | None:
    """The count that a stated measure hangs on: the largest of those it names, such as the cast-on beside a panel."""
    named = [each for each in figures if each.name in stated.names and not each.value.is_length and each.value.amount]
    return max(named, key=lambda each: each.value.amount, default=None)
