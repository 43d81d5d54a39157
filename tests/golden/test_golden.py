"""Documents compared with the golden files beside this one; `pytest --update-goldens` writes those anew.

A golden file is read by somebody before it is kept: what changes in it is what changes on the page.
"""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pypdf
import pytest

from grader.cli.one_off import own_body, own_gauge
from grader.models.pattern import Pattern
from grader.pipeline import Checked, Wanted, check, for_one
from grader.publishing import Edition, make_document

HERE = Path(__file__).resolve().parent
GOLDEN = (
    "ninepenny_bridge.md",
    "ninepenny_bridge.pages.txt",
    *(f"one_off_{name}.md" for name in ("short_circular", "long_circular", "set_of_5", "set_of_4")),
)
ONE_OFFS = {  # each with a foot, a gauge and units of its own
    "short_circular": ("short circular", "20.5", "23", (29, 40), "US", "in"),
    "long_circular": ("long circular (magic loop)", "22.5", "24", (31, 43), "UK", "cm"),
    "set_of_5": ("double-pointed, set of 5", "24", "26.5", (32, 44), "UK", "both"),
    "set_of_4": ("double-pointed, set of 4", "14", "13.5", (28, 38), "UK", "both"),
}
Golden = Callable[[str, str], None]


def test_six_sizes_in_brackets(
    knitted: Callable[..., Checked], made: Callable[..., dict[str, bytes]], golden: Golden
) -> None:
    golden("ninepenny_bridge.md", made(knitted(6))["md"].decode())


def test_the_pages_of_six_sizes(
    knitted: Callable[..., Checked], made: Callable[..., dict[str, bytes]], golden: Golden
) -> None:
    """What is read on each page of the PDF, a line for each height, in millimetres from the foot of the page."""
    reader = pypdf.PdfReader(io.BytesIO(made(knitted(6))["pdf"]))
    listing = []
    for number, page in enumerate(reader.pages, 1):
        listing.append(f"== page {number} of {len(reader.pages)}")
        found: dict[float, list[tuple[float, str]]] = {}

        def note(
            text: str,
            base: list[float],
            matrix: list[float],
            _font: object,
            _size: float,
            found: dict[float, list[tuple[float, str]]] = found,
        ) -> None:
            if text.strip():
                x = matrix[4] * base[0] + matrix[5] * base[2] + base[4]
                y = matrix[4] * base[1] + matrix[5] * base[3] + base[5]
                found.setdefault(round(y / 72 * 25.4, 1), []).append((round(x), " ".join(text.split())))

        page.extract_text(visitor_text=note)
        listing += [f"{y:6.1f}  {' '.join(text for _, text in sorted(found[y]))}" for y in sorted(found, reverse=True)]
    golden("ninepenny_bridge.pages.txt", "\n".join(listing) + "\n")


@pytest.mark.parametrize("name", ONE_OFFS)
def test_a_one_off_in_each_setup(name: str, ninepenny: Pattern, golden: Golden) -> None:
    setup, foot, length, gauge, terms, units = ONE_OFFS[name]
    body = own_body(ninepenny, Fraction(foot), Fraction(length), {}, "")
    mine = for_one(ninepenny, body, own_gauge(ninepenny, (Fraction(gauge[0]), Fraction(gauge[1]))))
    checked = check(mine, Wanted((setup,), (terms,), units))
    assert checked.is_sound, checked.findings
    assert len(checked.socks) == 1
    edition = Edition(terms, units, one_size=True)
    golden(
        f"one_off_{name}.md",
        make_document(replace(checked), edition, f"one_off_{name}").files[f"one_off_{name}.md"].decode(),
    )


def test_no_golden_file_is_left_behind() -> None:
    """A file that no test compares any more says nothing and is to be deleted."""
    assert {path.name for path in HERE.iterdir() if path.suffix in (".md", ".txt")} == set(GOLDEN)


def test_golden_files_are_not_written_where_nobody_reads_them() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "--update-goldens", "--collect-only", str(HERE / "test_golden.py")],
        capture_output=True,
        text=True,
        timeout=60,
        cwd=HERE.parents[1],
        env={**os.environ, "CI": "true"},
    )
    assert done.returncode == pytest.ExitCode.USAGE_ERROR
    assert "--update-goldens is refused where CI is set" in done.stderr
