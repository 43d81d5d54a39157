"""The pattern files of this folder, with the published figures that belong to them, knitted through."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from grader.loading import load_text
from grader.pipeline import Checked, check

HERE = Path(__file__).parent
_UNITS = {"heel_rows": "rows", "toe_slow": "rounds", "toe_fast": "rounds"}
_MEASURES = ("name", "foot_circumference", "foot_length", "leg_length")


@dataclass(frozen=True, slots=True)
class Published:
    """One published sock: its pattern file, which of its source's socks it is, and what was published."""

    pattern: str
    index: int
    source: str
    given: dict[str, Any]
    figures: dict[str, Any]

    @property
    def name(self) -> str:
        """How a test names it."""
        return f"{self.pattern}-{self.index + 1}"


@cache
def sources() -> dict[str, dict[str, Any]]:
    """Every entry of the list of figures, by its pattern file."""
    contents: dict[str, dict[str, Any]] = yaml.safe_load((HERE / "figures.yaml").read_text(encoding="utf-8"))
    return contents


@cache
def socks() -> tuple[Published, ...]:
    """Every published sock."""
    return tuple(
        Published(pattern, index, entry["source"], sock.get("given", {}), sock["figures"])
        for pattern, entry in sources().items()
        for index, sock in enumerate(entry["socks"])
    )


@cache
def knitted(name: str) -> Checked:
    """A published sock knitted through in every setup its pattern is written for."""
    sock = next(each for each in socks() if each.name == name)
    pattern, findings = load_text(text_of(sock), str(HERE / f"{sock.pattern}.yaml"))
    assert pattern is not None, findings
    assert not findings
    return check(pattern)


def text_of(sock: Published) -> str:
    """The pattern file with the numbers and measures of this sock."""
    text = (HERE / f"{sock.pattern}.yaml").read_text(encoding="utf-8")
    for name, value in sock.given.items():
        if name in _MEASURES:
            text, found = re.subn(rf"(?m)^(    - \{{(?:.*, )?{name}: )[^,}}]+", rf"\g<1>{value}", text)
        else:
            rule = dict(value) if isinstance(value, dict) else {"exactly": value}
            if name in _UNITS:
                rule["unit"] = _UNITS[name]
            written = yaml.safe_dump(rule, default_flow_style=True, width=1000).strip()
            text, found = re.subn(rf"(?m)^  {name}: \{{.*\}}", f"  {name}: {written}", text)
        assert found == 1, f"{sock.pattern}.yaml has {found} places for {name}"
    return text
