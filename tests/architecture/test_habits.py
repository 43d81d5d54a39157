"""Habits that no linter holds: small files and functions, frozen values, one verb a stage, docstrings, silence."""

from __future__ import annotations

import ast
import importlib
import inspect

import pytest

from .source import STAGES, classes, functions, module_files, modules, nodes, path_of

FILE_LIMIT, FUNCTION_LIMIT = 400, 60  # lines, a file may have fewer than and a function at the most fewer than

# What each stage offers: its verbs, and the values that go with them.
VERBS = {
    "loading": {"languages", "load_class", "load_language", "load_looks", "load_parts", "load_pattern", "load_text"},
    "covering": {"choose", "cover", "between_sizes", "even_range", "grid"},
    "measuring": {"estimate", "judge", "usual"},
    "sizing": {"alterations_for", "grade"},
    "gauging": {"average", "changes", "compare", "suited"},
    "setups": {"both_socks", "setup_names", "write_out"},
    "testknit": {"knit"},
    "inspection": {"foot_made", "inspect"},
    "merging": {"merge"},
    "write_up": {"write_up"},
    "pages": {"drawing_svg", "set_pages", "sizes_abreast", "style_named", "usable_typeface"},
    "web": {"epub", "web_page"},
    "reporting": {
        *("grouped", "print_findings", "print_part", "print_parts", "print_sample", "print_sizes", "print_yarn"),
        "print_enough",
        *("print_choice", "print_cover", "print_shoes"),
        *("print_comparison", "print_regrade", "print_swatch"),
        *("print_stripes", "write_stripes", "print_time"),
        "record_json",
    },
    "yarn_use": {"contrast_for", "with_contrast", "yarn_for_pair"},
    "schematic": {"sock_schematic"},
    "charting": {"chart", "chart_key", "chart_size", "draw_chart", "is_worth_a_chart"},
    "storing": {"store"},
    "striping": {"stitch_metres", "stripe_pair"},
    "stripe_drawing": {"draw_stripes"},
    "timing": {"time_for_pair"},
    "teaching": {"worksheet"},
    "diagrams": {"stage_diagrams"},
    "rulers": {"gauge_window", "ruler"},
    "translating": {
        "blank",
        "knitted_from",
        "left_in_english",
        "misread",
        "pronounced",
        "spaced",
        "told",
        "translate",
        "translate_drawing",
        "translator",
    },
}
WORK_IN_PROGRESS = {"Ledger"}  # the one class between the stages that grows: findings gather in it within a stage
PLAIN_FUNCTIONS = {"write_up"}  # a module whose other public functions are what its templates call


def test_modules_are_short_and_say_what_they_are() -> None:
    lines = {name: len(path_of(name).read_text(encoding="utf-8").splitlines()) for name in module_files()}
    assert {name: count for name, count in lines.items() if count >= FILE_LIMIT} == {}
    assert [name for name, tree in modules().items() if not ast.get_docstring(tree)] == []


def test_functions_are_short() -> None:
    lengths = [
        (f"{name}.{each.name}", (each.end_lineno or 0) - each.lineno + 1)
        for name, tree in modules().items()
        for each in functions(tree)
    ]
    assert len(lengths) > 1000
    assert [(each, length) for each, length in lengths if length >= FUNCTION_LIMIT] == []


def test_functions_are_fully_typed() -> None:
    untyped = [
        f"{name}.{each.name}"
        for name, tree in modules().items()
        for each in functions(tree)
        if each.returns is None
        or any(
            argument.annotation is None and argument.arg not in ("self", "cls")
            for argument in (*each.args.posonlyargs, *each.args.args, *each.args.kwonlyargs)
        )
    ]
    assert untyped == []


def test_public_things_have_docstrings() -> None:
    silent = [
        f"{name}.{node.name}"
        for name, tree in modules().items()
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_")
        if not ast.get_docstring(node)
    ]
    assert silent == []


def test_values_between_stages_are_frozen_and_slotted() -> None:
    seen, loose = 0, []
    for name, tree in modules().items():
        if not name.startswith(("grader.models.", "grader.vocabulary.", "grader.notation.")):
            continue
        for each in classes(tree):
            options = _dataclass_options(each)
            if options is None or each.name in WORK_IN_PROGRESS:
                continue
            seen += 1
            if not {"frozen", "slots"} <= options:
                loose.append(f"{name}.{each.name}")
    assert loose == []
    assert seen > 60, "the values are no longer where this test looks for them"


