"""The instruction line: one grammar that reads what is written and prints what is read.

The grammar stands in DEVELOPERS.md. A printed line always reads back to the same tree.
"""

from grader.notation.printing import print_line, print_statement
from grader.notation.reading import read_line
from grader.notation.speaking import speak, spoken_name
from grader.notation.tokens import NotationError

__all__ = ["NotationError", "print_line", "print_statement", "read_line", "speak", "spoken_name"]
