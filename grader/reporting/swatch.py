"""A swatch in words: its gauge and how sure it is, and what it means for a pattern."""

from __future__ import annotations

from fractions import Fraction

from grader.models.pattern import Pattern
from grader.models.swatch import Averaged, Comparison, NeedleAdvice, Swatch
from grader.vocabulary.fabric import fabric_band, sure_enough
from grader.vocabulary.lengths import print_length
from grader.vocabulary.needles import needle_names
from grader.vocabulary.quantities import CM_PER_INCH
from grader.vocabulary.wording import counted, joined
from grader.vocabulary.yarn_weights import yarn_weight

WIDEST = 100  # cm that anyone would count over


def print_swatch(swatch: Swatch, units: str = "cm") -> str:
    """The gauge to 10 cm (and to the inch), what it rests on, how sure it is, and what washing did."""
    lines = [_averaged("stitches", swatch.stitches, units)]
    if swatch.rounds:
        lines.append(_averaged("rounds", swatch.rounds, units))
    for name, mean in (("stitches", swatch.stitches), ("rounds", swatch.rounds)):
        if mean and mean.error > sure_enough():
            more = _width_for(mean)
            lines.append(
                f"{name}: count over {more} cm in all, on several places, to be sure to half a stitch or round"
                if more <= WIDEST
                else f"{name}: the counts differ too much to be averaged; count again, or knit another swatch"
            )
    lines += _washing(swatch)
    return "\n".join(lines)


def print_comparison(told: Comparison, swatch: Swatch, pattern: Pattern, units: str = "cm") -> str:
    """The pattern's gauge beside the swatch, what becomes of one size, the needle and the fabric."""
    stitches, rounds = (10 * each for each in (pattern.gauge.stitches, pattern.gauge.rounds))
    lines = [f"{pattern.title}: {_plain(stitches)} sts and {_plain(rounds)} rounds to 10 cm"]
    offs = [_off(told.stitches_off, "st")] + ([_off(told.rounds_off, "round")] if told.rounds_off is not None else [])
    sure = "" if told.told_apart else "; so few counts can't tell that from the pattern's"
    lines.append(f"yours: {joined(offs)}{sure}")
    lines.append(f"size {told.size}, worked by the pattern's numbers at your gauge:")
    for each in told.measures:
        one = "stitch" if each.name.startswith("round") else "round"
        lines.append(
            f"  {each.name} {_length(each.own, units)} instead of {_length(each.stated, units)}; one {one} more"
            f" to 10 cm takes off {_length(-each.for_one_more, units)}"
        )
    lines += _fit(told, pattern, units)
    lines += _needle(told, swatch)
    lines += _fabric(told, swatch)
    return "\n".join(lines)


def _averaged(name: str, mean: Averaged, units: str) -> str:
    inch = f" ({_plain(mean.mean * CM_PER_INCH / 10)} to the inch)" if units != "cm" else ""
    text = f"{name:<9}{_plain(mean.mean)} to 10 cm{inch}, from {counted(len(mean.tallies), 'count')}"
    text += f" over {_plain(mean.width)} cm"
    if len(mean.tallies) > 1:
        spread = (
            "which agree" if mean.lowest == mean.highest else f"from {_plain(mean.lowest)} to {_plain(mean.highest)}"
        )
        return f"{text} in all, {spread}; sure to about ± {mean.error:.1f} (standard error)"
    return f"{text}; one count is sure to about ± {mean.error:.1f} (an estimate: count again elsewhere)"


def _width_for(mean: Averaged) -> int:
    """The whole cm to count over so that the error, which falls with the root of the length, is small enough."""
    return max(int(float(mean.width) * (mean.error / sure_enough()) ** 2) + 1, 10)


def _washing(swatch: Swatch) -> list[str]:
    pairs = (("stitches", swatch.before_stitches, swatch.stitches), ("rounds", swatch.before_rounds, swatch.rounds))
    lines = []
    for name, before, after in pairs:
        if before and after:
            change = float(before.mean / after.mean - 1) * 100
            way = "width" if name == "stitches" else "length"
            lines.append(
                f"washing: {_plain(before.mean)} {name} to 10 cm before, {_plain(after.mean)} after; the {way} changes"
                f" by {change:+.1f} %".replace("+0.0", "0.0").replace("-0.0", "0.0")
            )
            if name == "rounds":
                now = float(10 * after.mean / before.mean)
                lines.append(f"washing: 10 cm of the finished sock measure {now:.1f} cm on the needles; count rounds")
    if not swatch.washed:
        lines.append(
            "not washed: a pattern's gauge is of washed fabric; wash and dry the swatch, count again, --washed"
        )
    return lines


