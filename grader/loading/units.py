"""Which unit belongs in a place, and whether a formula gives it.

Stitches and rounds are two units. A rule may re-read a count of the one as a count of the other, since it says so by
its `unit` or its name: as many rows as the heel has stitches, a stitch picked up for every second row. A length that
was turned into stitches never becomes rounds in this way, nor the other way about: its gauge would be the wrong one.
Nor does it by way of a number of stitches that nothing is knitted of, which is a length under another name.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from grader.vocabulary.findings import Finding, Span
from grader.vocabulary.formulas import Formula
from grader.vocabulary.quantities import Quantity, cm, rounds, stitches

UNITS = {"stitches": stitches(1), "rounds": rounds(1), "rows": rounds(1), "cm": cm(1)}
_ROUND_WORDS = ("rows", "rounds")
_LENGTH_WORDS = ("length", "depth", "tail", "start")
_BELONGS = {
    "stitches": "a number of stitches belongs here",
    "rounds": "a number of rounds belongs here",
    "chains": "a number of stitches belongs here",
    "times": "a number of times belongs here",
    "length": "a length belongs here",
}
_OTHER = {"stitches": "rounds", "chains": "rounds", "rounds": "stitches", "times": "stitches"}
_RATIO = "or say how many go together, as in / 2 sts * 1 round"


def suits(value: Quantity, wanted: str) -> bool:
    """True if a value may stand where `wanted` belongs.

    "stitches" takes stitches, "chains" also rows that were counted, for a stitch comes from an edge for so many rows;
    "rounds" and "times" also stitches that were counted. "any" is what can be printed.
    """
    if wanted == "length":
        return value.is_length
    if wanted == "any":
        return value.is_count or value.is_length
    return value.is_plain or is_own(value, wanted) or (wanted != "stitches" and value.is_count and not value.measured)


def belongs(wanted: str) -> str:
    """What belongs in a place, as findings begin."""
    return _BELONGS.get(wanted, "")


def is_own(value: Quantity, wanted: str) -> bool:
    """True if a value has the very unit that is wanted."""
    return value.is_stitches if wanted in ("stitches", "chains") else value.is_rounds


def refusal(text: str, value: Quantity, wanted: str) -> tuple[str, str]:
    """What is wrong with a value that doesn't suit, and what would mend it."""
    if wanted == "any":
        return f"{text!r} is {value.unit_name}, which can't be printed", "make it a count or a length"
    message = f"{belongs(wanted)}, but {text!r} is {value.unit_name}"
    if wanted == "length":
        return message, "write a length such as 4 cm, or divide by gauge.stitches or gauge.rounds"
    if value.is_count:
        measured = " that a length was turned into" if value.measured else ""
        return f"{message}{measured}", _mend(wanted, value.measured)
    return message, f"turn it into {_unit(wanted)} with gauge.{_unit(wanted)}"


def _unit(wanted: str) -> str:
    return "stitches" if wanted in ("stitches", "chains") else "rounds"


def _mend(wanted: str, measured: bool) -> str:
    if measured:
        return f"turn the length into {_unit(wanted)} with gauge.{_unit(wanted)}, {_RATIO}"
    return f"make a number of it, with unit: {_unit(wanted)}"


# -- the unit of a rule


def usual_unit(name: str, values: tuple[Quantity, Quantity] | None) -> str:
    """The unit of a number that doesn't state one: by the last word of its name, else by its formula."""
    last = name.rpartition("_")[2]
    if last in _ROUND_WORDS:
        return "rounds"
    if last in _LENGTH_WORDS or (values is not None and values[0].is_length):
        return "cm"
    return "stitches"


def wanted_by(unit: str) -> str:
    """What the formulas of a rule in that unit may come to."""
    return {"stitches": "chains", "rounds": "rounds", "cm": "length"}[unit]


