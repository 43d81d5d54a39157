"""The few words that pages add of their own, so that a document in another language may have others."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Words:
    """Templates with their slots; the last three are heard, not seen."""

    page: str = "page {number} of {count}"
    version: str = "version {version}"
    boxes: str = "Boxes to tick: {first} to {last}"
    blank: str = "room to write"
    link: str = "Link: {target}"
