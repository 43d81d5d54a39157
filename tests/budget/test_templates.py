"""Templates that would never end or fill the memory: each is a mistake with its file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from grader.vocabulary.budget import raised
from grader.write_up import TemplateMistake, write_up
from tests.pages import samples

from .guarded import at_once

HUGE = "this comes to more than 6000000 characters in one document"
STEPS = "this comes to 50001 steps of a template: passes of its loops, uses of its macros, and 50000 are the most"
ENDLESS = "this is nested too deeply, or uses itself without end"
GROWING = "{% set all = namespace(x='aaaaaaaa') %}{% for one in range(60) %}\n{% set all.x = ## %}{% endfor %}"


def mistake(folder: Path, template: str | bytes) -> TemplateMistake:
    data = template if isinstance(template, bytes) else template.encode()
    (folder / "pattern.md.j2").write_bytes(data)
    with pytest.raises(TemplateMistake) as caught, at_once():
        write_up(samples.one_size(), folder=folder)
    assert caught.value.file.endswith("pattern.md.j2")
    return caught.value


@pytest.mark.parametrize(
    ("template", "line", "message"),
    [
        (
            '\n{{ "a" * 2000000000 }}',
            2,
            "this comes to 2000000000 characters in one document",
        ),
        ("{{ boxes(100000000) }}", 1, HUGE),
        ("{% for one in range(100000000) %}{% endfor %}", 1, HUGE),
        ("{% for a in range(9999) %}\n{% for b in range(9999) %}{% endfor %}{% endfor %}", 2, STEPS),
        ("{% for a in range(9999) %}{% for b in range(3) %}" + "x" * 999 + "{% endfor %}{% endfor %}", 1, "characters"),
        (GROWING.replace("##", "all.x ~ all.x"), 2, "characters in one document"),
        (GROWING.replace("##", "all.x + all.x"), 2, "characters in one document"),
        (GROWING.replace("'aaaaaaaa'", "[1]").replace("##", "all.x + all.x"), 2, "characters in one document"),
        (GROWING.replace("'aaaaaaaa'", "9").replace("##", "all.x * all.x"), 2, "digits in a fraction"),
        ("{{ 9 ** (9 ** 9) }}", 1, "this comes to more than 300 digits in a fraction"),
        ("{{ '%1000000000d' % 1 }}", 1, HUGE),
        ("{{ '{:>1000000000}'.format(1) }}", 1, HUGE),
        ("{{ '%1000000000d' | format(1) }}", 1, HUGE),
        ("{{ 'a' | center(1000000000) }}", 1, HUGE),
        ("{{ 'a'.ljust(1000000000) }}", 1, HUGE),
        ("{{ ('a' * 400000).replace('a', 'b' * 4000) }}", 1, HUGE),
        ("{{ ('a' * 400000) | replace('a', 'b' * 4000) }}", 1, HUGE),
        ("{{ range(9999) | map('string') | join('a' * 9999) }}", 1, "characters in one document"),
        ("{{ 'a'.expandtabs(10) }}", 1, "a template has no expandtabs"),
        ("{% macro f() %}{{ f() }}{{ f() }}{% endmacro %}{{ f() }}", 1, ENDLESS),
        ("{% macro f(n) %}{% if n %}{{ f(n - 1) }}{{ f(n - 1) }}{% endif %}{% endmacro %}{{ f(40) }}", 1, STEPS),
        ("{% for one in [1, 2] recursive %}{{ loop([1, 2]) }}{% endfor %}", 1, ENDLESS),
        ("{% include 'pattern.md.j2' %}", 1, ENDLESS),
        ("{{ " + "(" * 3000 + "1" + ")" * 3000 + " }}", 0, ENDLESS),
        ("{% if 1 %}" * 200 + "{% endif %}" * 200, 0, "too many levels of indentation"),
        ("x" * (1 << 20) + "x", 1, "this template has more than 1048576 characters"),
        (b"\xff\xfe\xe9", 0, "this template is not in UTF-8"),
        ("{{ [1, 2] | random }}", 1, "No filter named 'random'."),
    ],
)
def test_a_template_that_asks_for_too_much(tmp_path: Path, template: str | bytes, line: int, message: str) -> None:
    found = mistake(tmp_path, template)
    assert message in found.message
    assert found.line == line


def test_what_a_template_makes_of_few_things_stays_as_it_was(tmp_path: Path) -> None:
    text = "{% set x = 'a' ~ 2 ~ [1] %}{{ x }}{{ 'ab' * 3 }}{{ 2 ** 5 }}{{ '%03d' % 7 }}{{ 'a-b'.replace('-', '+') }}"
    (tmp_path / "pattern.md.j2").write_text(text + "{{ ['a', 'b'] | join(', ') }}{{ 1 + 2 }}{{ 'a' + 'b' }}")
    assert write_up(samples.one_size(), folder=tmp_path) == "a2[1]ababab32007a+ba, b3ab\n"


def test_the_steps_of_a_template_can_be_raised(tmp_path: Path) -> None:
    (tmp_path / "pattern.md.j2").write_text(
        "{% for a in range(300) %}{% for b in range(200) %}{% endfor %}{% endfor %}x"
    )
    with raised({"steps": 100_000}):
        assert write_up(samples.one_size(), folder=tmp_path) == "x\n"
