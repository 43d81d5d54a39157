"""Numbers and shares in the words of the sizing's messages."""

from __future__ import annotations

from fractions import Fraction


def plain(amount: Fraction) -> str:
    """A number for a message: 64, 64.8, 5.63."""
    return f"{float(amount):.2f}".rstrip("0").rstrip(".")


def percent(share: Fraction) -> str:
    """A share for a message, with its sign: -11.1 %."""
    return f"{float(share * 100):+.1f} %".replace("+0.0", "0.0").replace("-0.0", "0.0")


def told_multiple(step: Fraction, plus: Fraction) -> str:
    """ "a multiple of 12", "a multiple of 6 plus 1"."""
    return f"a multiple of {plain(step)}" + (f" plus {plain(plus)}" if plus else "")
