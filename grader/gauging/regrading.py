"""What changes when a pattern is graded at another gauge: its yarn and needle, its sizes, what it takes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from grader.models.pattern import Gauge, Pattern, Yarn
from grader.models.regrade import KnitSize, Regrade, SizeChange, SizeFigures
from grader.vocabulary.fabric import cover_of, fabric_band, needle_step, tex_for, tex_of
from grader.vocabulary.findings import Finding
from grader.vocabulary.quantities import round_half_up
from grader.vocabulary.yarn_weights import weights_at

_SUITS = ("usual", "dense")


def suited(pattern: Pattern, gauge: Gauge) -> tuple[Gauge, Yarn]:
    """The gauge with a needle that may stand beside it, and the yarn to knit it in.

    Gauges no further apart than one size of needle keep the needle; further off it is left open. The pattern's yarn
    stays as long as it makes a sock's fabric or the council names its weight for that gauge; else it is one that
    makes as dense a fabric as the pattern's does, by its metres (an estimate), of a weight that the council names.
    """
    near = abs(gauge.stitches - pattern.gauge.stitches) * 10 <= needle_step().most
    needled = gauge if near or gauge.needle_mm != pattern.gauge.needle_mm else replace(gauge, needle_mm=None)
    old = pattern.yarn
    tex = tex_of(old.metres, old.grams)
    named = [each.name for each in weights_at(10 * gauge.stitches)]
    if near or old.weight in named or fabric_band(cover_of(tex, gauge.stitches, gauge.rounds)).name in _SUITS:
        return needled, old
    wanted = tex_for(cover_of(tex, pattern.gauge.stitches, pattern.gauge.rounds), gauge.stitches, gauge.rounds)
    metres = max(Fraction(5), round_half_up(Fraction(1000 * old.grams) / Fraction(wanted), Fraction(5)))
    weight = named[-1]  # socks are knitted tighter than the council's chart: the thicker one
    return needled, Yarn(weight, metres, old.grams, "", old.span)


def changes(
    old: Pattern, new: Pattern, before: Sequence[KnitSize], after: Sequence[KnitSize], findings: Sequence[Finding]
) -> Regrade:
    """Every size of the pattern before and after; `findings` are those at the new gauge."""
    errors = [finding for finding in findings if finding.is_error]
    alike = _chains(finding.sizes for finding in errors if finding.code == "same-sock")
    rows: list[SizeChange] = []
    for body in old.bodies:
        why = next((each for each in errors if body.name in each.sizes and each.code != "same-sock"), None)
        was, now = _figures(body.name, before), _figures(body.name, after)
        told = f"{why.section}: {why.message}" if why and why.section else why.message if why else ""
        rows.append(SizeChange(body.name, was, now, told))
    return Regrade(old.gauge, new.gauge, old.yarn, new.yarn, tuple(rows), alike, _sound(rows, alike, errors))


def _sound(rows: Iterable[SizeChange], alike: Iterable[tuple[str, ...]], errors: Iterable[Finding]) -> tuple[str, ...]:
    """The sizes that nothing stands against, and of those that became alike the first; none if the file is wrong."""
    if any(not each.sizes for each in errors):
        return ()
    good = [row.size for row in rows if row.after and not row.why]
    for group in alike:
        for size in [size for size in group if size in good][1:]:
            good.remove(size)
    return tuple(good)


def _figures(size: str, knit: Sequence[KnitSize]) -> SizeFigures | None:
    found = next((each for each in knit if each.graded.body.name == size), None)
    if found is None:
        return None
    graded = found.graded
    cast_on = next((line.after for line in found.record.lines if line.kind == "cast_on"), None)
    around, ease = (values.get("foot_circumference") for values in (graded.finished, graded.ease))
    return SizeFigures(cast_on, around, ease, found.metres, found.grams)


def _chains(pairs: Iterable[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """Neighbours that are alike, joined: (1, 2) and (2, 3) are three sizes of one sock."""
    groups: list[list[str]] = []
    for pair in pairs:
        group = next((each for each in groups if set(each) & set(pair)), None)
        if group is None:
            groups.append(list(dict.fromkeys(pair)))
        else:
            group.extend(size for size in pair if size not in group)
    return tuple(tuple(group) for group in groups)
