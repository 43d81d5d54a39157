"""The engine as these checks use it: a whole sock is written as a pattern, written out and knitted through.

Only `knit` knows the stages. Everything else is read from the worked record, never worked out here.
"""

from __future__ import annotations

from dataclasses import dataclass

from grader import testknit
from grader.loading import load_text
from grader.models.record import Record, WorkedLine
from grader.setups import write_out
from grader.sizing import grade
from grader.vocabulary.findings import Finding

FIVE, FOUR, LOOP = "double-pointed, set of 5", "double-pointed, set of 4", "long circular (magic loop)"
Steps = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Sock:
    """What sets one sock apart. `first_plain` counts the slip; `band` is a square heel's middle instead.

    `toe` holds (times, every): so many decrease rounds, one every so many rounds; () means every
    round down to 8 stitches.
    """

    cast_on: int
    first_plain: int = 0
    band: int = 0
    heel_rows: int = 0
    pick_up: int = 0
    slipped: bool = True
    rib: bool = False
    toe: Steps = ()


@dataclass(frozen=True, slots=True)
class Turn:
    """A heel turn: stitches left, rows, and the stitches worked before each decrease, slip counted."""

    left: int
    rows: int
    rs_plain_sequence: tuple[int, ...]
    ws_plain_sequence: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Gusset:
    """Stitches after the pick-up, needles from the centre of the sole, decrease rounds, and what they lead to."""

    total: int
    sole: int
    needles: tuple[int, ...]
    decrease_rounds: int
    decreased_to: int
    foot_needles: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Toe:
    """Rounds of the toe, and stitches left to graft."""

    rounds: int
    left: int


def knit(text: str, setup: str) -> tuple[Record | None, list[Finding]]:
    """Load a pattern of one size, grade it, write it out in one setup and knit it; errors of all stages."""
    pattern, findings = load_text(text, "published.yaml")
    if pattern is None:
        return None, findings
    graded, more = grade(pattern, pattern.bodies[0])
    findings = [*findings, *more]
    if graded is None:
        return None, findings
    instructions, more = write_out(pattern, graded, setup)
    findings = [*findings, *more]
    if instructions is None:
        return None, findings
    record, more = testknit.knit(instructions)
    return record, [*findings, *more]


def worked(sock: Sock, setup: str = FOUR) -> Record:
    """The record of a sock that must knit up without an error."""
    record, findings = knit(pattern_of(sock), setup)
    assert record is not None, findings
    assert not [each for each in findings if each.is_error], findings
    return record


def knits_up(sock: Sock, setup: str = FOUR) -> bool:
    """True if the sock can be knitted as written."""
    record, findings = knit(pattern_of(sock), setup)
    return record is not None and not any(each.is_error for each in findings)


def heel_turn(heel: int, first_plain: int) -> Turn:
    """A round heel turn over so many stitches, worked to the last gap."""
    return turn_of(worked(Sock(2 * heel, first_plain=first_plain)))


def band_turn(heel: int, band: int) -> Turn:
    """A square heel turn whose middle is so wide."""
    return turn_of(worked(Sock(2 * heel, band=band)))


def gusset(sock: Sock) -> Gusset:
    """The gusset of a sock, on three needles from the centre of the sole."""
    lines = section(worked(sock), "Gusset")
    shaped = [place for place, line in enumerate(lines) if line.shaping]
    picked, centred, end = lines[0], lines[shaped[0] - 1], lines[-1]
    assert picked.kind == "pick_up"
    assert picked.after is not None
    assert end.after is not None
    decrease_rounds = sum(lines[place].times * lines[place].block_times for place in shaped)
    sole = picked.after - sock.cast_on // 2
    return Gusset(picked.after, sole, centred.needles, decrease_rounds, end.after, end.needles)


def toe(cast_on: int, steps: Steps) -> Toe:
    """A toe with these decrease rounds, to the graft."""
    lines = section(worked(Sock(cast_on, toe=steps)), "Toe")
    rounds = [line for line in lines if line.kind == "round"]
    end = rounds[-1].after
    assert end is not None
    return Toe(sum(line.times * line.block_times for line in rounds), end)


def heel_stitches(cast_on: int) -> int:
    """How many stitches the heel flap is worked over."""
    before = section(worked(Sock(cast_on)), "Heel flap")
    return next(line.before for line in before if line.over == "heel" and line.before is not None)


def shares(cast_on: int, setup: str, rib: bool) -> tuple[int, ...]:
    """What each needle holds after the cast-on."""
    return worked(Sock(cast_on, rib=rib), setup).lines[0].needles


def section(record: Record, name: str) -> list[WorkedLine]:
    """The worked lines of one section; there must be some."""
    found = [line for line in record.lines if line.section == name]
    assert found, f"no section {name}"
    return found


