"""The yarns of a sock of several colours: which lie ready, which is in hand, and what each line takes of each."""

from __future__ import annotations

from dataclasses import dataclass

from grader.models.record import Runs
from grader.notation.tree import Change
from grader.testknit.walking import NO_YARN, Stuck, add_run


@dataclass(slots=True)
class Yarns:
    """The colours that lie `ready`, as the materials name them, and the one in hand ("" before the first)."""

    ready: tuple[str, ...]
    in_hand: str = ""

    def change(self, statement: Change) -> None:
        """Take another colour in hand; `Stuck` where it is not there, or is in hand already."""
        self._check(statement.colour)
        if statement.how == "Begin with" and self.in_hand:
            raise Stuck("colour", f"{self.in_hand} is in hand: nothing begins here", self.in_hand, statement.colour)
        if statement.how == "Change to" and statement.colour == self.in_hand:
            raise Stuck("colour", f"{statement.colour} is in hand already", "another colour", statement.colour)
        if statement.how == "Change to" and not self.in_hand:
            raise Stuck("colour", f"no colour is in hand to change to {statement.colour}")
        self.in_hand = statement.colour

    def told(self, yarns: Runs, loops: int) -> Runs:
        """The colours of a line that made these runs, or so many `loops`, with the yarn in hand named.

        Runs of "" are stitches slipped. Nothing for a sock of one yarn; `Stuck` for a yarn that is not there.
        """
        runs = yarns or ((("", loops),) if loops else ())
        if not self.ready and all(name in ("", NO_YARN) for name, _ in runs):
            return ()
        told: list[tuple[str, int]] = []
        for name, count in runs:
            colour = "" if name == NO_YARN else name or self.in_hand
            if name != NO_YARN:
                self._check(colour)
            add_run(told, colour, count)
        return tuple(told)

    def _check(self, colour: str) -> None:
        if not colour:
            raise Stuck("colour", "nothing says which colour to begin with", " or ".join(self.ready))
        if colour not in self.ready:
            there = ", ".join(self.ready) or "one yarn only"
            raise Stuck("colour", f"{colour} is not among the yarns of this sock", there, colour)
