"""Shoe sizes: there and back, in ranges, and odd questions."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grader.vocabulary.bodies import Body
from grader.vocabulary.population import POPULATIONS, read_population
from grader.vocabulary.shoe_sizes import FOR_WHOM, foot_length_of, print_size, shoe_scale, shoe_scales
from grader.vocabulary.size_charts import chart_names, read_chart

SCALES = [(scale.system, whom) for scale in shoe_scales() for whom in scale.for_whom]


def test_every_system_is_there_for_everybody() -> None:
    wanted = {(system, whom) for system in ("EU", "UK", "US", "Mondopoint") for whom in FOR_WHOM}
    assert set(SCALES) == wanted
    assert len(SCALES) == len(wanted)


@pytest.mark.parametrize(("system", "whom"), SCALES)
@given(st.data())
def test_a_size_comes_back_from_its_foot(system: str, whom: str, data: st.DataObject) -> None:
    scale = shoe_scale(system, whom)
    size = scale.low + data.draw(st.integers(0, int((scale.high - scale.low) / scale.step))) * scale.step
    assert scale.size(scale.foot_cm(size)) == size
    low, high = foot_length_of(system, size, whom)
    assert 0 < low < high
    assert low <= scale.foot_cm(size) <= high
    assert high - low <= Fraction(7, 3)  # three and a half European sizes, the widest of the ranges


@pytest.mark.parametrize(("system", "whom"), SCALES)
@given(st.fractions(7, 36), st.fractions(7, 36))
def test_a_longer_foot_has_no_smaller_shoe(system: str, whom: str, first: Fraction, second: Fraction) -> None:
    scale = shoe_scale(system, whom)
    short, long = scale.size(min(first, second)), scale.size(max(first, second))
    if short is not None and long is not None:
        assert short <= long
    for foot, size in ((min(first, second), short), (max(first, second), long)):
        if size is not None:
            assert abs(scale.exact_size(foot) - size) <= scale.step / 2


def test_a_system_is_found_in_any_case() -> None:
    assert shoe_scale(" eu ", "men") == shoe_scale("EU", "women")
    assert foot_length_of("mondopoint", Fraction(245), "women") == (Fraction("24.25"), Fraction("24.75"))


def test_too_small_a_foot_has_no_shoe_of_a_scale() -> None:
    assert shoe_scale("UK", "men").size(Fraction(15)) is None
    assert shoe_scale("UK", "child").size(Fraction(25)) is None


@pytest.mark.parametrize(
    ("system", "size", "whom", "said"),
    [
        ("JP", 24, "women", "no shoe sizes 'JP'; there are EU, UK, US, Mondopoint"),
        ("EU", 39, "cats", "shoe sizes are for women, men, child, not 'cats'"),
        ("EU", 399, "women", "EU 399 is no shoe size; women have 30 to 52"),
        ("UK", -1, "men", "UK -1 is no shoe size; men have 0 to 16"),
        ("US", 14, "child", "US 14 is no shoe size; children have 0 to 13½"),
    ],
)
def test_no_such_size(system: str, size: int, whom: str, said: str) -> None:
    with pytest.raises(ValueError, match="shoe size") as told:
        foot_length_of(system, Fraction(size), whom)
    assert str(told.value) == said


@pytest.mark.parametrize(
    ("size", "printed"), [(Fraction(15, 2), "7½"), (Fraction(1, 2), "½"), (Fraction(40), "40"), (Fraction(245), "245")]
)
def test_a_size_in_print(size: Fraction, printed: str) -> None:
    assert print_size(size) == printed


ABOUT_EU = [body for name in chart_names() for body in read_chart(name) if "EU" in body.note]


@pytest.mark.parametrize("body", ABOUT_EU, ids=lambda body: body.note)
def test_the_charts_name_the_shoe_of_their_foot(body: Body) -> None:
    named = [int(each) for each in re.findall(r"\d+", body.note)]
    exact = shoe_scale("EU", "women").exact_size(body.measures["foot_length"])
    assert min(named) - 1 < exact < max(named) + 1


def test_the_populations_that_ship() -> None:
    counts = {name: len(read_population(name).feet) for name in POPULATIONS}
    assert counts == {"women": 1986, "men": 4082, "adults": 6068, "children": 3836, "girls": 1884, "boys": 1952}
    assert read_population("women").has_girth
    assert not read_population("girls").has_girth
    for name in POPULATIONS:
        people = read_population(name)
        has_girth = people.has_girth
        assert "looked up" in people.source
        assert all(90 <= foot.length <= 340 for foot in people.feet)
        assert all((foot.age is None) is has_girth for foot in people.feet)
    with pytest.raises(KeyError, match="women, men, adults, children, girls, boys"):
        read_population("cats")
