"""The wheel holds all that the program needs, and works in a folder far from the checkout."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = ("grader", "patterns", "templates", "pyproject.toml", "README.md", "LICENSE", ".gitignore")

pytestmark = pytest.mark.skipif(
    importlib.util.find_spec("hatchling") is None, reason="hatchling, which builds the wheel, is not installed"
)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the files that ship; nothing is written into the checkout."""
    source, made = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("wheel")
    for name in SHIPPED:
        (source / name).symlink_to(ROOT / name)
    build = f"import hatchling.build; print(hatchling.build.build_wheel({str(made)!r}))"
    subprocess.run([sys.executable, "-c", build], cwd=source, check=True, capture_output=True, timeout=60)
    (path,) = made.glob("*.whl")
    return path


def _shipped_files() -> set[str]:
    """Every file of the package, its templates and its patterns as it must be named in the wheel."""
    kinds = {".py", ".yaml", ".json", ".ttf", ".txt", ".j2", ".typed"}
    package = {
        f"grader/{path.relative_to(ROOT / 'grader')}"
        for path in (ROOT / "grader").rglob("*")
        if path.is_file() and (path.suffix in kinds or path.name == "py.typed")
    }
    beside = {
        f"grader/{path.relative_to(ROOT)}"
        for name in ("templates", "patterns")
        for path in (ROOT / name).iterdir()
        if path.suffix in kinds
    }
    return package | beside


def test_the_wheel_holds_all_that_ships(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
    shipped = _shipped_files()
    assert len(shipped) > 100
    assert shipped <= names
    for name in (
        "templates/pattern.md.j2",
        "templates/one_size.md.j2",
        "templates/_blocks.md.j2",
        "patterns/ninepenny_bridge.yaml",
        "pages/fonts/SourceSans3-Regular.ttf",
        "pages/fonts/OFL.txt",
        "data/starter.yaml",
        "data/charts/all-feet.yaml",
        "loading/pattern.schema.json",
        "py.typed",
    ):
        assert f"grader/{name}" in names
    assert not [name for name in names if name.startswith(("tests", "build")) or "__pycache__" in name]


def test_the_wheel_publishes_where_it_is_unpacked(wheel: Path, tmp_path: Path) -> None:
    place, elsewhere = tmp_path / "unpacked", tmp_path / "elsewhere"
    elsewhere.mkdir()
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(place)
    where = [sys.executable, "-c", "import grader; print(grader.__file__)"]
    environment = {**os.environ, "PYTHONPATH": str(place)}
    found = subprocess.run(where, cwd=elsewhere, env=environment, capture_output=True, text=True, check=True)
    assert found.stdout.startswith(str(place))
    done = subprocess.run(
        [sys.executable, "-m", "grader", "publish", "ninepenny_bridge", "--sizes", "5-9"],
        cwd=elsewhere,
        env=environment,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert (done.returncode, done.stdout) == (0, ""), done.stderr
    stem = elsewhere / "build" / "ninepenny-bridge-plain-socks"
    assert stem.with_suffix(".pdf").read_bytes().startswith(b"%PDF-")
    assert stem.with_suffix(".md").read_text(encoding="utf-8").startswith("# Ninepenny Bridge plain socks\n")
