"""The last stage before the write-up: a document in another language, from one catalogue.

The story: `masking` takes the numbers out of a text, `templates` fit it, `phrasebook` knows the phrases of instruction
lines and `lines` takes them there and back; `speaking` says all else, `documents` walks through a document, and
`knitting` reads the translated lines back for the test-knit. English stays the language in which all is worked out.
"""

from grader.translating.blank import blank
from grader.translating.documents import left_in_english, told, translate, translate_drawing
from grader.translating.knitting import knitted_from
from grader.translating.lines import read_back, translate_line
from grader.translating.pronouncing import pronounced
from grader.translating.spacing import spaced

__all__ = [
    "blank",
    "knitted_from",
    "left_in_english",
    "pronounced",
    "read_back",
    "spaced",
    "told",
    "translate",
    "translate_drawing",
    "translate_line",
]
