"""Sections and their steps: from the shape of the file to frozen values, checked in working order."""

from __future__ import annotations

import re
from typing import Any

from grader.loading.checks import Checks
from grader.loading.colours import check_colour, check_line_colours
from grader.loading.file_model import OverrideForm, RowForm, SectionForm, StepForm
from grader.loading.lines import pattern_named
from grader.loading.misfits import Misfit
from grader.loading.prose import placeholders, spoken, written
from grader.loading.shape_checks import WORKS
from grader.loading.tree import Node
from grader.loading.values import SETUP_NAMES, SETUPS
from grader.loading.values import setups as setups_named
from grader.models.pattern import (
    Condition,
    Override,
    PickUpPart,
    RegionCount,
    Section,
    Step,
    Until,
    Work,
    Written,
)
from grader.vocabulary.formulas import Formula

_EDGES = ("left edge", "right edge")
_TIMES = re.compile(r"\s*(?:more\s+)?times?\b", re.IGNORECASE)
_ROUNDS = re.compile(r"\brounds?\s+(?:\S+\s+to\s+)?\Z", re.IGNORECASE)


def section(form: SectionForm, node: Node, checks: Checks) -> Section:
    """One section; the regions on the needles are followed through its steps."""
    given = {name for each in form.steps for name, _ in each.regions} | {
        name for each in form.steps for name in each.open
    }
    if form.over and form.over not in given:  # a step of its own may name the region
        checks.region(form.over, _below(node, "over").at())
    steps = tuple(step(each, _item(node, "steps", number), checks) for number, each in enumerate(form.steps))
    return Section(
        name=form.name,
        steps=steps,
        over=form.over or "",
        sock=form.sock or "",
        colour=_colour(form, node, checks),
        say=spoken(form.say, node.child("say"), checks),
        why=spoken(form.why, node.child("why"), checks),
        check=spoken(form.check, node.child("check"), checks),
        span=node.span,
    )


def check_pair(sections: tuple[Section, ...], checks: Checks) -> None:
    """Where one sock of the pair has a section of its own, so has the other, or it would not be finished."""
    socks = {each.sock for each in sections if each.sock}
    if len(socks) == 1:
        only = next(each for each in sections if each.sock)
        other = "right" if only.sock == "left" else "left"
        checks.add(
            "pair",
            f"only the {only.sock} sock has a section of its own",
            only.span,
            f"give the {other} sock its own too, or delete sock",
        )


def step(form: StepForm, node: Node, checks: Checks) -> Step:
    """One step, and the steps inside it."""
    kind = form.kind
    value = node.child(kind) or node
    when = _condition(form, node, checks)
    work = _work(kind, getattr(form, kind, None), value, checks)
    parts = _pick_up(form, value, checks)
    pair = _pair(form, value, checks)
    inner = tuple(step(each, _at(value, number), checks) for number, each in enumerate(form.repeat or ()))
    regions = _regions(form, node, checks) or _opened(form, value, checks)
    return Step(
        kind=kind,
        span=node.span,
        work=work,
        count=_count(getattr(form, kind), value, checks) if kind in ("cast_on", "bind_off", "gather") else None,
        parts=parts,
        by=form.by or "",
        steps=inner,
        regions=regions,
        pair=pair,
        start=_start(form, node, checks),
        times=_count(form.times, node.child("times"), checks, "times"),
        length=_count(form.for_, node.child("for"), checks, "length"),
        corner=_count(form.corner, node.child("corner"), checks),
        until=_until(form, node, checks),
        leaves=_leaves(form, node, checks),
        when=when,
        say=spoken(form.say, node.child("say"), checks),
        why=spoken(form.why, node.child("why"), checks),
        check=spoken(form.check, node.child("check"), checks),
        overrides=_overrides(form, node, checks),
        colour=_colour(form, node, checks),
    )