def wrong_unit(name: str, unit: str, value: Quantity) -> tuple[str, str]:
    """What is wrong with a rule whose formula gives another unit than its own, and what would mend it."""
    if unit == "cm":
        message = f"{name!r} is a length, but its formula gives {value.unit_name}"
        mend = "write a length such as 4 cm, divide by gauge.stitches or gauge.rounds, or give another unit"
        return message, mend
    message = f"{name!r} is a number of {unit}, but its formula gives {value.unit_name}"
    if value.is_length:
        return message, f"multiply a length by gauge.{unit}, or write unit: cm"
    if value.is_count:
        own = "rounds" if value.is_rounds else "stitches"
        return f"{message} that a length was turned into", f"multiply the length by gauge.{unit}, or write unit: {own}"
    return message, "make it a count"


# -- by way of other numbers


@dataclass(frozen=True, slots=True)
class _Recast:
    """A count of one unit re-read as one of the other: where, of which numbers, and what is wanted."""

    what: str
    span: Span
    names: frozenset[str]
    wanted: str


@dataclass(slots=True)
class Provenance:
    """Which numbers a length was turned into, what is made of them, and which of all are worked.

    `made_of` has for each number those of its own unit in its formula.
    """

    made_of: dict[str, frozenset[str]] = field(default_factory=dict)
    measured: set[str] = field(default_factory=set)
    worked: set[str] = field(default_factory=set)
    recasts: list[_Recast] = field(default_factory=list)

    def rule(
        self, name: str, formula: Formula, value: Quantity, unit: Quantity, known: dict[str, Quantity], span: Span
    ) -> None:
        """Note what a number is made of; one that an alteration works out otherwise is made of both."""
        self.made_of[name] = self.made_of.get(name, frozenset()) | _alike(formula, unit, known)
        if value.measured and (value.is_plain or value.dims == unit.dims):
            self.measured.add(name)
        if not unit.is_length:
            what = "rounds" if unit.is_rounds else "stitches"
            self.recast(f"{name!r} is a number of {what}", formula, value, wanted_by(what), span, known)

    def use(self, formula: Formula, wanted: str, known: dict[str, Quantity]) -> None:
        """Note a formula that something is worked by: its stitches where stitches belong, its rounds anywhere."""
        for name in formula.names:
            value = known.get(name)
            if value is not None and (value.is_rounds or (value.is_stitches and wanted in ("stitches", "chains"))):
                self.worked.add(name)

    def recast(
        self, what: str, formula: Formula, value: Quantity, wanted: str, span: Span, known: dict[str, Quantity]
    ) -> None:
        """Note a count that is taken as one of the other unit."""
        if wanted in _OTHER and value.is_count and not value.is_plain and not is_own(value, wanted):
            self.recasts.append(_Recast(what, span, _alike(formula, value, known), wanted))

    def findings(self) -> list[Finding]:
        """The counts taken over from a number that is only a length in the other unit."""
        found = []
        for recast in self.recasts:
            lengths = sorted(each for each in self._roots(recast.names) if not self._is_worked(each))
            if lengths:
                length = f"{lengths[0]!r} is a length in {_OTHER[recast.wanted]}"
                message = f"{recast.what}, but {length}: nothing is knitted of it"
                found.append(Finding("unit", message, recast.span, mend=_mend(recast.wanted, True)))
        return found

    def _roots(self, names: frozenset[str]) -> set[str]:
        """The measured numbers among these and all that they are made of."""
        seen: set[str] = set()
        todo = set(names)
        while todo:
            seen |= todo
            todo = {below for each in todo for below in self.made_of.get(each, frozenset())} - seen
        return seen & self.measured

    def _is_worked(self, name: str) -> bool:
        """True if the number, or one of its unit that is made of it, is worked."""
        seen: set[str] = set()
        todo = {name}
        while todo and not todo & self.worked:
            seen |= todo
            todo = {each for each, parts in self.made_of.items() if parts & todo} - seen
        return bool(todo)


def _alike(formula: Formula, unit: Quantity, known: dict[str, Quantity]) -> frozenset[str]:
    """The names in a formula that have that unit."""
    return frozenset(name for name in formula.names if name in known and known[name].dims == unit.dims)
