"""What changed between two versions of a pattern, as a knitter with the old one in her hands meets it."""

from __future__ import annotations

from dataclasses import dataclass

from grader.models.document import Table

Reading = tuple[str, str, str, str]  # size, setup, what stood there, what stands there now


@dataclass(frozen=True, slots=True)
class Correction:
    """One printed change, with everything it holds for.

    `sort` is line, often, count, say, check, why, takes, ends or fact; `section` the heading it stands under in the
    old print, `place` the label there, for what is new that of the line before. `before` and `after` are the print,
    merged over the sizes; "" where nothing stood or nothing stands. `sizes` and `setups` are empty where it holds for
    all. `numbers` are the figures under letters, where sizes are too many for brackets. `label` is that of a new line.
    """

    sort: str
    section: str
    place: str
    before: str
    after: str
    sizes: tuple[str, ...] = ()
    setups: tuple[str, ...] = ()
    numbers: Table | None = None
    label: str = ""
    readings: tuple[Reading, ...] = ()


@dataclass(frozen=True, slots=True)
class Touched:
    """Sizes whose stitches are others than before, and the setups in which they are; none named where in all."""

    sizes: tuple[str, ...]
    setups: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Errata:
    """All changes from one version of a pattern to another; versions and dates are pairs of old and new.

    `touched` are the sizes that knit differently, `compared` how many sizes were knitted in both versions, `notices`
    what no single correction tells: other sizes, setups and sections. `left_out` are the sizes of both versions that
    could not be knitted to the end in both, `unsound` the versions that have findings, "old" or "new".
    """

    title: str
    versions: tuple[str, str]
    dates: tuple[str, str]
    terms: str
    touched: tuple[Touched, ...] = ()
    compared: int = 0
    notices: tuple[str, ...] = ()
    corrections: tuple[Correction, ...] = ()
    left_out: tuple[str, ...] = ()
    unsound: tuple[str, ...] = ()

    @property
    def is_empty(self) -> bool:
        """True if nothing changed, not even version or date."""
        same = self.versions[0] == self.versions[1] and self.dates[0] == self.dates[1]
        return same and not (self.touched or self.notices or self.corrections)