def _colour(form: SectionForm | StepForm, node: Node, checks: Checks) -> str:
    if form.colour:
        check_colour(form.colour, _below(node, "colour").at(), checks)
    return form.colour or ""


def _at(node: Node, number: int) -> Node:
    return node.child(number) or node


def _below(node: Node, key: str) -> Node:
    return node.child(key) or node


def _item(node: Node, key: str, number: int) -> Node:
    return _at(_below(node, key), number)


def _key(node: Node, key: str) -> Node:
    return node.key(key) or node


def line(text: str, node: Node, checks: Checks) -> Written:
    """An instruction line; its braces hold counts."""
    placeholders(text, node, checks, counted_in)
    check_line_colours(text, node, checks)
    return written(text, node)


def counted_in(before: str, after: str) -> str:
    """What the braces of a line count: how often something is done, rounds of a stitch pattern, or else stitches."""
    return "times" if _TIMES.match(after) or _ROUNDS.search(before) else "stitches"


def rows_work(form: RowForm, node: Node, checks: Checks) -> Work:
    """A row or a pair of rows; the side that stands first in the file is worked first."""
    right = line(form.RS, _below(node, "RS"), checks) if form.RS is not None else None
    wrong = line(form.WS, _below(node, "WS"), checks) if form.WS is not None else None
    first = next(key.text for key, _ in node.entries if key.text in ("RS", "WS"))
    return Work(whole=right, ws=wrong, first_side=first)


def _work(kind: str, value: Any, node: Node, checks: Checks) -> Work:
    if kind == "arrange":
        return Work(whole=written(value, node)) if value else Work()
    if kind not in WORKS:
        return Work()
    if isinstance(value, RowForm):
        return rows_work(value, node, checks)
    if isinstance(value, dict):
        for name in value:
            checks.region(name, _key(node, name).at())
        return Work(
            by_region=tuple((name, _of_region(text, _below(node, name), checks)) for name, text in value.items())
        )
    named = pattern_named(value)
    if named:
        checks.pattern(named, "rows" if kind == "rows" else "rounds", node.at(node.text.rfind(named)))
        return Work(in_pattern=named, first_side="RS")
    return Work(whole=line(value, node, checks))


def _of_region(value: str, node: Node, checks: Checks) -> Written:
    """The line of one region, or "in NAME"."""
    named = pattern_named(value)
    if not named:
        return line(value, node, checks)
    checks.pattern(named, "rounds", node.at(node.text.rfind(named)))
    return written(f"in {named}", node)


def _count(formula: Formula | None, node: Node | None, checks: Checks, wanted: str = "stitches") -> Formula | None:
    if formula is not None and node is not None:
        checks.formula(formula, node, wanted)
    return formula


def _pick_up(form: StepForm, node: Node, checks: Checks) -> tuple[PickUpPart, ...]:
    parts = []
    for number, stretch in enumerate(form.pick_up or ()):
        item = _at(node, number)
        ((name, value),) = stretch.items()
        below = _below(item, name)
        if isinstance(value, str):
            checks.region(name, _key(item, name).at())
            parts.append(PickUpPart(region=name, line=_of_region(value, below, checks)))
            continue
        if name not in _EDGES:
            checks.add(
                "unknown-edge", f"there is no edge {name!r}", _key(item, name).at(), "write left edge or right edge"
            )
        checks.formula(value, below, "chains")
        parts.append(PickUpPart(edge=name.removesuffix(" edge"), count=value))
    return tuple(parts)


def _pair(form: StepForm, node: Node, checks: Checks) -> tuple[str, ...]:
    """The two regions of a graft, or the one that is left to rest or taken up again."""
    if form.graft:
        for number, name in enumerate(form.graft):
            checks.region(name, _at(node, number).at())
        if form.graft[0] == form.graft[1]:
            checks.add("unknown-region", "a region can't be grafted to itself", node.span, "name the two that face")
        return form.graft
    resting = form.rest or form.rejoin or form.waste_yarn
    if resting:
        checks.region(resting, node.at())
    return (resting,) if resting else ()


