"""README.md and DEVELOPERS.md tell the truth: what they name exists, and what they show is what comes out."""

from __future__ import annotations

import argparse
import ast
import re
import shlex
import shutil
import tomllib
from functools import cache
from pathlib import Path

import pytest

from grader.cli import arguments
from grader.loading import load_text
from grader.loading.schema import pattern_schema
from grader.pipeline import check

from . import console
from .console import README, blocks, commands
from .source import PACKAGE, ROOT, STAGES, classes, functions, modules, nodes, path_of, ticked, top_names
from .test_habits import VERBS

DEVELOPERS = ROOT / "DEVELOPERS.md"
_WORD = re.compile(r"[A-Za-z_]\w*")
_FLAG = re.compile(r"(?<!\S)--[a-z][a-z-]*")
INSTALL_AND_TEST = "python -m pip install -e '.[test]' && python -m pytest"
INSTALL_AND_PUBLISH = "python -m pip install . && grader publish patterns/ninepenny_bridge.yaml"


@cache
def readme() -> str:
    return README.read_text(encoding="utf-8")


@cache
def developers() -> str:
    return DEVELOPERS.read_text(encoding="utf-8")


# -- DEVELOPERS.md


@cache
def _identifiers() -> frozenset[str]:
    """Every name that the package or its pattern file defines: functions, classes, fields, constants, keys."""
    names: set[str] = set()
    for tree in modules().values():
        names |= top_names(tree) | {each.name for each in functions(tree)}
        for each in classes(tree):
            fields = (node.target for node in each.body if isinstance(node, ast.AnnAssign))
            names |= {field.id for field in fields if isinstance(field, ast.Name)}
    return frozenset(names)


