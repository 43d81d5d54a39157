"""Findings: what is wrong with a pattern, where, and what would mend it."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding weighs: an error stops publication, a remark does not."""

    ERROR = "error"
    REMARK = "remark"


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A place in a pattern file; line and column count from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"

    def shifted(self, columns: int) -> Span:
        """The place `columns` further right on the same line."""
        return Span(self.file, self.line, self.column + columns)


@dataclass(frozen=True, slots=True)
class Finding:
    """One mistake, as a value. Stages return findings; they never print or raise them.

    `sizes` and `setups` name where it holds; `section` and `line` quote what is printed;
    `expected` and `found` say the two figures that disagree; `mend` what would put it right.
    """

    code: str
    message: str
    span: Span | None = None
    severity: Severity = Severity.ERROR
    sizes: tuple[str, ...] = ()
    setups: tuple[str, ...] = ()
    section: str = ""
    line: str = ""
    expected: str = ""
    found: str = ""
    mend: str = ""

    @property
    def is_error(self) -> bool:
        """True if the finding stops publication."""
        return self.severity is Severity.ERROR


@dataclass(slots=True)
class Ledger:
    """Where one stage gathers its findings before it returns them."""

    entries: list[Finding] = field(default_factory=list)

    def add(self, code: str, message: str, span: Span | None = None, **details: object) -> None:
        """Note one finding; `details` are the other fields of `Finding`."""
        self.entries.append(Finding(code, message, span, **details))  # type: ignore[arg-type]

    def __bool__(self) -> bool:
        return bool(self.entries)
