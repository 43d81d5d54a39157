"""The designer's own samples: the log of a knitted size becomes figures to compare with, each with its place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from grader.loading.checks import Checks
from grader.loading.file_model import PatternForm, SampleForm
from grader.loading.tree import Node
from grader.models.pattern import Gauge, Sample
from grader.vocabulary.bodies import Body
from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.findings import Span
from grader.vocabulary.quantities import Quantity

YARN = ("metres", "grams")


def samples(form: PatternForm, root: Node, checks: Checks, bodies: tuple[Body, ...]) -> tuple[Sample, ...]:
    """Every sample of the file; what it names must be there."""
    if form.sample is None:
        return ()
    several = form.sample if isinstance(form.sample, tuple) else (form.sample,)
    node = root.child("sample") or root
    return tuple(_sample(each, node.child(number) or node, form, checks, bodies) for number, each in enumerate(several))


def _log(runs: tuple[tuple[int, int], ...], span: Span, checks: Checks) -> tuple[int, ...]:
    """The counts one by one; none of them where they are more than a sock has rounds."""
    rounds = sum(times for _, times in runs)
    if rounds > allowed("rounds"):
        message, mend = too_much("rounds", rounds)
        checks.add("budget", message, span, mend)
        return ()
    return tuple(count for count, times in runs for _ in range(times))


def _sample(form: SampleForm, node: Node, whole: PatternForm, checks: Checks, bodies: tuple[Body, ...]) -> Sample:
    if not checks.lenient:
        place = (node.child("size") or node).at()
        checks.named("unknown-size", "size", form.size, [body.name for body in bodies], place)
    counts, stitches, sentences = (
        list(_placed(node, key, figures, "section", checks.sections, checks))
        for key, figures in (("counts", form.counts), ("stitches", form.stitches), ("sentences", form.sentences))
    )
    return Sample(
        form.size,
        _numbers(form, node, checks),
        tuple((name, _log(form.counts[name], span, checks), span) for name, span in counts),
        node.span,
        tuple(
            (name, tuple((stitch, count * times) for stitch, (count, times) in form.stitches[name].items()), span)
            for name, span in stitches
        ),
        tuple(
            (name, form.measures[name], span)
            for name, span in _placed(node, "measures", form.measures, "finished measure", whole.finished, checks)
        ),
        tuple(
            (name, form.yarn[name], span)
            for name, span in _placed(node, "yarn", form.yarn, "figure of yarn", YARN, checks)
        ),
        tuple(
            (name, Gauge(each.stitches / each.per, each.rounds / each.per, each.per, None, span))
            for name, span in _placed(node, "gauges", form.gauges, "stitch pattern", whole.stitch_patterns, checks)
            for each in (form.gauges[name],)
        ),
        tuple((name, tuple(figure.amount for figure in form.sentences[name]), span) for name, span in sentences),
    )


def _numbers(form: SampleForm, node: Node, checks: Checks) -> tuple[tuple[str, Fraction, Span], ...]:
    found = []
    below = node.child("numbers") or node
    for name, figure in form.numbers.items():
        span = (below.key(name) or node).span
        if checks.named("unknown-name", "number", name, checks.declared, span):
            known = checks.first.get(name)
            if known is not None and not _fits(figure, known):
                message = f"{name!r} is {known.unit_name}, but its sample is {figure.unit_name}"
                checks.add("unit", message, (below.child(name) or below).at(), "give it in the same unit")
        found.append((name, figure.amount, span))
    return tuple(found)


def _fits(figure: Quantity, known: Quantity) -> bool:
    return figure.dims == known.dims or (figure.is_plain and known.is_count)


def _placed(
    node: Node, key: str, figures: Mapping[str, object], what: str, known: Iterable[str], checks: Checks
) -> Iterable[tuple[str, Span]]:
    """The names under a key with their places; one that is not known is a finding."""
    below, known = node.child(key) or node, tuple(known)
    for name in figures:
        span = (below.key(name) or node).span
        checks.named(f"unknown-{'section' if what == 'section' else 'name'}", what, name, known, span)
        yield name, span
