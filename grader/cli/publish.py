"""The publish command: check a pattern, then make every edition asked for and write them all, or none."""

from __future__ import annotations

import argparse
from collections.abc import Generator, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from grader.cli.arguments import UsageError
from grader.cli.console import Console
from grader.cli.gauging import at_gauge, gauge_stem
from grader.cli.opening import (
    FINDINGS,
    counted,
    limited,
    opened,
    setups_of,
    size_stems,
    tell_findings,
    templates_of,
)
from grader.cli.together import edition_names, known_language
from grader.models.edition import EDITIONS, Edition
from grader.models.looks import Looks
from grader.vocabulary.unprintable import Unprintable

if TYPE_CHECKING:
    from grader.models.language import Language
    from grader.models.pattern import Pattern
    from grader.pipeline import Checked
    from grader.publishing import Made

_MOST_LEFT = 8
_WORTH_CORES = 4  # documents; fewer are sooner made than processes are begun


@dataclass(frozen=True, slots=True)
class Wish:
    """One document that is wanted: of which socks, in which edition, and how the names of its files begin.

    `shared` begins those of drawings that other documents show too.
    """

    checked: Checked
    edition: Edition
    stem: str
    shared: str


def publish(arguments: argparse.Namespace, console: Console) -> int:
    """Publish once, or again after every save where that is asked for."""
    if not arguments.watch and arguments.preview is None:
        return publish_once(arguments, console)
    from grader.cli.watching import watch

    if arguments.preview is None:
        return watch(arguments, console, publish_once)
    from grader.cli.preview import Preview

    with Preview(arguments.preview) as preview:
        return watch(arguments, console, publish_once, preview)


def publish_once(arguments: argparse.Namespace, console: Console) -> int:
    """Make all documents that are asked for; 1, and the old ones stand, where pattern or template is not sound.

    1 also where the process that made one of them was ended from outside: then the others are written.
    """
    from grader.storing import store

    files, told, code = make(arguments, console)
    if not files:
        return code
    for path in store(Path(arguments.out), files, console.tell):
        console.wrote(path)
    console.tell(told)
    return code


def make(arguments: argparse.Namespace, console: Console) -> tuple[dict[str, bytes], str, int]:
    """The files of all documents that are asked for, what is to be said of them, and the exit code."""
    from grader.cli.workers import ENDED
    from grader.naming import put_together
    from grader.pipeline import Wanted, check, reread
    from grader.write_up import TemplateMistake

    jobs = jobs_of(arguments)
    pattern, code = opened(arguments, console)
    if pattern is None:
        return {}, "", code
    language = language_of(arguments, pattern, console)
    templates = templates_of(arguments)
    looks = looks_of(templates, pattern, console)
    if looks is None:
        return {}, "", FINDINGS
    sizes = size_stems(pattern)
    pattern, changes = at_gauge(limited(pattern, arguments.sizes), arguments)
    if changes:
        console.tell(changes)
    terms = arguments.terms.upper()
    checked = check(pattern, Wanted(setups_of(arguments, pattern), (terms,), arguments.units), console.progress)
    tell_findings(checked.findings, console)
    misread = reread(checked.socks, language) if language and checked.is_sound else []
    tell_findings(misread, console)
    if not checked.is_sound or not checked.socks or misread:
        console.warn("grader: nothing was published; the old documents stand")
        return {}, "", FINDINGS
    editions = editions_of(arguments, templates, looks, language)
    wishes = list(_wishes(checked, editions, arguments, sizes))
    files: dict[str, bytes] = {}
    left: dict[str, None] = {}
    long: list[str] = []
    try:
        with closing(_made(wishes, jobs)) as documents:
            for done, made in enumerate(documents):
                console.progress("printing", done + 1, len(wishes))
                if made is None:
                    console.warn(f"grader: {wishes[done].stem}: {ENDED}; it was not written")
                    code = FINDINGS
                    continue
                put_together(files, made.files)
                left |= dict.fromkeys(made.left)
                long += made.told
    except (TemplateMistake, Unprintable) as mistake:
        console.warn(f"grader: {mistake}")
        return {}, "", FINDINGS
    tell_left(list(left), console)
    for each in long:
        console.tell(each)
    return files, f"{counted(len(checked.socks), 'sock')} graded, written out and knitted through", code


