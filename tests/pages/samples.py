"""Documents to print: fourteen sizes with lettered numbers, five with brackets, and one knitter's own."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from grader.models.document import Document, Instruction, Part, Passage, SectionText, Strand, Table
from grader.models.drawing import Drawing
from grader.schematic import sock_schematic

FOURTEEN = (36, 40, 44, 48, 52, 56, 60, 64, 68, 72, 76, 80, 84, 88)
FIVE = (56, 60, 64, 68, 72)
SETUPS = ("short circular", "long circular (magic loop)", "double-pointed, set of 5")
Numbers = Callable[[Callable[[int], int]], str]


def drawing(few: bool = True) -> Drawing:
    """The schematic of a sock of 64 stitches, with brackets or with letters."""
    bracketed = ("18 cm", "4 cm", "20 (21, 22) cm", "7.5 (8, 8.5) cm", "24 (25, 26) cm", "4.5 cm")
    words = bracketed if few else tuple("ABCDEF")
    lengths = (Fraction(18), Fraction(4), Fraction(20), Fraction(15, 2), Fraction(24), Fraction(9, 2))
    names = ("leg_length", "cuff_length", "circumference", "flap_height", "foot_length", "toe_length")
    return sock_schematic(dict(zip(names, zip(words, lengths, strict=True), strict=True)))


def bracketed(stitches: tuple[int, ...]) -> Numbers:
    """Prints a number of every size: `16 (16, 18, 18, 20)`, or once where all agree."""

    def put(rule: Callable[[int], int]) -> str:
        first, *rest = [rule(each) for each in stitches]
        return str(first) if all(each == first for each in rest) else f"{first} ({', '.join(map(str, rest))})"

    return put


def _size_table(stitches: tuple[int, ...]) -> Table:
    heads = (
        "Size",
        "To fit foot circumference (cm)",
        "To fit foot length (cm)",
        "Finished circumference (cm)",
        "Ease",
        "Cast on",
        "Yarn for a pair (m)",
    )
    rows = []
    for index, each in enumerate(stitches, 1):
        foot = each / 2.88
        rows.append(
            (
                str(index),
                f"{foot - 0.6:.1f}–{foot + 0.6:.1f}",
                f"{foot * 1.08:.1f}",
                f"{each / 3.2:.1f}",
                f"–{10 + index % 3}.{index % 10} %",
                str(each),
                str(110 + each * 3),
            )
        )
    return Table(heads, tuple(rows), "lrrrrrr")


def _numbers(stitches: tuple[int, ...], rules: dict[str, Callable[[int], int]]) -> Table:
    heads = ("", *(str(index) for index in range(1, len(stitches) + 1)))
    rows = tuple((letter, *(str(rule(each)) for each in stitches)) for letter, rule in rules.items())
    return Table(heads, rows, "l" + "r" * len(stitches), "Numbers of this section for every size")


def _gusset(put: Numbers, setup: str) -> Strand:
    held = {
        "": "K across the instep. K1, ssk, K to last 3 sts, k2tog, K1.",
        SETUPS[0]: f"K{put(lambda n: n // 2)} to marker, sm, K1, ssk, K to 3 sts before marker, k2tog, K1.",
        SETUPS[1]: "**Needle 1:** K. **Needle 2:** K1, ssk, K to last 3 sts, k2tog, K1.",
        SETUPS[2]: "Needles 1 and 2 (instep): K. Needle 3: K1, ssk, K to end. Needle 4: K to last 3 sts, k2tog, K1.",
    }[setup]
    return Strand(
        setup,
        (
            Passage(
                (
                    Instruction(
                        "Set-up",
                        f"K{put(lambda n: n // 4 + 2)} across the heel, pick up and knit "
                        f"{put(lambda n: n // 4 + 1)} sts along the left edge, K{put(lambda n: n // 2)} across the "
                        f"instep, pick up and knit {put(lambda n: n // 4 + 1)} sts along the right edge",
                        f"{put(lambda n: n + n // 4 + 4)} sts",
                    ),
                ),
                why="One stitch for each chain of the edge, and one more in the corner, where a hole likes to form.",
            ),
            Passage(
                (
                    Instruction("Round 1", held),
                    Instruction("Round 2", "K."),
                ),
                closing=f"Repeat rounds 1 and 2 {put(lambda n: n // 8 + 1)} times more, until "
                f"{put(lambda n: n)} sts are left.",
                check="There are as many stitches again as you cast on.",
            ),
        ),
    )


def _sections(put: Numbers, setups: tuple[str, ...], tables: dict[str, Table]) -> tuple[SectionText, ...]:
    turn = f"Sl1, K{put(lambda n: n // 4 + 1)}, ssk, K1, turn."
    return (
        SectionText(
            "Cuff",
            (
                Strand(
                    "",
                    (
                        Passage(
                            (
                                Instruction(
                                    "", f"Cast on {put(lambda n: n)} sts and join, taking care not to twist them."
                                ),
                            ),
                            say="Use a stretchy cast-on and leave a tail of 30 cm.",
                        ),
                        Passage(
                            (Instruction("Rounds 1–18", "*K2, P2; rep from * to end.", f"{put(lambda n: n)} sts"),)
                        ),
                    ),
                ),
            ),
            extent="4 cm (1½ in), 18 rounds",
            why="Rib stretches over the heel and closes again round the leg.",
            numbers=tables.get("Cuff"),
            ends_with=f"{put(lambda n: n)} sts",
        ),
        SectionText(
            "Leg",
            (
                Strand(
                    "",
                    (
                        Passage(
                            (Instruction("Every round", "K, for 14 cm (5½ in)."),),
                            check="From the cast-on the sock measures 18 cm.",
                        ),
                    ),
                ),
            ),
            extent="14 cm (5½ in), 62 rounds",
        ),
        SectionText(
            "Heel flap",
            (
                Strand(
                    "",
                    (
                        Passage(
                            (
                                Instruction("Row 1 (RS)", "*Sl1, K1; rep from * to end of heel."),
                                Instruction("Row 2 (WS)", "Sl1, P to end of heel."),
                            ),
                            closing=f"Work rows 1 and 2 {put(lambda n: n // 4)} times in all.",
                            say=f"The heel is worked to and fro over {put(lambda n: n // 2)} sts; the others rest.",
                            check=f"Along each edge of the flap there are {put(lambda n: n // 4)} long chain stitches.",
                        ),
                    ),
                ),
            ),
            extent="7.5 cm (3 in), 32 rows",
            numbers=tables.get("Heel flap"),
            why="The slipped stitches make a thick, hard-wearing heel, and the long stitches at its edges are easy "
            "to pick up.",
        ),
        SectionText(
            "Heel turn",
            (
                Strand(
                    "",
                    (
                        Passage(
                            (Instruction("Row 1 (RS)", turn), Instruction("Row 2 (WS)", "Sl1, P5, p2tog, P1, turn."))
                        ),
                        Passage(
                            (
                                Instruction("Row 3 (RS)", "Sl1, K to 1 st before gap, ssk, K1, turn."),
                                Instruction("Row 4 (WS)", "Sl1, P to 1 st before gap, p2tog, P1, turn."),
                            ),
                            closing="Repeat rows 3 and 4 until all heel sts are used up.",
                            check="The stitches waiting at either side are used up, and the heel makes a small cup.",
                        ),
                        Passage(
                            (
                                Instruction("Row 5 (RS)", "Sl1, K to 1 st before gap, ssk, turn."),
                                Instruction("Row 6 (WS)", "Sl1, P to 1 st before gap, p2tog, turn."),
                            ),
                            sizes="Sizes 1 and 3 only",
                        ),
                    ),
                ),
            ),
            ends_with=f"{put(lambda n: n // 4 + 2)} heel sts",
            why="Short rows, each joined to the next stitch by a decrease, bend the flap under the heel.",
        ),
        SectionText(
            "Gusset",
            tuple(_gusset(put, setup) for setup in setups),
            numbers=tables.get("Gusset"),
            extent="20 rounds",
            ends_with=f"{put(lambda n: n)} sts",
        ),
        SectionText(
            "Foot",
            (
                Strand(
                    "",
                    (
                        Passage(
                            (
                                Instruction(
                                    "Every round", "K, until the foot measures 19 cm (7½ in) from the back of heel."
                                ),
                            ),
                            check="Try it on; the toe begins at the root of the little toe.",
                        ),
                    ),
                ),
            ),
        ),
        SectionText(
            "Toe",
            (
                Strand(
                    "",
                    (
                        Passage(
                            (
                                Instruction(
                                    "Round 1", "*K1, ssk, K to last 3 sts of the half, k2tog, K1; rep from * once."
                                ),
                                Instruction("Round 2", "K."),
                            ),
                            closing=f"Repeat rounds 1 and 2 until {put(lambda n: n // 2)} sts are left.",
                        ),
                        Passage(
                            (
                                Instruction(
                                    "Every round", "As round 1, until enough are gone.", f"{put(lambda n: n // 4)} sts"
                                ),
                            ),
                            say="Now decrease in every round.",
                        ),
                        Passage(
                            (Instruction("", f"Graft {put(lambda n: n // 8)} sts to {put(lambda n: n // 8)} sts."),),
                            say="Break the yarn, leaving a tail of 25 cm.",
                            check="The toe is closed without a ridge. Work the second sock alike.",
                        ),
                    ),
                ),
            ),
            extent="4.5 cm (1¾ in), 20 rounds",
        ),
    )


def _tables(stitches: tuple[int, ...]) -> dict[str, Table]:
    return {
        "Cuff": _numbers(stitches, {"A": lambda n: n, "B": lambda n: n // 2}),
        "Heel flap": _numbers(stitches, {"C": lambda n: n // 2, "D": lambda n: n // 4}),
        "Gusset": _numbers(
            stitches,
            {
                "E": lambda n: n // 4 + 2,
                "F": lambda n: n // 4 + 1,
                "G": lambda n: n // 2,
                "H": lambda n: n + n // 4 + 4,
                "I": lambda n: n // 8 + 1,
            },
        ),
    }


def _lettered(rule: Callable[[int], int]) -> str:
    """A letter that stands for the number, by what it is for 64 stitches."""
    return {64: "A", 32: "B", 16: "D", 18: "E", 17: "F", 84: "H", 9: "I"}.get(rule(64), "J")


def _document(stitches: tuple[int, ...], parts: tuple[Part, ...], one_size: bool = False) -> Document:
    return Document(
        title="Ninepenny Bridge plain socks",
        summary="A plain sock from the cuff down, with a slipped-stitch heel flap, a round heel, a gusset "
        "and a wedge toe.",
        author="The Ninepenny Bridge knitting circle",
        version="1.0",
        date="25 November 2026",
        copyright="© 2026 The Ninepenny Bridge knitting circle.",
        terms="UK",
        facts=(
            ("Yarn", "Super fine (4-ply), 420 m (459 yd) to 100 g; 1 ball for sizes 1 to 9, 2 balls for the others"),
            ("Needles", "2.5 mm (US 1½): a short circular of 23 cm, a long circular of 80 cm, or a set of 5"),
            ("Tension", "32 sts and 44 rounds to 10 cm (4 in)"),
            ("Skill", "Intermediate"),
            ("Sizes", f"{len(stitches)}, for feet from 12 to 31 cm round"),
            ("Setups", "Short circular, long circular, double-pointed"),
            ("Version", "1.0, 25 November 2026"),
        ),
        sizes=_size_table(stitches),
        materials=(
            "Sock yarn as above, with some nylon for wear",
            "A wool needle for grafting and for the ends",
            "Two stitch markers",
            "A row counter, or the tick boxes of this pattern",
        ),
        gauge="32 sts and 44 rounds to 10 cm (4 in) in stocking stitch, worked in the round on 2.5 mm needles, "
        "after washing. Change the needle, not the pattern, until the swatch is right.",
        setups=tuple((setup, "All stitches in the same order; only the hands differ.") for setup in SETUPS),
        abbreviations=(
            ("K", "knit"),
            ("P", "purl"),
            ("st, sts", "stitch, stitches"),
            ("RS, WS", "right side, wrong side"),
            ("rep", "repeat"),
            ("sl1", "slip 1 stitch purlwise"),
            ("ssk", "slip, slip, knit the two together"),
            ("k2tog", "knit 2 together"),
            ("p2tog", "purl 2 together"),
            ("sm", "slip the marker"),
            ("pm", "place a marker"),
            ("tbl", "through the back loop"),
        ),
        how_to_read=(
            "Numbers stand in the order of the size table; one number alone holds for all sizes.",
            "An en dash means that your size works none: 4 (–, 6, 8, 8).",
            "Stars mark what is repeated: *K2, P2; rep from * to end.",
        ),
        parts=parts,
        finishing=("Weave in the ends on the inside.", "Wash by hand and dry flat."),
        notes=(
            "Weave in the ends and check them now and then, especially in socks for small children.",
            "Both socks are alike.",
        ),
        cautions=("Smooth floors are slippery in socks.",),
        one_size=one_size,
        drawing="ninepenny-bridge.svg",
        drawing_alt="Outline of the sock with its measurements.",
    )


def five_sizes() -> Document:
    """Five sizes in brackets, arranged by section, three setups one under the other in the gusset."""
    sections = _sections(bracketed(FIVE), SETUPS, {})
    return _document(FIVE, (Part("", "", sections),))


def fourteen_sizes() -> Document:
    """Fourteen sizes: letters in the lines, a table of numbers in each section that needs one."""
    sections = _sections(_lettered, SETUPS, _tables(FOURTEEN))
    return _document(FOURTEEN, (Part("", "", sections),))


def by_setup() -> Document:
    """Five sizes arranged by setup: the whole sock once for each."""
    put = bracketed(FIVE)
    parts = tuple(
        Part(
            setup,
            f"Everything here is for the {setup}.",
            tuple(
                SectionText(
                    each.name,
                    tuple(Strand("", strand.passages) for strand in each.strands),
                    each.extent,
                    each.why,
                    each.say,
                    each.check,
                    each.ends_with,
                    each.numbers,
                )
                for each in _sections(put, (setup,), {})
            ),
        )
        for setup in SETUPS
    )
    return _document(FIVE, parts)


def one_size() -> Document:
    """One knitter's sock with boxes to tick."""
    put = bracketed((64,))
    sections = []
    rounds = {"Leg": 62, "Foot": 48, "Cuff": 18}
    for each in _sections(put, (SETUPS[2],), {}):
        strands = tuple(
            Strand(
                "",
                tuple(
                    Passage(
                        passage.instructions,
                        passage.closing,
                        "",
                        passage.say,
                        passage.why,
                        passage.check,
                        boxes=rounds.get(each.name, 20) if passage.instructions[0].label else 0,
                    )
                    for passage in strand.passages
                    if not passage.sizes
                ),
            )
            for strand in each.strands
        )
        sections.append(SectionText(each.name, strands, each.extent, each.why, each.say, each.check, each.ends_with))
    document = _document((64,), (Part("", "", tuple(sections)),), one_size=True)
    return document
