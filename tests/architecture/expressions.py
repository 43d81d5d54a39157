"""Every regular expression of the package: its text, its flags, and whether it is searched for or must fit."""

from __future__ import annotations

import ast
import builtins
import importlib
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from types import ModuleType
from typing import Any
from unittest.mock import patch

from grader.loading import load_language
from grader.models.language import Language

from .source import modules, nodes

_FUNCTIONS = ("compile", "search", "match", "fullmatch", "sub", "subn", "split", "findall", "finditer", "template")
_HOW = {"match": "match", "fullmatch": "fullmatch"}  # all else looks for a beginning


@dataclass(frozen=True, slots=True)
class Written:
    """One expression as it is used: where, its text and flags, and how."""

    module: str
    line: int
    pattern: str
    flags: int
    how: str


def written() -> Iterator[Written]:
    """Those that are compiled and kept, with every way they are used, and those that stand in a call."""
    for name, tree in modules().items():
        if any(isinstance(node, ast.Name) and node.id == "re" for node in nodes(tree)):
            module = importlib.import_module(name)
            told = [*_of_module(name, tree, module), *(_made(name, module) if name in MADE else ())]
            yield from told
            known = {each.pattern for each in told}
            for pattern in _kept(
                list(vars(module).values())
            ):  # those made in a loop, which can't be read in the source
                if pattern.pattern not in known:
                    yield Written(name, 0, pattern.pattern, pattern.flags, "search")


def _kept(values: Iterable[Any]) -> Iterator[re.Pattern[str]]:
    """The compiled expressions among some values, and in the tuples, lists and tables among them."""
    for value in values:
        if isinstance(value, re.Pattern) and isinstance(value.pattern, str):
            yield value
        elif isinstance(value, dict):
            yield from _kept(value.values())
        elif isinstance(value, tuple | list):
            yield from _kept(value)


def _of_module(name: str, tree: ast.Module, module: ModuleType) -> Iterator[Written]:
    for node in nodes(tree):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)):
            continue
        if not (isinstance(node.func.value, ast.Name) and node.func.value.id == "re") or not node.args:
            continue
        if node.func.attr not in _FUNCTIONS:
            continue
        if name in MADE and not _is_known(node.args[0], module):
            continue
        pattern = _value(node.args[0], module)
        if isinstance(pattern, bytes):
            pattern = pattern.decode("latin-1")
        flags = next((_value(each.value, module) for each in node.keywords if each.arg == "flags"), 0)
        place = {"compile": 1, "sub": 4, "subn": 4, "split": 3}.get(node.func.attr, 2)
        flags = _value(node.args[place], module) if len(node.args) > place else flags
        for how in _uses(node, tree) if node.func.attr == "compile" else {_HOW.get(node.func.attr, "search")}:
            yield Written(name, node.lineno, pattern, int(flags), how)


def _uses(call: ast.Call, tree: ast.Module) -> set[str]:
    """How the expression compiled here is used in its module; searched for, where that can't be seen."""
    names = {
        target.id
        for node in nodes(tree)
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is call
        for target in (node.targets if isinstance(node, ast.Assign) else [node.target])
        if isinstance(target, ast.Name)
    }
    known: set[str] = set()
    other = not names
    methods = {id(node.value): node.attr for node in nodes(tree) if isinstance(node, ast.Attribute)}
    for node in nodes(tree):
        if isinstance(node, ast.Name) and node.id in names and isinstance(node.ctx, ast.Load):
            method = methods.get(id(node), "")
            if method != "pattern":  # a piece of another expression, which is looked at by itself
                known.add(_HOW.get(method, "search"))
    return {"search"} if other else known


class _Names(dict[str, Any]):
    """The names of a module; any other is a text that a function would put in."""

    def __missing__(self, name: str) -> Any:
        return getattr(builtins, name, "aö")


class _Recorder:
    """Stands for the library in one module, and keeps the expressions that a function of it makes."""

    def __init__(self) -> None:
        self.made: list[tuple[str, int, str]] = []

    def __getattr__(self, name: str) -> Any:
        known = getattr(re, name)
        if name not in _FUNCTIONS:
            return known

        def call(pattern: Any, *arguments: Any, **named: Any) -> Any:
            compiled = re.compile(pattern, *(arguments if name == "compile" else ()), **named)
            self.made.append((compiled.pattern, compiled.flags, _HOW.get(name, "search")))
            return known(pattern, *arguments, **named)

        return call


def _numbers() -> None:
    from grader.translating.masking import _pattern

    for language in map(_language, ("de", "fr")):
        _pattern.__wrapped__(language.decimal, language.between, language.none, ("K", "Sl"))


def _spaced() -> None:
    from grader.translating.spacing import spaced

    spaced("Oui !", _language("fr"))


def _pronounced() -> None:
    from grader.translating.pronouncing import pronounced

    for tag in ("de", "fr"):
        pronounced(_language(tag))


def _sizes() -> None:
    from grader.web.sizes import Sizes

    for names in (("S", "M"), ("S", "M", "L", "XL")):
        sizes = Sizes(names)
        list(sizes.brackets("16 (18, 20, 22)"))
        sizes.only("Sizes S to L only:")


def _language(tag: str) -> Language:
    language, _ = load_language(tag)
    assert language is not None
    return language


MADE: dict[str, Callable[[], None]] = {  # what a function makes of a language or of sizes is made here, and kept
    "grader.translating.masking": _numbers,
    "grader.translating.pronouncing": _pronounced,
    "grader.translating.spacing": _spaced,
    "grader.web.sizes": _sizes,
}


def _made(name: str, module: ModuleType) -> Iterator[Written]:
    recorder = _Recorder()
    with patch.object(module, "re", recorder):
        MADE[name]()
    yield from (Written(name, 0, *each) for each in recorder.made)


def _is_known(node: ast.expr, module: ModuleType) -> bool:
    """True if an expression of the source holds no name that a function gives its own meaning."""
    names = {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}
    return all(name in vars(module) or hasattr(builtins, name) for name in names)


def _value(node: ast.expr, module: ModuleType) -> Any:
    """What an expression of the source comes to, with samples for what is known only in a function."""
    names = {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}
    code = compile(ast.Expression(node), module.__name__, "eval")
    found = eval(code, {"__builtins__": builtins}, _Names({**{n: vars(module)[n] for n in names if n in vars(module)}}))
    return found.pattern if isinstance(found, re.Pattern) else found
