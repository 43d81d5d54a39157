"""The last stage before the write-up: a document in another language, from one catalogue.

The story: `masking` takes the numbers out of a text, `templates` fit it, `phrasebook` knows the phrases of instruction
lines and `lines` takes them there and back; `speaking` says all else, `translator` the parts of a document and
`documents` the whole, and `knitting` reads the translated lines back for the test-knit. English stays the language in
which all is worked out.
"""

from grader.translating.blank import blank
from grader.translating.documents import left_in_english, told, translate, translate_drawing
from grader.translating.knitting import knitted_from, misread
from grader.translating.lines import read_back, translate_line
from grader.translating.pronouncing import pronounced
from grader.translating.spacing import spaced
from grader.translating.translator import Translator, translator

__all__ = [
    "Translator",
    "blank",
    "knitted_from",
    "left_in_english",
    "misread",
    "pronounced",
    "read_back",
    "spaced",
    "told",
    "translate",
    "translate_drawing",
    "translate_line",
    "translator",
]
