"""Every construction in every setup: it knits up, and each printed line reads back to itself in both terms."""

from __future__ import annotations

import pytest

from grader.notation import print_statement, read_line

from .socks import CONSTRUCTIONS, SETUPS, checked, errors, lines_of


@pytest.mark.parametrize("name", CONSTRUCTIONS)
def test_it_knits_up_in_every_setup(name: str) -> None:
    socks = checked(CONSTRUCTIONS[name])
    assert errors(socks.findings) == []
    assert [sock.instructions.setup for sock in socks.socks] == [*SETUPS, *SETUPS]
    for sock in socks.socks:
        assert all(record.complete and not record.left_on_needles for record in sock.records)


@pytest.mark.parametrize("terms", ["UK", "US"])
@pytest.mark.parametrize("name", CONSTRUCTIONS)
def test_its_lines_read_back_and_print_the_same(name: str, terms: str) -> None:
    seen: set[str] = set()
    for sock in checked(CONSTRUCTIONS[name], terms=terms).socks:
        seen.update(lines_of(sock.instructions))
    assert len(seen) > 30
    assert [text for text in sorted(seen) if print_statement(read_line(text), terms) != text] == []
