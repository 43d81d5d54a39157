"""The text of a pattern file, and what can be wrong before any YAML is read."""

from __future__ import annotations

import re
from dataclasses import dataclass

from grader.regular_files import read_regular, why_not
from grader.vocabulary.findings import Finding, Span

LARGEST_BYTES = 1 << 20  # a pattern is some 10 KiB; a hundred times that is a mistake
_BREAKS = re.compile("\r\n|[\n\r\x85\u2028\u2029]")  # the line breaks of YAML 1.1
_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")  # YAML 1.1, 5.1


@dataclass(frozen=True, slots=True)
class Source:
    """The text of one file, its name in findings, and its lines without their breaks."""

    file: str
    text: str
    lines: tuple[str, ...]

    def span(self, line: int, column: int) -> Span:
        """The place of a line and column counted from 0."""
        return Span(self.file, line + 1, column + 1)


def read_source(path: str) -> tuple[Source | None, list[Finding]]:
    """Read a file of at most 1 MiB in UTF-8; findings say why it can't be read."""
    text, findings = read_plain(path)
    return (None, findings) if text is None else source_of(text, path)


def read_plain(path: str) -> tuple[str | None, list[Finding]]:
    """The text of a file as it is, under the same limits."""
    try:
        data = read_regular(path, LARGEST_BYTES)
    except FileNotFoundError:
        return None, [_unreadable(path, "there is no such file", "check the name and the folder")]
    except IsADirectoryError:
        return None, [_unreadable(path, "this is a folder, not a pattern file", "name the YAML file in it")]
    except PermissionError:
        return None, [_unreadable(path, "this file may not be read", "change its permissions")]
    except OSError as mistake:
        return None, [_unreadable(path, why_not(mistake), "name a file")]
    return _decoded(data, path)


def _decoded(data: bytes, path: str) -> tuple[str | None, list[Finding]]:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        span = Span(path, 1, 1)
        return None, [Finding("encoding", "this file is in UTF-16", span, mend="save it as UTF-8")]
    if len(data) > LARGEST_BYTES:
        return None, [_too_large(path)]
    try:
        return data.decode("utf-8"), []
    except UnicodeDecodeError as mistake:
        before = _BREAKS.split(data[: mistake.start].decode("utf-8"))
        span = Span(path, len(before), len(before[-1]) + 1)
        message = f"the byte {data[mistake.start]:#04x} is not UTF-8"
        return None, [Finding("encoding", message, span, mend="save the file as UTF-8")]


def source_of(text: str, name: str) -> tuple[Source | None, list[Finding]]:
    """The text as a source, or findings for control characters, tabs, nothing at all, or far too much."""
    text = text.removeprefix("\ufeff")
    source = Source(name, text, tuple(_BREAKS.split(text)))
    if len(text) > LARGEST_BYTES:
        return None, [_too_large(name)]
    if not text.strip():
        mend = "start from the pattern that `grader new` writes"
        return None, [Finding("empty", "this file is empty", source.span(0, 0), mend=mend)]
    findings = _odd_characters(source) or _tabs(source)
    return (None, findings) if findings else (source, [])


def _odd_characters(source: Source) -> list[Finding]:
    findings = []
    for number, line in enumerate(source.lines):
        match = _UNPRINTABLE.search(line)
        if match:
            message = f"the control character U+{ord(match[0]):04X} stands here"
            findings.append(Finding("character", message, source.span(number, match.start()), mend="delete it"))
    return findings


def _tabs(source: Source) -> list[Finding]:
    """One finding for each line with a tab outside of a comment: tabs have no fixed width in YAML."""
    return [
        Finding("tab", "a tab stands here", source.span(number, line.index("\t")), mend="use spaces instead")
        for number, line in enumerate(source.lines)
        if "\t" in line.partition("#")[0]
    ]


def _too_large(name: str) -> Finding:
    mend = "one file holds one pattern, a few thousand lines at the most"
    return Finding("too-large", "this file is larger than 1 MiB", Span(name, 1, 1), mend=mend)


def _unreadable(path: str, message: str, mend: str) -> Finding:
    return Finding("unreadable", message, Span(path, 1, 1), mend=mend)
