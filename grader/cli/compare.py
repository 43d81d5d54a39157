"""`compare`: what changed between two versions of a pattern, as an errata sheet."""

from __future__ import annotations

import argparse
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from grader.cli.arguments import UsageError
from grader.cli.console import Console
from grader.cli.opening import FINDINGS, FINE, opened, tell_findings
from grader.cli.publish import language_of, tell_left
from grader.vocabulary.unprintable import Unprintable

if TYPE_CHECKING:
    from grader.models.errata import Errata
    from grader.models.language import Language
    from grader.pipeline import Checked
    from grader.vocabulary.findings import Finding


def compare_options(compare: argparse.ArgumentParser) -> None:
    """What `compare` may be asked."""
    compare.add_argument("old", metavar="OLD", help="the pattern file as it was published")
    compare.add_argument("new", metavar="NEW", help="the pattern file as it is now")
    compare.add_argument("--terms", choices=("uk", "us"), default="uk", help="UK or US terms")
    compare.add_argument("--units", choices=("cm", "in", "both"), default="both", help="lengths in print")
    compare.add_argument("--language", metavar="TAG", default="en", help="en, de or fr, or a catalogue of your own")
    compare.add_argument("--paper", choices=("a4", "letter", "a5"), help="paper of the sheet (a4)")
    compare.add_argument("--out", metavar="FOLDER", help="where the sheet is written (build)")
    compare.add_argument("--json", action="store_true", help="print the changes as JSON; write no sheet")
    compare.add_argument("--quiet", action="store_true", help="no progress, no list of files")


def compare(arguments: argparse.Namespace, console: Console) -> int:
    """Knit both versions through and write what changed: 0; 1 where one of them can't be read."""
    if arguments.json and arguments.language != "en":
        raise UsageError("language: that of a sheet; changes as JSON are in English")
    checked = []
    for path in (arguments.old, arguments.new):
        each, code = _checked(path, arguments, console)
        if each is None:
            return code
        checked.append(each)
    from grader.comparing import compare_patterns
    from grader.comparing.sheet import summed_up

    old, new = checked
    language = language_of(arguments, new.pattern, console)
    errata = compare_patterns(old, new, arguments.terms.upper(), arguments.units, language)
    if old.pattern.title != new.pattern.title:
        console.warn(f"these are patterns of two titles: {old.pattern.title!r} and {new.pattern.title!r}")
    if arguments.json:
        changes = asdict(errata) | {"summary": summed_up(errata)}
        console.json(changes)
        return FINE
    if errata.is_empty:
        console.result("nothing changed: both say the same and knit the same stitches; no sheet was written")
        return FINE
    if errata.versions[0] == errata.versions[1]:
        console.tell(f"remark: both are version {errata.versions[1]}; give the new one a version of its own")
    console.result(summed_up(errata))
    count = len(errata.corrections)
    console.tell(f"{count or 'no'} correction{'' if count == 1 else 's'}")
    wrong = misread_lines(errata, language) if language else []
    if wrong:
        tell_findings(wrong, console)
        console.warn("grader: no sheet was written")
        return FINDINGS
    return _write(errata, new, language, arguments, console)


def misread_lines(errata: Errata, language: Language) -> list[Finding]:
    """The changed lines, as they were and as they are, that would be other work in that language."""
    from grader.translating import misread

    lines = (text for each in errata.corrections if each.sort == "line" for read in each.readings for text in read[2:])
    found = (misread(text, language, errata.terms) for text in dict.fromkeys(lines) if text)
    return [finding for finding in found if finding is not None]


def _checked(path: str, arguments: argparse.Namespace, console: Console) -> tuple[Checked | None, int]:
    """A version knitted through; what is wrong with it is told and doesn't stop the comparison."""
    from grader.pipeline import Wanted, check

    pattern, code = opened(argparse.Namespace(pattern=path), console)
    if pattern is None:
        return None, code
    checked = check(pattern, Wanted((), (arguments.terms.upper(),), arguments.units), console.progress)
    if not checked.is_sound:
        console.warn(f"{path} has findings; it is compared as far as it could be knitted")
        tell_findings([finding for finding in checked.findings if finding.is_error], console)
    return checked, FINE


def _write(
    errata: Errata, new: Checked, language: Language | None, arguments: argparse.Namespace, console: Console
) -> int:
    from grader.comparing import write_errata
    from grader.comparing.telling import Teller, Translating
    from grader.models.edition import Edition
    from grader.naming import paper_stem, part_stem, title_stem, tongue_stem
    from grader.pages import set_pages
    from grader.publishing import page_words
    from grader.storing import store
    from grader.translating import spaced, told, translator

    edition = Edition(errata.terms, language=language, paper=arguments.paper or "a4")
    to = translator(language) if language else None
    tell = Translating(to) if to else Teller()
    say = told(language) if language else tell.text
    us = "-us" if errata.terms == "US" else ""
    between = (" / " if any(" to " in each for each in errata.versions) else " to ").join(errata.versions)
    stem = f"{title_stem(errata.title)}-errata-{part_stem(between)}{us}{tongue_stem(edition)}"
    sheet = spaced(write_errata(errata, entry=False, tell=tell), language)
    try:
        pdf = set_pages(
            sheet,
            title=spaced(f"{say('Errata')}: {say(errata.title)}", language),
            version=errata.versions[1],
            author=new.pattern.author,
            date=errata.dates[1],
            language=edition.tag,
            paper=edition.paper,
            words=page_words(say),
        )
    except Unprintable as mistake:
        console.warn(f"grader: {mistake}")
        return FINDINGS
    plan = sheet if language else write_errata(errata)
    files = {f"{stem}.md": plan.encode(), f"{stem}{paper_stem(edition)}.pdf": pdf}
    tell_left(list(to.left) if to else [], console)
    for path in store(Path(arguments.out or "build"), files, console.tell):
        console.wrote(path)
    return FINE
