"""Command lines that can't be followed, each with the exact words it is answered with.

Every case is run in a folder that holds `a_folder/`, `a_file`, `taken.yaml`, `not_utf8.yaml` and `empty.yaml`.
"""

from __future__ import annotations

from dataclasses import dataclass

SHIPPED = "ninepenny_bridge"
_NEEDLES = "short-circular, long-circular, magic-loop, double-pointed, set-of-5, set-of-4"
_SIZES = ", ".join(str(number) for number in range(1, 15))
_RIGHT = {"foot": "22.5cm", "length": "25cm", "gauge": "32x44", "needles": "magic-loop"}
_LIKE = "write it like 22.5cm or 8.75in"
_TITLE = "the name should be 1 to 100 characters that can be printed"


@dataclass(frozen=True, slots=True)
class Broken:
    """What is typed, and what is answered on standard error; the code is 2 unless the pattern has findings."""

    typed: tuple[str, ...]
    answer: str
    code: int = 2


def _usage(answer: str, *typed: str) -> Broken:
    return Broken(typed, f"grader: {answer}\n")


def _file(answer: str, mend: str, *typed: str, code: int = 2) -> Broken:
    return Broken(typed, f"{typed[1]}:{answer}\n    to mend it: {mend}\n", code)


def _one_off(answer: str, **options: str | None) -> Broken:
    given = {**_RIGHT, **options}
    typed = [f"--{name}={value}" for name, value in given.items() if value is not None]
    return _usage(answer, "one-off", SHIPPED, *typed)


def _choice(command: str, option: str, wrong: str, choices: str) -> Broken:
    right = [f"--{name}={value}" for name, value in _RIGHT.items()] if command == "one-off" else []
    named = ", ".join(f"'{choice}'" for choice in choices.split())
    answer = f"argument --{option}: invalid choice: '{wrong}' (choose from {named}) (try 'grader {command} --help')"
    return _usage(answer, command, SHIPPED, *right, f"--{option}", wrong)


def _gauge(wrong: str) -> Broken:
    return _one_off(f"gauge: {wrong!r} should be stitches x rounds to 10 cm, such as 31x43", gauge=wrong)