def language_of(arguments: argparse.Namespace, pattern: Pattern, console: Console) -> Language | None:
    """The language that is asked for, with the pattern's own translations; None for English."""
    if arguments.language == "en":
        return None
    from grader.loading import load_language

    named = arguments.language
    known_language(named)
    language, findings = load_language(named, pattern.file)
    if language is not None:
        from grader.illustrating import folders_of, picture_findings

        templates = templates_of(arguments) if "templates" in arguments else None
        findings += picture_findings(language.pictures, folders_of(pattern.file, templates))
    tell_findings(findings, console)
    if language is None or any(finding.is_error for finding in findings):
        raise UsageError(f"language: {named} can't be used; the reason stands above")
    return language


def tell_left(left: Sequence[str], console: Console) -> None:
    """What a document says in English because its language has no words for it; the first few of it."""
    if left:
        console.tell(f"left in English, {counted(len(left), 'text')}:")
        for text in left[:_MOST_LEFT]:
            console.tell(f"    {text}")
        if len(left) > _MOST_LEFT:
            console.tell(f"    and {len(left) - _MOST_LEFT} more")


def looks_of(templates: Path | None, pattern: Pattern, console: Console) -> Looks | None:
    """The designer's looks beside her templates; None, once what is wrong with them is told."""
    if templates is None:
        return Looks()
    from grader.illustrating import folders_of, picture_findings, typeface_findings
    from grader.loading import load_looks

    looks, findings = load_looks(templates)
    findings += picture_findings(looks.pictures, folders_of(pattern.file, templates)) + typeface_findings(looks)
    tell_findings(findings, console)
    return None if any(finding.is_error for finding in findings) else looks


def editions_of(
    arguments: argparse.Namespace,
    templates: Path | None,
    looks: Looks,
    language: Language | None = None,
    one_size: bool = False,
) -> tuple[Edition, ...]:
    """The editions asked for, each once; the usual one where none is named."""
    usual = Edition(
        terms=arguments.terms.upper(),
        units=arguments.units,
        one_size=one_size,
        templates=templates,
        language=language,
        looks=looks,
        marks=arguments.crop_marks,
        one_ink=arguments.black,
    )
    told = []
    for name in edition_names(arguments.edition, one_size):
        bound = EDITIONS[name].bound
        paper = arguments.paper or ("a5" if bound else "a4")
        told.append(replace(usual, kind=name, paper=paper, imposed=bound and paper == "a5"))
    return tuple(told)


def jobs_of(arguments: argparse.Namespace) -> int:
    """How many documents to make at once."""
    import os

    text = getattr(arguments, "jobs", "") or ""
    if not text:
        return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    if not text.isdecimal() or not 1 <= int(text) <= 64:
        raise UsageError(f"jobs: {text!r} should be a number from 1 to 64")
    return int(text)


def _wishes(
    checked: Checked, editions: Sequence[Edition], arguments: argparse.Namespace, sizes: Mapping[str, str]
) -> Iterator[Wish]:
    """A document for each edition and arrangement; for each size and setup where an edition is for one knitter."""
    from grader.naming import edition_stem, title_stem, word_stem

    whole = title_stem(checked.pattern.title) + gauge_stem(arguments)
    arrangements = ("by-section", "by-setup") if arguments.arrange == "both" else (arguments.arrange,)
    setups = tuple(dict.fromkeys(sock.instructions.setup for sock in checked.socks))
    for edition in editions:
        stem = edition_stem(whole, edition)
        shared = edition_stem(whole, replace(edition, kind="pattern"))
        if edition.of.single:
            for sock in checked.socks:
                size, setup = sock.graded.body.name, sock.instructions.setup
                name = f"{stem}-{sizes[size]}-{word_stem(setup)}"
                yield Wish(replace(checked, socks=(sock,)), replace(edition, one_size=True), name, shared)
            continue
        for each in arrangements:
            name = stem if each == "by-section" else f"{stem}-{each}"
            yield Wish(checked, replace(edition, arrangement=each), name, shared)
        if arguments.each_setup:
            for setup in setups:
                alone = tuple(sock for sock in checked.socks if sock.instructions.setup == setup)
                yield Wish(replace(checked, socks=alone), edition, f"{stem}-{word_stem(setup)}", shared)


def _made(wishes: Sequence[Wish], jobs: int) -> Generator[Made | None]:
    """The documents in order; made on several cores where that is quicker. None for one whose process was ended."""
    from grader.cli.workers import worked
    from grader.publishing import make_document

    def one(place: int) -> Made:
        wish = wishes[place]
        return make_document(wish.checked, wish.edition, wish.stem, wish.shared)

    return worked(one, len(wishes), jobs if len(wishes) >= _WORTH_CORES else 1)
