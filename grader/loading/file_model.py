"""The shape of a pattern file: a field is a key. The only module that knows pydantic."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    PlainValidator,
    Tag,
    ValidationError,
    WithJsonSchema,
    model_validator,
)

from grader.loading import counted, lines, options, repeats, shape_checks, values
from grader.loading.branches import edge_or_region, list_or_not, map_or_not
from grader.models.pattern import Counted
from grader.vocabulary.formulas import Formula
from grader.vocabulary.quantities import Quantity
from grader.vocabulary.techniques import WAYS

Problem = dict[str, Any]
_FORMULA = {"type": ["string", "number"]}


def _read_by(reader: Callable[[Any], Any], what: str, **schema: Any) -> tuple[Any, Any]:
    """The two marks of a leaf: its reader, and its place in the JSON Schema."""
    return PlainValidator(reader), WithJsonSchema({"type": "string", "description": what, **schema})


Text = Annotated[str, *_read_by(values.text, "text", type=["string", "number"])]
Prose = Annotated[str, *_read_by(values.prose, "Markdown, its numbers in braces with their kinds: {cast_on, sts}")]
Line = Annotated[str, *_read_by(lines.line, "an instruction line")]
WorkText = Annotated[str, *_read_by(lines.work, "an instruction line, or in NAME")]
Reference = Annotated[str, *_read_by(lines.reference, "in NAME", pattern=r"^\s*in\s+[A-Za-z_]\w*\s*$")]
Word = Annotated[str, *_read_by(values.word, "a name", pattern=r"^[A-Za-z_]\w*$")]
Region = Annotated[str, *_read_by(values.region, "a region of the live stitches, such as heel")]
Length = Annotated[Fraction, *_read_by(values.length, "a length with its unit, such as 4 cm or 8 3/4 in")]
Share = Annotated[Fraction, *_read_by(values.share, "a percentage, such as -10 %")]
Number = Annotated[Fraction, *_read_by(values.number, "a number", type=["number", "string"])]
Rate = Annotated[
    repeats.Rate, *_read_by(repeats.rate, "stitches, or a percentage of the gauge", type=["number", "string"])
]
Tally = Annotated[
    tuple[int, int], *_read_by(values.tally, "a count, or a run such as 64 x 15", type=["integer", "string"])
]
Figure = Annotated[Quantity, *_read_by(values.figure, "a count, or a length with its unit", **_FORMULA)]
Mass = Annotated[Fraction, *_read_by(values.mass, "a weight in grams, such as 100 g")]
Weight = Annotated[str, *_read_by(values.yarn_weight, "a standard yarn weight, such as super fine")]
Setups = Annotated[tuple[str, ...], *_read_by(values.setups, "a needle setup", enum=list(values.SETUP_NAMES))]
Rule = Annotated[Formula, *_read_by(values.formula, "a formula, such as cast_on / 2", **_FORMULA)]
Count = Annotated[Formula, *_read_by(values.count, "a whole number, or a formula in braces", **_FORMULA)]
CountOrAll = Annotated[Formula | None, *_read_by(values.all_or_count, "a count, or all", **_FORMULA)]
Extent = Annotated[Formula, *_read_by(values.extent, 'a length: "{cuff_length}" or 4 cm')]
Until = Annotated[Formula | None, *_read_by(values.until, '"{toe_end} sts", or no stitches beyond the gap')]
Comparison = Annotated[Any, *_read_by(values.comparison, "a comparison, such as heel_rows > 30")]
CountedLines = Annotated[tuple[Counted, ...], *_read_by(counted.counted, "rounds of Toe", type=["string", "array"])]
ColourWord = Annotated[str, *_read_by(options.colour, "a colour: MC, CC, or CC1 to CC9", pattern="^(MC|CC[1-9]?)$")]
Way = Annotated[str, *_read_by(options.way, "a way to cast on or bind off", enum=list(WAYS))]
Start = Annotated[str, *_read_by(values.start, "start of REGION, or centre of REGION")]
Arrangement = Annotated[str, *_read_by(values.arrangement, "halves, or nothing", type=["string", "null"])]


class Form(BaseModel):
    """A map of the file; a key that is not a field is a mistake."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)

    def has(self, key: str) -> bool:
        """True if the key stands in the file."""
        return key in self.model_fields_set


class GaugeForm(Form):
    """Stitches and rounds over a width."""

    stitches: Number
    rounds: Number
    per: Length
    needle: Length | None = None
    _checked = model_validator(mode="after")(shape_checks.check_gauge)


class OwnGaugeForm(Form):
    """The gauge of a stitch pattern: over a width, or as shares of the pattern's own."""

    stitches: Rate
    rounds: Rate
    per: Length | None = None
    _checked = model_validator(mode="after")(repeats.check_own_gauge)


class YarnForm(Form):
    """The yarn by its standard weight."""

    weight: Weight
    metres: Number
    per: Mass
    note: Prose = ""


