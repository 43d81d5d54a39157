"""The shape of the file, with its tree for the places, becomes a frozen `Pattern`."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from grader.loading.alterations import alterations
from grader.loading.changelog import changelog
from grader.loading.charts import charted
from grader.loading.checks import Checks
from grader.loading.colours import coloured, colours
from grader.loading.counted import counts_of
from grader.loading.file_model import CongruenceForm, FinishedForm, PatternForm, RuleForm, StitchPatternForm
from grader.loading.misfits import Misfit
from grader.loading.naked import check_reason
from grader.loading.prose import words, written
from grader.loading.repeats import check_repeats, define_names, own_gauge
from grader.loading.samples import samples
from grader.loading.steps import check_pair, line, rows_work, section
from grader.loading.tree import Node
from grader.loading.units import UNITS, suits, usual_unit, wanted_by, wrong_unit
from grader.loading.values import SETUPS, suggestion
from grader.loading.values import setups as setups_named
from grader.models.pattern import (
    FinishedRule,
    Fit,
    Gauge,
    Pattern,
    Rule,
    StitchPattern,
    Written,
    Yarn,
)
from grader.vocabulary.bodies import Body
from grader.vocabulary.formulas import Formula, read_formula
from grader.vocabulary.quantities import Quantity, cm, stitches

Charts = Callable[[str], tuple[Body, ...]]


def convert(form: PatternForm, root: Node, checks: Checks, bodies: tuple[Body, ...]) -> Pattern:
    """Build the pattern from top to bottom; what does not agree goes into `checks`."""
    gauge = _gauge(form, root)
    _define_givens(form, checks, bodies, gauge)
    patterns = tuple(
        _stitch_pattern(name, each, _sub(root, "stitch_patterns", name), checks, gauge)
        for name, each in form.stitch_patterns.items()
    )
    rules = tuple(_rule(name, each, root, checks) for name, each in form.numbers.items())
    for each in form.stitch_patterns:
        _check_pattern_lines(each, form, root, checks)
    for pattern in patterns:
        check_repeats(pattern, _sub(root, "stitch_patterns", pattern.name), checks)
    sections = tuple(section(each, _sub(root, "sections", number), checks) for number, each in enumerate(form.sections))
    check_pair(sections, checks)
    _unique_sections(form, root, checks)
    sections = coloured(sections, form, root, checks)
    altered = alterations(form, root, checks, _rule)
    if not checks.lenient:  # a step that was set aside may work what seems idle
        checks.findings.extend(checks.provenance.findings())
    return Pattern(
        title=form.title,
        version=form.version,
        date=form.date,
        summary=words(form.summary, root.child("summary"), checks),
        author=form.author,
        copyright=form.copyright,
        level=form.level,
        gauge=gauge,
        yarn=_yarn(form, root, checks),
        fit=_fit(form, root),
        bodies=bodies,
        setups=_setups(form),
        needle_lengths=_needles(form, root, checks),
        rules=rules,
        stitch_patterns=patterns,
        sections=sections,
        finished=tuple(_finished(name, each, root, form, checks) for name, each in form.finished.items()),
        samples=samples(form, root, checks, bodies),
        notions=_notes(form.notions, root.child("notions"), checks, "counted"),
        notes=_notes(form.notes, root.child("notes"), checks, "all"),
        file=root.source.file,
        span=root.span,
        colours=colours(form, root),
        alterations=altered,
        changelog=changelog(form, root, checks),
        sizes_span=_sub(root, "sizes").span,
    )


def _sub(node: Node, *path: str | int) -> Node:
    for part in path:
        node = node.child(part) or node
    return node


def _gauge(form: PatternForm, root: Node) -> Gauge:
    each = form.gauge
    needle = each.needle * 10 if each.needle else None
    span = _sub(root, "gauge").span
    return Gauge(each.stitches / each.per, each.rounds / each.per, each.per, needle, span)


def _yarn(form: PatternForm, root: Node, checks: Checks) -> Yarn:
    each, node = form.yarn, _sub(root, "yarn")
    words(each.note, node.child("note"), checks)
    return Yarn(each.weight, each.metres, each.per, each.note, node.span)


def _fit(form: PatternForm, root: Node) -> Fit:
    each = form.fit
    return Fit(each.foot_circumference, each.foot_length, each.allowed, each.length_allowed, _sub(root, "fit").span)


def _define_givens(form: PatternForm, checks: Checks, bodies: tuple[Body, ...], gauge: Gauge) -> None:
    """Names every formula may use: the measures all feet have, gauge, ease, and the stitch patterns' own."""
    shared = set.intersection(*(set(body.measures) for body in bodies))
    for name, amount in bodies[0].measures.items():
        if name in shared:
            checks.define(name, cm(amount))
    checks.define("gauge.stitches", Quantity(gauge.stitches, (1, 0, -1)))
    checks.define("gauge.rounds", Quantity(gauge.rounds, (0, 1, -1)))
    checks.define("fit.foot_circumference", Quantity(form.fit.foot_circumference))
    checks.define("fit.foot_length", Quantity(form.fit.foot_length))
    checks.define("live", stitches(64))  # in lines and steps: the stitches on the needles just then
    for name, each in form.stitch_patterns.items():
        checks.patterns[name] = "rounds" if each.rounds or each.chart else "rows"
        own = own_gauge(each.gauge, gauge, gauge.span)
        define_names(name, own or gauge, checks.define)


