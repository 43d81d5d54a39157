"""What the small vocabularies answer beside the published tables: the reach rule, terms, odd questions."""

from __future__ import annotations

import re
import subprocess
import sys
from fractions import Fraction

import pytest

from grader.vocabulary.abbreviations import abbreviation_table
from grader.vocabulary.loop_length import loop_length_cm, relaxation_state
from grader.vocabulary.needles import SETUP_NEEDLES, NeedleNames, needle_names, needle_sizes
from grader.vocabulary.yarn_weights import yarn_weight, yarn_weights

_GAUGE = Fraction(32, 10)
_OPS = [
    "k",
    "p",
    "tbl",
    "sl",
    "kwise",
    "pwise",
    "wyif",
    "wyib",
    "k2tog",
    "ssk",
    "skp",
    "p2tog",
    "ssp",
    "k3tog",
    "sssk",
    "sk2p",
    "cdd",
    "yo",
    "m1",
    "m1L",
    "m1R",
    "m1p",
    "kfb",
    "pfb",
    "kyok",
    "st(s)",
    "rep",
    "pm",
    "sm",
    "rm",
    "w&t",
    "DS",
    "RS",
    "WS",
    "tog",
    "RC",
    "LC",
    "RPC",
    "LPC",
    "cn",
]


def test_setup_needles_have_the_usual_lengths() -> None:
    assert SETUP_NEEDLES.short_circular == 23
    assert SETUP_NEEDLES.long_circular == 80
    assert SETUP_NEEDLES.double_pointed == (Fraction(15), Fraction(20))


def test_the_small_circular_holds_stitches_that_stretch_to_it() -> None:
    """23 cm x 32 sts to 10 cm / 1.7 = 43.3 stitches (an estimate of ours): less than rib was measured to stretch.

    Of 5.7 stitches to the inch, 28 would be stretched to 1.84 times their width: too few.
    """
    assert SETUP_NEEDLES.fewest(_GAUGE) == 44
    assert SETUP_NEEDLES.fewest(Fraction(57, 10) / Fraction(254, 100)) > 28
    assert SETUP_NEEDLES.stretch < Fraction("1.96")


def test_a_longer_circular_needs_more_stitches() -> None:
    """30 cm x 3.2 / 1.7 = 56.5."""
    assert SETUP_NEEDLES.fewest(_GAUGE, Fraction(30)) == 57


def test_a_needle_between_the_sizes_has_millimetres_only() -> None:
    assert needle_names(Fraction("2.1")) == NeedleNames(Fraction("2.1"), "", "")


def test_needle_sizes_rise_and_their_numbers_differ() -> None:
    sizes = needle_sizes()
    assert [each.mm for each in sizes] == sorted(each.mm for each in sizes)
    for numbers in ([each.us for each in sizes if each.us], [each.uk for each in sizes if each.uk]):
        assert len(numbers) > 15
        assert len(set(numbers)) == len(numbers)


def test_yarn_weights_by_name_in_any_case() -> None:
    assert yarn_weight("Super  Fine").number == 1
    assert [each.number for each in yarn_weights()] == list(range(8))
    with pytest.raises(KeyError, match="super fine"):
        yarn_weight("sock string")


@pytest.mark.parametrize("terms", ["UK", "US"])
def test_every_operation_of_the_notation_is_explained(terms: str) -> None:
    table = abbreviation_table(terms)
    assert [op for op in _OPS if not table.get(op)] == []


def test_terms_part_where_the_trade_does() -> None:
    uk, us = abbreviation_table("UK"), abbreviation_table("US")
    assert "cast off" in uk["BO"]
    assert "cast off" not in us["BO"]
    assert "stocking" in uk["St st"]
    assert "stockinette" in us["St st"]
    british = re.compile(r"centre|colour|metre|stocking stitch|cast off")
    assert [meaning for meaning in us.values() if british.search(meaning)] == []
    with pytest.raises(ValueError, match="UK or US"):
        abbreviation_table("FR")


def test_a_table_may_be_changed_by_its_reader() -> None:
    abbreviation_table()["k"] = "kick"
    assert abbreviation_table()["k"] == "knit"


def test_loops_ask_for_a_known_state_and_a_real_gauge() -> None:
    assert loop_length_cm(3.2, 4.4) == loop_length_cm(3.2, 4.4, "wet relaxed")
    with pytest.raises(KeyError, match="dry relaxed, wet relaxed, fully relaxed"):
        relaxation_state("soaking")
    with pytest.raises(ValueError, match="gauge"):
        loop_length_cm(0, 4.4)


def test_start_up_reads_no_data_and_no_yaml() -> None:
    modules = ("abbreviations", "loop_length", "needles", "size_charts", "yarn_weights")
    imports = "".join(f"import grader.vocabulary.{each}\n" for each in modules)
    code = f"import sys\n{imports}print('yaml' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "False\n"