@cache
def _strings() -> frozenset[str]:
    """Every text that stands in the code as a whole, such as the fields of the record and the words of the steps."""
    return frozenset(
        node.value
        for tree in modules().values()
        for node in nodes(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


@cache
def _keys_of_data() -> frozenset[str]:
    """Keys of the data files and of the pattern file."""
    found: set[str] = set()
    for path in (PACKAGE / "data").rglob("*.yaml"):
        found |= set(re.findall(r"^\s*(\w+):", path.read_text(encoding="utf-8"), re.MULTILINE))

    def walk(part: object) -> None:
        if isinstance(part, dict):
            found.update(part.get("properties", {}))
            for value in part.values():
                walk(value)
        elif isinstance(part, list):
            for value in part:
                walk(value)

    walk(pattern_schema())
    return frozenset(found)


@cache
def _dependencies() -> frozenset[str]:
    with (ROOT / "pyproject.toml").open("rb") as file:
        project = tomllib.load(file)["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    return frozenset(re.split(r"[<>=]", each)[0].lower() for each in wanted)


def _exists(word: str) -> bool:
    """True if what stands in backticks is a path, a command that runs, a dependency or a name of the code."""
    if word == "backticks":
        return True
    if " " in word:
        return _runs(word)
    if (ROOT / word).exists():
        return True
    if "/" in word:
        return False
    return word in _identifiers() or word in _strings() or word in _keys_of_data() or word.lower() in _dependencies()


def _runs(command: str) -> bool:
    words = shlex.split(command)
    if words[0] == "grader":
        return _accepted(words[1:])
    if words[:2] != ["python", "-m"]:
        return False
    return words[2] == "pytest" or path_of(words[2]).is_file()


def _accepted(words: list[str]) -> bool:
    try:
        arguments.parser().parse_args(words)
    except arguments.UsageError:
        return False
    return True


def test_everything_named_in_developers_exists() -> None:
    words = ticked(developers())
    assert len(words) > 150
    assert sorted({word for word in words if not _exists(word)}) == []


@pytest.mark.parametrize(
    "word",
    [
        "grader/nowhere.py",
        "no_such_name",
        "tests/nowhere",
        "python -m tests.nowhere",
        "grader check --colour",
        "Heel99",
    ],
)
def test_what_does_not_exist_is_noticed(word: str) -> None:
    assert not _exists(word)


def test_every_stage_and_its_verbs_stand_in_the_map() -> None:
    rows = [line for line in developers().splitlines() if line.startswith("| `grader/")]
    told = {ticked(row)[0].removeprefix("grader/").removesuffix(".py"): ticked(row) for row in rows}
    for stage in STAGES:
        assert stage in told, f"{stage} is not in the map of the stages"
        assert VERBS[stage] & set(told[stage]), f"the verb of {stage} is not told"


def test_every_dependency_says_why_it_is_there() -> None:
    section = developers().split("## Dependencies")[1].split("\n## ")[0]
    told = {word.lower() for word in ticked(section)}
    assert {each for each in _dependencies() if not each.startswith("types-")} <= told


def test_every_package_of_tests_is_told() -> None:
    there = {path.name for path in (ROOT / "tests").iterdir() if path.is_dir() and any(path.glob("*.py"))}
    there -= {path.stem for path in PACKAGE.iterdir()}  # named after the part of the package it tests
    told = {word.removeprefix("tests/").split("/")[0] for word in ticked(developers()) if word.startswith("tests/")}
    assert there <= told


# -- README.md


def test_the_two_commands_stand_there_and_the_clean_checkout_runs_the_second() -> None:
    assert f"```sh\n{INSTALL_AND_PUBLISH}\n```" in readme()
    assert f"```sh\n{INSTALL_AND_TEST}\n```" in readme()
    assert (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()[-1] == INSTALL_AND_TEST


def _actions() -> dict[str, dict[str, argparse.Action]]:
    """Command -> option -> what it does."""
    top = arguments.parser()
    commands_of = next(each for each in top._actions if isinstance(each, argparse._SubParsersAction))
    return {
        name: {option: action for action in command._actions for option in action.option_strings}
        for name, command in commands_of.choices.items()
    }


def _grader_lines(text: str) -> list[list[str]]:
    """The words after `grader` of every command that README.md shows in a block or in backticks."""
    shown = [command for block in blocks(text) for command in commands(block)]
    shown += [word for word in ticked(text) if word.startswith("grader ") and "COMMAND" not in word]
    return [words for command in shown for words in console.calls(command)]


def test_the_commands_of_the_readme_are_accepted() -> None:
    lines = _grader_lines(readme())
    assert len(lines) > 12
    bare = [[name] for name in _actions()]  # "grader new" as a name for the command
    assert [line for line in lines if line not in bare and not _accepted(line)] == []


def test_every_command_and_every_option_is_told() -> None:
    text = readme()
    sections = {match[1]: match[0] for match in re.finditer(r"^### ([a-z-]+):.*?(?=^##)", text, re.M | re.S)}
    for name, options in _actions().items():
        assert name in sections, f"{name} has no section"
        missing = {option for option in options if option.startswith("--") and option != "--help"}
        missing -= set(_FLAG.findall(sections[name].replace("`", " ").replace(",", " ")))
        assert missing == set(), f"{name}: {missing} is not told"


def test_no_option_is_told_that_does_not_exist() -> None:
    known = {option for options in _actions().values() for option in options}
    known |= {option for action in arguments.parser()._actions for option in action.option_strings}
    for word in ticked(readme()):
        for flag in _FLAG.findall(word):
            assert flag in known, word


def test_the_questions_of_a_one_off_stand_in_the_readme() -> None:
    asked = [each for each in _strings() if each.endswith(")") and "such as" in each and each[0].isupper()]
    assert len(asked) >= 3
    assert [question for question in asked if f"{question}:" not in readme()] == []


def test_every_key_of_the_pattern_file_is_told() -> None:
    shown = [*ticked(readme()), *re.findall(r"^```yaml\n(.*?)^```$", readme(), re.M | re.S)]
    assert _keys_of_pattern() - set(_WORD.findall(" ".join(shown))) == set()


def _keys_of_pattern() -> set[str]:
    keys: set[str] = set()
    described = pattern_schema()
    for form in (described, *described["$defs"].values()):
        keys |= set(form.get("properties", {}))
    return keys


def test_the_whole_pattern_of_the_readme_knits_up() -> None:
    wholes = [block for block in re.findall(r"^```yaml\n(.*?)^```$", readme(), re.M | re.S) if "title:" in block]
    assert len(wholes) == 1
    pattern, findings = load_text(wholes[0], "README.md")
    assert findings == []
    assert pattern is not None
    checked = check(pattern)
    assert checked.findings == ()
    assert len(checked.socks) == 12


def test_the_sizes_and_the_words_for_one_setup_of_the_readme_fit_into_the_pattern_that_ships() -> None:
    examples = [block for block in re.findall(r"^```yaml\n(.*?)^```$", readme(), re.M | re.S) if "title:" not in block]
    sizes = next(block for block in examples if block.startswith("sizes:"))
    words = next(block for block in examples if "setups:" in block)
    text = (ROOT / "patterns" / "ninepenny_bridge.yaml").read_text(encoding="utf-8")
    text = text.split("# The designer's own samples")[0]  # they are of sizes that are replaced here
    text = re.sub(r"^sizes: .*\n", lambda _: sizes, text, flags=re.M)
    text, changed = re.subn(r"^      - cast_on:.*\n.*\n.*\n", lambda _: words, text, flags=re.M)
    assert changed == 1
    pattern, findings = load_text(text, "README.md")
    assert findings == []
    assert pattern is not None
    checked = check(pattern)
    assert checked.is_sound, checked.findings
    assert [size.body.name for size in checked.sizes] == ["Ada", "Bo"]
    said = {sock.instructions.setup: sock.instructions.sections[0].blocks[0].say for sock in checked.socks}
    assert "Slide half" in said["long circular (magic loop)"]
    assert "knit stitch" in said["double-pointed, set of 4"]
    assert "Slide half" not in said["short circular"]


CONSOLE = console.groups(blocks(readme()))


@pytest.mark.skipif(shutil.which("sh") is None, reason="needs a shell")
@pytest.mark.parametrize("group", CONSOLE, ids=[commands(group[0])[0][:40] for group in CONSOLE])
def test_the_console_blocks_of_the_readme_say_what_comes_out(group: list[str], tmp_path: Path) -> None:
    console.checkout(tmp_path)
    for block in group:
        assert console.run(block, tmp_path) == block, "python -m tests.architecture.console writes README.md anew"


def test_every_console_block_is_run() -> None:
    assert sorted(block for group in CONSOLE for block in group) == sorted(blocks(readme()))
    assert len(CONSOLE) > 15


def test_the_links_between_the_documents_hold() -> None:
    for text in (readme(), developers()):
        for name in re.findall(r"\b[A-Z]{4,}(?:\.md)?\b", text):
            if name.endswith(".md") or name == "LICENSE":
                assert (ROOT / name).is_file(), name


def test_the_changelog_tells_the_version_of_the_package() -> None:
    with (ROOT / "pyproject.toml").open("rb") as file:
        version = tomllib.load(file)["project"]["version"]
    assert re.search(rf"^## {re.escape(version)}\b", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), re.M)
