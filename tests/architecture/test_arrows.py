"""The arrows between the modules, and proof that each contract can be broken."""

from __future__ import annotations

import os
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
    "markdown": ("write_up.py", "import markdown"),
    "pyphen": ("pages/lines.py", "import pyphen"),
    "clock": ("pages/painting.py", "import datetime"),
}


def _lint(folder: Path, contract: str = "") -> subprocess.CompletedProcess[str]:
    """Run the contracts over the package in a folder."""
    code = (
        "import sys; from importlinter.cli import lint_imports;"
        " sys.exit(lint_imports(config_filename='pyproject.toml', limit_to_contracts=tuple(sys.argv[1:]),"
        " no_cache=True, no_logo=True))"
    )
    command = [sys.executable, "-c", code, *([contract] if contract else [])]
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8"}
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
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package and its contracts, to be spoilt."""
    folder = tmp_path_factory.mktemp("spoilt")
    shutil.copytree(PACKAGE, folder / "grader", ignore=shutil.ignore_patterns("__pycache__", "fonts"))
    shutil.copy(ROOT / "pyproject.toml", folder)
    return folder


@pytest.mark.parametrize("contract", BREACHES)
def test_a_breach_is_caught(copy: Path, contract: str) -> None:
    module, line = BREACHES[contract]
    place = copy / "grader" / module
    sound = place.read_text(encoding="utf-8")
    try:
        place.write_text(f"{sound}\n{line}\n", encoding="utf-8")
        outcome = _lint(copy, contract)
    finally:
        place.write_text(sound, encoding="utf-8")
    assert outcome.returncode == 1, outcome.stdout + outcome.stderr
    assert "0 kept, 1 broken" in outcome.stdout


def test_a_module_without_a_layer_is_caught(copy: Path) -> None:
    place = copy / "grader" / "helpers.py"
    try:
        place.write_text('"""A module nobody gave a place."""\n', encoding="utf-8")
        outcome = _lint(copy, "layers")
    finally:
        place.unlink()
    assert outcome.returncode == 1
    assert "helpers" in outcome.stdout


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


@pytest.mark.parametrize("stage", ["sizing", "setups", "testknit", "inspection", "merging", "schematic", "yarn_use"])
def test_a_working_stage_loads_no_heavy_library(stage: str) -> None:
    heavy = ("yaml", "pydantic", "jinja2", "reportlab", "markdown", "PIL")
    code = f"import sys, grader.{stage}; print(*(name for name in {heavy} if name in sys.modules))"
    outcome = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert outcome.stdout.split() == []
