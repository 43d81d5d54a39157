"""The test-knit: every printed line worked again, by hands that share no arithmetic with the grading."""

from grader.testknit.knitting import knit

__all__ = ["knit"]
