"""What the test-knit finds: each kind of mistake once, in the smallest sock that has it."""

from __future__ import annotations

import pytest
from strategies import codes, knitted_by_hand

CAST_ON = "cast_on | Cast on 8 sts: 4 and 4 sts on needles 1 and 2. Join in the round | heel 4, instep 4"
ROUND = "cast_on | Cast on 8 sts. Join in the round, pm for start of round | heel 4, instep 4"
REST = "rest | Leave the last 4 sts of the round on hold for the instep; the heel is worked on the first 4"
FLAP = f"""
    = Flap
    {CAST_ON}
    {REST}
    row RS over:heel in:flap x:2 | *Sl1, K1; rep from * to end
    + row WS over:heel in:flap | Sl1, P to end
"""
PICKED = (
    "pick_up | Needle 1: K4, pick up and knit 3 sts along the left edge of the heel flap."
    " Needle 2: K4. Needle 1: pick up and knit 3 sts along the right edge of the heel flap"
)
LOOP = "long circular (magic loop)"

SOUND = {
    "a tube": f"= Leg\n{CAST_ON}\nround x:3 | K\nbind_off | Cast off all sts",
    "a tube with a marker": f"= Leg\n{ROUND}\nround | K4, pm, K4, sm\nround | *K to marker, sm; rep from * once more\n"
    "bind_off | Cast off all sts",
    "a gathered end": f"= Leg\n{CAST_ON}\nround | K\ngather | Draw the yarn through the remaining 8 sts and fasten it",
    "a grafted end": f"= Leg\n{CAST_ON}\nround | K\ngraft | Graft 4 sts to 4 sts",
    "a flap": f"{FLAP}\n{PICKED}\npart_round | K7 to the start of the instep\nround | K\nbind_off | Cast off all sts",
    "a turn closed by decreases": """
        = Turn
        cast_on | Cast on 12 sts: 8 and 4 sts on needles 1 and 2. Join in the round | heel 8, instep 4
        rest | Leave the last 4 sts of the round on hold for the instep; the heel is worked on the first 8
        row RS over:heel | Sl1, K4, ssk, turn
        row WS over:heel | Sl1, P2, p2tog, turn
        row RS over:heel | Sl1, K to 1 st before gap, ssk, turn
        row WS over:heel | Sl1, P to 1 st before gap, p2tog, turn
        rejoin | Take the 4 instep sts back into the work
        round | K
        bind_off | Cast off all sts
    """,
    "a short-row heel, wrapped": f"""
        = Heel
        {CAST_ON}
        {REST}
        row RS over:heel | K to last st, w&t
        row WS over:heel | P to last st, w&t
        row RS over:heel | K to wrapped st, K1
        row WS over:heel | P
        rejoin | Take the 4 instep sts back into the work
        round | K
        bind_off | Cast off all sts
    """,
    "a short-row heel with double stitches": f"""
        = Heel
        {CAST_ON}
        {REST}
        row RS over:heel | K3, turn
        row WS over:heel | DS, P1, turn
        row RS over:heel | DS, K to DS, K2
        row WS over:heel | P
        rejoin | Take the 4 instep sts back into the work
        round | K
        bind_off | Cast off all sts
    """,
}


@pytest.mark.parametrize("name", SOUND)
def test_a_sound_sock_has_no_finding(name: str) -> None:
    """Tubes, flaps, turned heels and short-row heels that are right are worked to the last stitch."""
    record, findings = knitted_by_hand(SOUND[name], LOOP)
    assert findings == []
    assert record.left_on_needles == 0