def _fit(told: Comparison, pattern: Pattern, units: str) -> list[str]:
    if told.ease is None:
        return []
    low, high = (float(each) * 100 for each in pattern.fit.allowed)
    verdict = "which still fits round" if told.fits else "which does not fit round"
    lines = [f"  ease {float(told.ease) * 100:+.1f} % ({low:g} to {high:g} % allowed), {verdict}"]
    if told.better_size and told.better_cm is not None:
        lines.append(
            f"  the stitches of size {told.better_size} would be {_length(told.better_cm, units)} round at your gauge:"
            " nearer, if lengths are measured and not counted"
        )
    return lines


def _needle(told: Comparison, swatch: Swatch) -> list[str]:
    lines = [f"needle: {_needle_change(told.needle)}"]
    if told.told_apart and swatch.rounds:
        rounds = "" if told.needle.sizes else "rounds hardly go by the needle: measure lengths and don't count them; "
        gauge = f"{_plain(swatch.stitches.mean)}x{_plain(swatch.rounds.mean)}"
        lines.append(f"or else: {rounds}grade the pattern for your gauge, --gauge {gauge}")
    return lines


def _needle_change(advice: NeedleAdvice) -> str:
    if not advice.sizes:
        return f"keep {_needle_words(advice.in_use)}" if advice.in_use else "keep it"
    thicker = "thicker" if advice.sizes > 0 else "finer"
    many = counted(abs(advice.sizes), "size")
    if advice.too_far:
        return (
            f"{many} {thicker} would make another fabric, or there is none: take another yarn, or grade for your gauge"
        )
    take = _needle_take(advice, many, thicker)
    return f"{take} (one size makes about ½ to 1 st to 10 cm, an estimate); swatch again"


def _needle_take(advice: NeedleAdvice, many: str, thicker: str) -> str:
    if advice.take is None or advice.in_use is None:
        return f"{many} {thicker}"
    return f"{many} {thicker}, {_needle_words(advice.take)} instead of {_needle_words(advice.in_use)}"


def _needle_words(mm: Fraction) -> str:
    names = needle_names(mm)
    others = [text for text in (f"US {names.us}" if names.us else "", f"old UK {names.uk}" if names.uk else "") if text]
    return f"{float(mm):g} mm" + (f" ({', '.join(others)})" if others else "")


def _fabric(told: Comparison, swatch: Swatch) -> list[str]:
    lines = []
    if told.cover is not None:
        band = fabric_band(told.cover)
        estimate = ", an estimate" if band.status == "estimate" else ""
        state = "washed" if swatch.washed else "not washed"
        lines.append(f"fabric: cover factor {told.cover:.2f}, {state}: {band.says}{estimate}")
    usual = f"{_plain(swatch.stitches.mean)} sts to 10 cm are usual for {joined(told.own_weights, 'or')} yarn"
    if told.yarn_weight not in told.own_weights:
        weight = yarn_weight(told.yarn_weight)
        ends = [str(each) for each in (weight.gauge_min, weight.gauge_max) if each is not None]
        usual += f"; {told.yarn_weight} yarn has {' to '.join(ends)}, and more in a sock"
    lines.append(f"fabric: {usual}")
    return lines


def _off(amount: Fraction, noun: str) -> str:
    number = _plain(abs(amount))
    if number == "0":
        return f"no {noun}s off"
    many = noun if number == "1" else f"{noun}s"
    return f"{number} {many} {'more' if amount > 0 else 'fewer'}"


def _plain(amount: Fraction) -> str:
    return f"{float(amount):.1f}".removesuffix(".0")


def _length(amount: Fraction, units: str) -> str:
    """To the mm, since a stitch of error is less than the half cm that patterns print; in inches to the quarter."""
    if units == "in":
        return f"{float(amount / CM_PER_INCH):.2f} in"
    cm = f"{float(amount):.1f} cm"
    return cm if units == "cm" else f"{cm} / {print_length(amount, 'in')}"
