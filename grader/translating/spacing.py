"""No-break spaces before signs, as French sets them: in the text as it is written up, templates and all."""

from __future__ import annotations

import re

from grader.models.language import Language

_TAKEN = r"&#?\w+;|`[^`]*`|\]\([^()]*\)|<[^<>]*>"  # entities, code, addresses and tags are no prose


def spaced(markdown: str, language: Language | None) -> str:
    """The Markdown with a no-break space before each sign that the language sets apart, where such a sign ends a word.

    Args:
        language: None is English, which sets none apart.
    """
    if language is None or not language.spaced:
        return markdown
    signs = re.escape(language.spaced)
    apart = re.compile(rf"({_TAKEN})|(?<=[\w.)\]»’”%*°])([{signs}])(?=\*{{0,2}}(?:\s|$))", re.M)
    return apart.sub(lambda found: found[1] or f"\u00a0{found[2]}", markdown)