WRONG = {
    "misfit": (f"= Leg\n{CAST_ON}\nround | K9", "k needs 9 sts where 8 are left"),
    "misfit, before a marker": (
        f"= Leg\n{ROUND}\nround | K4, pm, K4, sm\nround | K to 5 sts before marker, K5, sm, K to end, sm",
        "5 sts",
    ),
    "misfit, part of a round": (f"= Leg\n{CAST_ON}\npart_round | K2, k2tog", "shape in whole rounds"),
    "unworked": (f"= Leg\n{CAST_ON}\nround | K7", "leaves 1 st unworked"),
    "unread": (f"= Leg\n{CAST_ON}\nround | frobnicate", "unknown abbreviation"),
    "unread, other words": (f"= Leg\n{CAST_ON}\nround | Knit to end", "understood as 'K'"),
    "turn": (f"= Heel\n{CAST_ON}\n{REST}\nrow RS over:heel | K2, turn, K2", "after the turn"),
    "uneven-repeat": (f"= Leg\n{CAST_ON}\nround | *K3, P2; rep from * to end", "leaves 3 sts over"),
    "uneven-repeat, before the end": (
        f"= Leg\n{CAST_ON}\nround | *K2, P2; rep from * to last 3 sts, K3",
        "leaves 1 sts",
    ),
    "straddle, two needles": (f"= Leg\n{CAST_ON}\nround | K3, k2tog, K3", "the join of two needles"),
    "straddle, a marker": (f"= Leg\n{ROUND}\nround | K4, pm, K4, sm\nround | K3, k2tog, K3", "across a marker"),
    "straddle, a cable": (f"= Leg\n{CAST_ON}\nround | K2, 2/2 LC, K2", "the join of two needles"),
    "straddle, a repeat": (
        "= Leg\ncast_on | Cast on 8 sts: 3 and 5 sts on needles 1 and 2. Join in the round | heel 4, instep 4\n"
        "round | *K2, P2; rep from * to end",
        "across the join",
    ),
    "marker": (f"= Leg\n{ROUND}\nround | K4, sm, K4", "no marker here"),
    "marker, none ahead": (f"= Leg\n{CAST_ON}\nround | K to marker, K4", "no marker ahead"),
    "marker, none for the start": (
        FLAP.replace(CAST_ON, ROUND) + "pick_up | K4, pick up and knit 3 sts along the left edge of the heel flap, K4,"
        " pick up and knit 3 sts along the right edge of the heel flap",
        "places no marker for the start",
    ),
    "marker, in the middle of the round": (f"= Leg\n{ROUND}\npart_round | K2\nround | K", "not begin at the marker"),
    "needles": (f"= Leg\n{CAST_ON}\nround | Needle 1: K", "needle 2 is not worked"),
    "needles, one too many": (f"= Leg\n{CAST_ON}\nround | Needles 1 to 3: K", "no needle 3"),
    "needles, twice": (f"= Leg\n{CAST_ON}\nround | Needle 1: K. Needles 1 and 2: K", "worked twice"),
    "needles, on a circular": (f"= Leg\n{ROUND}\nround | Needle 1: K. Needle 2: K", "one circular needle"),
    "needles, cast on": (
        "= Leg\ncast_on | Cast on 8 sts: 4 and 5 sts on needles 1 and 2. Join in the round | leg 8",
        "9 on",
    ),
    "needles, arranged": (f"= Leg\n{CAST_ON}\narrange | Rearrange the sts: 4 and 3 sts on needles 1 and 2", "7 sts"),
    "needles, none on one": (
        f"= Leg\n{CAST_ON}\narrange | Rearrange the sts: 8 and 0 sts on needles 1 and 2",
        "no stitches",
    ),
    "idle": (f"= Leg\n{CAST_ON}\narrange | Rearrange the sts: 4 sts on each of 2 needles", "moves no stitch"),
    "cast_on": ("= Leg\ncast_on | Cast on 8 sts | leg 8", "not joined"),
    "cast_on, twice": (f"= Leg\n{CAST_ON}\n{CAST_ON}", "on the needles already"),
    "count": (f"= Leg\n{CAST_ON}\nround said:9 | K\nbind_off | Cast off all sts", "the page says 9 sts"),
    "count, in the line": (f"= Leg\n{CAST_ON}\nround | K (7 sts)", "the line says 7 sts"),
    "rest": (f"= Heel\n{CAST_ON}\n{REST.replace('last 4', 'last 5')}", "are not"),
    "over": (f"= Heel\n{CAST_ON}\nrow RS over:thumb | K", "the yarn is not at the thumb"),
    "over, somewhere else": (f"= Heel\n{CAST_ON}\nrow RS over:instep | K", "the yarn is not at the instep"),
    "side": (f"= Heel\n{CAST_ON}\n{REST}\nrow RS over:heel | K\nrow RS over:heel | K", "the next is a WS row"),
    "slipped": (f"= Heel\n{CAST_ON}\n{REST}\nrow RS over:heel | Sl4", "no yarn is worked"),
    "gap": (
        f"= Heel\n{CAST_ON}\n{REST}\nrow RS over:heel | K3, turn\nrow WS over:heel | P\nrow RS over:heel | K",
        "goes past a gap",
    ),
    "gap, left open": (f"{FLAP}\nrow RS over:heel | K3, turn\nrow WS over:heel | P\n{PICKED}", "still open"),
    "gap, none ahead": (f"= Heel\n{CAST_ON}\n{REST}\nrow RS over:heel | K to gap, K1", "no gap ahead"),
    "piece": (f"{FLAP}\nround | K", "its edges have not been picked up"),
    "edge": (f"= Leg\n{CAST_ON}\n{PICKED}", "no edge to pick up from"),
    "edge, not so many": (f"{FLAP}\n{PICKED.replace('knit 3', 'knit 4')}", "which offers 3"),
    "edge, chains unused": (f"{FLAP}\n{PICKED.replace('3 sts', '1 st')}", "leave 1 of its 2 chains unused"),
    "edge, unequal": (
        f"{FLAP}\n{PICKED.replace('3 sts along the left', '2 sts along the left')}",
        "not picked up alike",
    ),
    "edge, left before the heel": (f"{FLAP}\n{PICKED.replace('K4, pick', 'K3, pick')}", "left edge comes after"),
    "edge, right before the end": (
        f"{FLAP}\n{PICKED.replace('Needle 2: K4', 'Needle 2: K3')}",
        "right edge comes after",
    ),
    "edge, rejoined": (f"{FLAP}\nrejoin | Take the 4 instep sts back into the work", "nothing is picked up"),
    "regions, after the pick-up": (
        f"{FLAP}\n{PICKED}\npart_round | K6 to the start of the instep\nround | K | instep 4, sole 10",
        "the instep is not where",
    ),
    "start": (f"= Leg\n{CAST_ON}\npart_round | K3 to the start of the instep", "not the start of the instep"),
    "graft": (f"= Leg\n{CAST_ON}\ngraft | Graft 5 sts to 3 sts", "can't be grafted"),
    "graft, too few": (f"= Leg\n{CAST_ON}\ngraft | Graft 3 sts to 3 sts", "8 on the needles"),
    "graft, on three needles": (
        "= Leg\ncast_on | Cast on 8 sts: 4, 2 and 2 sts on needles 1 to 3. Join in the round | leg 8\n"
        "graft | Graft 4 sts to 4 sts",
        "not on two needles",
    ),
    "left-over": (f"= Leg\n{CAST_ON}\nround | K", "8 sts are left on the needles"),
    "left-over, gathered": (
        f"= Leg\n{CAST_ON}\ngather | Draw the yarn through the remaining 7 sts and fasten it",
        "7 sts",
    ),
    "region": (f"= Leg\n{CAST_ON}\nround | Needle 1 (instep): K. Needle 2: K", "needle 1 is not the instep"),
    "regions": (f"= Leg\n{CAST_ON}\nround | K | heel 4, instep 5", "the regions of the round have 9 sts"),
}


