"""A foot from a shoe size alone, against published tables of shoes and of socks: how far off on the average, and why.

What a whole sock is shorter than a published one has two parts: the foot that a size is taken for, and the ease of the
pattern. Each is held against what was published of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from statistics import mean

import pytest

from grader.cli.person import shoe_length
from grader.vocabulary.shoe_sizes import foot_length_of, shoe_scale, shoe_scales, usual_foot_of

from .published import Row, published
from .test_people import Told, _of_conversion, _of_device, _of_length

_LARGEST_CHILD, _LARGEST = 35, 60  # European; the tables of socks name no wearer
_EASE = Fraction(-4, 100)  # of the patterns that ship, along the foot


def middle_of(row: Row) -> Fraction:
    """38.5 for a pair of sizes such as 38/39."""
    return Fraction(sum(int(each) for each in row["eu_size"].split("/")), 2)


def sock_of(row: Row) -> Fraction:
    """The whole foot of the published sock in cm."""
    whole = row["foot_cm"] if "foot_cm" in row else row["to_toe_cm"] + row["toe_cm"]
    return Fraction(str(whole))


def taken_for(row: Row) -> Fraction:
    """The foot in cm that `one-off --shoe` takes for both sizes of a pair, on the average."""
    return mean(shoe_length(f"EU {size}")[0][1] for size in row["eu_size"].split("/"))


def test_the_foot_of_a_shoe_size_is_that_of_a_published_table_of_socks() -> None:
    """Table 1 of a Russian craft magazine, fine sock yarn: its socks, and feet by shoe size, within half a centimetre.

    By the formula alone the feet were 1.0 cm shorter.
    """
    rows = published("flap_socks")
    off = mean(sock_of(row) - taken_for(row) for row in rows)
    assert 0 < off < Fraction(1, 2)
    by_formula = mean(sock_of(row) - shoe_scale("EU", "women").foot_cm(middle_of(row)) for row in rows)
    assert by_formula == 1


def test_of_another_table_of_socks_too() -> None:
    rows = published("sock_feet_to_the_toe")
    assert abs(mean(sock_of(row) - taken_for(row) for row in rows)) < Fraction(1, 2)


def test_what_is_left_between_our_sock_and_the_published_one_is_the_ease() -> None:
    """The table takes nothing off along the foot: it has two thirds of the smaller size, which is the last itself.

    Who measures feet does: 1 cm (a designer), half an inch (a tutorial), a quarter (a fitted sock, 2008). Between 2.6
    and 5 %, ours is 4 %, and makes 0.8 cm of the 1.2 cm by which our sock is shorter; by the formula's feet it was 1.8.
    """
    rows = published("flap_socks")
    for row in rows:
        smaller = Fraction(row["eu_size"].split("/")[0])
        assert abs(sock_of(row) - smaller * 2 / 3) < Fraction(2, 5), row
    ours = mean(sock_of(row) - taken_for(row) * (1 + _EASE) for row in rows)
    foot = mean(sock_of(row) - taken_for(row) for row in rows)
    assert float(ours - foot) == pytest.approx(0.81, abs=0.05)
    assert float(ours) == pytest.approx(1.17, abs=0.05)
    assert Fraction(-5, 100) < _EASE < Fraction(-26, 1000)


def beyond(told: Sequence[Told], system: str, whom: str) -> float:
    """By how many sizes feet lie above the formula, on the average."""
    scale = shoe_scale(system, whom)
    own = [(size, foot) for each, wearer, size, foot in told if (each, wearer) == (system, whom)]
    return mean(float(scale.exact_size(foot) - size) for size, foot in own)


def by_source() -> list[list[Told]]:
    """The tables of shoes, each by itself."""
    tables = (("shoe_conversions", _of_conversion), ("shoe_lengths", _of_length), ("shoe_device", _of_device))
    return [[each for row in published(name) for each in read(row)] for name, read in tables]


def of_socks(below: int) -> list[float]:
    """By how many European sizes each table of socks lies above the formula, if its socks are as long as the foot."""
    scale = shoe_scale("EU", "women")
    names = ("flap_socks", "sock_feet_to_the_toe")
    tables = [[row for row in published(name) if middle_of(row) < below] for name in names]
    return [mean(float(scale.exact_size(sock_of(row)) - middle_of(row)) for row in rows) for rows in tables]


def readings() -> list[float]:
    """The same by those that say how much longer than the foot the last is; the formula has 2.25 size points."""
    return [2.25 - row["points"] for row in published("shoe_readings")]


def to_quarter(amount: float) -> Fraction:
    return Fraction(round(amount * 4), 4)


def test_the_middle_of_european_sizes_is_that_of_all_that_was_published() -> None:
    conversions, lengths, _ = by_source()
    grown = [beyond(conversions, "EU", "women"), beyond(lengths, "EU", "men"), *readings(), *of_socks(_LARGEST)]
    assert to_quarter(mean(grown)) == shoe_scale("EU", "women").middle
    scale = shoe_scale("EU", "child")
    (guide,) = (float(scale.exact_size(Fraction(row["foot_mm"], 10)) - row["eu"]) for row in published("shoe_smallest"))
    small = [guide, *readings(), *of_socks(_LARGEST_CHILD)]
    assert to_quarter(mean(small)) == scale.middle


@pytest.mark.parametrize(("system", "whom"), [("UK", "women"), ("US", "women"), ("US", "men"), ("US", "child")])
def test_the_middle_of_british_and_american_sizes_is_that_of_the_tables(system: str, whom: str) -> None:
    found = [beyond(told, system, whom) for told in by_source() if any(each[:2] == (system, whom) for each in told)]
    assert abs(float(shoe_scale(system, whom).middle) - mean(found)) <= 0.125


def test_the_usual_foot_lies_within_the_range_and_grows_with_the_size() -> None:
    for scale in shoe_scales():
        for whom in scale.for_whom:
            sizes = [scale.low + place * scale.step for place in range(int((scale.high - scale.low) / scale.step) + 1)]
            feet = [usual_foot_of(scale.system, size, whom) for size in sizes]
            assert feet == sorted(feet)
            for size, foot in zip(sizes, feet, strict=True):
                low, high = foot_length_of(scale.system, size, whom)
                assert low <= foot <= high