class ColourForm(Form):
    """One of several yarns, and the sections it works."""

    label: Text = ""
    metres: Number | None = None
    per: Mass | None = None
    sections: tuple[Text, ...] = ()
    _checked = model_validator(mode="after")(options.check_colour)


class FitForm(Form):
    """Ease: aimed at, and allowed."""

    foot_circumference: Share
    allowed: tuple[Share, Share]
    foot_length: Share
    length_allowed: tuple[Share, Share] = (Fraction(-1, 10), Fraction(0))

    _checked = model_validator(mode="after")(shape_checks.check_fit)


class OwnSizeForm(Form):
    """One foot of the designer's own table, in bare measures."""

    name: Text
    foot_circumference: Length
    foot_length: Length
    leg_length: Length
    ankle: Length | None = None
    calf: Length | None = None
    knee_height: Length | None = None
    note: Text = ""


class SizesForm(Form):
    """A chart by its name, or own sizes."""

    chart: Text | None = None
    choose: tuple[Text, ...] = ()
    own: Annotated[tuple[OwnSizeForm, ...], Field(min_length=1)] | None = None
    _checked = model_validator(mode="after")(shape_checks.check_sizes)


class NeedleForm(Form):
    """How long a needle of one setup is."""

    length: Length


class CongruenceForm(Form):
    """A multiple with a remainder of its own."""

    of: Rule
    plus: Rule | None = None


OneMultiple = Annotated[
    Annotated[Rule, Tag("(text)")] | Annotated[CongruenceForm, Tag("(map)")], Discriminator(map_or_not)
]


class RuleForm(Form):
    """One rule of `numbers`."""

    exactly: Rule | None = None
    nearest: Rule | None = None
    at_least: Rule | None = None
    at_most: Rule | None = None
    multiple_of: Annotated[
        Annotated[OneMultiple, Tag("(text)")] | Annotated[tuple[OneMultiple, ...], Tag("(list)")],
        Discriminator(list_or_not("(text)")),
    ] = ()
    plus: Rule | None = None
    parity: Annotated[str, *_read_by(values.text, "even or odd", enum=["even", "odd"])] | None = None
    unit: Annotated[str, *_read_by(values.text, "a unit", enum=["stitches", "rounds", "rows", "cm"])] | None = None
    label: Text = ""
    counts: CountedLines | None = None
    allowed: tuple[Rule, Rule] | None = None
    why: Prose = ""
    _checked = model_validator(mode="after")(shape_checks.check_rule)


class RowForm(Form):
    """A row from the right side, from the wrong side, or a pair of them."""

    RS: Line | None = None
    WS: Line | None = None

    _checked = model_validator(mode="after")(shape_checks.check_row)


OneRow = Annotated[RowForm, AfterValidator(shape_checks.one_side)]
TwoRows = Annotated[RowForm, AfterValidator(shape_checks.both_sides)]
Round = Annotated[
    Annotated[WorkText, Tag("(text)")] | Annotated[dict[Region, WorkText], Field(min_length=1), Tag("(map)")],
    Discriminator(map_or_not),
]
Rows = Annotated[Annotated[Reference, Tag("(text)")] | Annotated[TwoRows, Tag("(map)")], Discriminator(map_or_not)]
Edges = Annotated[
    Annotated[dict[str, Count], BeforeValidator(shape_checks.one_key), Tag("(edge)")]
    | Annotated[dict[Region, WorkText], BeforeValidator(shape_checks.one_key), Tag("(region)")],
    Discriminator(edge_or_region),
]
RegionCounts = dict[Region, Count]
ChartLines = Annotated[tuple[Text, ...], Field(min_length=1)]


class StitchPatternForm(Form):
    """Rounds or rows that repeat, in words or drawn as a chart (its top line first)."""

    label: Text = ""
    rounds: Annotated[tuple[Line, ...], Field(min_length=1)] | None = None
    rows: (
        Annotated[
            Annotated[tuple[OneRow, ...], Field(min_length=1), Tag("(list)")] | Annotated[TwoRows, Tag("(map)")],
            Discriminator(list_or_not("(map)")),
        ]
        | None
    ) = None
    chart: ChartLines | None = None
    chart_rows: ChartLines | None = None
    sides: Annotated[str, *_read_by(repeats.side, "K or P", enum=["K", "P"])] = ""
    gauge: OwnGaugeForm | None = None
    stops: Annotated[
        tuple[Annotated[int, *_read_by(repeats.stop, "a round", type=["integer", "string"])], ...], Field(min_length=1)
    ] = ()

    _checked = model_validator(mode="after")(shape_checks.check_stitch_pattern)


class OverrideForm(Form):
    """What one setup says or works differently."""

    say: Prose | None = None
    round: Round | None = None
    rounds: Round | None = None
    part_round: WorkText | None = None
    row: OneRow | None = None
    rows: Rows | None = None

    _checked = model_validator(mode="after")(shape_checks.check_override)