COMMANDS = [
    _usage("the following arguments are required: COMMAND (try 'grader --help')"),
    _usage(
        "argument COMMAND: invalid choice: 'publsh' (choose from 'publish', 'one-off', 'class', 'check',"
        " 'sizes', 'swatch', 'yarn', 'stripes', 'time', 'compare', 'parts', 'new') (try 'grader --help')",
        "publsh",
        SHIPPED,
    ),
    *(
        _usage(f"the following arguments are required: PATTERN (try 'grader {command} --help')", command)
        for command in ("publish", "one-off", "check", "sizes", "yarn")
    ),
    _usage("the following arguments are required: name (try 'grader new --help')", "new"),
    _usage("unrecognized arguments: --colour (try 'grader --help')", "publish", SHIPPED, "--colour"),
    _usage("unrecognized arguments: --out x (try 'grader --help')", "check", SHIPPED, "--out", "x"),
    _usage("unrecognized arguments: second (try 'grader --help')", "publish", SHIPPED, "second"),
    _usage("argument --sizes: expected one argument (try 'grader publish --help')", "publish", SHIPPED, "--sizes"),
    _usage("argument --foot: expected one argument (try 'grader one-off --help')", "one-off", SHIPPED, "--foot"),
    _choice("publish", "arrange", "round", "by-section by-setup both"),
    _choice("publish", "terms", "both", "uk us"),
    _choice("publish", "paper", "legal", "a4 letter a5"),
    _choice("publish", "units", "yards", "cm in both"),
    _choice("one-off", "terms", "fr", "uk us"),
    _choice("one-off", "units", "mm", "cm in both"),
    _choice("one-off", "paper", "a3", "a4 letter a5"),
    _choice("check", "terms", "scots", "uk us both"),
    _choice("sizes", "units", "ell", "cm in both"),
]
GAUGES = [
    *(_gauge(wrong) for wrong in ("31", "31x", "x43", "axb", "31 43", "31x43x2", "1e2x40", "-31x43")),
    _gauge("9" * 5000 + "x9"),
    _one_off("gauge: 0 stitches to 10 cm can't be; socks have 5 to 60", gauge="0x44"),
    _one_off("gauge: 310 stitches to 10 cm can't be; socks have 5 to 60", gauge="310x440"),
    _one_off("gauge: 4.5 rounds to 10 cm can't be; socks have 5 to 60", gauge="31x4,5"),
]
LENGTHS = [
    _one_off("foot: '22.5' has no unit; write 22.5cm or 22.5in", foot="22.5"),
    _one_off("length: '25' has no unit; write 25cm or 25in", length="25"),
    _one_off("leg: '18' has no unit; write 18cm or 18in", leg="18"),
    _one_off("foot: 57.15 cm can't be; feet have 8 to 40 cm; did you mean 22.5 cm?", foot="22.5 in"),
    _one_off("length: 63.5 cm can't be; feet have 7 to 36 cm; did you mean 25 cm?", length='25"'),
    _one_off("foot: 4 cm can't be; feet have 8 to 40 cm; did you mean 4 in?", foot="4cm"),
    _one_off("foot: 400 cm can't be; feet have 8 to 40 cm", foot="4m"),
    _one_off("foot: 1e+30 cm can't be; feet have 8 to 40 cm", foot="1" + "0" * 30 + "cm"),
    _one_off("length: 60 cm can't be; feet have 7 to 36 cm", length="60cm"),
    _one_off("length: 2 cm can't be; feet have 7 to 36 cm", length="20mm"),
    _one_off("leg: 300 cm can't be; legs of socks have 3 to 60 cm", leg="3m"),
    _one_off("leg: 0.1 cm can't be; legs of socks have 3 to 60 cm", leg="1mm"),
    _one_off(f"foot: '-22.5cm' is not a length; {_LIKE}", foot="-22.5cm"),
    _one_off(f"length: '0cm' is not a length; {_LIKE}", length="0cm"),
    _one_off(f"foot: '64sts' is not a length; {_LIKE}", foot="64sts"),
    _one_off(f"foot: '10%' is not a length; {_LIKE}", foot="10%"),
    _one_off(f"foot: 'wide' is not a number with a unit; {_LIKE}", foot="wide"),
    _one_off(f"foot: 'nan' is not a number with a unit; {_LIKE}", foot="nan"),
    _one_off(f"foot: '1e400cm' is not a number with a unit; {_LIKE}", foot="1e400cm"),
    _one_off(f"foot: this divides by zero; {_LIKE}", foot="1/0in"),
    _one_off(f"foot: unknown unit 'furlongs'; known are mm, cm, in, %, sts, rounds; {_LIKE}", foot="2 furlongs"),
    _one_off(f"foot: this is too long for a length; {_LIKE}", foot="9" * 5000 + "cm"),
]
NEGATIVE = _usage(
    f"foot: '-22.5cm' is not a length; {_LIKE}",
    "one-off",
    SHIPPED,
    "--foot",
    "-22.5cm",
    "--length",
    "25cm",
    "--gauge",
    "32x44",
    "--needles",
    "magic-loop",
)
NAMES = [
    _one_off(f"unknown needles 'crochet hook'; there are {_NEEDLES}", needles="crochet hook"),
    _usage(f"unknown needles 'spoon'; there are {_NEEDLES}", "publish", SHIPPED, "--needles", "spoon"),
    _usage(f"unknown needles ''; there are {_NEEDLES}", "check", SHIPPED, "--needles", ""),
    _usage(f"no size '99'; there are {_SIZES}", "publish", SHIPPED, "--sizes", "99"),
    _usage(f"no size '1-99'; there are {_SIZES}", "publish", SHIPPED, "--sizes", "2,1-99"),
    _usage(f"no size 'XXL'; there are {_SIZES}", "check", SHIPPED, "--sizes", "XXL"),
    _usage("no size is named", "publish", SHIPPED, "--sizes", ","),
    _usage("no size is named", "check", SHIPPED, "--sizes", ""),
    _one_off("there is no folder nowhere of templates", templates="nowhere"),
    _usage("there is no folder a_file of templates", "publish", SHIPPED, "--templates", "a_file"),
    _one_off(_TITLE, name="\x00"),
    _one_off(_TITLE, name="Bo\x1b[31m"),
    _one_off(_TITLE, name="x" * 101),
    _usage(_TITLE, "new", ""),
    _usage(_TITLE, "new", " \t "),
    _usage(_TITLE, "new", "a\x07b"),
    _usage(_TITLE, "new", "x" * 101),
    _usage("taken.yaml is there already; nothing was written", "new", "Taken"),
]
FILES = [
    _file("1:1: this is a folder, not a pattern file", "name the YAML file in it", "publish", "a_folder"),
    _file("1:1: this is a folder, not a pattern file", "name the YAML file in it", "check", "a_folder"),
    *(
        _file("1:1: there is no such file", "check the name and the folder", command, "nowhere.yaml")
        for command in ("publish", "one-off", "check", "sizes", "yarn")
    ),
    _file("1:8: the byte 0xff is not UTF-8", "save the file as UTF-8", "check", "not_utf8.yaml", code=1),
    _file(
        "1:1: this file is empty", "start from the pattern that `grader new` writes", "publish", "empty.yaml", code=1
    ),
    _usage("no pattern is named", "check", " "),
    _one_off("a_file: a file of that name is in the way", out="a_file"),
    _one_off("a_file/deeper: a file stands where a folder is named", out="a_file/deeper"),
]
_QUESTIONS = {
    "foot": "Round the ball of the foot (such as 22.5cm)",
    "length": "Length of the foot (such as 25cm)",
    "gauge": "Your stitches x rounds to 10 cm (such as 31x43)",
    "needles": "Needles (short-circular, magic-loop, set-of-5, set-of-4)",
}
MISSING = [
    *(_one_off(f"{asked} is missing; give it with --{name}", **{name: None}) for name, asked in _QUESTIONS.items()),
    _one_off(f"{_QUESTIONS['gauge']} is missing; give it with --gauge", gauge=""),
]
PARTS = [
    _usage("there is no part 'toe-stair'; did you mean 'toe-star'?", "parts", "toe-stair"),
    _usage("there is no part 'xyzzy'; 'grader parts' lists those there are", "parts", "xyzzy"),
    _usage(
        "there is no part '../ninepenny_bridge'; 'grader parts' lists those there are", "parts", "../ninepenny_bridge"
    ),
    _usage("there is no part 'x\\x1b[31m'; 'grader parts' lists those there are", "parts", "x\x1b[31m"),
    _usage("no part is named", "parts", " "),
    _usage("unrecognized arguments: toe-star (try 'grader --help')", "parts", "toe-wedge", "toe-star"),
    _usage("unrecognized arguments: --sizes M (try 'grader --help')", "parts", "toe-wedge", "--sizes", "M"),
]
LEGS = [
    *(
        _one_off(f"nothing in this pattern hangs on --{option}; leave it out", **{option: "40cm"})
        for option in ("calf", "knee-height")
    ),
]
BROKEN = [*COMMANDS, *PARTS, *LEGS, *GAUGES, *LENGTHS, NEGATIVE, *NAMES, *FILES, *MISSING]
