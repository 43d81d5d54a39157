"""Noting where each sentence that states a number stood, and what was on the needles just then."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from grader.models.instructions import Claim, Regions
from grader.models.record import Stand, WorkedClaim
from grader.testknit.needles import Needles, Piece

_Place = tuple[int, Stand]  # so many lines of the record, and what is on the needles after them


def stand_of(needles: Needles, regions: Regions) -> Stand:
    """What is on the needles now."""
    piece = needles.piece
    if piece is None:
        return Stand(needles.total, regions)
    chains = (piece.edges["left"].chains, piece.edges["right"].chains)
    return Stand(needles.total, regions, chains, *_middle(piece))


def _middle(piece: Piece) -> tuple[int, int]:
    """How far it is from the yarn to the next turn, and how many stitches on the way are double ones."""
    ahead = [(place, kind) for place, kind in piece.gaps if (place > piece.yarn) == (piece.next_side == "RS")]
    ahead = [mark for mark in ahead if mark[0] != piece.yarn]
    end = (piece.count, "") if piece.next_side == "RS" else (0, "")
    place, kind = min(ahead, key=lambda mark: abs(mark[0] - piece.yarn), default=end)
    return abs(place - piece.yarn), 2 if kind == "DS" else 0


class Heard:
    """The sentences of a sock in the order they are read."""

    def __init__(self) -> None:
        self.claims: list[WorkedClaim] = []
        self._steps: dict[tuple[int, ...], list[int]] = {}
        self._owners: list[tuple[int, ...] | None] = []

    def note(self, claims: Iterable[Claim], step: tuple[int, ...], section: str, before: _Place, after: _Place) -> None:
        """The sentences of one block; those at the very beginning speak of the stitches that are cast on then."""
        extent = self._steps.setdefault(step, [before[0], after[0]])
        extent[1] = after[0]
        for claim in claims:
            at, stand = before if claim.where != "check" and before[1].live else after
            self.claims.append(WorkedClaim(claim, section, at, extent[0], extent[1], stand))
            self._owners.append(step)

    def close(self, claims: Iterable[Claim], section: str, begun: int, before: _Place, after: _Place) -> None:
        """The sentences of a whole section, which began after `begun` lines, now that it is worked."""
        for claim in claims:
            at, stand = before if claim.where != "check" else after
            self.claims.append(WorkedClaim(claim, section, at, begun, after[0], stand))
            self._owners.append(None)

    def all(self) -> tuple[WorkedClaim, ...]:
        """Each with the lines of its whole step."""
        extents = (self._steps[owner] if owner is not None else None for owner in self._owners)
        return tuple(
            replace(each, first=extent[0], last=extent[1]) if extent else each
            for each, extent in zip(self.claims, extents, strict=True)
        )
