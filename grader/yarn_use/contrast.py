"""Which parts to knit in another yarn so that the main one is enough."""

from __future__ import annotations

from grader.models.yarn import Amount, Contrast, YarnUse
from grader.vocabulary.yarn_factors import beside

# What is knitted in contrast first: the least that shows, then what makes a set.
_CHOICES = (("toe",), ("heel", "toe"), ("cuff", "heel", "toe"))
_ENDS = 4  # of each yarn for each part of a pair: where it begins and where it is broken, in two socks


def with_contrast(use: YarnUse, parts: tuple[str, ...]) -> Contrast:
    """A pair with these parts in another yarn; each part costs ends of both yarns."""
    ratio = use.grams_pair / use.metres_pair if use.metres_pair else 0.0
    ends = _ENDS * len(parts) * beside("end_cm") / 100
    other = sum(use.part(name).metres for name in parts)
    main = use.metres_pair - other + ends
    return Contrast(parts, Amount(main, main * ratio), Amount(other + ends, (other + ends) * ratio))


def contrast_for(use: YarnUse, have: float) -> Contrast | None:
    """The fewest parts in contrast with which so many metres of the main yarn do, even if the pair takes the most that
    is likely; None if a contrast toe, heel and cuff are not enough.
    """
    for names in _CHOICES:
        found = with_contrast(use, tuple(name for name in names if name in use.parts))
        if found.main.metres * (1 + use.give) <= have:
            return found
    return None