class StepForm(Form):
    """One step of a section."""

    cast_on: Count | None = None
    rounds: Round | None = None
    rows: Rows | None = None
    round: Round | None = None
    row: OneRow | None = None
    part_round: WorkText | None = None
    repeat: (
        Annotated[tuple[Annotated[StepForm, AfterValidator(shape_checks.repeated)], ...], Field(min_length=1)] | None
    ) = None
    pick_up: Annotated[tuple[Edges, ...], Field(min_length=1)] | None = None
    arrange: Arrangement | None = None
    bind_off: CountOrAll | None = None
    graft: tuple[Region, Region] | None = None
    gather: CountOrAll | None = None
    rest: Region | None = None
    rejoin: Region | None = None
    waste_yarn: Region | None = None
    open: RegionCounts = {}
    by: Way | None = None
    corner: Count | None = None
    colour: ColourWord | None = None
    times: Count | None = None
    for_: Annotated[Extent | None, Field(alias="for")] = None
    until: Until | None = None
    leaves: RegionCounts = {}
    when: Comparison | None = None
    say: Prose | None = None
    why: Prose | None = None
    check: Prose | None = None
    regions: tuple[tuple[Region, Count], ...] = ()
    start: Annotated[
        Annotated[Start, Tag("(text)")] | Annotated[dict[Text, Start], Tag("(map)")], Discriminator(map_or_not)
    ] = ""
    setups: dict[
        Text,
        Annotated[Annotated[Prose, Tag("(text)")] | Annotated[OverrideForm, Tag("(map)")], Discriminator(map_or_not)],
    ] = {}

    @property
    def kind(self) -> str:
        """The step word, or "note" for a step that only says something."""
        return next((key for key in shape_checks.KINDS if self.has(key)), "note")

    _checked = model_validator(mode="after")(shape_checks.check_step)


class SectionForm(Form):
    """A named part of the sock."""

    name: Text
    over: Region | None = None
    colour: ColourWord | None = None
    sock: Annotated[str | None, *_read_by(options.of_pair, "left or right", enum=["left", "right"])] = None
    say: Prose | None = None
    why: Prose | None = None
    check: Prose | None = None
    steps: Annotated[tuple[StepForm, ...], Field(min_length=1)]


class FinishedForm(Form):
    """How a finished measure is stated, and where it is found."""

    is_: Annotated[Rule, Field(alias="is")]
    around: Text | None = None
    along: Annotated[tuple[Text, ...], Field(min_length=1)] | None = None
    plus: Rule | None = None

    _checked = model_validator(mode="after")(shape_checks.check_finished)


class SampleForm(Form):
    """The designer's own sample of one size."""

    size: Text
    numbers: dict[Text, Figure] = {}
    counts: dict[Text, tuple[Tally, ...]] = {}
    stitches: dict[Text, dict[Text, Tally]] = {}
    measures: dict[Text, Length] = {}
    yarn: dict[Text, Number] = {}
    gauges: dict[Text, GaugeForm] = {}
    sentences: dict[Text, tuple[Figure, ...]] = {}


class AlterationForm(Form):
    """Other numbers or parts for a person whose measures are out of the usual."""

    name: Text
    when: Comparison
    numbers: dict[Word, RuleForm] = {}
    parts: dict[Text, Text] = {}
    why: Prose

    _checked = model_validator(mode="after")(shape_checks.check_alteration)


class ChangeForm(Form):
    """What one version changed, a sentence each."""

    version: Text
    date: Text = ""
    changes: Annotated[tuple[Prose, ...], Field(min_length=1)]


class PatternForm(Form):
    """A pattern for hand-knitted socks, for every size and every needle setup."""

    title: Text
    version: Text
    date: Text = ""
    author: Text = ""
    copyright: Text = ""
    level: Text = ""
    summary: Prose | None = None
    gauge: GaugeForm
    yarn: YarnForm
    colours: dict[ColourWord, ColourForm] = {}
    fit: FitForm
    sizes: SizesForm
    setups: tuple[Setups, ...] = ()
    needles: dict[Text, NeedleForm] = {}
    parts: tuple[Text, ...] = ()
    numbers: dict[Word, RuleForm] = {}
    stitch_patterns: dict[Word, StitchPatternForm] = {}
    sections: Annotated[tuple[SectionForm, ...], Field(min_length=1)]
    finished: dict[Text, FinishedForm] = {}
    sample: (
        Annotated[
            Annotated[SampleForm, Tag("(map)")] | Annotated[tuple[SampleForm, ...], Tag("(list)")],
            Discriminator(list_or_not("(map)")),
        ]
        | None
    ) = None
    notions: tuple[Prose, ...] = ()
    notes: tuple[Prose, ...] = ()
    alterations: tuple[AlterationForm, ...] = ()
    changelog: tuple[ChangeForm, ...] = ()


def shaped(data: Any) -> tuple[PatternForm | None, list[Problem]]:
    """The plain values of a file in their shape, or every problem with its path (`loc`)."""
    try:
        return PatternForm.model_validate(data), []
    except ValidationError as mistakes:
        return None, [dict(each) for each in mistakes.errors(include_url=False, include_input=False)]
