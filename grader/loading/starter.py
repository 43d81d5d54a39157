"""The starter pattern: a sock that works as it stands, with comments that teach the format."""

from __future__ import annotations

import json
from importlib import resources

_SLOT = '"{title}"'


def starter_text(title: str) -> str:
    """The starter pattern's file text under a new title, which may hold any character."""
    text = resources.files("grader").joinpath("data", "starter.yaml").read_text(encoding="utf-8")
    return text.replace(_SLOT, json.dumps(title, ensure_ascii=False), 1)