def _regions(form: StepForm, node: Node, checks: Checks) -> tuple[RegionCount, ...]:
    """The regions given anew; a step that not every size works adds to those there are."""
    given: list[RegionCount] = []
    for number, (name, count) in enumerate(form.regions):
        pair = _item(node, "regions", number)
        if name in [each.name for each in given]:
            checks.add("unknown-region", f"the region {name!r} is given twice", _at(pair, 0).at(), "name each once")
        checks.formula(count, _at(pair, 1), "stitches")
        given.append(RegionCount(name, count, pair.span))
    if given:
        names = tuple(each.name for each in given)
        checks.regions = tuple(dict.fromkeys((*checks.regions, *names))) if form.when else names
    return tuple(given)


def _opened(form: StepForm, node: Node, checks: Checks) -> tuple[RegionCount, ...]:
    """The two stretches that come out of the waste yarn; nothing else is on the needles then."""
    found = []
    for name, count in form.open.items():
        checks.formula(count, _below(node, name), "stitches")
        found.append(RegionCount(name, count, _key(node, name).span))
    if found:
        checks.regions = tuple(form.open)
    return tuple(found)


def _start(form: StepForm, node: Node, checks: Checks) -> tuple[tuple[str, str], ...]:
    """Where the round begins, for every setup by its full name."""
    below = _below(node, "start")
    if isinstance(form.start, str):
        if form.start:
            _start_region(form.start, below, checks)
        return tuple((setup, form.start) for setup in SETUPS) if form.start else ()
    starts: dict[str, str] = {}
    for name, place in form.start.items():
        _start_region(place, _below(below, name), checks)
        for setup in _setups(name, _key(below, name), checks):
            starts[setup] = place
    return tuple(starts.items())


def _start_region(place: str, node: Node, checks: Checks) -> None:
    region = place.partition(" of ")[2]
    checks.region(region, node.at(max(node.text.rfind(region), 0)))


def _setups(name: str, node: Node, checks: Checks) -> tuple[str, ...]:
    try:
        return setups_named(name)
    except Misfit as misfit:
        checks.add("unknown-setup", misfit.message, node.at(), misfit.mend or f"there are {', '.join(SETUP_NAMES)}")
        return ()


def _until(form: StepForm, node: Node, checks: Checks) -> Until | None:
    if not form.has("until"):
        return None
    if form.until is None:
        return Until(gaps_closed=True)
    checks.formula(form.until, _below(node, "until"), "stitches")
    return Until(stitches=form.until)


def _leaves(form: StepForm, node: Node, checks: Checks) -> tuple[RegionCount, ...]:
    below = _below(node, "leaves")
    left = []
    for name, count in form.leaves.items():
        checks.region(name, _key(below, name).at())
        checks.formula(count, _below(below, name), "stitches")
        left.append(RegionCount(name, count, _key(below, name).span))
    return tuple(left)


def _condition(form: StepForm, node: Node, checks: Checks) -> Condition | None:
    if form.when is None:
        return None
    left, sign, right = form.when
    below = _below(node, "when")
    checks.compare(left, right, below)
    return Condition(left[0], sign, right[0], below.span)


def _overrides(form: StepForm, node: Node, checks: Checks) -> tuple[Override, ...]:
    below = _below(node, "setups")
    found = []
    for name, what in form.setups.items():
        value = _below(below, name)
        if isinstance(what, str):
            work, say = None, spoken(what, value, checks)
        else:
            work, say = _override_work(what, value, checks), spoken(what.say, value.child("say"), checks)
        for setup in _setups(name, _key(below, name), checks):
            found.append(Override(setup, work, say))
    return tuple(found)


def _override_work(form: OverrideForm, node: Node, checks: Checks) -> Work | None:
    kind = next((key for key in WORKS if form.has(key)), "")
    return _work(kind, getattr(form, kind), _below(node, kind), checks) if kind else None
