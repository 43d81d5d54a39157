"""Reads the reference data that ships with the package, late and once.

Each file of `grader/data` holds `rows`, their source (organisation, title, year), its status
(looked up, memory or computed) and the units; nothing is read until something asks for it.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from importlib import resources
from typing import Any


@cache
def read_reference(name: str) -> dict[str, Any]:
    """The contents of `grader/data/NAME.yaml`; a missing file is a bug, not a finding. Not to be changed."""
    import yaml  # late: start-up needs none of it

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the C one is ten times as fast, where it is built
    text = resources.files("grader").joinpath("data", f"{name}.yaml").read_text(encoding="utf-8")
    contents: dict[str, Any] = yaml.load(text, Loader=loader)
    return contents


def reference_names(folder: str) -> tuple[str, ...]:
    """The names of the files in one folder of the data, in alphabetical order."""
    entries = resources.files("grader").joinpath("data", folder).iterdir()
    return tuple(sorted(each.name.removesuffix(".yaml") for each in entries if each.name.endswith(".yaml")))


def exact(amount: int | float | str) -> Fraction:
    """A number of a data file as it is written there: 22.5 is 45/2."""
    return Fraction(str(amount))