def _dataclass_options(node: ast.ClassDef) -> set[str] | None:
    """The options a dataclass sets to True; None for a class that is no dataclass."""
    for mark in node.decorator_list:
        called = mark.func if isinstance(mark, ast.Call) else mark
        if isinstance(called, ast.Name) and called.id == "dataclass":
            keywords = mark.keywords if isinstance(mark, ast.Call) else []
            return {
                str(word.arg) for word in keywords if isinstance(word.value, ast.Constant) and word.value.value is True
            }
    return None


def test_the_verbs_are_told_for_every_stage() -> None:
    assert set(VERBS) == set(STAGES)


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_offers_its_verbs_and_no_other(stage: str) -> None:
    module = importlib.import_module(f"grader.{stage}")
    names = getattr(module, "__all__", None)
    if names is None:
        names = [
            name
            for name, value in vars(module).items()
            if not name.startswith("_") and getattr(value, "__module__", "") == module.__name__
        ]
    verbs = {name for name in names if inspect.isfunction(getattr(module, name))}
    if stage in PLAIN_FUNCTIONS:
        assert VERBS[stage] <= verbs
    else:
        assert verbs == VERBS[stage]


def test_only_the_command_line_prints_and_asks() -> None:
    loud = [
        f"{name}:{node.lineno}"
        for name, tree in modules().items()
        if not name.startswith("grader.cli")
        for node in nodes(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("print", "input")
    ]
    assert loud == []


def test_nothing_is_evaluated_or_unpickled() -> None:
    barred = {"eval", "exec", "compile", "__import__"}
    found = [
        f"{name}:{node.lineno} {node.func.id}"
        for name, tree in modules().items()
        for node in nodes(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in barred
    ]
    assert found == []


def test_assertions_work_nothing() -> None:
    """`python -O` leaves them out."""
    harmless = {"isinstance", "len", "all", "any"}
    found = [
        f"{name}:{node.lineno}"
        for name, tree in modules().items()
        for node in nodes(tree)
        if isinstance(node, ast.Assert)
        for part in ast.walk(node.test)
        if isinstance(part, ast.NamedExpr | ast.Await | ast.Yield)
        or (isinstance(part, ast.Call) and getattr(part.func, "id", "") not in harmless)
    ]
    assert found == []


def test_docstrings_are_for_readers_alone() -> None:
    """`python -OO` leaves them out."""
    found = [
        f"{name}:{node.lineno}"
        for name, tree in modules().items()
        for node in nodes(tree)
        if isinstance(node, ast.Attribute) and node.attr == "__doc__"
    ]
    assert found == []


def test_one_function_says_why_a_file_cannot_be_read_or_written() -> None:
    """So that every message names the file, and in plain words."""
    words = {"strerror", "filename2", "errno"}
    found = [
        f"{name}:{node.lineno}"
        for name, tree in modules().items()
        for node in nodes(tree)
        if isinstance(node, ast.Attribute) and node.attr in words and getattr(node.value, "id", "") != "errno"
    ]
    assert [each for each in found if not each.startswith("grader.regular_files:")] == []


def test_designers_files_are_read_in_one_place() -> None:
    """Which waits for no pipe and reads no device; what is read elsewhere ships with the package."""
    ours = {"grader.regular_files", "grader.vocabulary", "grader.loading.schema", "grader.loading.starter"}
    ours |= {"grader.web", "grader.pages.conforming", "grader.cli.streams", "grader.cli.program", "grader.storing"}
    reads = {"open", "read_text", "read_bytes", "fdopen"}
    found = [
        f"{name}:{node.lineno}"
        for name, tree in modules().items()
        for node in nodes(tree)
        if isinstance(node, ast.Call)
        and (getattr(node.func, "id", "") or getattr(node.func, "attr", "")) in reads
        and not name.startswith(tuple(ours))
        and ast.unparse(node.func) != "Image.open"
    ]
    assert found == []


def test_documents_are_made_without_hiding_a_bug() -> None:
    """What catches every `ValueError` round the making of a document tells our own mistake as the designer's."""
    makers = {"make_document", "make_stripes", "bind_sheets", "write_sheets", "set_pages", "web_page", "epub", "_made"}
    broad = {"ValueError", "Exception", "TypeError", "KeyError", "ArithmeticError", "LookupError"}
    found = []
    for name, tree in modules().items():
        for node in nodes(tree):
            if not isinstance(node, ast.Try):
                continue
            called = {
                getattr(each.func, "id", "")
                for part in node.body
                for each in ast.walk(part)
                if isinstance(each, ast.Call)
            }
            caught = {
                each.id
                for handler in node.handlers
                if handler.type
                for each in ast.walk(handler.type)
                if isinstance(each, ast.Name)
            }
            found += [f"{name}:{node.lineno}"] if called & makers and caught & broad else []
    assert found == []
