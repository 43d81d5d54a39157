"""The stage that tells how much yarn a knitted pair takes, by part and by colour, and how sure that is."""

from grader.yarn_use.contrast import contrast_for, with_contrast
from grader.yarn_use.pairs import yarn_for_pair

__all__ = ["contrast_for", "with_contrast", "yarn_for_pair"]