# -- numbers


def _rule(name: str, form: RuleForm, root: Node, checks: Checks) -> Rule:
    node = _sub(root, "numbers", name)
    key = _sub(root, "numbers").key(name) or node
    aim = next(each for each in ("nearest", "exactly", "at_least", "at_most") if getattr(form, each) is not None)
    target: Formula = getattr(form, aim)
    values = checks.values(target, _sub(node, aim))
    unit = form.unit or usual_unit(name, values)
    unit = "rounds" if unit == "rows" else unit
    multiples, plus, also = _congruences(form)
    if values is not None and not suits(values[0], wanted_by(unit)):
        _wrong_unit(name, unit, values[0], _sub(node, aim), checks)
        values = None
    if values is not None:
        place = _sub(node, aim).at()
        checks.provenance.rule(name, target, values[0], UNITS[unit], checks.first, place)
    bounds = {each: getattr(form, each) for each in ("at_least", "at_most") if each != aim}
    for each, bound in bounds.items():
        if bound is not None:
            checks.bound(bound, _sub(node, each), wanted_by(unit))
    _check_congruences(form, node, unit, checks)
    for number, limit in enumerate(form.allowed or ()):
        checks.bound(limit, _sub(node, "allowed", number), wanted_by(unit))
    why = node.child("why")
    if words(form.why, why, checks, typed="") and why:
        check_reason(form.why, why, node, checks)
    if name in checks.first:
        message = f"{name!r} is already a measure of the foot"
        checks.add("duplicate-name", message, key.span, "give the number another name")
    else:
        checks.bounded(name, values, UNITS[unit], key.span)
    label = checks.labels[name] = form.label or name.replace("_", " ")
    counts = counts_of(form.counts, label, unit, _sub(node, "counts"), checks)
    return Rule(
        name,
        aim,
        target,
        multiples,
        plus,
        bounds.get("at_least"),
        bounds.get("at_most"),
        unit,
        label,
        form.why,
        key.span,
        also,
        counts,
        form.allowed,
    )


def _wrong_unit(name: str, unit: str, value: Quantity, node: Node, checks: Checks) -> None:
    message, mend = wrong_unit(name, unit, value)
    checks.add("unit", message, node.at(), mend)


Own = tuple[tuple[Formula, Formula | None], ...]


def _congruences(form: RuleForm) -> tuple[tuple[Formula, ...], Formula | None, Own]:
    """The multiples that share the rule's remainder, that remainder, and the multiples with one of their own."""
    if form.parity is not None:
        return (read_formula("2"),), read_formula("1") if form.parity == "odd" else None, ()
    several = form.multiple_of if isinstance(form.multiple_of, tuple) else (form.multiple_of,)
    own = tuple((each.of, each.plus) for each in several if isinstance(each, CongruenceForm))
    return tuple(each for each in several if isinstance(each, Formula)), form.plus, own


def _check_congruences(form: RuleForm, node: Node, unit: str, checks: Checks) -> None:
    below = _sub(node, "multiple_of")
    several = form.multiple_of if isinstance(form.multiple_of, tuple) else (form.multiple_of,)
    wanted = wanted_by(unit)
    for number, each in enumerate(several):
        place = below.child(number) or below
        if isinstance(each, CongruenceForm):
            place = _sub(place, "of")
            if each.plus is not None:
                checks.bound(each.plus, _sub(below.child(number) or below, "plus"), wanted)
            each = each.of
        value = checks.bound(each, place, wanted)
        if value is not None and value.amount <= 0:
            checks.add("formula", "a multiple must be above nothing", place.at(), "write a number above 0")
    if form.plus is not None:
        checks.bound(form.plus, _sub(node, "plus"), wanted)


# -- stitch patterns


def _stitch_pattern(name: str, form: StitchPatternForm, node: Node, checks: Checks, gauge: Gauge) -> StitchPattern:
    """The lines as written; their braces are checked later, when all numbers are known."""
    label = form.label or name.replace("_", " ")
    lines = tuple(written(each, _sub(node, "rounds", number)) for number, each in enumerate(form.rounds or ()))
    rows: list[Written] = []
    pairs = form.rows if isinstance(form.rows, tuple) else (form.rows,) if form.rows else ()
    for number, pair in enumerate(pairs):
        item = _sub(node, "rows").child(number) or _sub(node, "rows")
        rows.extend(
            written(each, _sub(item, side)) for side, each in (("RS", pair.RS), ("WS", pair.WS)) if each is not None
        )
    own = own_gauge(form.gauge, gauge, _sub(node, "gauge").span)
    if form.chart or form.chart_rows:
        drawn = charted(name, label, "chart" if form.chart else "chart_rows", node, checks)
        lines, rows = (drawn.worked, []) if form.chart else ((), list(drawn.worked))
        if not drawn.worked:  # what the chart says wrong is told; what its rounds should do can't be
            return StitchPattern(name, (), (), label, node.span, drawn.drawn)
        return StitchPattern(name, lines, tuple(rows), label, node.span, drawn.drawn, form.sides, own, form.stops)
    return StitchPattern(name, lines, tuple(rows), label, node.span, (), form.sides, own, form.stops)