@pytest.mark.parametrize("name", WRONG)
def test_a_mistake_is_found_and_named(name: str) -> None:
    """Each mistake gives a finding of its own code that says what is wrong, at the line that has it."""
    text, words = WRONG[name]
    code = name.split(",")[0]
    _, findings = knitted_by_hand(text, LOOP)
    assert codes(findings) == [code], [finding.message for finding in findings]
    assert words in findings[0].message
    assert findings[0].span is not None
    assert findings[0].sizes == ("M",)


def test_the_record_ends_where_the_hands_are_stuck() -> None:
    """What could be worked is on record; nothing is invented after the line that fails."""
    record, findings = knitted_by_hand(f"= Leg\n{CAST_ON}\nround x:2 | K\nround | K9\nround | K", LOOP)
    assert [line.text for line in record.lines][1:] == ["K"]
    assert record.lines[-1].times == 2
    assert record.left_on_needles == 8
    assert findings[0].line == "K9"


def test_a_line_that_never_ends_is_given_up() -> None:
    """Brackets that multiply to millions are refused, not worked."""
    text = f"= Leg\n{CAST_ON}\nround | ((((yo) 999 times) 999 times) 999 times) 999 times, K8"
    assert codes(knitted_by_hand(text, LOOP)[1]) == ["budget"]
