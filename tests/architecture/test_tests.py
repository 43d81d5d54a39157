"""No test that can't fail: none compares a thing with itself, or a published row with that row alone."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

_TESTS = Path(__file__).resolve().parents[1]
_FILES = sorted(_TESTS.glob("**/test_*.py"))
_SAME = (ast.Eq, ast.LtE, ast.GtE)
_ROW = {"row", "sorted", "len", "sum", "set", "list", "tuple", "abs", "round", "float", "int"}


def idle(code: str) -> Iterator[str]:
    """The asserts of a module that hold whatever the program does, with their lines."""
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.Assert) and _is_idle(node.test):
            yield f"{node.lineno}: {ast.unparse(node.test)}"


def _is_idle(test: ast.expr) -> bool:
    if isinstance(test, ast.BoolOp) and isinstance(test.op, ast.Or):
        return any(isinstance(each, ast.Constant) and each.value for each in test.values)
    if not isinstance(test, ast.Compare) or len(test.ops) != 1 or not isinstance(test.ops[0], _SAME):
        return False
    left, right = test.left, test.comparators[0]
    if ast.dump(left) == ast.dump(right):  # what is made twice may come out otherwise the second time
        return not any(isinstance(each, ast.Call) for each in ast.walk(left))
    return _falls_back(left, right) or _is_of_a_row_alone(test)


def _falls_back(left: ast.expr, right: ast.expr) -> bool:
    """The figure is a published one, or else the very thing that it is compared with."""
    return any(
        isinstance(call, ast.Call)
        and isinstance(call.func, ast.Attribute)
        and call.func.attr == "get"
        and len(call.args) == 2
        and ast.dump(call.args[1]) == ast.dump(left)
        for call in ast.walk(right)
    )


def _is_of_a_row_alone(test: ast.expr) -> bool:
    """Nothing but figures of one published row, by their names."""
    figures = {ast.dump(each.value) for each in ast.walk(test) if isinstance(each, ast.Subscript)}
    names = {each.id for each in ast.walk(test) if isinstance(each, ast.Name)}
    attributes = any(isinstance(each, ast.Attribute) for each in ast.walk(test))
    return "row" in names and names <= _ROW and not attributes and figures == {ast.dump(ast.Name("row", ast.Load()))}


@pytest.mark.parametrize("path", _FILES, ids=lambda path: str(path.relative_to(_TESTS)))
def test_every_assert_can_fail(path: Path) -> None:
    assert list(idle(path.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize(
    "code",
    [
        "assert found.count == found.count",
        "assert turn.left == row.get('left', turn.left)",
        "assert turn.left == tuple(row.get('left', turn.left))",
        "assert row['left'] == sorted(row['left'])",
        "assert found or '('",
    ],
)
def test_what_can_not_fail_is_found(code: str) -> None:
    assert len(list(idle(code))) == 1


@pytest.mark.parametrize(
    "code", ["assert f(1) == f(1)", "assert f(1) == f(2)", "assert row['left'] == turn.left", "assert found or told"]
)
def test_what_can_is_let_pass(code: str) -> None:
    assert not list(idle(code))