def _check_pattern_lines(name: str, form: PatternForm, root: Node, checks: Checks) -> None:
    each, node = form.stitch_patterns[name], _sub(root, "stitch_patterns", name)
    for number, text in enumerate(each.rounds or ()):
        line(text, _sub(node, "rounds", number), checks)
    pairs = each.rows if isinstance(each.rows, tuple) else (each.rows,) if each.rows else ()
    for number, pair in enumerate(pairs):
        rows_work(pair, _sub(node, "rows").child(number) or _sub(node, "rows"), checks)


# -- the rest


def _unique_sections(form: PatternForm, root: Node, checks: Checks) -> None:
    seen: set[str] = set()
    for number, each in enumerate(form.sections):
        if each.name in seen:
            span = _sub(root, "sections", number, "name").at()
            checks.add("duplicate-name", f"a section {each.name!r} stands above", span, "give each its own name")
        seen.add(each.name)


def _setups(form: PatternForm) -> tuple[str, ...]:
    chosen = dict.fromkeys(setup for several in form.setups for setup in several)
    return tuple(chosen) or SETUPS


def _needles(form: PatternForm, root: Node, checks: Checks) -> tuple[tuple[str, Fraction], ...]:
    lengths: dict[str, Fraction] = {}
    for name, each in form.needles.items():
        try:
            named = setups_named(name)
        except Misfit as misfit:
            key = _sub(root, "needles").key(name) or root
            checks.add("unknown-setup", misfit.message, key.span, misfit.mend)
            continue
        lengths.update(dict.fromkeys(named, each.length))
    return tuple(lengths.items())


def _finished(name: str, form: FinishedForm, root: Node, whole: PatternForm, checks: Checks) -> FinishedRule:
    node = _sub(root, "finished", name)
    key = _sub(root, "finished").key(name) or node
    measures = [each for each in checks.first if "." not in each and each not in whole.numbers]
    checks.named("unknown-measure", "measure of the foot", name, measures, key.span)
    checks.formula(form.is_, _sub(node, "is"), "length")
    if form.plus is not None:
        checks.formula(form.plus, _sub(node, "plus"), "length")
    along = tuple((each, _sub(node, "along", number)) for number, each in enumerate(form.along or ()))
    around = ((form.around, _sub(node, "around")),) if form.around else ()
    for each, place in (*around, *along):
        checks.named("unknown-section", "section", each, checks.sections, place.at())
    return FinishedRule(name, form.is_, form.around or "", form.along or (), form.plus, key.span)


def _notes(texts: tuple[str, ...], node: Node | None, checks: Checks, typed: str) -> tuple[Written, ...]:
    found = (words(text, node.child(number) if node else None, checks, typed) for number, text in enumerate(texts))
    return tuple(each for each in found if each is not None)


def chosen_bodies(
    form: PatternForm, root: Node, charts: Charts, names: tuple[str, ...], checks: Checks
) -> tuple[Body, ...]:
    """The feet of the file's chart or of its own table; none where that is not known.

    `names` are the charts to suggest where the one named is not there.
    """
    node = _sub(root, "sizes")
    if form.sizes.own is not None:
        return _own_bodies(form, node, checks)
    name = form.sizes.chart or ""
    try:
        bodies = charts(name)
    except KeyError:
        checks.add(
            "unknown-chart",
            f"there is no size chart {name!r}",
            _sub(node, "chart").at(),
            suggestion(name, names) if names else "use a chart that is there",
        )
        return ()
    if not form.sizes.choose:
        return bodies
    known = {body.name: body for body in bodies}
    for number, each in enumerate(form.sizes.choose):
        checks.named("unknown-size", "size", each, known, _sub(node, "choose", number).at())
    return tuple(body for body in bodies if body.name in form.sizes.choose)


def _own_bodies(form: PatternForm, node: Node, checks: Checks) -> tuple[Body, ...]:
    bodies: dict[str, Body] = {}
    for number, each in enumerate(form.sizes.own or ()):
        if each.name in bodies:
            span = _sub(node, "own", number, "name").at()
            checks.add("duplicate-name", f"a size {each.name!r} stands above", span, "give each its own name")
        measures = {
            key: getattr(each, key)
            for key in ("foot_circumference", "foot_length", "leg_length", "ankle", "calf", "knee_height")
            if getattr(each, key) is not None
        }
        bodies[each.name] = Body(each.name, measures, each.note, "the pattern's own table")
    return tuple(bodies.values())
