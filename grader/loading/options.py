"""Values of the file that are one word out of a few: a way to cast on or off, a sock of the pair."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from grader.loading.misfits import Misfit
from grader.loading.values import suggestion, text
from grader.vocabulary.colours import colour_named
from grader.vocabulary.techniques import WAYS

if TYPE_CHECKING:
    from grader.loading.file_model import ColourForm

SOCKS = ("left", "right")


def way(value: Any) -> str:
    """The name of a way to cast on or to bind off, as `WAYS` has it."""
    name = text(value)
    if name not in WAYS:
        raise Misfit(f"there is no way {name!r} to cast on or off", suggestion(name, WAYS) or f"use {', '.join(WAYS)}")
    return name


def of_pair(value: Any) -> str:
    """The left or the right sock of a pair."""
    name = text(value)
    if name not in SOCKS:
        raise Misfit(f"{name!r} is no sock of a pair", "write left or right")
    return name


def colour(value: Any) -> str:
    """The word of a yarn: MC, CC, or CC1 to CC9."""
    name = text(value)
    if colour_named(name) != name:
        near = colour_named(name)
        raise Misfit(f"{name!r} is no word for a colour", f"write {near or 'MC, CC, or CC1 to CC9'}")
    return name


def check_colour(form: ColourForm) -> ColourForm:
    """How far a ball goes takes two figures."""
    if (form.metres is None) != (form.per is None):
        key = "metres" if form.metres is not None else "per"
        raise Misfit("how far a ball goes is said by metres and per", "write {metres: 420, per: 100 g}", key=key)
    return form