def turn_of(record: Record) -> Turn:
    """The heel turn of a sock, row by row."""
    rows = [line for line in section(record, "Heel turn") if line.kind == "row"]
    plain: dict[str, list[int]] = {"RS": [], "WS": []}
    for row in rows:
        assert len(row.shaping) == 1, row.text
        names = [name for name, _ in row.made]
        worked_before = sum(count for _, count in row.made[: names.index(row.shaping[0].name)])
        plain[row.side] += [worked_before] * (row.times * row.block_times)
    left = rows[-1].after
    assert left is not None
    return Turn(left, len(plain["RS"]) + len(plain["WS"]), tuple(plain["RS"]), tuple(plain["WS"]))


def pattern_of(sock: Sock) -> str:
    """The sock as a pattern file."""
    heel = sock.cast_on // 2
    first = sock.first_plain or heel // 2 + 2
    rows = sock.heel_rows or heel // 2 * 2
    toe_steps = sock.toe or (((sock.cast_on - 8) // 4, 1),)
    return _PATTERN.format(
        cast_on=sock.cast_on,
        first=first - 1,
        middle=sock.band or 2,
        heel_rows=rows,
        pick_up=sock.pick_up or rows // 2 + 1,
        cuff='"*K2, P2* to end"' if sock.rib else '"K"',
        flap='{RS: "*Sl1, K1* to end", WS: "Sl1, P to end"}' if sock.slipped else '{RS: "K", WS: "P"}',
        turn=_BAND if sock.band else _ROUND,
        left="middle" if sock.band else "heel - 2 * (1 + ceil((heel - turn_first - 4) / 2))",
        toe="".join(_toe_step(*step) for step in toe_steps),
    )


def _toe_step(times: int, every: int) -> str:
    plain = '          - round: "K"\n' * (every - 1)
    shaped = "K1, ssk, K to last 3 sts, k2tog, K1"
    decrease = f'          - round: {{instep: "{shaped}", sole: "{shaped}"}}\n'
    return f"      - repeat:\n{decrease}{plain}        times: {times}\n"


_ROUND = """\
      - row: {RS: "Sl1, K{turn_first}, ssk, K1, turn"}
      - row: {WS: "Sl1, P{2 * turn_first - heel + 3}, p2tog, P1, turn"}
      - rows: {RS: "Sl1, K to 1 st before gap, ssk, K1, turn", WS: "Sl1, P to 1 st before gap, p2tog, P1, turn"}
        until: no stitches beyond the gap
"""
_BAND = """\
      - row: {RS: "Sl1, K{side + middle - 2}, ssk, turn"}
      - row: {WS: "Sl1, P{middle - 2}, p2tog, turn"}
      - rows: {RS: "Sl1, K{middle - 2}, ssk, turn", WS: "Sl1, P{middle - 2}, p2tog, turn"}
        times: "{side - 1}"
"""
_PATTERN = """\
title: A sock as published
version: "1.0"
gauge: {{stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
fit: {{foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}}
sizes:
  own:
    - {{name: one, foot_circumference: 22.5 cm, foot_length: 25 cm, leg_length: 18 cm}}
numbers:
  cast_on: {{exactly: {cast_on}}}
  heel: {{exactly: cast_on / 2}}
  instep: {{exactly: cast_on - heel}}
  heel_rows: {{exactly: {heel_rows}, unit: rows}}
  turn_first: {{exactly: {first}}}
  middle: {{exactly: {middle}}}
  side: {{exactly: (heel - middle) / 2}}
  heel_left: {{exactly: {left}}}
  pick_up: {{exactly: {pick_up}}}
  sole: {{exactly: heel_left + 2 * pick_up}}
sections:
  - name: Cuff
    steps:
      - cast_on: "{{cast_on}}"
        regions: [[heel, "{{heel}}"], [instep, "{{instep}}"]]
      - rounds: {cuff}
        times: 8
  - name: Heel flap
    over: heel
    steps:
      - rest: instep
      - rows: {flap}
        times: "{{heel_rows / 2}}"
  - name: Heel turn
    over: heel
    steps:
{turn}  - name: Gusset
    steps:
      - pick_up:
          - heel: K
          - left edge: "{{pick_up}}"
          - instep: K
          - right edge: "{{pick_up}}"
        regions: [[instep, "{{instep}}"], [sole, "{{sole}}"]]
        start: {{short circular: start of instep, long circular: start of instep, double-pointed: centre of sole}}
      - repeat:
          - round: {{instep: "K", sole: "K1, ssk, K to last 3 sts, k2tog, K1"}}
          - round: "K"
        until: "{{cast_on}} sts"
  - name: Foot
    steps:
      - rounds: "K"
        times: 4
  - name: Toe
    steps:
{toe}      - graft: [instep, sole]
"""
