"""The JSON Schema that ships is the one the file model gives."""

from __future__ import annotations

import json
from typing import Any

from grader.loading.file_keys import keys_at
from grader.loading.file_model import PatternForm
from grader.loading.schema import SCHEMA_FILE, pattern_schema, schema_text


def test_the_shipped_schema_is_current() -> None:
    """Write it anew with `python -m grader.loading.schema`."""
    assert SCHEMA_FILE.read_text(encoding="utf-8") == schema_text()


def test_the_schema_lists_every_key_and_forbids_others() -> None:
    found = pattern_schema()
    assert set(found["properties"]) == set(PatternForm.model_fields)
    assert found["additionalProperties"] is False
    assert set(found["$defs"]["StepForm"]["properties"]) == set(keys_at(("sections", 0, "steps", 0)))


def _nulls(part: Any) -> list[Any]:
    if isinstance(part, dict):
        return [part] * (part.get("type") == "null") + [each for value in part.values() for each in _nulls(value)]
    return [each for value in part for each in _nulls(value)] if isinstance(part, list) else []


def test_no_key_may_be_null_in_the_schema() -> None:
    assert _nulls(json.loads(schema_text())) == []
