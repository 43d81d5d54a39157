"""The source of the project as these tests see it: modules, their trees, and what a document names."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "grader"
STAGES = (
    "loading",
    "measuring",
    "covering",
    "sizing",
    "gauging",
    "setups",
    "testknit",
    "inspection",
    "merging",
    "write_up",
    "translating",
    "pages",
    "reporting",
    "yarn_use",
    "schematic",
    "charting",
    "storing",
    "striping",
    "stripe_drawing",
    "timing",
    "rulers",
    "web",
    "teaching",
    "diagrams",
)
_FENCE = re.compile(r"^```.*?^```[ ]*$", re.MULTILINE | re.DOTALL)
_TICKED = re.compile(r"`([^`\n]+)`")


@cache
def module_files() -> dict[str, Path]:
    """Dotted name -> file of every module of the package; a package goes by its own name."""
    paths = sorted(PACKAGE.rglob("*.py"))
    return {".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): path for path in paths}


@cache
def modules() -> dict[str, ast.Module]:
    """Dotted name -> tree of every module."""
    files = module_files().items()
    return {name: ast.parse(path.read_text(encoding="utf-8"), str(path)) for name, path in files}


@cache
def nodes(tree: ast.Module) -> tuple[ast.AST, ...]:
    """All nodes of a module's tree, gone through once for all tests that look for something."""
    return tuple(ast.walk(tree))


def path_of(module: str) -> Path:
    """The file of a dotted module name."""
    path = ROOT.joinpath(*module.split("."))
    return path / "__init__.py" if path.is_dir() else path.with_suffix(".py")


def functions(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function and method, nested ones too."""
    for node in nodes(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def classes(tree: ast.Module) -> Iterator[ast.ClassDef]:
    """Every class."""
    for node in nodes(tree):
        if isinstance(node, ast.ClassDef):
            yield node


def top_names(tree: ast.Module) -> set[str]:
    """What a module defines at its top: functions, classes, and assigned or imported names."""
    names: set[str] = set()
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            names.add(node.name)
        elif isinstance(node, ast.Assign):
            names |= {target.id for target in node.targets if isinstance(target, ast.Name)}
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            names.add(node.target.id)
        elif isinstance(node, ast.ImportFrom):
            names |= {alias.asname or alias.name for alias in node.names}
    return names


def ticked(text: str) -> list[str]:
    """What stands in single backticks in a Markdown text, code blocks aside."""
    return _TICKED.findall(_FENCE.sub("", text))
