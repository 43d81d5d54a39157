"""`sizes --cover`, `--choose` and `--shoes`: a pattern's sizes held against the feet of people who were measured."""

from __future__ import annotations

import argparse
from dataclasses import replace

from grader.cli.arguments import UsageError
from grader.cli.console import Console
from grader.models.coverage import Choice
from grader.models.pattern import Pattern

MOST_SIZES = 30


def cover_options(sizes: argparse.ArgumentParser) -> None:
    """What `sizes` may be asked besides its table."""
    sizes.add_argument(
        "--cover",
        nargs="?",
        const="",
        metavar="WHOM",
        help="whom the sizes fit, of the women, men, adults, children, girls or boys measured, and who is left out",
    )
    sizes.add_argument(
        "--choose", metavar="N", help="the N sizes that fit most people, as a block for the pattern file"
    )
    sizes.add_argument("--shoes", action="store_true", help="the shoe sizes of each size's foot (estimates)")
    sizes.add_argument("--quiet", action="store_true", help="no progress, no remarks")


def wants_people(arguments: argparse.Namespace) -> bool:
    """True if something other than the size table is asked for; `UsageError` where it can't be had."""
    asked = [name for name, given in _asked(arguments).items() if given]
    if not asked:
        return False
    from grader.vocabulary.population import POPULATIONS

    if "shoes" in asked and len(asked) > 1:
        raise UsageError(f"--shoes goes alone, not with --{asked[0]}")
    if arguments.why:
        raise UsageError(f"--why goes with the size table, not with --{asked[0]}")
    if arguments.cover and arguments.cover not in POPULATIONS:
        raise UsageError(f"--cover: nobody was measured as {arguments.cover!r}; there are {', '.join(POPULATIONS)}")
    if arguments.choose is not None:
        _count(arguments.choose)
    return True


def tell_people(pattern: Pattern, arguments: argparse.Namespace, console: Console) -> int:
    """Print what was asked: 0, or 1 where a size can't be graded or knitted."""
    from grader.reporting import print_choice, print_cover, print_findings, print_shoes
    from grader.serving import choose_sizes, cover_sizes, usual_population

    if arguments.shoes:
        from grader.pipeline import grade_all

        sizes, findings = grade_all(pattern)
        if findings:
            console.warn(print_findings(findings))
        console.result(print_shoes(sizes, arguments.units))
        return 1 if findings else 0
    population = arguments.cover or usual_population(pattern)
    if arguments.choose is None:
        coverage, findings = cover_sizes(pattern, population, console.progress)
        if findings:
            console.warn(print_findings(findings))
        console.result(print_cover(pattern, coverage, arguments.units))
        return 1 if findings else 0
    choice = choose_sizes(pattern, population, _count(arguments.choose), console.progress)
    if not choice.chosen.sizes:
        console.warn(f"grader: this pattern can be graded for none of the {population} measured")
        return 1
    console.result(print_choice(pattern, choice, arguments.units))
    return _knit_through(pattern, choice, console)


def _knit_through(pattern: Pattern, choice: Choice, console: Console) -> int:
    """The chosen sizes as every other: graded, written out and knitted; what is wrong is told."""
    from grader.pipeline import check
    from grader.reporting import print_findings

    chosen = tuple(each.body for each in choice.chosen.sizes)
    checked = check(replace(pattern, bodies=chosen, samples=()), progress=console.progress)
    wrong = [finding for finding in checked.findings if finding.is_error]
    if wrong:
        console.warn(print_findings(wrong))
        return 1
    console.tell(f"{len(checked.socks)} socks in these sizes knitted through: no findings")
    return 0


def _asked(arguments: argparse.Namespace) -> dict[str, bool]:
    return {"choose": arguments.choose is not None, "cover": arguments.cover is not None, "shoes": arguments.shoes}


def _count(text: str) -> int:
    typed = text.strip()
    if not (typed.isascii() and typed.isdigit() and len(typed) < 4 and 1 <= int(typed) <= MOST_SIZES):
        raise UsageError(f"--choose: {text[:20]!r} should be how many sizes, 1 to {MOST_SIZES}")
    return int(typed)
