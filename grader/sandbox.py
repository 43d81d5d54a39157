"""The sandbox that templates are filled in by: they may read the document and no more, and only so much may they do.

A template is somebody's text, not code of ours. Beside what the library's own sandbox forbids, every pass of a loop,
every use of a macro and every text made on the way is paid for out of the budget of one document, and what could
become huge at one stroke (a text times a number, a width, a power) is refused before it is made.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sized
from functools import wraps
from pathlib import Path
from typing import Any

from jinja2 import ChoiceLoader, FileSystemLoader, StrictUndefined, nodes, pass_context
from jinja2.exceptions import TemplateSyntaxError
from jinja2.runtime import Context
from jinja2.sandbox import ImmutableSandboxedEnvironment

from grader.vocabulary.budget import OverBudget, allowed, spend

LARGEST_TEMPLATE = 1 << 20  # characters of one file; ours have a hundredth of that
LARGEST_NUMBER = 10_000  # what a helper, a filter or a range may be asked for
_AT_ONE_STROKE = 16  # times the characters of a document: the most that one filter may make of its texts
_DICE = ("random", "lipsum")  # the same document must come out every time
_BODIES = (nodes.For, nodes.Macro, nodes.CallBlock, nodes.Block)


class Sandbox(ImmutableSandboxedEnvironment):
    """Templates from these folders, the first that has one; `begin` before each document."""

    intercepted_binops = frozenset({"*", "**", "+", "%"})

    def __init__(self, places: Iterable[Path]) -> None:
        super().__init__(
            loader=ChoiceLoader([_Loader(place) for place in places]),
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
            finalize=_printed,
        )
        self.filters = {name: self._guarded(filter_) for name, filter_ in self.filters.items() if name not in _DICE}
        self.filters.update(_passed=_passed, _joined=_joined)
        for name in _DICE:
            self.globals.pop(name, None)
        self.begin()

    def begin(self) -> None:
        """A new document, with nothing spent yet."""
        self.steps = self.characters = 0

    def pay(self, characters: int, steps: int = 0) -> None:
        """`OverBudget` where a document costs more than it may."""
        self.steps += steps
        self.characters += characters
        spend("steps", self.steps)
        spend("characters", self.characters)

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        tree = super()._parse(source, name, filename)
        _count_passes(tree)
        whole = _without_concat(tree)
        whole.set_environment(self)
        return whole  # type: ignore[no-any-return]

    def _guarded(self, filter_: Callable[..., Any]) -> Callable[..., Any]:
        """A filter of the library that refuses what would make too much at one stroke."""
        passed = hasattr(filter_, "jinja_pass_arg")  # a context or an environment comes first

        @wraps(filter_)
        def guarded(*arguments: Any, **named: Any) -> Any:
            own = arguments[1:] if passed else arguments
            self.pay(_check_size(own[0] if own else "", (*own[1:], *named.values())))
            return filter_(*arguments, **named)

        return guarded

    def call(self, context: Context, obj: Any, /, *arguments: Any, **named: Any) -> Any:
        """Call a helper, a macro or a method of a text, if what it may make can be held."""
        method = getattr(obj, "__wrapped__", obj)  # `format` of a text comes wrapped
        owner = getattr(method, "__self__", None)
        if isinstance(owner, str) and method.__name__ in ("format_map", "translate", "expandtabs"):
            raise TypeError(f"a template has no {method.__name__}")
        self.pay(_check_size(owner if isinstance(owner, str) else "", (*arguments, *named.values())))
        made = super().call(context, obj, *arguments, **named)
        if isinstance(made, str):
            self.pay(len(made))
        return made

    def call_binop(self, context: Context, operator: str, left: Any, right: Any) -> Any:
        """Work a sum, a product, a power or a filled-in text out, if what comes of it can be held."""
        if operator == "**":
            if isinstance(left, int) and isinstance(right, int) and left.bit_length() * abs(right) > LARGEST_NUMBER:
                raise OverBudget("digits")
        elif operator == "*":
            for text, times in ((left, right), (right, left)):
                if isinstance(text, Sized) and isinstance(times, int):
                    spend("characters", len(text) * abs(times))
            if isinstance(left, int) and isinstance(right, int):
                spend("digits", (left.bit_length() + right.bit_length()) // 4)
        elif operator == "%" and isinstance(left, str):
            _check_size(left, right if isinstance(right, tuple) else (right,))
        elif isinstance(left, Sized) and isinstance(right, Sized):
            spend("characters", len(left) + len(right))
        made = super().call_binop(context, operator, left, right)
        if isinstance(made, Sized):
            self.pay(len(made))
        return made


class _Loader(FileSystemLoader):
    """Reads a template that is no larger than a template can be."""

    def get_source(self, environment: Any, template: str) -> tuple[str, str, Callable[[], bool]]:
        source, path, current = super().get_source(environment, template)
        if len(source) > LARGEST_TEMPLATE:
            raise TemplateSyntaxError(f"this template has more than {LARGEST_TEMPLATE} characters", 1, template, path)
        return source, path, current


@pass_context
def _printed(context: Context, value: Any) -> Any:
    """What `{{ }}` prints, paid for."""
    context.environment.pay(len(value) if isinstance(value, str) else len(str(value)))  # type: ignore[attr-defined]
    return value


@pass_context
def _passed(context: Context, characters: int) -> str:
    """One pass of a body with so many characters of its own."""
    context.environment.pay(characters, steps=1)  # type: ignore[attr-defined]
    return ""


@pass_context
def _joined(context: Context, *several: Any) -> str:
    """What `~` puts together, paid for."""
    texts = [str(each) for each in several]
    spend("characters", sum(map(len, texts)))
    context.environment.pay(sum(map(len, texts)))  # type: ignore[attr-defined]
    return "".join(texts)


def _count_passes(body: nodes.Node) -> None:
    """Begin the body of the template, of each loop, macro and block in it with paying for the pass."""
    for node in (body, *body.find_all(_BODIES)):
        weight = nodes.Const(_own_text(node.body), lineno=node.lineno)  # type: ignore[attr-defined]
        paid = nodes.Filter(weight, "_passed", [], [], None, None, lineno=node.lineno)
        node.body.insert(0, nodes.ExprStmt(paid, lineno=node.lineno))  # type: ignore[attr-defined]


def _own_text(body: Iterable[nodes.Node]) -> int:
    """The characters that stand in a body as they are, those of the bodies within it aside."""
    found = 0
    for node in body:
        if isinstance(node, nodes.TemplateData):
            found += len(node.data)
        elif not isinstance(node, _BODIES):
            found += _own_text(node.iter_child_nodes())
    return found


def _without_concat(node: Any) -> Any:
    """The same tree with each `~` as a filter of ours."""
    for name, value in node.iter_fields():
        if isinstance(value, list):
            setattr(node, name, [_without_concat(each) if isinstance(each, nodes.Node) else each for each in value])
        elif isinstance(value, nodes.Node):
            setattr(node, name, _without_concat(value))
    if isinstance(node, nodes.Concat):
        first, *others = node.nodes
        return nodes.Filter(first, "_joined", others, [], None, None, lineno=node.lineno)
    return node


def _check_size(value: Any, arguments: tuple[Any, ...]) -> int:
    """`OverBudget` where a value, made as wide or put together as often as these arguments say, could be huge.

    Gives the largest number among the arguments, which is to be paid for.
    """
    widest = 1
    size = _length(value)
    for each in arguments:
        if isinstance(each, int) and abs(each) > LARGEST_NUMBER:
            raise OverBudget("characters")
        widest = max(widest, abs(each) if isinstance(each, int) else _length(each, flat=True))
        size += _length(each)
    if isinstance(value, str) and ("%" in value or "{" in value):
        widest = max(widest, *_widths(value), 1)
    if size * widest > _AT_ONE_STROKE * allowed("characters"):
        raise OverBudget("characters")
    return max((abs(each) for each in arguments if isinstance(each, int)), default=0)


def _length(value: Any, flat: bool = False) -> int:
    """The characters of a text, or of the texts of a list (`flat`: how many there are)."""
    if isinstance(value, str):
        return len(value)
    if isinstance(value, (list, tuple)):
        return len(value) if flat else len(value) + sum(len(each) for each in value if isinstance(each, str))
    return 1


def _widths(text: str) -> Iterable[int]:
    """The numbers that stand in a text to be filled in, which may be widths; more than nine digits are a billion."""
    digits = "".join(sign if sign.isdigit() else " " for sign in text)
    return [int(each) if len(each) < 10 else 10**9 for each in digits.split()] or [1]
