"""The JSON Schema of a pattern file. `python -m grader.loading.schema` writes it anew."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from grader.loading.file_model import PatternForm

SCHEMA_FILE = Path(__file__).with_name("pattern.schema.json")


def pattern_schema() -> dict[str, Any]:
    """The schema, with the dialect it is written in; a key that is left out is never null."""
    schema: dict[str, Any] = _without_null(PatternForm.model_json_schema())
    schema["required"] = [key for key in schema["required"] if key != "sections"]  # they may come from parts
    schema["anyOf"] = [{"required": ["sections"]}, {"required": ["parts"]}]
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "Sock pattern"}


def schema_text() -> str:
    """The schema as the file holds it."""
    return json.dumps(pattern_schema(), indent=1, ensure_ascii=False) + "\n"


def _without_null(part: Any) -> Any:
    """Drop the branch and the default that stand for a key left out: YAML has no use for them."""
    if isinstance(part, list):
        return [_without_null(each) for each in part]
    if not isinstance(part, dict):
        return part
    kept = {key: _without_null(value) for key, value in part.items() if not (key == "default" and value in (None, ""))}
    branches = kept.get("anyOf")
    if not isinstance(branches, list):
        return kept
    branches = [each for each in branches if each != {"type": "null"}]
    if len(branches) > 1:
        return {**kept, "anyOf": branches}
    return {**branches[0], **{key: value for key, value in kept.items() if key != "anyOf"}}


if __name__ == "__main__":
    SCHEMA_FILE.write_text(schema_text(), encoding="utf-8")
