"""What the abbreviations mean, in words of our own, in UK or US terms.

Source: the entries are those of the Craft Yarn Council's master list and of common practice;
`grader/data/abbreviations.yaml` says which were looked up.
"""

from __future__ import annotations

from functools import cache

from grader.vocabulary.reference import read_reference


def abbreviation_table(terms: str = "UK") -> dict[str, str]:
    """Abbreviation -> meaning, in "UK" or "US" terms, in the order a reader looks them up; a fresh dict."""
    return dict(_table(terms))


@cache
def _table(terms: str) -> dict[str, str]:
    if terms not in ("UK", "US"):
        raise ValueError(f"terms are UK or US, not {terms!r}")
    rows = read_reference("abbreviations")["rows"]
    return {row["abbr"]: row.get(terms.lower()) or row["meaning"] for row in rows}
