"""The arrows between the modules, and proof that each contract can be broken."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from .source import PACKAGE, ROOT, STAGES, modules

# contract -> (module, a line it must not have)
BREACHES = {
    "layers": ("sizing/rounding.py", "from grader.testknit.needles import Needles"),
    "testknit": ("testknit/needles.py", "from grader.vocabulary.formulas import read_formula"),
    "inspection": ("inspection/balance.py", "from grader.vocabulary.formulas import read_formula"),
    "yaml": ("loading/source.py", "import yaml"),
    "pydantic": ("loading/conversion.py", "from pydantic import BaseModel"),
    "jinja2": ("merging/front.py", "import jinja2"),
    "reportlab": ("pages/composing.py", "from reportlab.pdfgen.canvas import Canvas"),
    "pillow": ("web/photos.py", "from PIL import Image"),
    "markdown": ("write_up.py", "import markdown"),
    "pyphen": ("pages/lines.py", "import pyphen"),
    "clock": ("pages/painting.py", "import datetime"),
}


def _lint(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the contracts over the package in a folder."""
    code = (
        "import sys; from importlinter.cli import lint_imports;"
        " sys.exit(lint_imports(config_filename='pyproject.toml', no_cache=True, no_logo=True))"
    )
    command = [sys.executable, "-c", code]
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8", "COLUMNS": "200"}
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, encoding="utf-8", check=False)


def _contracts() -> list[dict[str, object]]:
    with (ROOT / "pyproject.toml").open("rb") as file:
        found: list[dict[str, object]] = tomllib.load(file)["tool"]["importlinter"]["contracts"]
    return found


def test_all_contracts_hold() -> None:
    outcome = _lint(ROOT)
    assert outcome.returncode == 0, outcome.stdout + outcome.stderr
    assert f"Contracts: {len(BREACHES)} kept, 0 broken" in outcome.stdout


def test_every_contract_has_a_breach_to_prove_it() -> None:
    assert {str(each["id"]) for each in _contracts()} == set(BREACHES)


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """What is told of each contract in a copy of the package that breaks them all, each in a place of its own."""
    folder = tmp_path_factory.mktemp("spoilt")
    shutil.copytree(PACKAGE, folder / "grader", ignore=shutil.ignore_patterns("__pycache__", "fonts"))
    shutil.copy(ROOT / "pyproject.toml", folder)
    for module, line in BREACHES.values():
        with (folder / "grader" / module).open("a", encoding="utf-8") as file:
            file.write(f"\n{line}\n")
    (folder / "grader" / "helpers.py").write_text('"""A module nobody gave a place."""\n', encoding="utf-8")
    outcome = _lint(folder)
    assert outcome.returncode == 1, outcome.stdout + outcome.stderr
    assert f"Contracts: 0 kept, {len(BREACHES)} broken" in outcome.stdout
    rest = outcome.stdout.partition("\nBroken contracts\n")[2]
    found: dict[str, str] = {}
    for each in reversed(_contracts()):
        rest, name, found[str(each["id"])] = rest.partition(f"\n{each['name']}\n")
        assert name, each
    return found


@pytest.mark.parametrize("contract", BREACHES)
def test_a_breach_is_caught(told: dict[str, str], contract: str) -> None:
    """At the place where it was made, and not because another contract is broken."""
    module, line = BREACHES[contract]
    here, there = f"grader.{module.removesuffix('.py').replace('/', '.')}", line.split()[1]
    outside = "" if there.startswith("grader") else there.split(".")[0]
    assert re.search(rf"^[- ] +{re.escape(here)} -> {re.escape(outside or there)} \(l\.\d+\)$", told[contract], re.M)
    assert sum(f"{here} -> " in each for each in told.values()) == 1, "one breach breaks one contract"


def test_a_module_without_a_layer_is_caught(told: dict[str, str]) -> None:
    assert "- grader.helpers\n" in told["layers"]


def test_the_stages_named_here_are_those_of_the_layers() -> None:
    contract = next(each for each in _contracts() if each["id"] == "layers")
    layers = contract["layers"]
    assert isinstance(layers, list)
    widest = max(layers, key=len)
    assert sorted(STAGES) == sorted(part.strip() for part in widest.split("|"))
    assert all(f"grader.{stage}" in modules() for stage in STAGES)


def test_starting_the_command_line_loads_no_heavy_library() -> None:
    heavy = ("yaml", "pydantic", "jinja2", "reportlab", "markdown", "PIL")
    code = f"import sys, grader.cli; print(*(name for name in {heavy} if name in sys.modules))"
    outcome = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert outcome.stdout.split() == []


def test_no_working_stage_loads_a_heavy_library() -> None:
    stages = ("sizing", "setups", "testknit", "inspection", "merging", "schematic", "yarn_use")
    heavy = ("yaml", "pydantic", "jinja2", "reportlab", "markdown", "PIL")
    loaded = ", ".join(f"grader.{stage}" for stage in stages)
    code = f"import sys, {loaded}; print(*(name for name in {heavy} if name in sys.modules))"
    outcome = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert outcome.stdout.split() == []
