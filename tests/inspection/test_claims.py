"""What a sentence states is held against what was knitted where it stands: each kind once right, and once wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grader.loading import load_text
from grader.models.record import WorkedClaim
from grader.pipeline import Checked, Wanted, check
from grader.vocabulary.size_charts import read_chart
from grader.vocabulary.statements import KINDS, kind_named
from tests.shipped import PATHS

_BRIDGE = next(path for path in PATHS if path.stem == "ninepenny_bridge").read_text(encoding="utf-8")
_WHERE = {
    "cuff": "why: Rib stretches",
    "cast on": "say: Use a stretchy cast-on",
    "leg": "check: From the cast-on",
    "flap": "check: Along each edge of the flap",
    "turn": "check: The stitches waiting",
    "pick up": "why: A hole likes",
    "gusset": "check: The count is back",
    "foot": "check: Measured from the back",
    "toe": "say: Now decrease",
    "graft": "check: The toe is closed",
}
_RIGHT = (
    ("cuff", "cast_on", "sts"),
    ("cuff", "cuff_rounds", "rounds of the section"),
    ("cast on", "cast_on", "sts"),
    ("cast on", "heel", "sts of the heel"),
    ("cast on", "tail", "tail"),
    ("leg", "leg_plain", "of the section"),
    ("leg", "leg_length", "from the top edge"),
    ("leg", "leg_length", "from the heel"),
    ("leg", "leg_length", "finished leg length"),
    ("leg", "cast_on / gauge.stitches", "around"),
    ("flap", "heel", "sts of the heel"),
    ("flap", "cast_on", "sts"),
    ("flap", "heel_rows", "rows"),
    ("flap", "heel_rows / 2", "times"),
    ("flap", "heel_rows", "rows of the section"),
    ("turn", "heel_left", "sts of the heel"),
    ("turn", "heel_rows / 2", "chains"),
    ("turn", "(heel - heel_left - 2) / 1 st * 1 row", "rows"),
    ("turn", "(heel - heel_left) / 1 st * 1 row", "rows so far"),
    ("pick up", "pick_up", "sts along each edge"),
    ("pick up", "heel_left + instep", "sts"),
    ("gusset", "gusset_decreases", "times"),
    ("gusset", "gusset_rounds", "rounds"),
    ("gusset", "gusset_rounds", "rounds so far"),
    ("gusset", "4", "divisor"),
    ("gusset", "instep", "sts of the instep"),
    ("foot", "sock_length", "finished foot length"),
    ("foot", "toe_start", "from the back of the heel"),
    ("toe", "toe_half", "sts"),
    ("toe", "toe_fast", "rounds"),
    ("toe", "2 * toe_slow", "rounds so far"),
    ("toe", "toe_rounds", "rounds of the section"),
    ("graft", "graft_tail", "tail"),
    ("graft", "cast_on - cast_on", "sts"),
)
_ELSEWHERE = {"sts without a wrap", "sts between the double sts", "from the tip of the toe", "from the cast-on"}


def _checked(*sentences: tuple[str, str, str]) -> Checked:
    """The bridge in two sizes and one setup with these numbers in its sentences, each in one of its own."""
    text = _BRIDGE.partition("\nsample:")[0]
    for where, formula, kind in sentences:
        end = text.index("\n", text.index(_WHERE[where]))
        text = f"{text[:end]} Here {{{formula}, {kind}}} {kind}.{text[end:]}"
    pattern, findings = load_text(text, "bridge.yaml", read_chart)
    assert pattern is not None, findings
    assert findings == []
    bodies = tuple(body for body in pattern.bodies if body.name in ("3", "8"))
    return check(replace(pattern, bodies=bodies), Wanted(("double-pointed, set of 5",)))


def _claims(checked: Checked) -> tuple[WorkedClaim, ...]:
    return checked.socks[-1].record.claims


def test_what_is_right_is_passed() -> None:
    checked = _checked(*_RIGHT)
    assert [each for each in checked.findings if each.is_error] == []
    kinds = {each.claim.kind for each in _claims(checked)}
    assert len(_claims(checked)) == len(_RIGHT) + 6
    assert kinds | _ELSEWHERE | {"rounds from the cast-on"} == {each.name for each in KINDS}


def test_what_is_wrong_is_found_at_its_place() -> None:
    other = {"tail": "graft_tail", "graft_tail": "tail"}
    wrong = [(where, other.get(formula, f"({formula}) + 1"), kind) for where, formula, kind in _RIGHT]
    checked = _checked(*wrong)
    found = {each.span: each for each in checked.findings if each.code == "statement"}
    passed = [each for each in _claims(checked) if each.claim.span not in found]
    assert len(found) == len(_RIGHT)
    assert len(passed) == 6, [(each.claim.kind, each.section) for each in passed]


@pytest.mark.parametrize(
    ("where", "formula", "kind", "message"),
    [
        (
            "leg",
            "leg_length * 3",
            "from the cast-on",
            "the check says 51 cm from the cast-on, and the work gives 17.0 cm",
        ),
        ("flap", "heel_rows * 2", "chains", "the check says 64 chains, and the work gives 16"),
        (
            "flap",
            "heel",
            "sts of the sole",
            "the check says 32 sts of the sole, and no stitches are known as the sole there",
        ),
        ("turn", "cast_on", "sts without a wrap", "the check says 64 sts without a wrap, and the work gives 18"),
        ("turn", "7", "divisor", "the check says that the stitches divide by 7, and there are 50 sts after this step"),
        ("leg", "16", "chains", "the check says 16 chains, and nothing is worked to and fro there"),
        ("graft", "tail", "tail", "the check says a tail of 80 cm, and the work asks for 20 to 38 cm"),
        ("pick up", "sole", "sts", "the words say 52 sts, and the work gives 50"),
    ],
)
def test_a_finding_says_what_is_stated_and_what_the_work_gives(
    where: str, formula: str, kind: str, message: str
) -> None:
    checked = _checked((where, formula, kind))
    found = next(each for each in checked.findings if each.code == "statement" and "8" in each.sizes)
    assert found.message == message
    assert found.expected == (message.rpartition(" gives ")[2] if " gives " in message else found.expected)
    assert found.found in message
    assert found.setups == ("double-pointed, set of 5",)
    line = _BRIDGE.count("\n", 0, _BRIDGE.index(_WHERE[where])) + 1
    assert (found.span.file, found.span.line) == ("bridge.yaml", line)
    assert kind_named(kind)
